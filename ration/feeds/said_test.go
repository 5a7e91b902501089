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
		{yard.Feed{Name: "Soaked beet pulp", Analysis: dm(0.2)}, "feed-soaked", yard.Note, `"Soaked beet pulp" has 20 % dry matter on the feeds sheet, so its amounts and its measure are taken as weighed after soaking`},
		{yard.Feed{Name: "Soaked beet pulp", Analysis: dm(0.5)}, "feed-soaked", yard.Note, `amounts and the measure of "Soaked beet pulp" are taken as dry weight, before the water goes on; weigh it dry, or give the dry matter of the soaked feed`},
		{yard.Feed{Name: "Soaked beet pulp"}, "feed-soaked", yard.Note, `amounts and the measure of "Soaked beet pulp" are taken as dry weight, before the water goes on; weigh it dry, or give the dry matter of the soaked feed`},
		{yard.Feed{Name: "Beet pulp"}, "feed-soaked", 0, ""},
		{yard.Feed{Name: "Number 7", Generic: "barly"}, "feed-generic", yard.Warn, `"Number 7" is said to be "barly", which is not in the table of generic feeds; is it "barley"?`},
		{yard.Feed{Name: "Number 7", Generic: "moon dust"}, "feed-generic", yard.Warn, `"Number 7" is said to be "moon dust", which is not in the table of generic feeds; of a made feed copy the analysis from the bag to the feeds sheet, of a plain one write its plain name, such as oats, barley, grass hay or beet pulp`},
		{yard.Feed{Name: "Number 7"}, "feed-kind", yard.Warn, `the kind of "Number 7" is not known (forage, hard feed, chaff, oil, salt, supplement or succulent): it is counted as hard feed; fill in the Kind column`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88), DE: yard.Known(13)}}, "feed-energy", yard.Warn,
			`the energy given for "Mix" comes to 13.00 Mcal (54.4 MJ) DE per kg of dry matter, and only 1 to 6 Mcal is believed: it is not used; is it Mcal where the heading says MJ, or the other way about?`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88), ADF: yard.Known(100), Fat: yard.Known(40)}}, "feed-energy", yard.Note,
			`no energy was given for "Mix": 3.52 Mcal DE per kg of dry matter is taken, an estimate from ADF 10.0 %; fill in DE if you have it`},
		{yard.Feed{Name: "Mix", Class: yard.HardFeed, MeasureKg: yard.Known(13.124)}, "measure-density", yard.Stop,
			`one scoop of Mix is said to weigh 13.12 kg, and of 2 l only 0.2 to 3 kg is believed: the weight is not used; weigh it again, and check the unit (g or kg) and what the yard sheet says of the scoop`},
		{yard.Feed{Name: "Chop", Class: yard.Chaff, MeasureKg: yard.Known(0.05)}, "measure-density", yard.Stop,
			`one scoop of Chop is said to weigh 0.05 kg, and of 2 l only 0.06 to 3 kg is believed: the weight is not used; weigh it again, and check the unit (g or kg) and what the yard sheet says of the scoop`},
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
