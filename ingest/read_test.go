package ingest

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func TestWholeWeek(t *testing.T) {
	w := read(t, fullTabs()...)
	if w.Yard != "Larkrise Yard" || !w.Beginning.Equal(time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)) || w.Paper != "A4" || w.Imperial || w.Temperature != yard.Known(-3) {
		t.Errorf("yard read as %q %v %q %v %v", w.Yard, w.Beginning, w.Paper, w.Imperial, w.Temperature)
	}
	if want := []yard.Meal{{Name: "Breakfast", Minute: 420}, {Name: "Lunch", Minute: 750}, {Name: "Tea", Minute: 1020}}; !reflect.DeepEqual(w.Meals, want) {
		t.Errorf("meals are %v", w.Meals)
	}
	if want := []yard.Measure{{Name: "scoop", Litres: yard.Known(2)}, {Name: "jug", Litres: yard.Known(1)}}; !reflect.DeepEqual(w.Measures, want) {
		t.Errorf("measures are %v", w.Measures)
	}
	if want := []yard.Contact{{Role: "Vet", Name: "Anna Bell", Phone: "01632 960123"}, {Role: "Yard manager", Name: "Tom Reed", Phone: "01632 960456"}}; !reflect.DeepEqual(w.Contacts, want) {
		t.Errorf("contacts are %v", w.Contacts)
	}
	if w.Read != (yard.Counts{Sheets: 6, Rows: 34, Horses: 3}) {
		t.Errorf("counts are %+v", w.Read)
	}
	b := horse(t, w, "Bramble")
	if b.WeightKg != yard.Known(520) || b.WeightBasis != yard.ByScale || b.Weighed.Format("2006-01-02") != "2026-11-20" || b.HeightCm != yard.Known(165.1) ||
		b.Score != yard.Known(5) || b.TargetScore != yard.Known(5.5) || b.Fitness != yard.Hard || b.RiderTackKg != yard.Known(85) || b.Cell.Ref != "A2" || b.Notes != "likes apples" {
		t.Errorf("Bramble read as %+v", b)
	}
	o := horse(t, w, "Otter")
	if o.WeightKg.IsKnown() || o.WeightBasis != yard.NoWeight || o.GirthCm != yard.Known(150) || o.Type != yard.TypePony || !o.Has(yard.Laminitis) || !o.Has(yard.InsulinEMS) || o.Keeper != yard.GoodDoer {
		t.Errorf("Otter read as %+v", o)
	}
	if q := horse(t, w, "Quill"); !q.Override.Valid() || q.Override.Who != "J. Alder" || q.WeightBasis != yard.ByTape || q.Type != yard.TypeDraught {
		t.Errorf("Quill read as %+v", q)
	}
	if len(w.Feeds) != 5 || len(w.Lines) != 6 {
		t.Fatalf("%d feeds and %d lines, want 5 and 6", len(w.Feeds), len(w.Lines))
	}
	oats := w.Feeds[1]
	near := func(n yard.Num, want float64) bool { v, ok := n.Get(); return ok && v > want-1e-4 && v < want+1e-4 }
	// 11 MJ/kg as fed / 4.184 / 0.88 = 2.98757; 10 % / 0.88; 40 % / 0.88.
	if !near(oats.Analysis.DE, 2.98757) || !near(oats.Analysis.CP, 113.63636) || !near(oats.Analysis.Starch, 454.54545) || oats.AnalysisFrom != "workbook: as fed" || oats.PackPrice != yard.Known(11.2) || oats.StockPacks != yard.Known(3) {
		t.Errorf("oats read as %+v", oats)
	}
	// 8.5 MJ/kg dry matter / 4.184.
	if hay := w.Feeds[0]; !near(hay.Analysis.DE, 2.03155) || !near(hay.Analysis.CP, 80) || hay.Class != yard.Forage || hay.AnalysisFrom != "workbook: dry matter" || hay.PackName != "bale" {
		t.Errorf("hay read as %+v", hay)
	}
	if beet := w.Feeds[2]; beet.MeasureKg != yard.Known(0.7) || beet.Class != yard.HardFeed {
		t.Errorf("beet read as %+v", beet)
	}
	if oil := w.Feeds[3]; oil.PackKg != yard.Known(4.6) || !oil.LitresNotByKilo {
		t.Errorf("oil read as %+v", oil)
	}
	l := w.Lines[1]
	if l.Now.Measures != yard.Known(2.5) || l.Now.Kg != yard.Known(2.25) || l.Planned.Kg != yard.Known(2.7) || l.Now.Cell.Ref != "C3" {
		t.Errorf("oats line read as %+v", l)
	}
	if !w.Lines[0].Now.AdLib || w.Lines[2].Now.Kg != yard.Known(0.092) || w.Lines[3].Now.Kg != yard.Known(0.05) {
		t.Errorf("lines read as %+v", w.Lines)
	}
}

func TestRefused(t *testing.T) {
	good := workbook(t, fullTabs()...)
	part := func(name, text string) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		p, _ := z.Create(name)
		p.Write([]byte(text))
		z.Close()
		return b.Bytes()
	}
	ole := "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + strings.Repeat("\x00", 600)
	edit := func(name, from, to string) []byte {
		hit := false
		out := rezip(t, good, func(n string, b []byte) []byte {
			if n != name {
				return b
			}
			hit = hit || bytes.Contains(b, []byte(from))
			return bytes.Replace(b, []byte(from), []byte(to), 1)
		})
		if !hit {
			t.Fatalf("%s holds no %q", name, from)
		}
		return out
	}
	drop := func(name string) []byte {
		return rezip(t, good, func(n string, b []byte) []byte {
			if n == name {
				return nil
			}
			return b
		})
	}
	noHorses := workbook(t, tab{"Feeds", feedsText}, tab{"Work", workText})
	const sheet = "xl/worksheets/sheet2.xml"
	for _, c := range []struct {
		what string
		data []byte
		says string
	}{
		{"an empty file", nil, "is empty"},
		{"an old Excel file", []byte(ole), "old Excel file"},
		{"an encrypted file", append([]byte(ole), strings.Join(strings.Split("EncryptedPackage", ""), "\x00")+"\x00"...), "password"},
		{"a Numbers file", part("Index/Document.iwa", "x"), "Export To"},
		{"an OpenDocument file", part("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), "OpenDocument"},
		{"a binary workbook", part("xl/workbook.bin", "x"), ".xlsb"},
		{"a text file", []byte("Name,Weight\nBramble,520\n"), "plain text"},
		{"a text file with é cut in half", append(bytes.Repeat([]byte("a"), 4095), "é, more"...), "plain text"},
		{"a web page", []byte("  <!DOCTYPE html><html></html>"), "web page"},
		{"an XML file", []byte("<?xml version='1.0'?><a/>"), "XML text"},
		{"a PDF", []byte("%PDF-1.4"), "PDF"},
		{"a picture", []byte("\x89PNG\r\n\x1a\n\x00\x00"), "not an Excel workbook"},
		{"another zip", part("readme.txt", "hello"), "without a workbook"},
		{"half a workbook", good[:len(good)/2], "cut off"},
		{"a workbook with its last bytes missing", good[:len(good)-30], "cut off"},
		{"a sheet cut off", edit(sheet, "</sheetData>", ""), "damaged"},
		{"an entity XML does not have", edit(sheet, "<v>", "<v>&nbsp;"), "damaged"},
		{"a document type", edit(sheet, "<worksheet", "<!DOCTYPE x><worksheet"), "damaged"},
		{"a text number out of the table", edit(sheet, `t="s"><v>`, `t="s"><v>9999`), "damaged"},
		{"a row out of order", edit(sheet, `<row r="3"`, `<row r="2"`), "damaged"},
		{"a cell out of order", edit(sheet, `r="B3"`, `r="A3"`), "damaged"},
		{"a cell in another row", edit(sheet, `r="B3"`, `r="B9"`), "damaged"},
		{"no shared texts", drop("xl/sharedStrings.xml"), "damaged"},
		{"no styles", drop("xl/styles.xml"), "damaged"},
		{"no sheet", drop(sheet), "damaged"},
		{"a text too long", edit("xl/sharedStrings.xml", "<t>Bramble</t>", "<t>"+strings.Repeat("x", 40000)+"</t>"), "larger"},
		{"a column too far", edit(sheet, `</row>`, `<c r="ZZ1"><v>1</v></c></row>`), "larger"},
		{"no horses", noHorses, "No horses were found"},
		{"nothing in it", workbook(t, tab{"Sheet1", ""}), "sheets seen are: Sheet1"},
		{"a header without horses", workbook(t, tab{"Horses", "Name | Weight"}), "no horses in"},
	} {
		_, err := Read("week.xlsx", c.data, Options{})
		var r *xlsx.Refused
		if !errors.As(err, &r) || !strings.Contains(words.Told(r), c.says) {
			t.Errorf("%s: answer is %v, want it refused with %q (cause %v)", c.what, err, c.says, errorCause(err))
			continue
		}
		if s := words.Told(r); !strings.HasSuffix(s, ".") || strings.Contains(s, "\n") || len(s) > 400 {
			t.Errorf("%s: %q is no plain sentence", c.what, s)
		}
	}
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "Beech Farm.xlsx")
	if err := os.WriteFile(path, workbook(t, tab{"Horses", horsesText}), 0o600); err != nil {
		t.Fatal(err)
	}
	big := filepath.Join(dir, "big.xlsx")
	if err := os.WriteFile(big, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(big, xlsx.MaxFileBytes+1); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ path, says string }{{filepath.Join(dir, "none.xlsx"), "no file"}, {dir, "is a folder"}, {big, "20 MB at most"}} {
		_, err := ReadFile(c.path, Options{})
		var r *xlsx.Refused
		if !errors.As(err, &r) || !strings.Contains(words.Told(r), c.says) {
			t.Errorf("%s: answer is %v, want %q", c.path, err, c.says)
		}
	}
	w, err := ReadFile(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w.Yard != "Beech Farm" || len(w.Meals) != 2 || w.Meals[0].Minute != -1 || len(w.Measures) != 1 || w.Measures[0].Litres.IsKnown() {
		t.Errorf("without a yard sheet: %q %v %v", w.Yard, w.Meals, w.Measures)
	}
	if len(findings(w, "week-unknown")) != 1 || len(findings(w, "yard-default")) != 3 || len(findings(w, "sheet-missing")) != 4 {
		t.Errorf("findings are %v", w.Findings)
	}
}

func TestHorseFindings(t *testing.T) {
	w := read(t, tab{"Yard", yardText}, tab{"Horses", `
Our horses, winter | | |
 | | |
Name | Weight | Score | Height | Age | Type | Rider + tack (kg) | Diagnoses | Override by | Override reason | Girth
Ash | 5 | 5 | 16.5 | 9 | horse | -5 | the wambles | A. Fern | | 190
Beech | 5000 | 12 | '16 hh | '12 yrs | hoarse | 90 | none | | hunting | 75
Cedar | #REF! | =1+1 | '165 cm | 60 | mule | | laminits | | |
Dill | d:2026-02-01 | five | | | | | | | |
 | | | | | | | | | |
Elm | 1 150 500 lb | 4.5 | | | | | | | |
ash | 510 | | | | | | | | |
 | 480 | 5 | | | | | | | |
Total | 6000 | | | | | | | | |
Notes: weights from the vet's visit | | | | | | | | | |
🐴 عسل ` + strings.Repeat("very long ", 30) + ` | 400 | | | | | | | | |
Fern | | | | | | | | | |
`})
	if len(w.Horses) != 8 {
		var names []string
		for _, h := range w.Horses {
			names = append(names, h.Name)
		}
		t.Fatalf("horses are %q, want 8", names)
	}
	rules := map[string]int{}
	at := map[string]string{}
	for _, f := range w.Findings {
		rules[string(f.Rule)]++
		at[f.Cell.Ref] += string(f.Rule) + " "
		if f.Horse == "" && f.Cell.Sheet == "Horses" && f.Rule != "name-missing" && f.Rule != "row-skipped" {
			t.Errorf("a finding on %s names no horse: %s", f.Cell.Ref, words.Message(f))
		}
	}
	for ref, want := range map[string]string{
		"B4": "cell-range ", "D4": "cell-number ", "G4": "cell-range ", "H4": "diagnosis-word ", "I4": "override ",
		"B5": "cell-range ", "C5": "cell-range ", "F5": "cell-word ", "J5": "override ", "K5": "cell-range ",
		"B6": "cell-error ", "C6": "cell-error ", "E6": "cell-range ", "F6": "cell-word ", "H6": "diagnosis-word ", "B7": "cell-number ", "C7": "cell-number ",
		"A10": "horse-twice ", "B11": "name-missing ", "A13": "row-skipped ", "B9": "cell-number ",
	} {
		if at[ref] != want {
			t.Errorf("%s has %q, want %q", ref, at[ref], want)
		}
	}
	ash := horse(t, w, "Ash")
	if len(ash.NoCard) != 1 || !strings.Contains(ash.NoCard[0].Arg("cells").(yard.Text).Text, "A4, A10") || ash.WeightKg.IsKnown() {
		t.Errorf("Ash: %v, weight %v", ash.NoCard, ash.WeightKg)
	}
	if c := horse(t, w, "Cedar"); c.HeightCm != yard.Known(165) || c.WeightKg.IsKnown() || len(c.Diagnoses) != 1 || c.Diagnoses[0].Kind != yard.OtherDiagnosis {
		t.Errorf("Cedar: %+v", c)
	}
	if b := horse(t, w, "Beech"); b.HeightCm != yard.Known(162.56) || b.AgeYears != yard.Known(12) || b.Override.Valid() || !b.Override.Asked || b.Type != yard.TypeHorse {
		t.Errorf("Beech: %+v", b)
	}
	if w.Horses[7].Name != "Fern" || w.Read.Horses != 8 || w.Horses[5].Name != "Row 11 on Horses" || len(w.Horses[5].NoCard) != 1 {
		t.Errorf("the last horse is %q of %d", w.Horses[6].Name, w.Read.Horses)
	}
}

func TestErrorValuesOfTheSpreadsheet(t *testing.T) {
	data := rezip(t, workbook(t, fullTabs()...), func(name string, b []byte) []byte {
		if name == "xl/worksheets/sheet2.xml" {
			return bytes.Replace(b, []byte(`<c r="B2"><v>520</v>`), []byte(`<c r="B2" t="e"><v>#DIV/0!</v>`), 1)
		}
		return b
	})
	w, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	fs := findings(w, "cell-error")
	if len(fs) != 1 || fs[0].Cell != (yard.Cell{Sheet: "Horses", Ref: "B2", Text: "#DIV/0!"}) || fs[0].Horse != "Bramble" || horse(t, w, "Bramble").WeightKg.IsKnown() {
		t.Errorf("findings are %v", fs)
	}
}

func TestImperialYard(t *testing.T) {
	y := "Setting | Value\nYard | Pine\nWeek commencing | 30 November 2026\nUnits | imperial\nMeasures | scoop 2 qt\nTemperature | 14 F\nPaper | US Letter"
	w := read(t, tab{"Barn", y}, tab{"Horses", "Horse | Weight (lb) | Girth (in) | Rider + tack (lb)\nAsh | 1100 | 75 | 180\nElm | '1,5 kg | |"},
		tab{"Horses 2", "Horse | Weight | Age\nOak | 1100 | 5\nFir | '1000 lb | 6"})
	if w.Paper != "Letter" || !w.Imperial || w.Temperature != yard.Known(-10) || w.Measures[0].Litres != yard.Known(1.892705892) {
		t.Errorf("yard: %+v", w)
	}
	a := horse(t, w, "Ash")
	if a.WeightKg != yard.Known(498.951607) || a.GirthCm != yard.Known(190.5) || a.RiderTackKg != yard.Known(81.6466266) {
		t.Errorf("Ash: %+v", a)
	}
	if o := horse(t, w, "Oak"); o.WeightKg.IsKnown() || len(findings(w, "cell-unit")) != 1 {
		t.Errorf("Oak's 1100 without a unit in a yard of pounds read as %v", o.WeightKg)
	}
	if f := horse(t, w, "Fir"); f.WeightKg != yard.Known(453.59237) {
		t.Errorf("Fir: %v", f.WeightKg)
	}
}

func TestWeekBeginning(t *testing.T) {
	for text, want := range map[string]string{"d:2026-11-30": "2026-11-30", "'2026-12-02": "2026-12-02", "'30 November 2026": "2026-11-30", "'06/09/26": "", "46356": "", "#REF!": "", "soon": ""} {
		w := read(t, tab{"Yard", "Setting | Value\nYard | Pine\nWeek beginning | " + text}, tab{"Horses", horsesText}, tab{"Work", workText})
		got := ""
		if !w.Beginning.IsZero() {
			got = w.Beginning.Format("2006-01-02")
		}
		if got != want || (want == "") != (len(findings(w, "week-unknown")) > 0 || len(findings(w, "cell-error")) > 0) {
			t.Errorf("%q begins the week on %q, want %q (%v)", text, got, want, findings(w, "week-unknown"))
		}
		// Monday's cell is Monday's work, whichever day the week begins on.
		monday := 0
		if want == "2026-12-02" {
			monday = 5
		}
		if d := horse(t, w, "Bramble").Work[monday]; d.Text != "rest" || d.Cell.Ref != "B2" {
			t.Errorf("%q: Monday's work is %+v", text, d)
		}
	}
}

func TestWorkSheets(t *testing.T) {
	horses := tab{"Horses", "Name | Weight\nAsh | 500\nElm | 510\nOak | 520"}
	y := tab{"Yard", "Setting | Value\nYard | Pine\nWeek beginning | d:2026-11-30"}
	t.Run("one session a row", func(t *testing.T) {
		w := read(t, y, horses, tab{"Diary", "Date | Horse | Work\nd:2026-11-30 | Ash | hack 60\nd:2026-11-30 | Ash | lunge 20\nTue | Ash | hack 30\nd:2026-12-09 | Ash | hack 90\nnever | Elm | hack 60\n2026-12-06 | Oka | hack 60"})
		a := horse(t, w, "Ash")
		if got := describe(a.Work[0]) + "; " + describe(a.Work[1]); got != "hack 42/15/3/0/0 + lunge 8/10/2/0/0 led; hack 21/7.5/1.5/0/0" {
			t.Errorf("Ash: %s", got)
		}
		if e := horse(t, w, "Elm"); !e.Work[3].Unknown || !e.WorkGiven {
			t.Errorf("Elm has work on an unreadable day, and reads as %+v", e.Work)
		}
		if fs := findings(w, "horse-unknown"); len(fs) != 1 || !strings.Contains(words.Message(fs[0]), "Oka") {
			t.Errorf("findings: %v", fs)
		}
		if o := horse(t, w, "Oak"); o.WorkGiven || len(findings(w, "work-missing")) != 1 {
			t.Errorf("Oak has no row: %v", findings(w, "work-missing"))
		}
	})
	t.Run("days in any order, dates as headers, an error", func(t *testing.T) {
		w := read(t, y, horses, tab{"Plan", "Horse | Sun | d:2026-11-30 | Tuesday | weds | 2026-12-12\nAsh | hack 60 | rest | #REF! | grind | hack 30\nElm | rest | rest | rest | rest | rest\nOak | 45 | t:0.5 | d:2026-11-30 | |"})
		a := horse(t, w, "Ash")
		if describe(a.Work[6]) != "hack 42/15/3/0/0" || describe(a.Work[0]) != "rest" || !a.Work[1].Unknown || !a.Work[2].Unknown {
			t.Errorf("Ash: %+v", a.Work)
		}
		if len(findings(w, "work-date")) != 1 || len(findings(w, "cell-error")) != 1 {
			t.Errorf("findings: %v", w.Findings)
		}
		for d := range 3 {
			if o := horse(t, w, "Oak"); !o.Work[(d+6)%7].Unknown {
				t.Errorf("Oak's day %d reads as %+v", (d+6)%7, o.Work[(d+6)%7])
			}
		}
	})
	t.Run("a horse twice", func(t *testing.T) {
		w := read(t, y, horses, tab{"Work", "Horse | Mon | Tue | Wed\nAsh | hack 60 | rest |\nAsh | hack 30 | | rest"})
		if a := horse(t, w, "Ash"); !a.Work[0].Unknown || a.Work[1].Unknown || a.Work[2].Unknown || len(findings(w, "work-twice")) != 1 {
			t.Errorf("Ash: %+v", a.Work)
		}
	})
	t.Run("horses and work on one sheet", func(t *testing.T) {
		w := read(t, y, tab{"All", "Horse | Weight (kg) | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nAsh | 500 | hack 60 | rest | rest | rest | rest | rest | rest"})
		if a := horse(t, w, "Ash"); a.WeightKg != yard.Known(500) || describe(a.Work[0]) != "hack 42/15/3/0/0" {
			t.Errorf("Ash: %+v", a)
		}
	})
}

func TestRations(t *testing.T) {
	base := []tab{{"Yard", yardText}, {"Horses", "Name | Weight\nAsh | 500\nElm | 510"}, {"Feeds", "Feed | Kind | One measure (kg) | Measure\nHay | hay | |\nOats | cereal | 0.9 |\nBeet | beet pulp | 0.5 | jug\nOil | oil | |\nSalt | salt | |\nChaff | chaff | | \nBad | mix | -1 |"}}
	line := func(w yard.Week, feed, meal string) yard.Line {
		for _, l := range w.Lines {
			if l.Feed == feed && l.Meal == meal {
				return l
			}
		}
		t.Errorf("no line of %s at %q among %+v", feed, meal, w.Lines)
		return yard.Line{}
	}
	t.Run("units", func(t *testing.T) {
		w := read(t, append(base, tab{"Rations", "Horse | Feed | Now\nAsh | Hay | 7\n | Oats | 2\n | Beet | 2 scoops\n | Oil | 60\nElm | Chaff | 1½ scoops\nElm | Oats | 2 lb\nElm | Salt | 50 g\nElm | Oil | 0.1 l\nElm | Beet | 1 haynet\nElm | Hay | -3\nElm | Straw | 2 kg"})...)
		for feed, want := range map[string]float64{"Hay": 7, "Oats": 1.8, "Beet": 2} { // two 2 l scoops are four 1 l jugs of 0.5 kg
			if got := line(w, feed, "").Now.Kg; got != yard.Known(want) {
				t.Errorf("%s: %v, want %v", feed, got, want)
			}
		}
		if l := line(w, "Oil", ""); !l.Now.Given || l.Now.Kg.IsKnown() || l.Horse != "Ash" {
			t.Errorf("60 of oil without a unit: %+v", l)
		}
		if l := line(w, "Chaff", ""); l.Now.Measures != yard.Known(1.5) || l.Now.Kg.IsKnown() {
			t.Errorf("chaff without a measure weight: %+v", l)
		}
		if n := len(findings(w, "cell-unit")); n != 2 {
			t.Errorf("%d cell-unit findings: %v", n, w.Findings)
		}
		if e := horse(t, w, "Elm"); len(e.NoCard) != 0 || len(findings(w, "cell-range")) != 2 { // Elm's hay, and Bad's measure
			t.Errorf("Elm: %v, %v", e.NoCard, findings(w, "cell-range"))
		}
	})
	t.Run("negative or unreadable plans stop the card", func(t *testing.T) {
		w := read(t, append(base, tab{"Rations", "Horse | Feed | Now | Planned\nAsh | Oats | 2 | -2\nElm | Oats | 2 | #REF!\nElm | Bad | 1 scoop | 1 scoop"})...)
		if a := horse(t, w, "Ash"); len(a.NoCard) != 1 {
			t.Errorf("Ash: %v", a.NoCard)
		}
		if e := horse(t, w, "Elm"); len(e.NoCard) != 2 {
			t.Errorf("Elm: %v", e.NoCard)
		}
		if l := line(w, "Oats", ""); !l.Planned.Given || l.Planned.Kg.IsKnown() {
			t.Errorf("line: %+v", l)
		}
	})
	t.Run("a column a meal", func(t *testing.T) {
		w := read(t, append(base, tab{"Rations", "Horse | Feed | Breakfast (scoops) | Tea now (scoops) | Supper | Planned (scoops)\nAsh | Oats | 1 | 1.5 | 1 kg | 3"})...)
		if a, b, c, d := line(w, "Oats", "Breakfast"), line(w, "Oats", "Tea"), line(w, "Oats", "Supper"), line(w, "Oats", ""); a.Now.Kg != yard.Known(0.9) || b.Now.Kg != yard.Known(1.35) || c.Now.Kg != yard.Known(1) || d.Planned.Kg != yard.Known(2.7) || d.Now.Given {
			t.Errorf("lines: %+v", w.Lines)
		}
		if len(w.Meals) != 4 || len(findings(w, "meal-unknown")) != 1 {
			t.Errorf("meals: %v", w.Meals)
		}
	})
	t.Run("a row a meal", func(t *testing.T) {
		w := read(t, append(base, tab{"Rations", "Horse | Meal | Feed | Now | Planned\nAsh | breakfast | Oats | 1 scoop | 1 scoop\nAsh | TEA | Oats | 1 scoop | 2 scoops\nBsh | Tea | Oats | 1 scoop |\nAsh | Tea | | 3 |"})...)
		if a, b := line(w, "Oats", "Breakfast"), line(w, "Oats", "Tea"); a.Now.Kg != yard.Known(0.9) || b.Planned.Kg != yard.Known(1.8) {
			t.Errorf("lines: %+v", w.Lines)
		}
		if fs := findings(w, "horse-unknown"); len(fs) != 1 || !strings.Contains(words.Message(fs[0]), `"Ash"`) {
			t.Errorf("findings: %v", fs)
		}
		if why := horse(t, w, "Ash").NoCard; len(why) != 2 || !strings.Contains(words.Said(why[1]), "no feed in row 5") {
			t.Errorf("an amount without a feed: %v", why)
		}
	})
}

// A row of the rations sheet whose horse is misspelt is somebody's feed: the horse
// that is likely meant does not get a card that leaves it out.
func TestAMisspeltNameOnTheRationsSheet(t *testing.T) {
	for _, c := range []struct {
		what, rations string
		noCard        string // what is said of Gannet; "" it has its card
	}{
		{"its hard feed stands under a misspelt name", "Horse | Feed | Now | Planned\nGannet | Hay | 8 | 8\nGanet | Oats | 1 scoop | 2 scoops", `"Ganet" in A3`},
		{"said once of many rows", "Horse | Feed | Now | Planned\nGanet | Hay | 8 | 8\nGanet | Oats | 1 scoop | 2 scoops", `"Ganet" in A2`},
		{"a feed a column", "Horse | Hay | Oats\nGannet | 8 |\nGanet | | 2 scoops", `"Ganet" in A3`},
		{"a row without amounts", "Horse | Feed | Now | Planned\nGannet | Hay | 8 | 8\nGanet | Oats | |", ""},
		{"another horse that has left", "Horse | Feed | Now | Planned\nGannet | Hay | 8 | 8\nPeregrine | Oats | 1 scoop | 2 scoops", ""},
	} {
		w := read(t, tab{"Horses", "Name | Weight (kg)\nGannet | 500\nOtter | 300"}, tab{"Feeds", "Feed | Kind | One measure (kg)\nHay | hay |\nOats | cereal | 0.9"},
			tab{"Work", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nGannet | hack 60 | rest | rest | rest | rest | rest | rest\nOtter | rest | rest | rest | rest | rest | rest | rest"}, tab{"Rations", c.rations})
		why := horse(t, w, "Gannet").NoCard
		if c.noCard == "" && len(why) > 0 || c.noCard != "" && (len(why) != 1 || !strings.Contains(words.Said(why[0]), c.noCard)) {
			t.Errorf("%s: %v", c.what, why)
		}
		if why := horse(t, w, "Otter").NoCard; len(why) > 0 {
			t.Errorf("%s: Otter %v", c.what, why)
		}
	}
}

// What stands in the diagnoses column, as owners write it.
func TestDiagnosisWords(t *testing.T) {
	for written, want := range map[string]yard.Diagnosis{
		"no teeth": yard.PoorTeeth, "Poor teeth": yard.PoorTeeth, "no teeth, EMS": yard.PoorTeeth, "laminitis 2019": yard.Laminitis, "no laminitis": yard.OtherDiagnosis, "a bit off": yard.OtherDiagnosis, "hepatopathy": yard.OtherDiagnosis,
		"PPID, insulin normal": yard.PPID, "wind op 2024": yard.NoFeedRule, "tendon injury near fore": yard.NoFeedRule, "gelded April": yard.NoFeedRule, "lame behind": yard.NoFeedRule, "bad back": yard.NoFeedRule,
		"Sehnenschaden": yard.NoFeedRule, "Hufrehe 2024": yard.Laminitis, "fourbure": yard.Laminitis, "boiterie": yard.NoFeedRule, "infosura": yard.Laminitis, "cojera": yard.NoFeedRule,
	} {
		w := read(t, tab{"Horses", "Name | Weight (kg) | Diagnoses\nAsh | 500 | " + written}, tab{"Feeds", feedsText}, tab{"Work", workText})
		if d := horse(t, w, "Ash").Diagnoses; len(d) == 0 || d[0].Kind != want {
			t.Errorf("%q: %v, want %v", written, d, want)
		}
		if slices.ContainsFunc(horse(t, w, "Ash").Diagnoses, func(d yard.NamedDiagnosis) bool { return want == yard.PPID && d.Kind == yard.InsulinEMS }) {
			t.Errorf("%q is read as a high insulin", written)
		}
	}
}

// A measure by its own name in the heading.
func TestWhatOneQuartWeighs(t *testing.T) {
	w := read(t, tab{"Horses", "Name | Weight (kg)\nAsh | 500"}, tab{"Feeds", "Feed | Kind | One quart (lb)\nOats | cereal | 1"}, tab{"Work", workText})
	if kg := w.Feeds[0].MeasureKg.Or(0); math.Abs(kg-0.4536) > 0.0001 {
		t.Errorf("%v kg", kg)
	}
}

// What is struck through in a workbook is still in it; it is read, and said.
func TestStruckThroughCellsAreSaid(t *testing.T) {
	data := workbook(t, fullTabs()...)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{{"Horses", "A3"}, {"Horses", "B3"}, {"Rations", "C4"}} {
		if err := f.SetCellStyle(c[0], c[1], c[1], style); err != nil {
			t.Fatal(err)
		}
	}
	var struck bytes.Buffer
	if err := f.Write(&struck); err != nil {
		t.Fatal(err)
	}
	for want, data := range map[string][]byte{"": data, " Horses!A3 Rations!C4": struck.Bytes()} {
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		places := ""
		for _, f := range findings(w, "struck-through") {
			places += " " + f.Cell.Sheet + "!" + f.Cell.Ref
		}
		if places != want {
			t.Errorf("said of%s, want%s", places, want)
		}
		horse(t, w, "Otter")
	}
}

func TestFeedAnalysis(t *testing.T) {
	w := read(t, tab{"Horses", "Name | Weight\nAsh | 500"}, tab{"Feeds", `
Feed | Kind | DM % | DE (MJ/kg DM) | Protein (g/kg) | Starch % (as fed) | Ca % | Cu (mg/kg) | Basis
Hay | hay | 85 | 9 | 80 | | 0.4 | 5 | DM
NoDM | mix | | 12 | 120 | 30 | | | as fed
NoBasis | mix | 88 | 12 | 120 | 30 | | |
Odd | wibble | 8800 | 12 | | | | | dm
`})
	hay, noDM, noBasis, odd := w.Feeds[0].Analysis, w.Feeds[1].Analysis, w.Feeds[2].Analysis, w.Feeds[3]
	if hay.CP != yard.Known(80) || hay.Ca != yard.Known(4) || hay.Cu != yard.Known(5) || !hay.DE.IsKnown() || hay.Starch.IsKnown() {
		t.Errorf("hay: %+v", hay)
	}
	if !noDM.DE.IsKnown() || noDM.CP.IsKnown() || noDM.Starch.IsKnown() {
		t.Errorf("as fed without dry matter was used: %+v", noDM)
	}
	if noBasis.CP.IsKnown() || !noBasis.DE.IsKnown() || !noBasis.Starch.IsKnown() {
		t.Errorf("a figure without a basis: %+v", noBasis)
	}
	if odd.Class != yard.Unclassed || odd.Analysis.DM.IsKnown() || len(findings(w, "cell-word")) != 1 || len(findings(w, "cell-range")) != 1 || len(findings(w, "feed-basis")) != 2 {
		t.Errorf("odd: %+v, findings %v", odd, w.Findings)
	}
}

func TestNewestWeighing(t *testing.T) {
	w := read(t, tab{"Horses", "Name | Weight | Date weighed | Score\nAsh | 500 | d:2026-11-01 | 5\nElm | 510 | d:2026-11-20 | 5\nOak | | | "},
		tab{"Weighings", "Date | Horse | Weight (lb) | How | Score\nd:2026-11-10 | Ash | 1120 | scale | 5.5\nd:2026-11-05 | Ash | 1200 | tape | 6\nd:2026-11-10 | Elm | 1000 | scale | 4\nd:2026-10-10 | Oak | 1000 | tape | 4"})
	if a := horse(t, w, "Ash"); a.WeightKg != yard.Known(508.0234544) || a.WeightBasis != yard.ByScale || a.Score != yard.Known(5.5) || a.Weighed.Day() != 10 {
		t.Errorf("Ash: %+v", a)
	}
	if e := horse(t, w, "Elm"); e.WeightKg != yard.Known(510) || e.Score != yard.Known(5) {
		t.Errorf("Elm: %+v", e)
	}
	if o := horse(t, w, "Oak"); o.WeightKg != yard.Known(453.59237) || o.WeightBasis != yard.ByTape {
		t.Errorf("Oak: %+v", o)
	}
}

func TestYardSheets(t *testing.T) {
	horses := tab{"Horses", "Name | Weight\nAsh | 500"}
	for name, text := range map[string]string{
		"one row a meal":    "Setting | Value\nYard | Pine\nBreakfast | 07:00\nTea | t:0.708333333333\nMeasures | scoop 2,5 l; jug 1 l",
		"no header":         "Yard name | Pine\nMeals | Breakfast 7am, Tea at 5 pm\nScoop | 2.5 l\nJug (l) | 1",
		"header with notes": "The yard | |\n | |\nSetting | Value | Remark\nStables | Pine | since 1990\nMeal times | Breakfast (07:00); Tea (17:00) |\nMeasures | scoop: 2.5 litres, jug: 1 litre",
	} {
		w := read(t, horses, tab{"Info", text})
		if w.Yard != "Pine" || fmt.Sprint(w.Meals) != "[{Breakfast 420} {Tea 1020}]" || len(w.Measures) != 2 || w.Measures[0] != (yard.Measure{Name: "scoop", Litres: yard.Known(2.5)}) || w.Measures[1] != (yard.Measure{Name: "jug", Litres: yard.Known(1)}) {
			t.Errorf("%s: %q %v %v %v", name, w.Yard, w.Meals, w.Measures, w.Findings)
		}
	}
}

func TestSynonymsFromSettings(t *testing.T) {
	data := workbook(t, tab{"Pferde", "Pferd | Gewicht (kg)\nAsh | 500"})
	if w, err := Read("x.xlsx", data, Options{}); err != nil || horse(t, w, "Ash").WeightKg != yard.Known(500) {
		t.Errorf("German headings without synonyms: %v %+v", err, w.Horses)
	}
	w, err := Read("x.xlsx", data, Options{Synonyms: map[string][]string{"horse": {"Pferd"}, "weight": {"Gewicht"}}})
	if err != nil || horse(t, w, "Ash").WeightKg != yard.Known(500) {
		t.Errorf("%v %+v", err, w.Horses)
	}
}

func TestColumnWordsAreUnambiguous(t *testing.T) {
	for kind, cols := range columnWords {
		seen := map[string]string{}
		for key, words := range cols {
			for _, w := range words {
				if seen[w] != "" {
					t.Errorf("%s: %q stands for both %s and %s", kind, w, key, seen[w])
				}
				seen[w] = key
				if got := splitHeading(w).words; got != w {
					t.Errorf("%s: the header word %q is taken apart as %q and so never matches", kind, w, got)
				}
			}
		}
	}
}

func TestHeadings(t *testing.T) {
	for text, want := range map[string]heading{
		"Weight (lb)": {words: "weight", unit: "lb", basis: ""}, "WEIGHT": {words: "weight", unit: "", basis: ""}, "Girth in": {words: "girth", unit: "in", basis: ""}, "Rider + tack (kg)": {words: "rider tack", unit: "kg", basis: ""}, "DE (MJ/kg)": {words: "de", unit: "mj/kg", basis: ""},
		"DE (MJ/kg DM)": {words: "de", unit: "mj/kg", basis: dryMatter}, "DE MJ/kg DM": {words: "de", unit: "mj/kg", basis: dryMatter}, "Protein % (as fed)": {words: "protein", unit: "%", basis: asFed}, "DM %": {words: "dm", unit: "%", basis: ""}, "Now (scoops)": {words: "now", unit: "scoops", basis: ""},
		"Date\nweighed": {words: "date weighed", unit: "", basis: ""}, "Ridden/led": {words: "ridden led", unit: "", basis: ""}, "Stock (bags)": {words: "stock", unit: "bags", basis: ""}, "Bag / bale (kg)": {words: "bag bale", unit: "kg", basis: ""}, "Starch %DM": {words: "starch", unit: "%", basis: dryMatter},
		"Horse's name": {words: "horse s name", unit: "", basis: ""}, "Protein (% as fed)": {words: "protein", unit: "% ", basis: asFed},
	} {
		got := splitHeading(text)
		if got.words != want.words || got.unit != strings.TrimSpace(want.unit) || got.basis != want.basis {
			t.Errorf("%q is %+v, want %+v", text, got, want)
		}
	}
}

// Blank rows and columns, titles, spare columns and totals change nothing but
// where the cells are.
func TestLayoutDoesNotMatter(t *testing.T) {
	grid := func(text string) [][]string {
		var g [][]string
		for _, l := range strings.Split(strings.Trim(text, "\n"), "\n") {
			g = append(g, strings.Split(l, "|"))
		}
		return g
	}
	plainWeek := func(data []byte) (string, error) {
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			return "", err
		}
		b, err := json.Marshal(w)
		if err != nil {
			return "", err
		}
		var v any
		if err := json.Unmarshal(b, &v); err != nil {
			return "", err
		}
		v.(map[string]any)["Read"] = nil
		strip(v)
		b, err = json.Marshal(v)
		return string(b), err
	}
	tabs := fullTabs()
	want, err := plainWeek(workbook(t, tabs...))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		var changed []tab
		for _, tb := range tabs {
			g := grid(tb.text)
			rows := rapid.IntRange(0, 4).Draw(t, "title rows "+tb.name)
			blankAfter := rapid.IntRange(1, len(g)).Draw(t, "blank row "+tb.name)
			col := rapid.IntRange(0, 2).Draw(t, "spare columns "+tb.name)
			if tb.name == "Rations" {
				blankAfter = 1
			}
			var out []string
			for i := range rows {
				if i%2 == 0 {
					out = append(out, "The "+tb.name+" of our yard this winter")
				} else {
					out = append(out, "")
				}
			}
			for i, r := range g {
				if i == blankAfter {
					out = append(out, "")
				}
				out = append(out, strings.Repeat(" |", col)+strings.Join(r, "|"))
			}
			if tb.name == "Horses" && rapid.Bool().Draw(t, "total") {
				out = append(out, strings.Repeat(" |", col)+"Total | 1130")
			}
			changed = append(changed, tab{tb.name, strings.Join(out, "\n")})
		}
		if rapid.Bool().Draw(t, "other sheet") {
			changed = append(changed, tab{"Bills", "Who | How much\nFarrier | 80"})
		}
		// Sheets come in any order.
		k := rapid.IntRange(0, len(changed)-1).Draw(t, "first sheet")
		changed = append(changed[k:], changed[:k]...)
		got, err := plainWeek(workbook(t, changed...))
		if err != nil || got != want {
			t.Fatalf("(%v)\n%s\nwant\n%s", err, got, want)
		}
	})
}

// strip takes the places of cells, and the refs in sentences, out of a week.
func strip(v any) {
	switch v := v.(type) {
	case map[string]any:
		delete(v, "Ref")
		for _, x := range v {
			strip(x)
		}
	case []any:
		for _, x := range v {
			strip(x)
		}
	}
}

func TestMergedAndHidden(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	set := func(sheet, ref string, v any) {
		if err := f.SetCellValue(sheet, ref, v); err != nil {
			t.Fatal(err)
		}
	}
	f.SetSheetName("Sheet1", "Horses")
	for i, h := range []string{"Name", "Weight", "Score"} {
		set("Horses", xlsx.RefOf(i+1, 1), h)
	}
	set("Horses", "A2", "Top barn")
	set("Horses", "B2", "")
	if err := f.MergeCell("Horses", "A2", "C2"); err != nil {
		t.Fatal(err)
	}
	set("Horses", "A3", "Ash")
	set("Horses", "B3", 500)
	f.NewSheet("Old horses")
	set("Old horses", "A1", "Name")
	set("Old horses", "B1", "Weight")
	set("Old horses", "A2", "Ash")
	set("Old horses", "B2", 480)
	if err := f.SetSheetVisible("Old horses", false); err != nil {
		t.Fatal(err)
	}
	f.NewSheet("Rations")
	for i, h := range []string{"Horse", "Feed", "Now"} {
		set("Rations", xlsx.RefOf(i+1, 1), h)
	}
	set("Rations", "A2", "Ash")
	set("Rations", "B2", "Hay")
	set("Rations", "B3", "Oats")
	set("Rations", "C3", "1 kg")
	if err := f.MergeCell("Rations", "A2", "A3"); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	w, err := Read("x.xlsx", b.Bytes(), Options{})
	if err != nil {
		t.Fatal(err, errorCause(err))
	}
	if len(w.Horses) != 1 || len(w.Horses[0].NoCard) != 0 || w.Horses[0].WeightKg != yard.Known(500) {
		t.Errorf("horses: %+v", w.Horses)
	}
	if len(findings(w, "sheet-hidden")) != 1 || len(findings(w, "row-skipped")) != 1 || len(findings(w, "name-above")) != 0 {
		t.Errorf("findings: %v", w.Findings)
	}
	if len(w.Lines) != 2 || w.Lines[1].Horse != "Ash" || w.Lines[1].Now.Kg != yard.Known(1) {
		t.Errorf("lines: %+v", w.Lines)
	}
}

func TestSameBytesSameWeek(t *testing.T) {
	data := workbook(t, fullTabs()...)
	a, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		if b, err := Read("week.xlsx", data, Options{}); err != nil || !reflect.DeepEqual(a, b) {
			t.Fatal("two readings differ")
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(workbook(f, fullTabs()...))
	f.Add(workbook(f, tab{"Horses", "Name | Weight\nAsh | 500"}))
	f.Add([]byte("PK\x03\x04"))
	f.Add([]byte("Name,Weight"))
	f.Fuzz(func(t *testing.T, data []byte) {
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			var r *xlsx.Refused
			if !errors.As(err, &r) || words.Told(r) == "" {
				t.Fatalf("answer is %T %v", err, err)
			}
			if strings.Contains(words.Told(r), "fault is in this program") {
				t.Fatalf("our fault: %v", r.Cause)
			}
			return
		}
		if len(w.Horses) == 0 || len(w.Meals) == 0 || len(w.Measures) == 0 {
			t.Fatalf("a week without horses, meals or measures: %+v", w)
		}
	})
}

// FuzzCells lets the fuzzer write cells of a sound workbook.
func FuzzCells(f *testing.F) {
	f.Add("520", "hack 60", "2 scoops", "30 November 2026")
	f.Add("1,5", "XC 14:30", "½ kg", "06/09/26")
	f.Add("#REF!", "W30 x2", "-1", "Breakfast 07:00, Tea")
	f.Fuzz(func(t *testing.T, weight, work, amount, setting string) {
		for _, s := range []string{weight, work, amount, setting} {
			if strings.ContainsAny(s, "|\n") || len(s) > 1000 {
				return
			}
		}
		sh := func(name string, lines ...string) *sheet {
			s := &sheet{Sheet: xlsx.Sheet{Name: name}}
			for i, l := range lines {
				r := xlsx.Row{N: i + 1}
				for j, c := range strings.Split(l, "|") {
					if c = strings.TrimSpace(c); c != "" {
						r.Cells = append(r.Cells, xlsx.Cell{Row: i + 1, Col: j + 1, Kind: xlsx.Text, Shown: c})
					}
				}
				if len(r.Cells) > 0 {
					s.Rows = append(s.Rows, r)
				}
			}
			return s
		}
		w, err := understand("x.xlsx", []*sheet{
			sh("Horses", "Name|Weight|Girth|Height|Age|Type|Score|Date weighed|Diagnoses|Override", "Ash|"+weight+"|"+weight+"|"+weight+"|"+amount+"|"+work+"|"+weight+"|"+setting+"|"+work+"|"+setting),
			sh("Work", "Horse|Mon|Tue|Wed", "Ash|"+work+"|"+weight+"|"+amount),
			sh("Rations", "Horse|Feed|Now|Planned|Tea", "Ash|Hay|"+amount+"|"+weight+"|"+work),
			sh("Feeds", "Feed|Kind|One measure|DM %|DE|Basis|Bag|Stock", "Hay|"+work+"|"+amount+"|"+weight+"|"+weight+"|as fed|"+amount+"|"+amount),
			sh("Yard", "Setting|Value", "Week beginning|"+setting, "Meals|"+setting, "Measures|"+amount, "Temperature|"+weight, setting+"|"+setting, "Vet|"+work),
		}, 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(w.Horses) != 1 || w.Horses[0].Name != "Ash" {
			t.Fatalf("horses: %+v", w.Horses)
		}
		if kg, ok := w.Horses[0].WeightKg.Get(); ok && (kg < 50 || kg > 1300) {
			t.Fatalf("weight %q is %v", weight, kg)
		}
		for _, l := range w.Lines {
			for _, a := range []yard.Amount{l.Now, l.Planned} {
				if kg, ok := a.Kg.Get(); ok && (kg < 0 || kg > mostKg) {
					t.Fatalf("amount %+v", a)
				}
			}
		}
		for _, f := range w.Findings {
			if f.Rule == "" || f.Severity == 0 || f.Saying.Empty() {
				t.Fatalf("finding %+v", f)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	const week = "rest | hack 60 | school 30 | schooling 45 | hack 60 | lunge 20 | off"
	for _, n := range []int{20, 200, 1000} {
		horses, work, rations := "Name | Weight | Score | Fitness\n", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\n", "Horse | Feed | Now | Planned\n"
		wide, blocks := "Week beginning 30 November 2026\n\nMount | Kg | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Feed now | New feed\n", "Week beginning 30 November 2026\n\n"
		for i := range n {
			name := fmt.Sprintf("Rowan%c%c%c", 'a'+i/676, 'a'+i/26%26, 'a'+i%26)
			horses += name + " | 500 | 5 | hard\n"
			work += name + " | rest | hack 60 | W30 T20 C10 | schooling 45 | hack 60 | XC 14:30 | off – farrier\n"
			for _, feed := range []string{"Meadow hay", "Oats", "Beet", "Salt"} {
				rations += name + " | " + feed + " | 1 kg | 1 kg\n"
			}
			wide += name + " | 500 | " + week + " | 2 kg nuts | 2.5 kg nuts\n"
			blocks += name + "\nWeight | 500 kg\n | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nWork | " + week + "\nNow | 2 kg nuts\nNew | 2.5 kg nuts\n\n"
		}
		for _, layout := range []struct {
			name string
			tabs []tab
		}{
			{"as the starter", []tab{{"Horses", horses}, {"Work", work}, {"Rations", rations}, {"Feeds", feedsText}, {"Yard", yardText}}},
			{"one wide table", []tab{{"Week", wide}}},
			{"a block a horse", []tab{{"Week", blocks}}},
		} {
			data := workbook(b, layout.tabs...)
			b.Run(fmt.Sprintf("%s, %d horses", layout.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if w, err := Read("week.xlsx", data, Options{}); err != nil || len(w.Horses) != n {
						b.Fatal(err, len(w.Horses))
					}
				}
			})
			b.Run(fmt.Sprintf("%s, %d horses, unzipped and tokenised only", layout.name, n), func(b *testing.B) {
				for b.Loop() {
					tokenise(b, data)
				}
			})
		}
	}
}

// tokenise does what reading cannot do without: the standard library unzips every part and
// parts its XML into tokens.
func tokenise(b *testing.B, data []byte) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		b.Fatal(err)
	}
	for _, part := range z.File {
		r, err := part.Open()
		if err != nil {
			b.Fatal(err)
		}
		for x := xml.NewDecoder(r); ; {
			if _, err := x.RawToken(); err == io.EOF {
				break
			} else if err != nil {
				b.Fatal(part.Name, err)
			}
		}
		r.Close()
	}
}

// A comma that could be either mark is read only where the other reading is
// no weight a horse can have.
func TestAThousandsCommaIsReadWhereOnlyOneReadingIsAHorse(t *testing.T) {
	w := read(t, tab{"Barn", "Setting | Value\nFarm | Pine\nWeek beginning | d:2026-11-30"},
		tab{"Horses", "Horse | Weight | Rider + tack (kg)\nAsh | '1,150 lb | '1,150\nElm | '1,050 kg | 80"}, tab{"Work", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nAsh | trail ride 90 | rest | rest | rest | rest | rest | rest\nElm | rest | rest | rest | rest | rest | rest | rest"})
	if kg := horse(t, w, "Ash").WeightKg.Or(0); kg < 521 || kg > 522 {
		t.Errorf("1,150 lb was read as %.1f kg", kg)
	}
	if kg := horse(t, w, "Elm").WeightKg.Or(0); kg != 1050 {
		t.Errorf("1,050 kg was read as %.1f kg", kg)
	}
	// A load has no lower bound to tell by: it stays a finding.
	if kg := horse(t, w, "Ash").RiderTackKg; kg.IsKnown() || len(findings(w, "cell-number")) != 1 {
		t.Errorf("rider of %v", kg)
	}
	if d := horse(t, w, "Ash").Work[0]; d.Unknown || len(d.Sessions) != 1 {
		t.Errorf("trail ride: %+v", d)
	}
	if w.Yard != "Pine" {
		t.Errorf("the farm is called %q", w.Yard)
	}
}
