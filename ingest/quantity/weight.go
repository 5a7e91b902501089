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
	Question  bool    // a question mark is there
	Range     float64 // the upper end, in the unit of the weighing, of a range; else 0
	Unknown   bool    // it says that it is not known: "?", "not weighed"
	Spans     []lexicon.Span
	Unread    []lexicon.Span
}

// Believable bounds of a horse's weight in kg (ours: the smallest foal of a
// small pony to the heaviest draught horse).
const minKg, maxKg = 20, 1500

// weightReader walks over a cell of body weights.
type weightReader struct {
	t          *lexicon.Table
	text, unit string
	toks       []lexicon.Token
	w          Weight
	cur        Weighing // qualifiers that are before the number
	expectDate bool     // a word that leads to a date came before
	open       bool     // a bracket is open
}

// weightPieces are what may begin at a token, in the order they are tried: each says
// how many tokens it took, 0 for none.
var weightPieces = []func(*weightReader, int) int{
	(*weightReader).sign, (*weightReader).date, (*weightReader).qualifier, (*weightReader).day, (*weightReader).weighing,
}

// ReadWeight reads a cell of body weights: "540", "c. 480", "1,050 lb", "35 st 4
// lb", "540kg (tape 12/11)", "545 on 8/2", "76 st?", "480-500", "560 (12/11) 552
// (19/11)", "not weighed".
func ReadWeight(t *lexicon.Table, text string, ctx WeightContext) Weight {
	toks := lexicon.Scan(text)
	r := weightReader{t: t, text: text, unit: ctx.Unit, toks: toks, w: Weight{Question: letterForFigure(t, toks)}}
	for i := 0; i < len(toks); {
		n := r.step(i)
		if n == 0 {
			r.w.Unread = append(r.w.Unread, toks[i].Span)
			n = 1
		}
		i += n
	}
	if len(r.w.Weighings) == 0 && r.w.Question {
		r.w.Unknown = true
	}
	return r.w
}

func (r *weightReader) step(i int) int {
	for _, take := range weightPieces {
		if n := take(r, i); n > 0 {
			r.w.Spans = append(r.w.Spans, span(r.toks, i, n))
			return n
		}
	}
	return 0
}

// last is the weighing read last; before the first what is being gathered for it.
func (r *weightReader) last() *Weighing {
	if k := len(r.w.Weighings); k > 0 {
		return &r.w.Weighings[k-1]
	}
	return &r.cur
}

// sign takes a mark; "#" may be pounds.
func (r *weightReader) sign(i int) int {
	tok := r.toks[i]
	if tok.Kind != lexicon.Mark || tok.Text == "#" {
		return 0
	}
	switch tok.Text {
	case "?":
		r.w.Question = true
	case "(", "[", "@":
		r.open = true
	case "~":
		r.cur.Approx = true
	case ")", "]":
		r.open = false
	}
	return 1
}

// date takes a date: behind a word that leads to one, in brackets, or one that can be
// nothing else.
func (r *weightReader) date(i int) int {
	d, n := ReadDate(r.t, r.text, r.toks, i)
	if n == 0 || d.From != 0 {
		return 0
	}
	led := r.expectDate || r.open
	first := len(r.w.Weighings) == 0
	if !led && (first || d.Weak || d.Month == 0) {
		return 0
	}
	r.last().Date = d
	r.expectDate = false
	return n
}

// qualifier takes the words for how a weight was got, and how sure it is.
func (r *weightReader) qualifier(i int) int {
	s, n := r.t.Match(r.toks, i, "qualifiers")
	if n == 0 {
		return 0
	}
	switch s.Key {
	case "approx":
		r.approx(i + n)
	case "scale", "tape", "formula", "stated":
		who := r.last()
		if who != &r.cur && who.Basis != NotSaid && who.Basis != Basis(s.Key) {
			who = &r.cur // "tape 560, weighbridge 548"
		}
		who.Basis = Basis(s.Key)
		r.expectDate = true
	case "on":
		r.expectDate = true
	case "was":
		r.cur.Was = true
	case "over":
		r.w.Question = true
	case "unknown":
		r.w.Unknown = true
	}
	return n // "weighs" and "yesterday" change nothing
}

// day takes a day that names no date, behind a weight or how it was got: "520kg taped
// Sunday", "480 last week".
func (r *weightReader) day(i int) int {
	if len(r.w.Weighings) == 0 && r.cur.Basis == NotSaid {
		return 0
	}
	if s, n := r.t.Match(r.toks, i, "weekdays", "week"); n > 0 && (s.Section == "weekdays" || s.Key == "last" || s.Key == "this") {
		return n
	}
	return 0
}

// approx says that the weighing before is about right, or the next one: "tape 540 c.
// 560".
func (r *weightReader) approx(next int) {
	who := r.last()
	if next < len(r.toks) && r.toks[next].Kind == lexicon.Number && r.toks[next].Value > 31 {
		who = &r.cur
	}
	who.Approx = true
}

// weighing takes a weight with its unit.
func (r *weightReader) weighing(i int) int {
	num, n := ReadRange(r.t, r.toks, i)
	if n == 0 || num.Word && len(r.w.Weighings) > 0 {
		return 0
	}
	x := r.cur
	r.cur = Weighing{}
	x.Span, x.Value, x.Other, x.Unit = num.Span, num.Value, num.Other, r.unit
	if u, k := ReadUnit(r.t, r.toks, i+n, Mass); k > 0 {
		x.Unit = u
		n += k
		if !num.IsRange() {
			n += r.smaller(i+n, &x)
		}
		x.End = r.toks[i+n-1].End
	}
	if num.IsRange() {
		r.w.Range = num.High
	}
	x.settle()
	r.w.Weighings = append(r.w.Weighings, x)
	r.expectDate = false
	return n
}

// smaller takes the pounds behind stones and the ounces behind pounds: "35 st 4 lb", "9
// st 6", "1100 lb 8 oz".
func (r *weightReader) smaller(i int, x *Weighing) int {
	more, n := ReadNumber(r.t, r.toks, i)
	if n == 0 {
		return 0
	}
	small, k := ReadUnit(r.t, r.toks, i+n, Mass)
	switch end := k == 0 && i+n >= len(r.toks); {
	case x.Unit == "st" && more.Value < 14 && (small == "lb" || end):
		x.Value += more.Value / 14
	case x.Unit == "lb" && more.Value < 16 && small == "oz":
		x.Value += more.Value / 16
	default:
		return 0
	}
	return n + k
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
