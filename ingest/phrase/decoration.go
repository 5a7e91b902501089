package phrase

import (
	"strings"

	"hardfeed/ingest/lexicon"
)

// DecorationKind is what a cell is that no fact stands in.
type DecorationKind string

const (
	NoDecoration DecorationKind = ""
	Total        DecorationKind = "total"
	Phone        DecorationKind = "phone" // telephone numbers
	Price        DecorationKind = "price"
	EmptyBox     DecorationKind = "empty" // a stable without a horse
)

// Decoration says whether a cell is a total's label, telephone numbers, prices
// or an empty stable.
func (w *Words) Decoration(text string) DecorationKind {
	toks := lexicon.Scan(text)
	switch {
	case len(toks) == 0:
	case phones(text, toks) > 0:
		return Phone
	case priced(toks):
		return Price
	case w.emptyBox(toks):
		return EmptyBox
	case w.totals(toks):
		return Total
	}
	return NoDecoration
}

// priced says whether a sign of money is beside a number.
func priced(toks []lexicon.Token) bool {
	number := func(i int) bool { return i >= 0 && i < len(toks) && toks[i].Kind == lexicon.Number }
	for i, t := range toks {
		if (t.Text == "£" || t.Text == "$" || t.Text == "€") && (number(i-1) || number(i+1)) {
			return true
		}
	}
	return false
}

// emptyBox reads "Box 7 – empty", "(empty)", "frei/leer".
func (w *Words) emptyBox(toks []lexicon.Token) bool {
	empty := false
	for i := 0; i < len(toks); {
		t := toks[i]
		s, n := w.t.Match(toks, i, "marks")
		switch {
		case n > 0 && (s.Key == "empty box" || s.Key == "empty"):
			empty = empty || s.Key == "empty"
			i += n
		case t.Kind == lexicon.Mark || t.Kind == lexicon.Number && t.Whole || t.Kind == lexicon.Word && t.End-t.Start == 1:
			i++
		default:
			return false
		}
	}
	return empty
}

// totals reads "Total", with a unit, a feed or a measure behind it; nothing else.
func (w *Words) totals(toks []lexicon.Token) bool {
	s, i := w.t.Match(toks, 0, "marks")
	if i == 0 || s.Key != "total" {
		return false
	}
	for i < len(toks) {
		_, k := w.t.Match(toks, i, "units", "measures", "feeds", "times", "columns", "stages", "meals", "amounts")
		if toks[i].Kind == lexicon.Mark {
			k = 1
		}
		if k == 0 {
			return false
		}
		i += k
	}
	return true
}

// phones counts the telephone numbers of a text: six figures and more with
// blanks, hyphens or brackets between them, that are no date and no weight.
func phones(text string, toks []lexicon.Token) int {
	n := 0
	for i := 0; i < len(toks); {
		if toks[i].Kind != lexicon.Number || strings.ContainsAny(toks[i].Of(text), ".,/½¼¾") {
			i++
			continue
		}
		figures, j, groups := 0, i, 0
		for j < len(toks) && (toks[j].Kind == lexicon.Number && !strings.ContainsAny(toks[j].Of(text), ".,/½¼¾") || (toks[j].Text == "-" && toks[j].Glued || toks[j].Text == "(" || toks[j].Text == ")") && j+1 < len(toks) && toks[j+1].Kind == lexicon.Number) {
			if toks[j].Kind == lexicon.Number {
				figures += toks[j].End - toks[j].Start
				groups++
			}
			j++
		}
		if figures >= 7 && (groups > 1 || toks[i].Of(text)[0] == '0' || figures >= 9) && figures <= 16 {
			n++
		}
		i = max(j, i+1)
	}
	return n
}
