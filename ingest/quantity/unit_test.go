package quantity

import (
	"testing"

	"hardfeed/ingest/lexicon"
)

// A unit counts where it measures what is asked for and nowhere else: an hour is no weight,
// a litre no mass, and what nobody knows is neither. Source: the definitions beside the table.
func TestAUnitCountsInItsOwnDimension(t *testing.T) {
	for _, c := range []struct {
		key        string
		kg, litres float64 // 0: none
	}{
		{"kg", 1, 0}, {"g", 0.001, 0}, {"lb", 0.45359237, 0}, {"st", 6.35029318, 0}, {"l", 0, 1}, {"pt", 0, 0.56826125},
		{"h", 0, 0}, {"cm", 0, 0}, {"hh", 0, 0}, {"scoop", 0, 0}, {"", 0, 0},
	} {
		if kg, ok := KgPer(c.key); ok != (c.kg > 0) || ok && kg != c.kg {
			t.Errorf("%q: %v kg, %v; want %v", c.key, kg, ok, c.kg)
		}
		if l, ok := LitresPer(c.key); ok != (c.litres > 0) || ok && l != c.litres {
			t.Errorf("%q: %v l, %v; want %v", c.key, l, ok, c.litres)
		}
	}
	for _, c := range []struct {
		text string
		of   []Dimension
		key  string
	}{
		{"kg", []Dimension{Mass}, "kg"}, {"kg", []Dimension{Volume, Mass}, "kg"}, {"kg", []Dimension{Volume}, ""},
		{"h", []Dimension{Time}, "h"}, {"h", []Dimension{Mass, Volume}, ""}, {"litres", []Dimension{Volume}, "l"}, {"litres", []Dimension{Mass, Time, Length}, ""},
		{"cm", []Dimension{Length}, "cm"}, {"cm", []Dimension{Mass}, ""}, {"barley", []Dimension{Mass, Volume, Time, Length}, ""}, {"", []Dimension{Mass}, ""},
	} {
		toks := lexicon.Scan(c.text)
		if key, n := ReadUnit(all, toks, 0, c.of...); key != c.key || (n > 0) != (c.key != "") {
			t.Errorf("%q as %v: %q, %d words; want %q", c.text, c.of, key, n, c.key)
		}
	}
}
