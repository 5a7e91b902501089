package ingest

import (
	"archive/zip"
	"bytes"
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// tab is a sheet written as text: rows are lines, cells are parted by "|". A
// cell that is a number becomes a number, "d:2026-11-30" a date with a date
// format, "t:0.5" a time of day, "=A1" a formula without a saved result, and a
// leading apostrophe keeps a text a text.
type tab struct{ name, text string }

// noter is the part of testing.TB that rapid's T has too.
type noter interface {
	Helper()
	Fatalf(string, ...any)
}

func workbook(t noter, tabs ...tab) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	must := func(err error) {
		if err != nil {
			t.Helper()
			t.Fatalf("building a workbook: %v", err)
		}
	}
	dateCode, clockCode := "yyyy-mm-dd", "hh:mm"
	dateStyle, err := f.NewStyle(&excelize.Style{CustomNumFmt: &dateCode})
	must(err)
	clockStyle, err := f.NewStyle(&excelize.Style{CustomNumFmt: &clockCode})
	must(err)
	for i, tb := range tabs {
		if i == 0 {
			must(f.SetSheetName("Sheet1", tb.name))
		} else {
			_, err := f.NewSheet(tb.name)
			must(err)
		}
		for r, line := range strings.Split(strings.Trim(tb.text, "\n"), "\n") {
			for c, cell := range strings.Split(line, "|") {
				cell = strings.TrimSpace(cell)
				ref := xlsx.RefOf(c+1, r+1)
				if cell == "" {
					continue
				}
				if rest, ok := strings.CutPrefix(cell, "'"); ok {
					must(f.SetCellStr(tb.name, ref, rest))
				} else if rest, ok := strings.CutPrefix(cell, "d:"); ok {
					d, err := time.Parse("2006-01-02", rest)
					must(err)
					must(f.SetCellValue(tb.name, ref, d))
					must(f.SetCellStyle(tb.name, ref, ref, dateStyle))
				} else if rest, ok := strings.CutPrefix(cell, "t:"); ok {
					v, err := strconv.ParseFloat(rest, 64)
					must(err)
					must(f.SetCellFloat(tb.name, ref, v, -1, 64))
					must(f.SetCellStyle(tb.name, ref, ref, clockStyle))
				} else if rest, ok := strings.CutPrefix(cell, "="); ok {
					must(f.SetCellFormula(tb.name, ref, rest))
				} else if v, ok := xlsx.RawNumber(cell); ok {
					must(f.SetCellFloat(tb.name, ref, v, -1, 64))
				} else {
					must(f.SetCellStr(tb.name, ref, strings.ReplaceAll(cell, `\n`, "\n")))
				}
			}
		}
	}
	var b bytes.Buffer
	must(f.Write(&b))
	return b.Bytes()
}

// rezip passes each part of a workbook through edit; nil drops the part.
func rezip(t testing.TB, data []byte, edit func(name string, b []byte) []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if b = edit(f.Name, b); b == nil {
			continue
		}
		p, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := p.Write(b); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

const (
	horsesText = `
Name | Weight (kg) | How weighed | Date weighed | Girth (cm) | Length (cm) | Height (hh) | Age | Type | Score | Target score | Fitness | Keeper | Temper | Housing | Rider + tack (kg) | Diagnoses | Override by | Override reason | Notes
Bramble | 520 | scale | d:2026-11-20 | | | 16.1 | 9 | horse | 5 | 5.5 | hard | normal | calm | stabled | 85 | | | | likes apples
Otter | '1,5 | tape | | 150 | 120 | '12.2hh | 14 | pony | 7 | | soft | good doer | | field | 55 | laminitis 2019, EMS | | |
Quill | 610 | weigh tape | | | | 17 | 6 | draught | 6 | | part-fit | poor | | | 90 | | J. Alder | vet agreed on Monday |
`
	workText = `
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Bramble | rest | hack 60 | W30 T20 C10 | schooling 45 | hack 60 | XC 14:30 | off – farrier
Otter | walk 20 led | rest | walk 20 led | rest | walk 20 led | | rest
Quill | grind 60 | long hack | rest | rest | rest | rest | rest
`
	feedsText = `
Feed | Kind | What it is | One measure (kg) | Weighed on | DM % | DE (MJ/kg) | Protein % | Starch % | Basis | Bag (kg) | Price | Stock (bags) | Batch since
Meadow hay | hay | grass hay | | | 85 | 8.5 | 8 | | dry matter | 20 | 6.50 | 12 | d:2026-11-01
Oats | cereal | oats, rolled | 0.9 | d:2026-10-01 | 88 | 11 | 10 | 40 | as fed | 25 | £11.20 | 3 bags |
Beet | beet pulp | sugar beet, unmolassed | '700 g | | | | | | | 20 | 9 | 2 |
Corn oil | oil | corn oil | | | | | | | | '5 l | 14 | 1 |
Salt | salt | salt | | | | | | | | | | |
`
	rationsText = `
Horse | Feed | Now | Planned
Bramble | Meadow hay | ad lib | ad lib
Bramble | Oats | '2½ scoops | '3 scoops
Bramble | Corn oil | '100 ml | '100 ml
Bramble | Salt | '50 g | '50 g
Otter | Meadow hay | 6 | 6
Quill | Oats | 2 | 2
`
	sessionsText = `
Session | Walk | Trot | Canter | Gallop | Jump | Efforts | Ridden/led
Long hack | 70 | 15 | 5 | | | | ridden
Walker | 40 | | | | | | led
`
	yardText = `
Setting | Value
Yard name | Larkrise Yard
Week beginning | d:2026-11-30
Meals | Breakfast 07:00, Lunch 12:30, Tea 17:00
Measures | scoop 2 l, jug 1 l
Units | metric
Paper | A4
Temperature | -3
Vet | Anna Bell | '01632 960123
Yard manager | Tom Reed 01632 960456
`
)

func fullTabs() []tab {
	return []tab{{"Yard", yardText}, {"Horses", horsesText}, {"Work", workText}, {"Rations", rationsText}, {"Feeds", feedsText}, {"Sessions", sessionsText}}
}

func read(t testing.TB, tabs ...tab) yard.Week {
	t.Helper()
	w, err := Read("week.xlsx", workbook(t, tabs...), Options{})
	if err != nil {
		t.Fatalf("refused: %v (%v)", err, errorCause(err))
	}
	for _, f := range w.Findings {
		if f.Severity == 0 || f.Rule == "" || f.Saying.Empty() {
			t.Errorf("a finding is not filled in: %+v", f)
		}
	}
	return w
}

func errorCause(err error) error {
	if r, ok := err.(*xlsx.Refused); ok {
		return r.Cause
	}
	return nil
}

func findings(w yard.Week, rule string) []yard.Finding {
	var fs []yard.Finding
	for _, f := range w.Findings {
		if string(f.Rule) == rule {
			fs = append(fs, f)
		}
	}
	return fs
}

func horse(t testing.TB, w yard.Week, name string) yard.Horse {
	t.Helper()
	for _, h := range w.Horses {
		if h.Name == name {
			return h
		}
	}
	t.Fatalf("%s is not among the horses", name)
	return yard.Horse{}
}
