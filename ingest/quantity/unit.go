package quantity

import (
	"slices"

	"hardfeed/ingest/lexicon"
)

// Dimension is what a unit measures.
type Dimension int

const (
	Mass Dimension = iota + 1
	Volume
	Time
	Length
)

// unit is one unit of the tables: its dimension and how many of the unit used
// inside (kg, litre, minute, cm) it is.
type unit struct {
	of  Dimension
	per float64
}

// The pound, the ounce, the stone, the inch and the pints are exact by
// definition (International Yard and Pound Agreement 1959; UK Weights and
// Measures Act 1985, schedule 1; NIST Handbook 44, appendix C for the US liquid
// and dry quart). The German Pfund and the French livre are half a
// kilogram in speech (common practice, no source).
var units = map[string]unit{
	"kg": {Mass, 1}, "g": {Mass, 0.001}, "mg": {Mass, 1e-6}, "lb": {Mass, 0.45359237}, "oz": {Mass, 0.028349523125}, "st": {Mass, 6.35029318}, "Pfund": {Mass, 0.5}, "livre": {Mass, 0.5},
	"l": {Volume, 1}, "ml": {Volume, 0.001}, "qt": {Volume, 0.946352946}, "dry qt": {Volume, 1.101220942715}, "pt": {Volume, 0.56826125}, "gal": {Volume, 4.54609},
	"min": {Time, 1}, "h": {Time, 60},
	"cm": {Length, 1}, "in": {Length, 2.54}, "hh": {Length, 10.16}, "m": {Length, 100},
}

// KgPer is how many kilograms a unit of mass is.
func KgPer(key string) (float64, bool) {
	u, ok := units[key]
	return u.per, ok && u.of == Mass
}

// LitresPer is how many litres a unit of volume is.
func LitresPer(key string) (float64, bool) {
	u, ok := units[key]
	return u.per, ok && u.of == Volume
}

// ReadUnit finds the unit of one of the dimensions that is at token i, and
// how many tokens it takes.
func ReadUnit(t *lexicon.Table, toks []lexicon.Token, i int, of ...Dimension) (key string, n int) {
	if i >= len(toks) {
		return "", 0
	}
	senses, n := t.Senses(toks, i, "units")
	for _, s := range senses {
		if u, ok := units[s.Key]; ok && slices.Contains(of, u.of) {
			return s.Key, n
		}
	}
	return "", 0
}
