package phrase

import (
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// Starts are the events whose start is said, in order.
func (d Work) Starts() []yard.EventStart {
	day := yard.Day{Event: d.Event, StartMin: d.StartMin, Also: d.Also}
	for _, s := range d.Sessions {
		day.Sessions = append(day.Sessions, s.Session)
	}
	return day.Starts()
}

// clockTime takes a time of day: of the piece before it, a further one of an event, or one
// that waits for an event behind it.
func (r *workReader) clockTime(i, minute, n int) int {
	at := spanOf(r.toks, i, n)
	again := r.joined(at)
	if k := len(r.items); k > 0 {
		switch it := &r.items[k-1]; {
		case it.clock == -1:
			it.clock = minute
		case it.clock >= 0 && minute > it.clock && again:
			it.clocks = append(it.clocks, minute)
		}
	} else {
		r.clock, r.again = minute, again
	}
	r.clockEnd = at.End
	return r.read(i, n)
}

// andWords join two times of day, in the languages that are read.
var andWords = []string{"", "and", "und", "et", "y", "e", "i"}

// joined says whether a time of day stands straight behind another, or behind an "and":
// "9:30-14:00" is how long a thing lasts, and "home 4pm" is none of it.
func (r *workReader) joined(at Span) bool {
	return r.clockEnd > 0 && r.clockEnd <= at.Start && slices.Contains(andWords, strings.ToLower(strings.Trim(r.text[r.clockEnd:at.Start], " ,;/&+")))
}

// timedEvent is the last event that had a time of day behind it.
type timedEvent struct {
	first   int // of its starts
	session Session
	minutes float64
	usual   bool // of the usual length
}

// starts keeps when a piece begins, where it is an event, and says how often it is done:
// two times of day are two events of the usual length, or share the length she gives.
func (r *workReader) starts(it piece, s Session, usual bool) (times int) {
	times = it.times
	if !r.isEvent(it) {
		return times
	}
	r.out.Event = true
	if it.clock < 0 {
		return times
	}
	all := append([]int{it.clock}, it.clocks...)
	if usual {
		times = max(times, len(all))
	}
	r.timed = timedEvent{first: len(r.begun), session: s, minutes: s.Total() * float64(times), usual: usual}
	for _, at := range all {
		r.begun = append(r.begun, yard.EventStart{Min: at, Minutes: r.timed.minutes / float64(len(all))})
	}
	return times
}

// lastClock gives a time of day that nothing followed to the event before it.
func (r *workReader) lastClock() {
	if r.clock < 0 || !r.again || len(r.begun) == 0 || slices.ContainsFunc(r.begun, func(e yard.EventStart) bool { return e.Min >= r.clock }) {
		return
	}
	e := yard.EventStart{Min: r.clock, Minutes: r.timed.session.Total()}
	if r.timed.usual {
		r.out.Sessions = append(r.out.Sessions, r.timed.session)
	} else {
		of := r.begun[r.timed.first:]
		e.Minutes = r.timed.minutes / float64(len(of)+1)
		for i := range of {
			of[i].Minutes = e.Minutes
		}
	}
	r.begun = append(r.begun, e)
}
