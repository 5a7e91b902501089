package report

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestAmountsInWords(t *testing.T) {
	for _, c := range []struct {
		s            yard.Serving
		imperial     bool
		words, aside string
	}{
		{reporttest.Serving{Kg: 1.25, Measure: "scoop", Measures: reporttest.Num(2.5)}, false, "2½ scoops", "1.25 kg"},
		{reporttest.Serving{Kg: 0.25, Measure: "scoop", Measures: reporttest.Num(0.5)}, false, "½ scoop", "250 g"},
		{reporttest.Serving{Kg: 0.5, Measure: "scoop", Measures: reporttest.Num(1)}, true, "1 scoop", "1.1 lb"},
		{reporttest.Serving{Kg: 0.37, Measure: "scoop", Measures: reporttest.Num(0.68), Weigh: true}, false, "370 g", "about 0.7 scoop"},
		{reporttest.Serving{Kg: 0.02, Measure: "scoop", Measures: reporttest.Num(0.02), Weigh: true}, false, "20 g", ""},
		{reporttest.Serving{Kg: 3.5, Class: yard.Forage}, false, "3.5 kg", ""},
		{reporttest.Serving{Kg: 3.5, Class: yard.Forage}, true, "7.7 lb", ""}, // the yard's own unit, and no other
		{reporttest.Serving{Kg: 0.37, Measure: "scoop", Measures: reporttest.Num(0.68), Weigh: true}, true, "13.1 oz", "about 0.7 scoop"},
		{reporttest.Serving{Kg: 0.025, Class: yard.Salt}, true, "0.9 oz", ""},
		{reporttest.Serving{Kg: 11, Class: yard.Forage, AdLib: true}, true, "ad lib", ""},
		{reporttest.Serving{Kg: 9.1, Class: yard.Forage, AdLib: true, Grazed: reporttest.Num(4.5)}, false, "4.5 h", ""}, // never "ad lib": that is out all day
		{reporttest.Serving{Kg: 0.046, Class: yard.Oil, Ml: reporttest.Num(50)}, false, "50 ml", ""},
		{reporttest.Serving{Kg: 0.025, Class: yard.Salt}, false, "25 g", ""},
		{reporttest.Serving{Kg: 0.15, Class: yard.Supplement}, false, "150 g", ""},
		{reporttest.Serving{Kg: 0.08, Class: yard.HardFeed, Measure: "scoop"}, false, "80 g", ""},
		{reporttest.Serving{Kg: 0, Measure: "scoop", Measures: reporttest.Num(0)}, false, "none", ""},
		{reporttest.Serving{Kg: 0.9997, Class: yard.HardFeed}, false, "1 kg", ""}, // not 1000 g
		{reporttest.Serving{Kg: 1.475, Weigh: true}, false, "1.475 kg", ""},       // what the scale must show
		{reporttest.Serving{Kg: 0.0025, Class: yard.Supplement}, false, "2.5 g", ""},
		{reporttest.Serving{Kg: 0.625, Class: yard.HardFeed}, false, "625 g", ""},
	} {
		a := words.English().AmountOf(c.s, c.imperial)
		if got := strings.ReplaceAll(a.String(), words.NoBreak, " "); got != c.words {
			t.Errorf("%+v reads %q, want %q", c.s, got, c.words)
		}
		if got := strings.ReplaceAll(a.Aside, words.NoBreak, " "); got != c.aside {
			t.Errorf("%+v: beside it %q, want %q", c.s, got, c.aside)
		}
	}
}
