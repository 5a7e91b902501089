package quantity

import (
	"slices"
	"strings"
	"time"

	"hardfeed/ingest/lexicon"
)

// Basis is how a weight was got.
type Basis string

const (
	NotSaid Basis = ""
	Scale   Basis = "scale"
	Tape    Basis = "tape"
	Formula Basis = "formula"
	Stated  Basis = "stated"
)

// Weighing is one body weight in a cell.
type Weighing struct {
	lexicon.Span
	Value  float64 // as written
	Other  float64 // a second reading of the figures ("1,050"), else 0
	Unit   string  // "kg", "lb", "st" or "g"; "" where neither the cell nor the heading says
	Kg     float64 // 0 where the unit is not known
	Basis  Basis
	Approx bool
	Date   Date // Day 0 where none is said
	Was    bool // said to be an earlier one ("was 560")
}

// WeightContext is what stands about a weight's cell.
type WeightContext struct {
	Unit string // of the heading, the title or the column: "kg", "lb", "st"; "" if none
}

// Weight is what a cell of body weights says.
type Weight struct {
	Weighings []Weighing
	Question  bool    // a question mark stands there
	Range     float64 // the upper end, in the unit of the weighing, of a range; else 0
	Unknown   bool    // it says that it is not known: "?", "not weighed"
	Spans     []lexicon.Span
	Unread    []lexicon.Span
}

// Believable bounds of a horse's weight in kg (ours: the smallest foal of a
// small pony to the heaviest draught horse).
const minKg, maxKg = 20, 1500

// ReadWeight reads a cell of body weights: "540", "c. 480", "1,050 lb", "35 st 4
// lb", "540kg (tape 12/11)", "545 on 8/2", "76 st?", "480-500", "560 (12/11) 552
// (19/11)", "not weighed".
func ReadWeight(t *lexicon.Table, text string, ctx WeightContext) Weight {
	toks := lexicon.Scan(text)
	w := Weight{Question: letterForFigure(t, toks)}
	var cur Weighing // qualifiers that stand before the number
	mark := func(i, n int) { w.Spans = append(w.Spans, span(toks, i, n)) }
	last := func() *Weighing {
		if len(w.Weighings) > 0 {
			return &w.Weighings[len(w.Weighings)-1]
		}
		return &cur
	}
	expectDate, open := false, false
	for i := 0; i < len(toks); {
		tok := toks[i]
		switch {
		case tok.Text == "?":
			w.Question = true
			mark(i, 1)
			i++
			continue
		case tok.Kind == lexicon.Mark && (tok.Text == "(" || tok.Text == "[" || tok.Text == "@"):
			open = true
			mark(i, 1)
			i++
			continue
		case tok.Kind == lexicon.Mark && tok.Text == "~":
			cur.Approx = true
			mark(i, 1)
			i++
			continue
		case tok.Kind == lexicon.Mark && tok.Text != "#":
			if tok.Text == ")" || tok.Text == "]" {
				open = false
			}
			mark(i, 1)
			i++
			continue
		}
		// A date: behind a word that leads to one, in brackets, or one that can be
		// nothing else.
		if d, n := ReadDate(t, text, toks, i); n > 0 && d.From == 0 && (expectDate || open || !d.Weak && d.Month != 0 && !(len(w.Weighings) == 0 && d.Start == 0 && d.Year == 0)) && len(w.Weighings)+b2i(expectDate || open) > 0 {
			last().Date = d
			mark(i, n)
			i += n
			expectDate = false
			continue
		}
		if s, n := t.Match(toks, i, "qualifiers"); n > 0 && !(tok.Kind == lexicon.Word && tok.Text == "st" && s.Section != "qualifiers") {
			who := last()
			switch s.Key {
			case "approx":
				if len(w.Weighings) > 0 && i+n < len(toks) && toks[i+n].Kind == lexicon.Number && toks[i+n].Value > 31 {
					who = &cur // "tape 540 c. 560"
				}
				who.Approx = true
				if len(w.Weighings) == 0 {
					cur.Approx = true
				}
			case "scale", "tape", "formula", "stated":
				if len(w.Weighings) > 0 && last().Basis != NotSaid && last().Basis != Basis(s.Key) {
					who = &cur
				}
				who.Basis = Basis(s.Key)
				expectDate = true
			case "on":
				expectDate = true
			case "was":
				cur.Was = true
			case "over":
				w.Question = true
			case "unknown":
				w.Unknown = true
			}
			mark(i, n)
			i += n
			continue
		}
		num, n := ReadRange(t, toks, i)
		if n == 0 || num.Word && len(w.Weighings) > 0 {
			w.Unread = append(w.Unread, tok.Span)
			i++
			continue
		}
		x := cur
		cur = Weighing{}
		x.Span, x.Value, x.Other = num.Span, num.Value, num.Other
		j := i + n
		if u, k := ReadUnit(t, toks, j, Mass); k > 0 {
			x.Unit, x.End = u, toks[j+k-1].End
			j += k
			if u == "st" || u == "lb" { // 35 st 4 lb, 9 st 6, 1100 lb 8 oz
				if more, k2 := ReadNumber(t, toks, j); k2 > 0 && more.Value < 16 && !num.IsRange() {
					small, k3 := ReadUnit(t, toks, j+k2, Mass)
					if u == "st" && more.Value < 14 && (small == "lb" || k3 == 0 && j+k2 >= len(toks)) {
						x.Value += more.Value / 14
						x.End = toks[j+k2+k3-1].End
						j += k2 + k3
					} else if u == "lb" && small == "oz" {
						x.Value += more.Value / 16
						x.End = toks[j+k2+k3-1].End
						j += k2 + k3
					}
				}
			}
		} else {
			x.Unit = ctx.Unit
		}
		if num.IsRange() {
			w.Range = num.High
		}
		x.settle()
		w.Weighings = append(w.Weighings, x)
		mark(i, j-i)
		i = j
		expectDate = false
	}
	if len(w.Weighings) == 0 && w.Question {
		w.Unknown = true
	}
	return w
}

// letterForFigure says whether a letter that looks like a figure touches one, as in
// "54O" or "5l0": what was meant is then a question.
func letterForFigure(t *lexicon.Table, toks []lexicon.Token) bool {
	number := func(k int) bool { return k >= 0 && k < len(toks) && toks[k].Kind == lexicon.Number }
	for k, tok := range toks {
		if tok.Kind != lexicon.Word || strings.Trim(tok.Text, "oilsbz") != "" {
			continue
		}
		if _, n := ReadUnit(t, toks, k, Mass); n > 0 {
			continue
		}
		if number(k-1) && toks[k-1].End == tok.Start || number(k+1) && toks[k+1].Start == tok.End {
			return true
		}
	}
	return false
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// settle takes the reading of the figures that a horse can weigh, and turns it
// into kilograms.
func (x *Weighing) settle() {
	per, ok := KgPer(x.Unit)
	if !ok {
		if x.Other >= minKg && x.Value < minKg {
			x.Value, x.Other = x.Other, 0
		} else if x.Other != 0 && x.Other < minKg {
			x.Other = 0
		}
		return
	}
	fits := func(v float64) bool { return v*per >= minKg && v*per <= maxKg }
	if x.Other != 0 {
		switch {
		case fits(x.Value) && !fits(x.Other):
			x.Other = 0
		case fits(x.Other) && !fits(x.Value):
			x.Value, x.Other = x.Other, 0
		}
	}
	x.Kg = x.Value * per
}

// In is the weighing with a unit it did not have: what a person decides from
// the rest of the column.
func (x Weighing) In(unit string) Weighing {
	if x.Unit == "" {
		x.Unit = unit
		x.settle()
	}
	return x
}

// Latest is the weighing to go by: the one with the latest date, else the only
// one, else the last that is not said to be an earlier one. False where there is
// none, or where two without dates stand side by side and neither is said to
// be older or the better.
func (w Weight) Latest(around time.Time) (Weighing, bool) {
	ws := slices.DeleteFunc(slices.Clone(w.Weighings), func(x Weighing) bool { return x.Was })
	switch {
	case len(ws) == 0:
		return Weighing{}, false
	case len(ws) == 1:
		return ws[0], true
	}
	day := func(x Weighing) time.Time {
		if r := x.Date.Readings(around); len(r) > 0 {
			return r[0]
		}
		return time.Time{}
	}
	best, dated := ws[0], 0
	for _, x := range ws {
		if !day(x).IsZero() {
			dated++
		}
		if day(x).After(day(best)) {
			best = x
		}
	}
	if dated == len(ws) {
		return best, true
	}
	for _, x := range ws { // a weighbridge beside a tape
		if x.Basis == Scale && !slices.ContainsFunc(ws, func(y Weighing) bool { return y.Basis == Scale && y.Span != x.Span }) {
			return x, true
		}
	}
	return Weighing{}, false
}
