package phrase

import (
	"cmp"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// workNumbers is what may begin with a number, in the order it is tried: each says how
// many tokens it took, 0 for none.
var workNumbers = []func(*workReader, int) int{
	(*workReader).dateOfRemark, (*workReader).soMany, (*workReader).hourOfDay, (*workReader).startOfEvent, (*workReader).oftenInFigures, (*workReader).lot, (*workReader).yearOfRemark, (*workReader).length,
}

// number takes what begins with a number: a date in a remark, how often, a time of
// day, a length of time.
func (r *workReader) number(i int) int {
	for _, take := range workNumbers {
		if n := take(r, i); n > 0 {
			return n
		}
	}
	r.doubt(UnknownWord, r.toks[i].Span, r.toks[i].Of(r.text))
	return 1
}

// unread leaves a span unread and says how many tokens it has.
func (r *workReader) unread(at Span, n int) int {
	r.out.Unread = append(r.out.Unread, at)
	return n
}

// dateOfRemark takes a date: one that can be nothing else, or one behind a rest, a
// visit or a remark.
func (r *workReader) dateOfRemark(i int) int {
	d, n := quantity.ReadDate(r.w.t, r.text, r.toks, i)
	if n == 0 || d.Month == 0 || r.listed(i) {
		return 0
	}
	behind := r.remark || len(r.items) == 0 && i > 0 && (r.out.Visit != "" || r.said)
	if !d.Weak || d.Day != 0 && behind {
		return r.unread(d.Span, n)
	}
	return 0
}

// listed says whether the number at token i is behind another and a slash.
func (r *workReader) listed(i int) bool {
	return i > 1 && r.toks[i].Glued && r.toks[i-1].Text == "/" && r.toks[i-1].Glued && r.toks[i-2].Kind == lexicon.Number
}

// soMany takes "2x", "2 x 30", "2 x hack". Of "hack 30 x2" the number is the minutes.
func (r *workReader) soMany(i int) int {
	toks, tok := r.toks, r.toks[i]
	if !tok.Whole || i+1 >= len(toks) || toks[i+1].Text != "x" || tok.Value < 1 || tok.Value > 20 {
		return 0
	}
	_, unit := quantity.ReadUnit(r.w.t, toks, i+3, quantity.Time)
	p := r.last()
	if p != nil && !p.given && !(i+2 < len(toks) && toks[i+2].Kind == lexicon.Number && (toks[i+2].Value > tok.Value || unit > 0)) {
		return 0
	}
	if p != nil && !p.given {
		p.times *= int(tok.Value) // "lesson 2 x 30"
	} else {
		r.timesAhead = int(tok.Value)
	}
	return r.read(i, 2)
}

// next is the text of token i, "" behind the last.
func (r *workReader) next(i int) string {
	if i < len(r.toks) {
		return r.toks[i].Text
	}
	return ""
}

// hourOfDay takes "9am" and "6 Uhr".
func (r *workReader) hourOfDay(i int) int {
	m, n := ReadClock(r.w.t, r.text, r.toks, i)
	if w := r.next(i + 1); n > 0 && (w == "am" || w == "pm" || w == "uhr") {
		return r.clockTime(i, m, n)
	}
	return 0
}

// startOfEvent takes "10.30" behind an event.
func (r *workReader) startOfEvent(i int) int {
	m, ok := dotted(r.toks[i].Of(r.text))
	if p := r.last(); !ok || p == nil || !r.isEvent(*p) {
		return 0
	}
	if _, k := quantity.ReadUnit(r.w.t, r.toks, i+1, quantity.Time); k > 0 {
		return 0
	}
	return r.clockTime(i, m, 1)
}

// oftenInFigures takes "2 times a day".
func (r *workReader) oftenInFigures(i int) int {
	if s, n := r.w.t.Match(r.toks, i, "times"); n > 1 {
		return r.often(i, s, n)
	}
	return 0
}

// lot takes lots and floors: "1st lot".
func (r *workReader) lot(i int) int {
	if _, n := r.w.t.Match(r.toks, i, "fillers"); n > 1 {
		return r.read(i, n)
	}
	return 0
}

// yearOfRemark takes a year in a remark.
func (r *workReader) yearOfRemark(i int) int {
	tok := r.toks[i]
	if !tok.Whole || tok.Value < firstYear || tok.Value > lastYear || !r.remark && r.out.Fate == "" {
		return 0
	}
	if _, n := quantity.ReadDuration(r.w.t, r.toks, i); n != 1 {
		return 0
	}
	return r.unread(tok.Span, 1)
}

// Years that may stand in a remark (ours).
const firstYear, lastYear = 1990, 2100

// length takes a length of time.
func (r *workReader) length(i int) int {
	d, n := quantity.ReadDuration(r.w.t, r.toks, i)
	if n == 0 {
		return 0
	}
	return r.duration(i, d, n)
}

// duration gives a length of time to the piece before it, or keeps it for the
// one behind it.
func (r *workReader) duration(i int, d quantity.Duration, n int) int {
	at := spanOf(r.toks, i, n)
	r.read(i, n)
	if d.High != 0 {
		r.doubt(ARange, at, at.Of(r.text))
	}
	if r.toks[i].Other != 0 || n == 2 && d.Value >= fewestMetres && r.toks[i+1].Text == "m" {
		r.doubt(HowMuch, at, at.Of(r.text))
	}
	if k := len(r.items); k > 0 && !r.items[k-1].given && (!r.comma || d.Unit != "" && !r.begins(i+n)) {
		r.comma = false
		it := &r.items[k-1]
		m, ok := r.minutes(d, *it)
		if r.isEvent(*it) && d.Unit == "" && d.Value < 30 {
			r.doubt(AClock, at, at.Of(r.text))
			it.clock = -2 // the doubt has been told
			return n
		}
		if !ok {
			r.doubt(HowMuch, at, at.Of(r.text))
		}
		it.minutes, it.given = m, true
		it.span = it.span.Join(at)
		return n
	}
	if r.pending.on {
		r.lonely()
	}
	r.pending = pendingNumber{d: d, on: true, span: at}
	return n
}

// begins says whether a word of work is at token i.
func (r *workReader) begins(i int) bool {
	if i >= len(r.toks) {
		return false
	}
	s, n := r.sense(i)
	return n > 0 && (s.Section == ownWork || s.Section == "work" || s.Section == "paces" || s.Section == "events")
}

// minutes is a length of time beside a named piece of work; false where it may
// be hours, minutes or how often.
func (r *workReader) minutes(d quantity.Duration, it piece) (float64, bool) {
	m := min(d.Minutes, 100*MostMinutes)
	switch {
	case d.Unit != "":
		return m, true
	case r.ctx.Bare == "h" && d.Value <= 12:
		return 60 * d.Value, true
	case !it.pace && d.Value < fewestMinutes:
		return min(d.Value, 100*MostMinutes), false
	}
	return min(d.Value, 100*MostMinutes), true
}

// lonely ends a number that belongs to no word of work.
func (r *workReader) lonely() {
	p := r.pending
	r.pending = pendingNumber{}
	if r.strange {
		return // it has been told with the word
	}
	if r.said && len(r.items) == 0 || r.remark && p.d.Unit == "" { // "turnout 3 hrs", "off – 2 shoes"
		r.out.Unread = append(r.out.Unread, p.span)
		return
	}
	m := p.d.Minutes
	if p.d.Unit == "" {
		switch {
		case r.ctx.Bare == "min":
			m = p.d.Value
		case r.ctx.Bare == "h":
			m = 60 * p.d.Value
		case r.ctx.Bare == "session" && r.ctx.SessionMinutes > 0 && p.d.Value <= mostSessions:
			m = p.d.Value * r.ctx.SessionMinutes
		default:
			r.doubt(WhatWork, p.span, p.span.Of(r.text))
			return
		}
	}
	if p.d.High != 0 {
		return
	}
	times := 1
	if r.timesAhead > 0 {
		times, r.timesAhead = r.timesAhead, 0
	}
	kind := r.ctx.BareKind
	if kind == "" {
		r.out.Defaults = append(r.out.Defaults, Default{Span: p.span, Word: p.span.Of(r.text)})
	}
	r.items = append(r.items, piece{kind: cmp.Or(kind, "exercise"), name: kind, span: p.span, minutes: m, given: true, clock: -1, times: times})
	if kind == "" {
		r.items[len(r.items)-1].name = " " // plain minutes: no name
	}
}

// often takes "twice a day".
func (r *workReader) often(i int, s lexicon.Sense, n int) int {
	if v := s.Key[0]; v >= '1' && v <= '9' {
		if len(r.items) > 0 {
			r.repeat(int(v-'0'), spanOf(r.toks, i, n), true)
		} else if r.pending.on {
			r.pending.d.Minutes *= float64(v - '0')
			r.pending.d.Value *= float64(v - '0')
		} else {
			r.timesAhead = int(v - '0')
		}
	}
	return r.read(i, n)
}
