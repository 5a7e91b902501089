package main

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/report/words"
	"hardfeed/templates"
)

// The copies of her workbook, the one with the doubtful cells marked and next week's,
// speak the language of the cards, and only that.
func TestCopiesSpeakTheLanguageOfTheCards(t *testing.T) {
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for ref, value := range map[string]string{"D3": "heavy?", "D4": "=[other.xlsx]a!B2"} {
		if err := f.SetCellValue("horses", ref, value); err != nil {
			t.Fatal(err)
		}
	}
	dir := t.TempDir()
	book := filepath.Join(dir, "week.xlsx")
	if err := f.SaveAs(book); err != nil {
		t.Fatal(err)
	}
	english := words.English()
	var sentences []string
	for _, prefix := range []string{"corrections.", "part.next.", "finding."} {
		for _, key := range english.Keys(prefix) {
			if text := english.Text(key); len(strings.Fields(text)) >= 4 && !strings.Contains(text, "{") {
				sentences = append(sentences, text)
			}
		}
	}
	for _, code := range words.Languages() {
		t.Setenv("HARDFEED_LANGUAGE", code)
		var said bytes.Buffer
		marked, next := filepath.Join(dir, code), filepath.Join(dir, "next "+code+".xlsx")
		if exit := run(t.Context(), []string{"run", book, "-o", marked}, nil, &said, &said); exit == exitNothing {
			t.Fatalf("%s: %s", code, said.String())
		}
		if exit := run(t.Context(), []string{"next", book, "-o", next}, nil, &said, &said); exit != exitDone {
			t.Fatalf("%s: %s", code, said.String())
		}
		w, err := words.LanguageOf(code)
		if err != nil {
			t.Fatal(err)
		}
		for path, must := range map[string][]string{
			filepath.Join(marked, correctionsName): {"corrections.about", "corrections.column.what", "corrections.severity.warn"},
			next:                                   {"part.next.remark", "part.next.head why", "part.next.now"},
		} {
			text := everyCell(t, path)
			for _, key := range must {
				if !slices.Contains(text, w.Text(key)) {
					t.Errorf("%s, %s: nowhere %q", code, filepath.Base(path), w.Text(key))
				}
			}
			if code == "en" {
				continue
			}
			for _, cell := range text {
				for _, s := range sentences {
					if strings.Contains(cell, s) {
						t.Errorf("%s, %s: English in %q", code, filepath.Base(path), cell)
					}
				}
			}
		}
	}
}

// everyCell is what all cells and comments of a workbook say.
func everyCell(t *testing.T, path string) (out []string) {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			out = append(out, row...)
		}
		comments, err := f.GetComments(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range comments {
			out = append(out, c.Text)
		}
	}
	return out
}
