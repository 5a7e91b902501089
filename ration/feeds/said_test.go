package feeds

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// What is said of a feed, word for word.
func TestWhatIsSaidOfAFeed(t *testing.T) {
	dm := func(v float64) yard.Composition { return yard.Composition{DM: yard.Known(v)} }
	scoop := []yard.Measure{{Name: "scoop", Litres: yard.Known(2)}}
	for _, c := range []struct {
		f    yard.Feed
		rule yard.RuleID
		sev  yard.Severity
		want string // "": nothing of the rule
	}{
		{yard.Feed{Name: "Soaked beet pulp", Analysis: dm(0.2)}, "feed-soaked", yard.Note, `"Soaked beet pulp" has 20 % dry matter on the feeds sheet, so its amounts and its scoop count as weighed after soaking.`},
		{yard.Feed{Name: "Soaked beet pulp", Analysis: dm(0.5)}, "feed-soaked", yard.Note, `We count "Soaked beet pulp" by its dry weight, before the water goes on. Weigh it dry, or give the dry matter of the soaked feed.`},
		{yard.Feed{Name: "Soaked beet pulp"}, "feed-soaked", yard.Note, `We count "Soaked beet pulp" by its dry weight, before the water goes on. Weigh it dry, or give the dry matter of the soaked feed.`},
		{yard.Feed{Name: "Beet pulp"}, "feed-soaked", 0, ""},
		{yard.Feed{Name: "Number 7", Generic: "barly"}, "feed-generic", yard.Warn, `"Number 7" is described as "barly", which we don't know. Do you mean "barley"?`},
		{yard.Feed{Name: "Number 7", Generic: "moon dust"}, "feed-generic", yard.Warn, `"Number 7" is described as "moon dust", which we don't know. Copy the analysis from the bag to the feeds sheet. For a plain feed write its plain name, such as oats, barley, grass hay or beet pulp.`},
		{yard.Feed{Name: "Number 7"}, "feed-kind", yard.Warn, `We don't know what kind of feed "Number 7" is, so it counts as hard feed. Fill in Kind, such as forage, hard feed, chaff, oil, salt, supplement or succulent.`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88), DE: yard.Known(13)}}, "feed-energy", yard.Warn,
			`The energy given for "Mix" can't be right. It comes to 13 Mcal (54.4 MJ) per kg of dry matter, and 1 to 6 Mcal would fit. It is not used. Look at the unit in the heading, MJ or Mcal.`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88), ADF: yard.Known(100), Fat: yard.Known(40)}}, "feed-energy", yard.Note,
			`Nobody has given the energy of "Mix". We use an estimate of 3.52 Mcal per kg of dry matter. Fill in DE if you have it.`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, MeasureKg: yard.Known(13.124)}, "measure-density", yard.Stop,
			`The weight of one scoop of Mix looks wrong. It says 13.12 kg, and 2 l should weigh 0.2 to 3 kg. It is not used. Weigh one again, and check the unit and the size on the yard sheet.`},
		{yard.Feed{Name: "Chop", Class: yard.Chaff, MeasureKg: yard.Known(0.05)}, "measure-density", yard.Stop,
			`The weight of one scoop of Chop looks wrong. It says 0.05 kg, and 2 l should weigh 0.06 to 3 kg. It is not used. Weigh one again, and check the unit and the size on the yard sheet.`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, MeasureKg: yard.Known(3)}, "measure-density", 0, ""},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, MeasureKg: yard.Known(0.2)}, "measure-density", 0, ""},
	} {
		_, found := Load().Resolve(c.f, scoop)
		var sev yard.Severity
		said := ""
		for _, f := range found {
			if f.Rule == c.rule {
				sev, said = f.Severity, words.Message(f)
			}
		}
		if said != c.want || sev != c.sev {
			t.Errorf("%s: %v, %s\nwant %v, %s", c.f.Name, sev, said, c.sev, c.want)
		}
	}
}

// Source: feeds §3.9 (a discussion-list post): crude fibre on the tag and the middle
// of the energy's range, straight lines between; fat above 4 % adds 9 Mcal a kg.
func TestEnergyByTheTag(t *testing.T) {
	of := func(fibre, fat float64) (float64, bool) {
		e, ok := EstimateDE(yard.HardFeed, yard.Composition{CrudeFibre: yard.Known(fibre * 10), Fat: yard.Known(fat * 10)}, false)
		return e.McalPerKgDM, ok
	}
	for _, c := range []struct{ fibre, fat, want float64 }{
		{4, 4, 3.6}, {6, 3, 3.4}, {8, 2, 3.2}, {10, 4, 3.0}, {12, 4, 2.75}, {15.5, 4, 2.575}, {19, 4, 2.4}, {24, 4, 2.2}, {26, 4, 2.1}, {28, 4, 2.0}, {29, 4, 1.8}, {30, 4, 1.6}, {10, 7, 3.27},
	} {
		if got, ok := of(c.fibre, c.fat); !ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%g %% fibre and %g %% fat: %.4f (%v), want %.3f", c.fibre, c.fat, got, ok, c.want)
		}
	}
	for _, fibre := range []float64{3.9, 30.1} {
		if _, ok := of(fibre, 4); ok {
			t.Errorf("%g %% fibre lies outside what the table holds for", fibre)
		}
	}
	for what, c := range map[string]yard.Composition{"no fat": {CrudeFibre: yard.Known(100)}, "no fibre": {Fat: yard.Known(40)}} {
		if e, ok := EstimateDE(yard.HardFeed, c, false); ok {
			t.Errorf("%s known, and yet %v", what, e)
		}
	}
}
