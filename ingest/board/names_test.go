package board

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// What is asked before a pattern is used must not hide what the pattern would find.
func TestNoTeamIsOverlooked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("ae ndutyY_.,/&+;:-–'é"))).Draw(t, "text")
		if between().MatchString(text) && !mayJoin(text) {
			t.Errorf("%q joins two names", text)
		}
	})
	for _, text := range []string{"Ash and Elm", "Ash y Elm", "Ash – Elm", "Ash.und.Elm"} {
		if !mayJoin(text) {
			t.Errorf("%q joins two names", text)
		}
	}
	for _, text := range []string{"Andy", "Old Betty", "St. George's Boy"} {
		if mayJoin(text) {
			t.Errorf("%q is one name", text)
		}
	}
}

// What is tried on a sheet leaves no trace of what it made of the cells.
func TestTryLeavesTheCellsAsTheyWere(t *testing.T) {
	d := newSheet(Sheet{Cells: []Cell{{Row: 1, Col: 1}, {Row: 1, Col: 2}, {Row: 1, Col: 3}}})
	a, b, c := grid{page: d}.at(1, 1), grid{page: d}.at(1, 2), grid{page: d}.at(1, 3)
	d.mark(a, "label", "before")
	d.try(func() {
		d.remark(a, "used", "tried")
		d.remark(a, "used", "tried again")
		d.mark(b, "used", "tried")
	})
	if a.fate.what != "label" || !b.free() || !c.free() {
		t.Errorf("%+v, %v, %v", a.fate, b.free(), c.free())
	}
	d.mark(b, "used", "in earnest")
	d.try(func() { d.mark(c, "used", "tried") })
	if b.free() || !c.free() {
		t.Error("what was taken back is not what was tried last")
	}
}

// A band of horses that is beside another, and says its headings again, is found once.
func TestBandsThatSayTheirHeadingsAgain(t *testing.T) {
	cells := []Cell{}
	for _, col := range []int{2, 6, 10} {
		for i, text := range []string{"Weight", "Feed", "Notes"} {
			cells = append(cells, Cell{Row: 1, Col: col + i, Kind: Text, Text: text})
		}
	}
	p := newPages([]Sheet{{Name: "Week", Cells: cells}})
	g := grid{page: p.sheets[0]}
	find := tableFinder{words: p.words, lang: p.lang, heads: p.heads, who: newNames(p.words, p.lang), effort: p.heads.effort}
	if got := find.bandsAgain(p.heads.headRow(g, 1), g, []int{1}); !slices.Equal(got, []int{1, 5, 9}) {
		t.Errorf("bands begin in the columns %v", got)
	}
}

// A text is only asked for months where three letters in a row begin one.
func TestMonthsAreLongEnoughToBeLookedFor(t *testing.T) {
	v := newVocabulary()
	for lang, months := range v.months {
		for name := range months {
			v.language = lang
			if !v.mayNameMonth("hack on 7 " + name) {
				t.Errorf("%s: %q is not seen", lang, name)
			}
		}
	}
	if v.language = "en"; v.mayNameMonth("hack at 7 on sand") {
		t.Error("a text without a month may name one")
	}
}
