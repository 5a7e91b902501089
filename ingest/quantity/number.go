package quantity

import (
	"math"
	"strconv"

	"hardfeed/ingest/lexicon"
)

// Number is a number as it is in a text.
type Number struct {
	lexicon.Span
	Value float64
	Other float64 // its second reading ("1,250"), else 0
	High  float64 // the upper end of a range ("½–1", "1 or 2"), else 0
	Word  bool    // written as a word
	Plus  int     // +1 for "+½", -1 for "-½", 0 without a sign
}

// IsRange says whether it is two numbers, a lower and an upper one.
func (n Number) IsRange() bool { return n.High != 0 }

// ReadNumber reads the number that is at token i, in figures, fractions or
// words ("1½", "1 and a half", "anderthalb", "half a"), and says how many
// tokens it takes; 0 where there is none. It takes no sign and no range.
func ReadNumber(t *lexicon.Table, toks []lexicon.Token, i int) (Number, int) {
	if i >= len(toks) {
		return Number{}, 0
	}
	tok := toks[i]
	if tok.Kind == lexicon.Number {
		if math.IsNaN(tok.Value) {
			return Number{}, 0
		}
		n := Number{Span: tok.Span, Value: tok.Value, Other: tok.Other}
		if v, k := apostrophe(toks, i); k > 0 {
			return Number{Span: span(toks, i, k), Value: v}, k
		}
		// "1 and a half", "1 et demi", "1 & 1/2"
		if tok.Whole {
			if _, j := t.Match(toks, i+1, "number joins"); j > 0 && isFraction(toks, i+1+j) {
				n.Value, n.End = n.Value+toks[i+1+j].Value, toks[i+1+j].End
				return n, 2 + j
			}
			if f, m := ReadAndFraction(t, toks, i+1); m > 0 {
				n.Value, n.End = n.Value+f, toks[i+m].End
				return n, 1 + m
			}
		}
		// "3 quarters", where the table has it as one phrase
		if s, m := t.Match(toks, i, "numbers"); m > 1 {
			if v, err := strconv.ParseFloat(s.Key, 64); err == nil {
				return Number{Span: span(toks, i, m), Value: v, Word: true}, m
			}
		}
		return n, 1
	}
	if tok.Kind != lexicon.Word {
		return Number{}, 0
	}
	s, m := t.Match(toks, i, "numbers")
	if m == 0 {
		a, k := t.Match(toks, i, "articles")
		if k == 0 {
			return Number{}, 0
		}
		// An article is a number only before something that is counted.
		if _, u := t.Match(toks, i+k, "units", "measures", "vague"); u == 0 {
			return Number{}, 0
		}
		s, m = a, k
	}
	v, err := strconv.ParseFloat(s.Key, 64)
	if err != nil {
		return Number{}, 0
	}
	n := Number{Span: span(toks, i, m), Value: v, Word: true}
	if v == math.Trunc(v) {
		if f, k := ReadAndFraction(t, toks, i+m); k > 0 {
			n.Value, n.End = n.Value+f, toks[i+m+k-1].End
			m += k
		}
	}
	return n, m
}

// isFraction says whether a fraction in figures is at token i: ½, 1/2.
func isFraction(toks []lexicon.Token, i int) bool {
	return i < len(toks) && toks[i].Kind == lexicon.Number && !toks[i].Whole && toks[i].Value > 0 && toks[i].Value < 1
}

// apostrophe reads a decimal mark of Spain: "1'5", "2'25". Two figures behind it
// may only be quarters: "5'30" is minutes and seconds.
func apostrophe(toks []lexicon.Token, i int) (float64, int) {
	if i+2 >= len(toks) || !toks[i].Whole || toks[i+1].Text != "'" || !toks[i+1].Glued || !toks[i+2].Whole || !toks[i+2].Glued {
		return 0, 0
	}
	switch low := toks[i+2]; {
	case low.End-low.Start == 1:
		return toks[i].Value + low.Value/10, 3
	case low.End-low.Start == 2 && (low.Value == 25 || low.Value == 50 || low.Value == 75):
		return toks[i].Value + low.Value/100, 3
	}
	return 0, 0
}

// Behind reads the figures that stand right behind a unit and belong before it: the
// half litre of "1l5", the half kilo of "1kg500", the ounces of "2lb4" and "2 lb 4",
// and "1 litre 1/2". more is in the unit.
func Behind(t *lexicon.Table, toks []lexicon.Token, i int, unit string) (more float64, n int) {
	if i >= len(toks) || toks[i].Kind != lexicon.Number {
		return 0, 0
	}
	tok := toks[i]
	// Nothing that makes it an amount of its own may follow.
	if _, k := ReadUnit(t, toks, i+1, Mass, Volume, Time); k > 0 {
		return 0, 0
	}
	if _, k := t.Match(toks, i+1, "measures", "vague"); k > 0 {
		return 0, 0
	}
	switch glued := tok.Glued && i > 0 && toks[i-1].Glued; {
	case isFraction(toks, i):
		return tok.Value, 1
	case !tok.Whole:
	case unit == "lb" && tok.Value < 16 && tok.End-tok.Start <= 2 && i+1 >= len(toks):
		return tok.Value / 16, 1
	case glued && unit != "lb" && unit != "oz" && unit != "st" && tok.End-tok.Start <= 3:
		return tok.Value / math.Pow10(tok.End-tok.Start), 1
	}
	return 0, 0
}

// ReadAndFraction reads "and a half" from token i on, and how many tokens it takes.
func ReadAndFraction(t *lexicon.Table, toks []lexicon.Token, i int) (float64, int) {
	_, m := t.Match(toks, i, "number joins")
	if m == 0 {
		return 0, 0
	}
	for ; m > 0; m-- {
		if s, k := t.Match(toks, i+m, "numbers"); k > 0 {
			if v, err := strconv.ParseFloat(s.Key, 64); err == nil && v < 1 {
				return v, m + k
			}
		}
	}
	return 0, 0
}

// ReadRange is [ReadNumber] with a second number behind it: "½–1", "1 to 2",
// "1 or 2".
func ReadRange(t *lexicon.Table, toks []lexicon.Token, i int) (Number, int) {
	n, m := ReadNumber(t, toks, i)
	if m == 0 || i+m >= len(toks) {
		return n, m
	}
	k := 0
	if toks[i+m].Text == "-" {
		k = 1
	} else if _, w := t.Match(toks, i+m, "range"); w > 0 {
		k = w
	}
	if k == 0 {
		return n, m
	}
	if up, w := ReadNumber(t, toks, i+m+k); w > 0 && up.Value > n.Value {
		n.High, n.End = up.Value, up.End
		return n, m + k + w
	}
	return n, m
}

func span(toks []lexicon.Token, i, n int) lexicon.Span {
	return lexicon.Span{Start: toks[i].Start, End: toks[i+n-1].End}
}
