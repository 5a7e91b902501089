package ingest

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

// One analysis written in any of the units a bag or a laboratory uses, as fed or
// in dry matter, is one analysis inside.
func TestAnalysisIsTheSameInEveryUnit(t *testing.T) {
	const mcal = 4.184
	rapid.Check(t, func(t *rapid.T) {
		dm := rapid.Float64Range(0.2, 0.98).Draw(t, "dry matter")
		de := rapid.Float64Range(1.2, 4).Draw(t, "DE")       // Mcal per kg DM
		cp := rapid.Float64Range(30, 400).Draw(t, "protein") // g per kg DM
		cu := rapid.Float64Range(2, 90).Draw(t, "copper")    // mg per kg DM
		var first yard.Composition
		for i, c := range []struct {
			de, cp, cu       string
			toDE, toCP, toCu float64
			basis            string
			share            float64
		}{
			{"DE (Mcal/kg)", "Protein (g/kg)", "Copper (mg/kg)", 1, 1, 1, "dry matter", 1},
			{"DE (MJ/kg)", "Protein %", "Copper (ppm)", mcal, 0.1, 1, "dry matter", 1},
			{"DE (MJ/kg)", "Protein (%)", "Copper (mg/kg)", mcal, 0.1, 1, "as fed", dm},
			{"DE (Mcal/kg)", "Protein (g/kg)", "Copper (g/kg)", 1, 1, 0.001, "as fed", dm},
			{"DE (Mcal/lb)", "Protein %", "Copper (ppm)", 0.45359237, 0.1, 1, "as fed", dm}, // the pound exactly, 1959 agreement
		} {
			text := fmt.Sprintf("Feed|Kind|DM %%|%s|%s|%s|Basis\nHay|hay|%.9f|%.9f|%.9f|%.9f|%s",
				c.de, c.cp, c.cu, dm*100, de*c.toDE*c.share, cp*c.toCP*c.share, cu*c.toCu*c.share, c.basis)
			w, err := Read("week.xlsx", workbook(t, tab{"horses", "Name|Weight (kg)\nFern|500"}, tab{"work", "Horse|Mon|Tue|Wed\nFern|rest|rest|rest"}, tab{"feeds", text}), Options{})
			if err != nil || len(w.Feeds) != 1 {
				t.Fatalf("%v, %d feeds", err, len(w.Feeds))
			}
			got := w.Feeds[0].Analysis
			if i == 0 {
				first = got
			}
			for name, pair := range map[string][2]yard.Num{"dry matter": {got.DM, yard.Known(dm)}, "energy": {got.DE, yard.Known(de)}, "protein": {got.CP, yard.Known(cp)}, "copper": {got.Cu, yard.Known(cu)}} {
				v, ok := pair[0].Get()
				if want := pair[1].Or(0); !ok || math.Abs(v-want) > 1e-5*(1+want) {
					t.Fatalf("%s, %s, %s, %s: %s %v, want %g", c.de, c.cp, c.cu, c.basis, name, pair[0], want)
				}
			}
			if math.Abs(got.CP.Or(0)-first.CP.Or(0)) > 1e-5*(1+cp) {
				t.Fatalf("protein %v, at first %v", got.CP, first.CP)
			}
		}
	})
}

// NIST Handbook 44, appendix C: a US liquid quart is 0.946 352 946 l, a US dry
// quart 1.101 220 942 715 l (from memory; reference feeds.md §2 has 1.1012).
func TestQuartsOfTwoKinds(t *testing.T) {
	for text, want := range map[string]float64{"scoop 3 qt": 2.839058838, "scoop 3 dry qt": 3.303662828, "scoop 3 dry quarts": 3.303662828} {
		y := plainYard()
		y[0].text = strings.Replace(y[0].text, "scoop 2 l", text, 1)
		w := read(t, y...)
		if got := w.Measures[0].Litres.Or(0); math.Abs(got-want) > 1e-6 {
			t.Errorf("%s is %v l, want %v", text, got, want)
		}
		if noted := len(findings(w, "measure-volume")) == 1; noted == strings.Contains(text, "dry") {
			t.Errorf("%s: note about the kind of quart: %v", text, noted)
		}
	}
}
