package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// analysisNote is the yard's note on what to have analysed; the zero finding where
// there is none.
func analysisNote(w yard.Week) yard.Finding {
	for _, f := range Plan(w, DefaultRules()).Findings {
		if f.Rule == "room-analysis" && f.Saying.Key != "finding.room-analysis.label" {
			return f
		}
	}
	return yard.Finding{}
}

func argOf(f yard.Finding, name string) yard.Value {
	for _, a := range f.Saying.Args {
		if a.Name == name {
			return a.Value
		}
	}
	return nil
}

// What to have analysed first is the forage that leaves most horses between short and
// over; once it is analysed the next one is named, and in the end none.
func TestTheForageToAnalyseFirst(t *testing.T) {
	w := smallYard(horse("Ruff", 500), horse("Knot", 500), horse("Dunlin", 500), horse("Godwit", 500))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Haylage"}, yard.Feed{Name: "Bought hay", Generic: "grass hay, mature"})
	for _, l := range []struct {
		horse, feed string
		kg          float64
	}{{"Ruff", "Hay", 10}, {"Knot", "Hay", 10}, {"Dunlin", "Haylage", 13}, {"Godwit", "Bought hay", 0.5}, {"Godwit", "Hay", 9}} {
		w.Lines = append(w.Lines, line(l.horse, l.feed, kilos(l.kg), kilos(l.kg)))
	}
	f := analysisNote(w)
	if f.Severity != yard.Note || argOf(f, "feed") != (yard.Text{Kind: yard.FeedName, Text: "Hay"}) || argOf(f, "n") != yard.Count("n", 3).Value {
		t.Fatalf("%+v", f)
	}
	analysed := func(i int, de float64) {
		w.Feeds[i].Analysis.DM, w.Feeds[i].Analysis.DE, w.Feeds[i].AnalysisFrom = yard.Known(0.86), yard.Known(de), "workbook: dry matter"
	}
	analysed(0, 2.0)
	if f = analysisNote(w); argOf(f, "feed") != (yard.Text{Kind: yard.FeedName, Text: "Haylage"}) || argOf(f, "horse") != (yard.Text{Kind: yard.HorseName, Text: "Dunlin"}) {
		t.Fatalf("with the hay analysed: %+v", f)
	}
	analysed(5, 2.2)
	if f = analysisNote(w); f.Rule != "" { // half a kilo decides nothing
		t.Fatalf("with both analysed: %+v", f)
	}
	// A pony with laminitis on hay whose sugar may be on either side of the mark.
	w.Feeds[0].Analysis.Starch = yard.Known(10)
	w.Feeds[0].Generic = "bermudagrass hay"
	w.Horses[0].Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitis"}}
	if f = analysisNote(w); f.Rule != "" {
		t.Fatalf("no spread of sugar is published for that hay: %+v", f)
	}
	w.Feeds[0].Generic, w.Feeds[0].Analysis.Starch = "oat chaff", yard.Num{}
	w.Feeds[0].Class = yard.Forage
	if f = analysisNote(w); f.Saying.Key != "finding.room-analysis.first.sugar" {
		t.Errorf("sugar of 4 to 25 %% of a horse with laminitis: %+v", f)
	}
}

// A made feed without its label's minerals is asked for once, the one most horses get;
// with a label nothing is asked, nor of plain feeds.
func TestTheLabelToCopyFirst(t *testing.T) {
	asked := func(w yard.Week) (feed string, horses yard.Value) {
		for _, f := range Plan(w, DefaultRules()).Findings {
			if f.Saying.Key == "finding.room-analysis.label" {
				return argOf(f, "feed").(yard.Text).Text, argOf(f, "n")
			}
		}
		return "", nil
	}
	w := smallYard(horse("Ruff", 500), horse("Knot", 500), horse("Dunlin", 500))
	mix := yard.Feed{Name: "House mix", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88), DE: yard.Known(2.8), Starch: yard.Known(150), Sugar: yard.Known(50)}, AnalysisFrom: "workbook: dry matter", MeasureKg: yard.Known(1)}
	w.Feeds = append(w.Feeds, mix)
	for _, n := range []string{"Ruff", "Knot", "Dunlin"} {
		w.Lines = append(w.Lines, line(n, "Hay", kilos(9), kilos(9)), line(n, "Oats", kilos(0.4), kilos(0.4)))
	}
	if feed, _ := asked(w); feed != "" {
		t.Errorf("oats and hay have no label, and %s is asked for", feed)
	}
	w.Lines = append(w.Lines, line("Ruff", "Cubes", kilos(1), kilos(1)), line("Knot", "House mix", kilos(1), kilos(1)), line("Dunlin", "House mix", kilos(1), kilos(1)))
	if feed, n := asked(w); feed != "House mix" || n != yard.Count("n", 2).Value {
		t.Errorf("the label of %q is asked for, of %v horses", feed, n)
	}
	for i := range w.Feeds {
		if f := &w.Feeds[i]; f.Class == yard.HardFeed { // a whole label
			for _, n := range yard.Constituents() {
				if n.Name != "dry matter" && n.Name != "digestible energy" && !n.Of(f.Analysis).IsKnown() {
					*n.In(&f.Analysis) = yard.Known(5)
				}
			}
		}
	}
	if feed, _ := asked(w); feed != "" {
		t.Errorf("every label is there, and that of %s is asked for", feed)
	}
}
