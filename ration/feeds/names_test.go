package feeds

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// A feed written in the yard's own language is what it is in English: common
// practice, no source.
func TestFeedsAreKnownByTheirNamesInFourLanguages(t *testing.T) {
	table := Load()
	for name, want := range map[string]string{
		"Hafer": "oats", "hafer gequetscht": "oats", "Quetschhafer": "oats", "avoine aplatie": "oats", "avena": "oats",
		"orge": "barley", "cebada en copos": "barley", "Gerste": "barley", "son de blé": "wheat bran", "Heu": "grass hay, mid-maturity",
		"foin": "grass hay, mid-maturity", "paja": "wheat straw", "Haferstroh": "oat straw", "Leinöl": "vegetable oil", "maïs": "maize",
		"pulpe de betterave": "beet pulp, unmolassed", "Weide": "grass pasture", "luzerne déshydratée": "lucerne pellets",
	} {
		if g, ok := table.Lookup(name); !ok || g.Name != want {
			t.Errorf("%s: %q, want %s", name, g.Name, want)
		}
	}
}

func TestCerealsAreToldByTheirNamesInFourLanguages(t *testing.T) {
	for name, want := range map[string]bool{
		"Hafer-Gerste-Mix": true, "Sporthafer": true, "mélange orge et avoine": true, "mezcla con avena": true, "oat mix": true, "Dinkelmüsli": true, "Mais": true,
		"Haferstroh": false, "getreidefrei": false, "Müsli haferfrei": false, "paille d'avoine": false, "sin avena": false, "pulpe": false, "Maiskeimöl": false, "oat straw chop": false,
		"Gerstenheu": false, "cubes": false, "sans céréales": false, "ohne Hafer": false,
	} {
		if got := cereal.saidIn(name); got != want {
			t.Errorf("%s: a cereal is %v, want %v", name, got, want)
		}
	}
}

// What a feed is goes by its kind, or by the words of its name in four languages: common
// practice, no source.
func TestFeedsAreToldByPropertiesNotByOneName(t *testing.T) {
	table := Load()
	is := map[string]func(Resolved) bool{
		"balancer": func(k Resolved) bool { return k.Balancer }, "beet pulp": func(k Resolved) bool { return k.BeetPulp }, "haylage": func(k Resolved) bool { return k.Haylage },
		"pelleted": func(k Resolved) bool { return k.Pelleted }, "soaked": func(k Resolved) bool { return k.Soaked }, "steamed": func(k Resolved) bool { return k.Steamed },
		"oats": func(k Resolved) bool { return k.IsOats }, "maize": func(k Resolved) bool { return k.Maize }, "straw": func(k Resolved) bool { return k.Straw }, "cereal": func(k Resolved) bool { return k.Cereal },
	}
	for _, c := range []struct {
		f    yard.Feed
		want []string
	}{
		{yard.Feed{Name: "Stud balancer", Class: yard.HardFeed}, []string{"balancer"}},
		{yard.Feed{Name: "Grün", Generic: "Ausgleichsfutter", Class: yard.HardFeed}, []string{"balancer"}},
		{yard.Feed{Name: "équilibreur", Class: yard.HardFeed}, []string{"balancer"}},
		{yard.Feed{Name: "Rübenschnitzel"}, []string{"beet pulp"}},
		{yard.Feed{Name: "pulpe de betterave"}, []string{"beet pulp"}},
		{yard.Feed{Name: "Quick", Generic: "beet pulp"}, []string{"beet pulp"}},
		{yard.Feed{Name: "Beetroot"}, nil},
		{yard.Feed{Name: "soya hulls"}, nil},
		{yard.Feed{Name: "Heulage", Class: yard.Forage}, []string{"haylage"}},
		{yard.Feed{Name: "enrubanné", Class: yard.Forage}, []string{"haylage"}},
		{yard.Feed{Name: "Big bale", Generic: "haylage"}, []string{"haylage"}},
		{yard.Feed{Name: "Sianokiszonka", Class: yard.Forage}, []string{"haylage"}},
		{yard.Feed{Name: "Heno henificado", Class: yard.Forage}, nil}, // dried on the field: hay
		{yard.Feed{Name: "Wysłodki buraczane", Class: yard.HardFeed}, []string{"beet pulp"}},
		{yard.Feed{Name: "Granulat dla koni", Class: yard.HardFeed}, []string{"pelleted"}},
		{yard.Feed{Name: "Pferdepellets", Class: yard.HardFeed}, []string{"pelleted"}},
		{yard.Feed{Name: "Racehorse nuts", Class: yard.HardFeed}, []string{"pelleted"}},
		{yard.Feed{Name: "Nutritious mash", Class: yard.HardFeed}, nil},
		{yard.Feed{Name: "Rolled oats"}, []string{"cereal", "oats"}},
		{yard.Feed{Name: "Naked oats"}, []string{"cereal"}},
		{yard.Feed{Name: "flaked maize"}, []string{"cereal", "maize"}},
		{yard.Feed{Name: "wheat bran"}, []string{"cereal"}},
		{yard.Feed{Name: "Oat straw"}, []string{"straw"}},
		{yard.Feed{Name: "heno remojado"}, []string{"soaked"}},
		{yard.Feed{Name: "Steamed meadow hay"}, []string{"steamed"}},
		{yard.Feed{Name: "Heu bedampft"}, []string{"steamed"}},
		{yard.Feed{Name: "steamed barley"}, []string{"cereal"}},
	} {
		k, _ := table.Resolve(c.f, nil)
		want := map[string]bool{}
		for _, w := range c.want {
			want[w] = true
		}
		for what, has := range is {
			if has(k) != want[what] {
				t.Errorf("%+v: %s is %v", c.f, what, has(k))
			}
		}
	}
}

// Steam takes 0 to 18 % of the sugar and leaves the minerals and the dry weight (from
// memory; evidence HY-30 found no figure): none of the loss is counted on.
func TestSteamedHayKeepsItsSugarForCertain(t *testing.T) {
	table := Load()
	dry, _ := table.Resolve(yard.Feed{Name: "Meadow hay"}, nil)
	k, found := table.Resolve(yard.Feed{Name: "Steamed meadow hay"}, nil)
	if got := k.LowEnd().Sugar.Or(0) / dry.LowEnd().Sugar.Or(1); math.Abs(got-0.82) > 1e-9 || k.HighEnd() != dry.HighEnd() || k.Composition != dry.Composition || k.LowEnd().K != dry.LowEnd().K || k.LowEnd().DM != dry.LowEnd().DM {
		t.Errorf("low end %.3f; high end %+v, dry %+v", got, k.HighEnd(), dry.HighEnd())
	}
	if len(found) != 1 || found[0].Rule != "feed-soaked" || found[0].Severity != yard.Note || found[0].Saying.Key != "finding.feed-soaked.steamed" {
		t.Errorf("%v", found)
	}
	own, found := table.Resolve(yard.Feed{Name: "Steamed meadow hay", Analysis: yard.Composition{DM: yard.Known(0.75), Sugar: yard.Known(90)}, AnalysisFrom: "workbook: dry matter"}, nil)
	if own.LowEnd().Sugar != yard.Known(90) || own.HighEnd().Sugar != yard.Known(90) || own.LowEnd().DM != yard.Known(0.75) || len(found) != 0 {
		t.Errorf("analysed as it is fed: %+v, %v", own.LowEnd(), found)
	}
}

// What is soaked or steamed by its name or by a note on the horse, whatever the form of the
// word: common practice, no source.
func TestWettedFeedsAndHayAreTold(t *testing.T) {
	for name, want := range map[string]bool{
		"Presoaked beet": true, "Heu, frisch gewässert": true, "foin trempé": true, "heno remojado": true, "siano moczone": true, "feno molhado": true,
		"Meadow hay": false, "Cubes": false, "Heu": false,
	} {
		k, _ := Load().Resolve(yard.Feed{Name: name}, nil)
		if k.Wetted != want {
			t.Errorf("%s: wetted is %v", name, k.Wetted)
		}
	}
	for note, want := range map[string]bool{
		"heaves; hay soaked": true, "steam all hay": true, "Heu bedampfen": true, "foin mouillé": true, "heno mojado": true, "siano moczone": true, "feno molhado": true,
		"feet soaked daily": false, "hay in a net": false, "": false,
	} {
		if got := SaysHayIsWetted(note); got != want {
			t.Errorf("%q: %v", note, got)
		}
	}
}
