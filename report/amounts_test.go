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

// A row that is weighed in grams on some days and in kilos on others is in grams on all:
// 750 beside 1.5 is taken for the more. What is counted, and what is heavy, stays.
func TestARowIsInOneUnit(t *testing.T) {
	weighed := func(kg ...float64) (out []reporttest.Serving) {
		for i, v := range kg {
			out = append(out, reporttest.Serving{Kg: yard.KgFed(v), Weigh: true, Measure: "scoop", From: yard.Weekday(i)})
		}
		return out
	}
	for _, c := range []struct {
		why      string
		imperial bool
		servings []reporttest.Serving
		want     string
	}{
		{"all under a kilo", false, weighed(0.25, 0.5), "250 g, 500 g"},
		{"all over", false, weighed(1.25, 1.5), "1.25 kg, 1.5 kg"},
		{"both", false, weighed(0.75, 1.25, 1), "750 g, 1250 g, 1000 g"},
		{"heavy", false, weighed(0.75, 6.25), "750 g, 6.25 kg"},
		{"ounces and pounds", true, weighed(0.25, 0.5), "8.8 oz, 17.6 oz"},
		{"a measure among them", false, append(weighed(0.75, 1.25), reporttest.ScoopsOf(yard.WorkDay, "", "", 1.5, 1, 2)), "750 g, 1250 g, 1½ scoops"},
	} {
		s := words.New(yard.Plan{Week: yard.Week{Imperial: c.imperial}}, words.Meta{})
		var r words.Row
		for day := range r.Days {
			v := &c.servings[min(day, len(c.servings)-1)]
			r.Days[day] = words.Entry{Amount: s.AmountOf(*v), Serving: v}
		}
		s.InOneUnit(&r)
		var got []string
		for day := range c.servings {
			got = append(got, strings.ReplaceAll(r.Days[day].String(), words.NoBreak, " "))
		}
		if all := strings.Join(got, ", "); all != c.want {
			t.Errorf("%s: %s, want %s", c.why, all, c.want)
		}
	}
}
