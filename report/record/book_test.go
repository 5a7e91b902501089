package record

import (
	"bytes"
	"math"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestTheWorkbookOfResultsHoldsTheNumbers(t *testing.T) {
	p := words.Proof(reporttest.Fixture())
	b, err := Book(p, words.Meta{Version: "1.0"})
	if err != nil {
		t.Fatal(err)
	}
	f := reporttest.Opened(t, b)
	for i, h := range p.Horses {
		if got := reporttest.Raw(t, f, "horses", 1, i+2); got != h.Horse.Name {
			t.Errorf("row %d is %q, want %q", i+2, got, h.Horse.Name)
		}
		for col, want := range map[int]yard.Num{3: h.WeightKg, 9: h.Energy.Need, 13: h.HardFeed.Now, 16: h.HardFeed.Card} {
			got := reporttest.Raw(t, f, "horses", col, i+2)
			v, ok := want.Get()
			if !ok {
				if got != "" {
					t.Errorf("%s, column %d: %q, and it is not known", h.Horse.Name, col, got)
				}
				continue
			}
			if n, err := strconv.ParseFloat(got, 64); err != nil || math.Abs(n-v) > 1e-6 {
				t.Errorf("%s, column %d: %q, want %g", h.Horse.Name, col, got, v)
			}
		}
	}
	r, n := 2, 2
	for _, h := range p.Horses {
		for _, s := range h.Servings {
			if kg, err := strconv.ParseFloat(reporttest.Raw(t, f, "rations", 7, r), 64); reporttest.Raw(t, f, "rations", 1, r) != h.Horse.Name || reporttest.Raw(t, f, "rations", 4, r) != s.Feed || err != nil || math.Abs(kg-float64(s.Kg)) > 1e-6 {
				t.Errorf("rations row %d is not %s's %s", r, h.Horse.Name, s.Feed)
			}
			r++
		}
		for _, x := range h.Nutrients {
			if reporttest.Raw(t, f, "nutrients", 2, n) != x.Name {
				t.Errorf("nutrients row %d is %q, want %q", n, reporttest.Raw(t, f, "nutrients", 2, n), x.Name)
			}
			n++
		}
	}
	for i, x := range p.Findings {
		if reporttest.Raw(t, f, "findings", 3, i+2) != string(x.Rule) {
			t.Errorf("findings row %d", i+2)
		}
	}
	for _, sheet := range f.GetSheetList() {
		if panes, err := f.GetPanes(sheet); err != nil || !panes.Freeze {
			t.Errorf("%s: panes are not frozen", sheet)
		}
	}
}

// A heading or a reason that takes several lines has the row it needs.
func TestRowsOfTheWorkbookAreAsHighAsTheirWords(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		lines int
	}{{"", 9, 1}, {"Horse", 18, 1}, {"Work (min a week)", 7.3, 3}, {"two words", 9, 1}, {"two words", 8.9, 2}, {"abcdefghijklmnopqrstuvwxyz", 10, 3}, {"a\nb", 9, 2}, {"long", 0, 4}} {
		if got := linesIn(c.text, c.width); got != c.lines {
			t.Errorf("%q in a column of %v takes %d lines, want %d", c.text, c.width, got, c.lines)
		}
	}
	b, err := Book(words.Proof(reporttest.Fixture()), words.Meta{Paper: "Letter"})
	if err != nil {
		t.Fatal(err)
	}
	f := reporttest.Opened(t, b)
	for row, least := range map[int]float64{1: 48, 3: 30} { // three lines of heading; Quillfeather is held, in two
		if h, err := f.GetRowHeight("horses", row); err != nil || h < least {
			t.Errorf("row %d is %v points high, want %v (%v)", row, h, least, err)
		}
	}
	layout, err := f.GetPageLayout("horses")
	if err != nil || layout.Size == nil || *layout.Size != 1 || layout.FitToWidth == nil || *layout.FitToWidth < 2 {
		t.Errorf("the layout of the horses is %+v (%v)", layout, err)
	}
}

func TestTheWorkbookOfResultsIsTheSameBytes(t *testing.T) {
	first, err := Book(reporttest.Fixture(), words.Meta{Version: "1.0"})
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		if again, err := Book(reporttest.Fixture(), words.Meta{Version: "1.0"}); err != nil || !bytes.Equal(first, again) {
			t.Fatalf("other bytes (%v)", err)
		}
	}
}

// No words from the workbook start a formula, whatever they begin with.
func TestWordsNeverStartAFormula(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := reporttest.Fixture()
		p.Horses, p.Findings = p.Horses[:1:1], nil
		name := rapid.SampledFrom([]string{"=", "+", "-", "@", "", "\t=", "\x00="}).Draw(rt, "start") + rapid.String().Draw(rt, "name")
		p.Horses[0].Horse.Name = name
		p.Findings = append(p.Findings, yard.Finding{Rule: "x", Severity: yard.Note, Message: name, Horse: name})
		b, err := Book(p, words.Meta{})
		if err != nil {
			rt.Fatal(err)
		}
		f := reporttest.Opened(t, b)
		formula, err := f.GetCellFormula("horses", "A2")
		if err != nil || formula != "" {
			rt.Fatalf("%q became the formula %q (%v)", name, formula, err)
		}
		if kind, err := f.GetCellType("horses", "A2"); err != nil || kind == excelize.CellTypeFormula || kind == excelize.CellTypeError {
			rt.Fatalf("%q is of type %v (%v)", name, kind, err)
		}
	})
}

// Whatever is in the workbook stands in a cell as it was written, but for letters that no
// cell can hold.
func TestTextsComeBackFromTheWorkbook(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`( |\n|_x00[45][0-9F]|x0041|_|&|<|>|"|'|ä|½|a){0,12}`)).Draw(rt, "text")
		p := reporttest.Fixture()
		p.Horses, p.Findings = p.Horses[:1:1], nil
		p.Horses[0].Horse.Name = text
		b, err := Book(p, words.Meta{})
		if err != nil {
			rt.Fatal(err)
		}
		want := plainText(words.Proof(p).Horses[0].Horse.Name)
		if got := reporttest.Raw(t, reporttest.Opened(t, b), "horses", 1, 2); got != want {
			rt.Fatalf("%q came back as %q", want, got)
		}
	})
}
