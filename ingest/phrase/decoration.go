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
	if len(toks) == 0 {
		return NoDecoration
	}
	if phones(text, toks) > 0 {
		return Phone
	}
	prices := 0
	for i, t := range toks {
		if t.Text == "£" || t.Text == "$" || t.Text == "€" {
			if i+1 < len(toks) && toks[i+1].Kind == lexicon.Number || i > 0 && toks[i-1].Kind == lexicon.Number {
				prices++
			}
		}
	}
	if prices > 0 {
		return Price
	}
	// "Box 7 – empty", "(empty)", "frei/leer"
	i, empty := 0, false
	for i < len(toks) {
		if s, n := w.t.Match(toks, i, "marks"); n > 0 && (s.Key == "empty box" || s.Key == "empty") {
			empty = empty || s.Key == "empty"
			i += n
			continue
		}
		if toks[i].Kind == lexicon.Mark || toks[i].Kind == lexicon.Number && toks[i].Whole || toks[i].Kind == lexicon.Word && toks[i].End-toks[i].Start == 1 {
			i++
			continue
		}
		break
	}
	if empty && i == len(toks) {
		return EmptyBox
	}
	if s, n := w.t.Match(toks, 0, "marks"); n > 0 && s.Key == "total" {
		// Behind it a unit, a feed, a measure; nothing else.
		for i = n; i < len(toks); {
			if toks[i].Kind == lexicon.Mark {
				i++
				continue
			}
			if _, k := w.t.Match(toks, i, "units", "measures", "feeds", "times", "columns", "stages", "meals", "amounts"); k > 0 {
				i += k
				continue
			}
			break
		}
		if i == len(toks) {
			return Total
		}
	}
	return NoDecoration
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
