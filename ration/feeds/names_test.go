package feeds

import "testing"

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
		if got := cerealByName(name); got != want {
			t.Errorf("%s: a cereal is %v, want %v", name, got, want)
		}
	}
}
