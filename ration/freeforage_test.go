package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// A horse that helps itself to more than one forage may eat the one with least calcium
// alone: what its bucket may make of that is the mark, not what it makes of the best. Where
// a forage is put down for it at meals, calcium is no longer left to the horse.
func TestCalciumGoesByTheWorstThatItHelpsItselfTo(t *testing.T) {
	t.Parallel()
	hay := func(name string, ca, p float64) yard.Feed {
		return yard.Feed{Name: name, Class: yard.Forage, Generic: "grass hay, mid-maturity", Analysis: yard.Composition{DM: yard.Known(0.88), DE: yard.Known(2), Ca: yard.Known(ca), P: yard.Known(p)}, AnalysisFrom: "workbook: dry matter"}
	}
	adLib := yard.Amount{Given: true, AdLib: true}
	for _, c := range []struct {
		what  string
		lines []yard.Line
		worst string // "": none
	}{
		{"both there all day", []yard.Line{line("Fern", "Good", adLib, nothing), line("Fern", "Poor", adLib, nothing)}, "Poor"},
		{"in the other order", []yard.Line{line("Fern", "Poor", adLib, nothing), line("Fern", "Good", adLib, nothing)}, "Poor"},
		{"the good one alone", []yard.Line{line("Fern", "Good", adLib, nothing)}, "Good"},
		{"the poor one all day and the good one at meals", []yard.Line{line("Fern", "Poor", adLib, nothing), line("Fern", "Good", kilos(4), nothing)}, ""},
		{"both at meals", []yard.Line{line("Fern", "Good", kilos(5), nothing), line("Fern", "Poor", kilos(4), nothing)}, ""},
		{"the good one planned no more", []yard.Line{line("Fern", "Poor", adLib, adLib), line("Fern", "Good", kilos(0), kilos(0))}, "Poor"},
	} {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Feeds = append(w.Feeds, hay("Good", 6, 2.5), hay("Poor", 2, 2.5))
		x, reasons := newHorseWeek(h, c.lines, newRoom(w, DefaultRules()), w, DefaultRules(), nil, nil)
		if len(reasons) > 0 {
			t.Fatal(reasons)
		}
		x.facts.readWeighings()
		base := x.dish.asWritten()
		m := x.chooser().newModel(base, make([][]float64, len(base)), false)
		got := ""
		for _, f := range m.asked.Feeds {
			got += f.Feed.Feed.Name
		}
		if got != c.worst {
			t.Errorf("%s: the mark goes by %q, want %q", c.what, got, c.worst)
		}
	}
}
