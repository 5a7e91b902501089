package phrase

import (
	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// NumberAt finds the first number of a value that is in a part of a text.
func (w *Words) NumberAt(text string, in Span, value float64) (quantity.Number, bool) {
	toks := lexicon.Scan(text)
	for i := range toks {
		if toks[i].Start < in.Start || toks[i].End > in.End {
			continue
		}
		if n, k := quantity.ReadNumber(w.t, toks, i); k > 0 && exact(n.Value) == exact(value) && n.End <= in.End {
			return n, true
		}
	}
	return quantity.Number{}, false
}

// FirstNumber is the value of the first number of a text.
func (w *Words) FirstNumber(text string) (float64, bool) {
	toks := lexicon.Scan(text)
	for i := range toks {
		if n, k := quantity.ReadNumber(w.t, toks, i); k > 0 {
			return n.Value, true
		}
	}
	return 0, false
}
