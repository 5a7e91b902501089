package phrase

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
)

// arena are kinds of work nobody does for half a day.
var arena = map[string]bool{"school": true, "lesson": true, "dressage": true, "lunge": true, "loose": true, "long rein": true, "jump": true, "poles": true, "walker": true}

// endSession turns the pieces gathered into sessions.
func (r *workReader) endSession() {
	if r.part.pending.on {
		r.part.lonely()
	}
	if len(r.part.items) == 0 {
		r.withoutWork()
	}
	first := len(r.out.Sessions)
	made := sessionMaker{text: r.cell.text, kinds: r.part.kinds, asWritten: r.ctx.PacesAsWritten, out: &r.out, times: &r.times}
	made.add(r.part.items)
	for i := first; i < len(r.out.Sessions); i++ {
		s := &r.out.Sessions[i]
		s.Led, s.Hills = s.Led || r.part.led, s.Hills || r.part.hills
	}
	r.part = r.part.next()
}

// withoutWork asks about "2 x", "led" and "hills" with no work beside them.
func (r *workReader) withoutWork() {
	if r.part.timesAhead == 0 && !r.part.led && (r.part.said || !r.part.hills) {
		return
	}
	kind := NoPace
	if r.part.timesAhead > 0 {
		kind = WhatWork
	}
	at := Span{}
	if len(r.cell.toks) > 0 {
		at = r.cell.span(0, len(r.cell.toks))
	}
	r.doubt(kind, at)
}

// sessionMaker turns the pieces of a part into sessions.
type sessionMaker struct {
	text      string // the cell
	kinds     kindsOfWork
	asWritten bool // a pace is as long as it is written
	out       *Work
	times     *eventTimes
}

// add turns pieces into sessions: paces side by side are one, a named piece is
// one.
func (r *sessionMaker) add(items []piece) {
	var open *Session // of plain paces, being filled
	flush := func() {
		if open != nil {
			r.out.Sessions = append(r.out.Sessions, *open)
			open = nil
		}
	}
	for k := 0; k < len(items); k++ {
		it := items[k]
		if !it.pace || r.asKind(&it, items) {
			flush()
			k = r.named(it, items, k)
			continue
		}
		if !it.given {
			if !describes(items, k) {
				r.out.doubt(NoLength, it.span, it.span.Of(r.text))
			}
			continue
		}
		if open == nil {
			open = &Session{Span: it.span}
		}
		open.Minutes[it.gait] += it.minutes * float64(it.times)
		open.Span = open.Span.Join(it.span)
	}
	flush()
}

// describes says whether a pace without minutes only describes: "gallops W30 T15 C12
// G4", where the word is the day's title, and "hack 45 with trot".
func describes(items []piece, k int) bool {
	if k == 0 {
		return slices.ContainsFunc(items[1:], func(o piece) bool { return o.pace && o.gait == items[0].gait && o.given })
	}
	return !items[k-1].pace && items[k-1].given && !items[k].comma
}

// asKind turns a pace alone with more minutes than anybody goes at it, or
// without minutes where a legend or the kind of work knows them, into a piece
// of work with that pace in it.
func (r *sessionMaker) asKind(it *piece, items []piece) bool {
	if !it.given || it.letter || len(items) > 1 || r.asWritten {
		return false
	}
	kind := ""
	switch {
	case it.gait == yard.Canter && it.minutes > mostCanterMin:
		kind = "canter work"
	case it.gait == yard.Gallop && it.minutes > mostGallopMin:
		kind = "fast"
	case it.gait == yard.Jump && it.minutes > mostJumpMin:
		kind = "jump"
	default:
		return false
	}
	it.pace, it.kind, it.name = false, kind, kind
	r.out.Defaults = append(r.out.Defaults, Default{Span: it.span, Word: it.span.Of(r.text)})
	return true
}

// named turns a named piece into sessions and gives the last item it took.
func (r *sessionMaker) named(it piece, items []piece, k int) int {
	s := Session{Kind: it.kind, Span: it.span}
	s.Name, s.Led, s.Hills = it.name, r.kinds[it.kind].Led, r.kinds[it.kind].Hills
	if it.name == " " {
		s.Name, s.Kind = "", ""
	}
	if it.given && it.minutes > mostArenaMin && arena[it.kind] {
		r.out.doubt(TooMuch, it.span, it.span.Of(r.text))
	}
	made, after := madeUp(items, k)
	switch sum := total(made); {
	case sum > 0:
		s.Minutes = made
		if it.given && math.Abs(sum-it.minutes) >= 0.5 {
			r.out.doubt(NotAgreed, it.span, it.span.Of(r.text))
			s.Minutes = r.kinds.spread(it)
		}
		k = after - 1
	case it.given || r.kinds.isEvent(it) || it.own.length() > 0:
		s.Minutes = r.kinds.spread(it)
		if !it.given && it.own.length() == 0 {
			r.out.Defaults = append(r.out.Defaults, Default{Span: it.span, Word: it.span.Of(r.text), Minutes: total(s.Minutes)})
		}
	default:
		r.out.doubt(NoLength, it.span, it.span.Of(r.text))
		return k
	}
	r.ofTable(it, &s)
	r.out.Event = r.out.Event || r.kinds.isEvent(it)
	for range r.times.starts(it, s, r.kinds.isEvent(it), total(made) == 0 && !it.given && it.own.length() == 0) {
		r.out.Sessions = append(r.out.Sessions, s)
	}
	return k
}

// madeUp is what paces straight behind a named piece say it is made up of ("hack W40
// T20"), and the item behind them.
func madeUp(items []piece, k int) (made [yard.Gaits]float64, after int) {
	after = k + 1
	for after < len(items) && items[after].pace && !items[after].comma && items[after].given {
		made[items[after].gait] += items[after].minutes * float64(items[after].times)
		after++
	}
	return made, after
}

// length is how long a word of hers is; 0 where it is none, or she does not say.
func (l *Length) length() float64 {
	switch {
	case l == nil:
		return 0
	case l.Minutes > 0:
		return l.Minutes
	}
	return total(l.Gaits)
}

// ofTable gives a session what her table or legend says of it.
func (r *sessionMaker) ofTable(it piece, s *Session) {
	if it.own == nil {
		return
	}
	s.Led, s.Hills, s.Efforts = s.Led || it.own.Led, s.Hills || it.own.Hills, it.own.Efforts
	if it.own.Empty {
		r.out.doubt(NoPaces, it.span, it.name)
		s.Minutes = [yard.Gaits]float64{}
	}
}

func total(m [yard.Gaits]float64) float64 {
	sum := 0.0
	for _, v := range m {
		sum += v
	}
	return sum
}

// kindsOfWork are the kinds of work by their keys.
type kindsOfWork map[string]Kind

// spread is a piece's minutes by gait.
func (k kindsOfWork) spread(it piece) [yard.Gaits]float64 {
	kind := k[it.kind]
	base := kind.Share
	if kind.Event {
		base = kind.Minutes
	}
	minutes := it.minutes
	if it.own != nil {
		if total(it.own.Gaits) > 0 {
			base = it.own.Gaits
		} else if total(base) == 0 {
			base = k["exercise"].Share
		}
		if !it.given {
			minutes = it.own.Minutes
			if minutes == 0 {
				minutes = total(it.own.Gaits)
			}
		}
	} else if !it.given && kind.Event {
		return base
	}
	sum := total(base)
	if sum == 0 {
		return [yard.Gaits]float64{}
	}
	for g := range base {
		base[g] = exact(base[g] * minutes / sum)
	}
	return base
}

func (k kindsOfWork) isEvent(p piece) bool {
	if p.own != nil && p.own.Event {
		return true
	}
	return !p.pace && k[p.kind].Event
}
