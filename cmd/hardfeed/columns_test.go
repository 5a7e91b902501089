package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest"
	"hardfeed/ration/yard"
	"hardfeed/templates"
	"hardfeed/templates/wording"
)

// The horses sheet is one table: what is read, what the README lists, what the starter
// has and what the office sheet calls it.
func TestHorseColumnsAreTheSameEverywhere(t *testing.T) {
	keys, headings := ingest.HorseHeadings()
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, row, ok := strings.Cut(string(readme), "| horses | a horse | ")
	if row, _, _ = strings.Cut(row, " |"); !ok {
		t.Fatal("the README has no row of the horses sheet")
	}
	// What it lists, without the words between.
	list := strings.NewReplacer("**", "", ";", ",", " or ", ", ", ", or ", ", ", " and ", ", ", "checks before work starts (", "", "), Override", ", Override").Replace(row)
	var listed []string
	for _, h := range strings.Split(list, ",") {
		if h = strings.TrimSpace(h); h != "" {
			listed = append(listed, h)
		}
	}
	if !slices.Equal(listed, headings) {
		t.Errorf("the README lists\n%q, read are\n%q", listed, headings)
	}
	data, err := templates.Starter()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("horses")
	if err != nil {
		t.Fatal(err)
	}
	at := -1
	for _, h := range rows[0] {
		i := slices.Index(headings, h)
		if i <= at {
			t.Errorf("the starter's %q is not read by that heading, or stands in another order", h)
		}
		at = i
	}
	for _, lang := range wording.Codes() {
		table, err := wording.In(lang)
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range ingest.PrintedColumns() {
			if !table.Has("office.column."+key) || !slices.Contains(keys, key) {
				t.Errorf("%s: the column %s is printed and has no label", lang, key)
			}
		}
	}
}

// What is only printed is printed as it was written.
func TestFactsOfAHorseComeThrough(t *testing.T) {
	data, err := templates.Workbook([]templates.Sheet{{Name: "horses", Rows: [][]string{{"Name", "Weight (kg)", "Temper", "Housing"}, {"Fern", "500", "sharp in the box", "out by day"}}}})
	if err != nil {
		t.Fatal(err)
	}
	w, err := ingest.Read("x.xlsx", data, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := []yard.Fact{{Column: "temper", Text: "sharp in the box"}, {Column: "housing", Text: "out by day"}}
	if len(w.Horses) != 1 || !slices.Equal(w.Horses[0].Facts, want) || w.Horses[0].Kept != yard.InField {
		t.Errorf("%+v", w.Horses)
	}
}
