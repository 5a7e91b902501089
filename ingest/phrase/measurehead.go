package phrase

import (
	"cmp"
	"slices"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// headingSections are the words that may stand in a heading, so that the longest phrase
// counts: "scoop" alone is a measure, "1 scoop" what one weighs.
var headingSections = []string{"columns", "stages", "meals", "feeds", "measures", "units", "weekdays", "week", "times", "qualifiers", "marks"}

// MeasureHeading reads the heading of a column of what one measure weighs: "1 scoop
// (kg)", "Poids mesure kg", "Gewicht je Schaufel". It gives the measure, and the unit of
// the weights or "" where none is said. A heading with a feed in it is none.
func (w *Words) MeasureHeading(text string) (measure, unit string, ok bool) {
	if len(text) > LongestCell {
		return "", "", false
	}
	toks := lexicon.Scan(text)
	brackets, isMeasure := 0, false
	for i := 0; i < len(toks); {
		switch toks[i].Text {
		case "(", "[":
			brackets++
		case ")", "]":
			brackets--
		}
		if toks[i].Kind == lexicon.Mark && toks[i].Text != "/" { // "'" is not a minute here
			i++
			continue
		}
		senses, n := w.t.Senses(toks, i, headingSections...)
		if n == 1 && toks[i].Kind == lexicon.Word && toks[i].End-toks[i].Start == 1 && len(toks) > 1 { // a letter among words
			senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return s.Section != "units" })
		}
		for _, s := range senses {
			switch s.Section {
			case "feeds":
				return "", "", false
			case "columns":
				if s.Key == "scoop weight" && brackets <= 0 {
					ok = true
					m, u := w.measureIn(toks[i : i+n])
					measure, unit = cmp.Or(m, measure), cmp.Or(u, unit)
				}
			case "measures", "units":
				// The first unit said, but a measure in words before others.
				if m := s.Section == "measures"; unit == "" || m && !isMeasure {
					unit, isMeasure = s.Key, m
				}
			}
		}
		i += max(1, n)
	}
	if !ok || measure == "" {
		return "", "", false
	}
	if _, mass := quantity.KgPer(unit); !mass {
		unit = ""
	}
	return measure, unit, true
}

// measureIn is the last measure or unit that a phrase speaks of, and the unit of mass in
// it: "lb per scoop".
func (w *Words) measureIn(toks []lexicon.Token) (measure, mass string) {
	for k := range toks {
		if m, n := w.t.Match(toks, k, "measures", "units"); n > 0 {
			measure = m.Key
		}
		if u, n := quantity.ReadUnit(w.t, toks, k, quantity.Mass); n > 0 {
			mass = u
		}
	}
	return measure, mass
}
