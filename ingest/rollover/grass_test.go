package rollover

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"hardfeed/ingest"
	"hardfeed/ration/yard"
)

// out is one horse's two cells of hours at grass: a number, a text, or "=" and a formula.
type out struct{ now, before any }

// grassBook is a small yard's workbook; turned has a column a horse, as a card by the
// stable door has it. format is of the cells of last week.
func grassBook(t interface{ Fatal(...any) }, horses []out, turned bool, format string) []byte {
	f := excelize.NewFile()
	defer f.Close()
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(f.SetSheetName("Sheet1", "horses"))
	put := func(sheet string, row, col int, v any) {
		ref, err := excelize.CoordinatesToCellName(col, row)
		must(err)
		switch s, text := v.(string); {
		case v == nil:
		case text && strings.HasPrefix(s, "="):
			must(f.SetCellFormula(sheet, ref, s[1:]))
			v, err := f.CalcCellValue(sheet, ref)
			must(err)
			n, err := strconv.ParseFloat(v, 64)
			must(err)
			must(f.SetCellValue(sheet, ref, n))
			must(f.SetCellFormula(sheet, ref, s[1:]))
		default:
			must(f.SetCellValue(sheet, ref, v))
		}
	}
	rows := [][]any{{"Name", "Weight (kg)", "Hours at grass", "Hours at grass last week", "Notes"}}
	for i, h := range horses {
		rows = append(rows, []any{fmt.Sprintf("Horse %c", 'A'+i), 480 + i, h.now, h.before, "quiet"})
	}
	style := 0
	if format != "" {
		var err error
		style, err = f.NewStyle(&excelize.Style{CustomNumFmt: &format, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFEEAA"}}})
		must(err)
	}
	for r, row := range rows {
		for c, v := range row {
			at := [2]int{r + 1, c + 1}
			if turned {
				at = [2]int{c + 1, r + 1}
			}
			put("horses", at[0], at[1], v)
			if ref, _ := excelize.CoordinatesToCellName(at[1], at[0]); style != 0 && c == 3 && r > 0 {
				must(f.SetCellStyle("horses", ref, ref, style))
			}
		}
	}
	for sheet, rows := range map[string][][]any{
		"rations": {{"Horse", "Feed", "Now (kg)"}, {"Horse A", "Hay", 9}},
		"feeds":   {{"Feed", "Kind"}, {"Hay", "forage"}},
		"yard":    {{"Setting", "Value"}, {"Yard", "Alder"}, {"Week beginning", "2026-11-30"}},
	} {
		_, err := f.NewSheet(sheet)
		must(err)
		for r, row := range rows {
			for c, v := range row {
				put(sheet, r+1, c+1, v)
			}
		}
	}
	b, err := f.WriteToBuffer()
	must(err)
	return b.Bytes()
}

func moveGrass(t interface{ Fatal(...any) }, data []byte) (before, after yard.Week, m Moved) {
	before, err := ingest.Read("week.xlsx", data, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if m, err = Move("week.xlsx", data, yard.Plan{}, Options{}, func(s yard.Saying) string { return s.String() }); err != nil {
		t.Fatal(err)
	}
	if after, err = ingest.Read("week.xlsx", m.Data, ingest.Options{}); err != nil {
		t.Fatal(err)
	}
	return before, after, m
}

// What a horse's hours at grass are this week they were last week when the week is over;
// where they are not known, last week's are not either.
func TestHoursAtGrassBecomeLastWeeks(t *testing.T) {
	for name, c := range map[string]struct {
		of      out
		turned  bool
		format  string
		want    yard.Num
		changes string // of the cell, "" none
		left    string // why something of the cell is on the list
	}{
		"other hours":                    {of: out{6, 4}, want: yard.Known(6), changes: "4 → 6"},
		"none last week":                 {of: out{6, nil}, want: yard.Known(6), changes: " → 6"},
		"the same":                       {of: out{6, 6}, want: yard.Known(6)},
		"none at all":                    {of: out{0, 4}, want: yard.Known(0), changes: "4 → 0"},
		"with a unit":                    {of: out{"6 h", "4 h"}, want: yard.Known(6), changes: "4 h → 6 h"},
		"a half":                         {of: out{2.5, 4}, want: yard.Known(2.5), changes: "4 → 2.5"},
		"not known":                      {of: out{nil, 4}, changes: "4 → ", left: "part.next.no grass"},
		"neither known":                  {of: out{nil, nil}},
		"not readable":                   {of: out{"half days", 4}, changes: "4 → half days"},
		"a column a horse":               {of: out{6, 4}, turned: true, want: yard.Known(6), changes: "4 → 6"},
		"a column a horse, not known":    {of: out{nil, 4}, turned: true, changes: "4 → ", left: "part.next.no grass"},
		"this week's is a formula":       {of: out{"=2*3", 4}, want: yard.Known(6), changes: "4 → 6"},
		"last week's is a formula":       {of: out{6, "=2*2"}, want: yard.Known(4), left: "part.next.formula week"},
		"it is, and nothing is known":    {of: out{nil, "=2*2"}, want: yard.Known(4), left: "part.next.formula week"},
		"a cell that shows times of day": {of: out{6, nil}, format: "h:mm", left: "part.next.grass by hand"},
	} {
		data := grassBook(t, []out{c.of, {3, 3}}, c.turned, c.format)
		ref := "D2"
		if c.turned {
			ref = "B4"
		}
		_, after, m := moveGrass(t, data)
		if got := after.Horses[0].GrassBefore; got != c.want {
			t.Errorf("%s: last week %v, want %v", name, got, c.want)
		}
		if got := after.Horses[1].GrassBefore; got != yard.Known(3) && c.format == "" {
			t.Errorf("%s: the other horse was out %v", name, got)
		}
		got := ""
		for _, x := range m.Changes {
			if x.Sheet == "horses" && x.Ref == ref {
				got = x.Was + " → " + x.Is
			}
		}
		if got != c.changes {
			t.Errorf("%s: %q changed, want %q", name, got, c.changes)
		}
		left := slices.ContainsFunc(m.Left, func(l Left) bool {
			return l.Horse == "Horse A" && l.At == yard.Cell{Sheet: "horses", Ref: ref} && l.Why.Key == c.left
		})
		said := slices.ContainsFunc(m.Left, func(l Left) bool { return l.At.Sheet == "horses" && l.Horse == "Horse A" })
		if left != (c.left != "") || said != left {
			t.Errorf("%s: on the list is %+v, want %q", name, m.Left, c.left)
		}
	}
}

// Whatever stands in the two columns, nothing else of the sheet changes, last week's cells
// keep their look, and the week after is read with the hours of the week before it.
func TestOnlyLastWeeksHoursChange(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		hours := rapid.SampledFrom([]any{nil, 0, 1, 2.5, 6, 24, "4 h", "3", "all day", "2 hours"})
		horses := make([]out, rapid.IntRange(1, 4).Draw(r, "horses"))
		for i := range horses {
			horses[i] = out{hours.Draw(r, "now"), hours.Draw(r, "before")}
		}
		turned := rapid.Bool().Draw(r, "turned") && len(horses) > 1
		data := grassBook(r, horses, turned, "0.0")
		before, after, m := moveGrass(r, data)
		for i, h := range after.Horses {
			if was := before.Horses[i]; h.GrassBefore != was.GrassHours || h.GrassHours != was.GrassHours || h.WeightKg != was.WeightKg || h.Notes != was.Notes {
				r.Fatalf("%s: %v, %v last week; was %v", h.Name, h.GrassHours, h.GrassBefore, was.GrassHours)
			}
		}
		for _, c := range m.Changes {
			ok := c.Sheet != "horses" || strings.HasPrefix(c.Ref, "D") && !turned || strings.HasSuffix(c.Ref, "4") && turned
			if !ok {
				r.Fatalf("%s %s changed", c.Sheet, c.Ref)
			}
		}
		was, is := openBook(r, data), openBook(r, m.Data)
		defer was.Close()
		defer is.Close()
		for i := range horses {
			ref, _ := excelize.CoordinatesToCellName(4, i+2)
			if turned {
				ref, _ = excelize.CoordinatesToCellName(i+2, 4)
			}
			a, err1 := was.GetCellStyle("horses", ref)
			b, err2 := is.GetCellStyle("horses", ref)
			if err1 != nil || err2 != nil || a != b || a == 0 {
				r.Fatalf("the look of %s was %d, is %d (%v, %v)", ref, a, b, err1, err2)
			}
		}
	})
}

func openBook(t interface{ Fatal(...any) }, data []byte) *excelize.File {
	f, err := excelize.OpenReader(strings.NewReader(string(data)))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Where one column is all there is, nothing is written.
func TestOneColumnOfHoursStaysAsItIs(t *testing.T) {
	f := openBook(t, grassBook(t, []out{{6, 4}, {3, 2}}, false, ""))
	defer f.Close()
	if err := f.RemoveCol("horses", "D"); err != nil {
		t.Fatal(err)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	_, after, m := moveGrass(t, b.Bytes())
	for _, c := range m.Changes {
		if c.Sheet == "horses" {
			t.Errorf("%s changed from %q to %q", c.Ref, c.Was, c.Is)
		}
	}
	if h := after.Horses[0]; h.GrassHours != yard.Known(6) || h.GrassBefore.IsKnown() {
		t.Errorf("%v, last week %v", h.GrassHours, h.GrassBefore)
	}
}
