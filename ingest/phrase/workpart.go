package phrase

import (
	"cmp"
	"math"

	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// general are kinds whose words add nothing beside another word of work.
var general = map[string]bool{"exercise": true, "training": true, "school": true, "ride": true, "lesson": true}

// pendingNumber is a number that waits for what it belongs to.
type pendingNumber struct {
	d    quantity.Duration
	on   bool
	span Span
}

// workPart is the part of a cell that is being read, up to the next sign or word that
// parts two pieces of work, as it is gathered.
type workPart struct {
	text  string // the cell
	ctx   *WorkContext
	kinds kindsOfWork
	out   *Work

	items      []piece
	pending    pendingNumber
	timesAhead int
	comma      bool
	led, hills bool
	said       bool // a rest word was in it
	remark     bool // what follows is a reason or a remark
	strange    bool // a word of it was not understood
}

// next is the part behind it, of which nothing is read yet.
func (p *workPart) next() workPart {
	return workPart{text: p.text, ctx: p.ctx, kinds: p.kinds, out: p.out}
}

// last is the piece of work read last, nil where there is none.
func (p *workPart) last() *piece {
	if len(p.items) == 0 {
		return nil
	}
	return &p.items[len(p.items)-1]
}

// idle says whether nothing was read in this part that is work or may become it.
func (p *workPart) idle() bool { return len(p.items) == 0 && !p.pending.on }

// joins makes one piece of two words of work that stand side by side without
// minutes between them: "jump training", "hack exercise", "training hack",
// "show (SJ)". It says whether it did.
func (p *workPart) joins(last *piece, it piece) bool {
	both := last.span.Join(it.span)
	switch {
	case last.pace && last.gait == yard.Jump && !it.pace && general[it.kind]:
		last.pace, last.kind, last.name = false, "jump", lowered(both.Of(p.text))
	case !it.pace && general[it.kind]:
	case !last.pace && !it.pace && (general[last.kind] || p.kinds.isEvent(*last) && p.kinds.isEvent(it)):
		last.kind, last.name = it.kind, it.name
	default:
		return false
	}
	last.span = both
	return true
}

// add takes a piece of work, with the number that waits for it. It is false where the
// piece only says more of the one before.
func (p *workPart) add(it piece) bool {
	it.clock, it.times, it.comma = -1, 1, p.comma
	p.comma = false
	if last := p.last(); last != nil && !last.given && !it.comma && it.own == nil && last.own == nil && !p.pending.on && p.timesAhead == 0 && p.joins(last, it) {
		return false
	}
	if p.pending.on {
		pd := p.pending
		p.pending = pendingNumber{}
		v := pd.d.Value
		switch {
		case pd.d.Unit != "" || it.pace || v >= fewestMinutes:
			it.minutes, it.given = pd.d.Minutes, true
			if pd.d.Unit == "" {
				it.minutes = min(v, 100*MostMinutes)
			}
		case p.ctx.Bare == "h":
			it.minutes, it.given = 60*v, true
		case v == math.Trunc(v) && v >= 1:
			it.times = int(v) // "2 lessons"
		default:
			it.minutes, it.given = v, true
			p.out.doubt(HowMuch, pd.span, pd.span.Of(p.text))
		}
		it.span = it.span.Join(pd.span)
	}
	if p.timesAhead > 0 {
		it.times, p.timesAhead = it.times*p.timesAhead, 0
	}
	p.items = append(p.items, it)
	return true
}

// repeat multiplies the last piece of work, or all of them.
func (p *workPart) repeat(times int, at Span, all bool) {
	n := len(p.items)
	if n == 0 {
		return
	}
	last := &p.items[n-1]
	if !all && n > 1 && last.pace && p.items[n-2].pace && !last.comma {
		p.out.doubt(WhichTimes, at, at.Of(p.text))
		return
	}
	if all {
		for k := range p.items {
			p.items[k].times *= times
		}
		return
	}
	last.times *= times
}

// minutes is a length of time beside a named piece of work; false where it may
// be hours, minutes or how often.
func (p *workPart) minutes(d quantity.Duration, it piece) (float64, bool) {
	m := min(d.Minutes, 100*MostMinutes)
	switch {
	case d.Unit != "":
		return m, true
	case p.ctx.Bare == "h" && d.Value <= 12:
		return 60 * d.Value, true
	case !it.pace && d.Value < fewestMinutes:
		return min(d.Value, 100*MostMinutes), false
	}
	return min(d.Value, 100*MostMinutes), true
}

// lonely ends a number that belongs to no word of work.
func (p *workPart) lonely() {
	n := p.pending
	p.pending = pendingNumber{}
	if p.strange {
		return // it has been told with the word
	}
	if p.said && len(p.items) == 0 || p.remark && n.d.Unit == "" { // "turnout 3 hrs", "off – 2 shoes"
		p.out.Unread = append(p.out.Unread, n.span)
		return
	}
	m := n.d.Minutes
	if n.d.Unit == "" {
		switch {
		case p.ctx.Bare == "min":
			m = n.d.Value
		case p.ctx.Bare == "h":
			m = 60 * n.d.Value
		case p.ctx.Bare == "session" && p.ctx.SessionMinutes > 0 && n.d.Value <= mostSessions:
			m = n.d.Value * p.ctx.SessionMinutes
		default:
			p.out.doubt(WhatWork, n.span, n.span.Of(p.text))
			return
		}
	}
	if n.d.High != 0 {
		return
	}
	times := 1
	if p.timesAhead > 0 {
		times, p.timesAhead = p.timesAhead, 0
	}
	kind := p.ctx.BareKind
	if kind == "" {
		p.out.Defaults = append(p.out.Defaults, Default{Span: n.span, Word: n.span.Of(p.text)})
	}
	p.items = append(p.items, piece{kind: cmp.Or(kind, "exercise"), name: kind, span: n.span, minutes: m, given: true, clock: -1, times: times})
	if kind == "" {
		p.items[len(p.items)-1].name = " " // plain minutes: no name
	}
}

// take gives a length of time to the piece before it, or keeps it for the one behind it.
// Before says that a word of work is behind.
func (p *workPart) take(d quantity.Duration, at Span, before bool) {
	if it := p.last(); it != nil && !it.given && (!p.comma || d.Unit != "" && !before) {
		p.comma = false
		m, ok := p.minutes(d, *it)
		if p.kinds.isEvent(*it) && d.Unit == "" && d.Value < 30 {
			p.out.doubt(AClock, at, at.Of(p.text))
			it.clock = -2 // the doubt has been told
			return
		}
		if !ok {
			p.out.doubt(HowMuch, at, at.Of(p.text))
		}
		it.minutes, it.given = m, true
		it.span = it.span.Join(at)
		return
	}
	if p.pending.on {
		p.lonely()
	}
	p.pending = pendingNumber{d: d, on: true, span: at}
}

// eachRein doubles the minutes of a piece that are said of one rein.
func (p *workPart) eachRein(at Span) {
	k := len(p.items) - 1
	if k < 0 || !p.items[k].given || p.items[k].span.End > at.Start {
		return
	}
	if p.items[k].minutes > mostEachRein {
		p.out.doubt(HowMuch, at, at.Of(p.text))
		return
	}
	p.items[k].minutes *= 2
}
