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

// eventTimes are the times of day in a cell, and the events they are the start of.
type eventTimes struct {
	clock int  // waiting for an event; -1: none
	again bool // that time stands straight behind another one
	end   int  // where the time of day before ends in the text
	begun []yard.EventStart
	timed timedEvent
}

// clockTime takes a time of day: of the piece before it, a further one of an event, or one
// that waits for an event behind it.
func (r *workReader) clockTime(i, minute, n int) int {
	r.times.take(minute, r.cell.span(i, n), r.cell.text, r.part.last())
	return r.read(i, n)
}

// take takes a time of day at a place of a text, behind a piece of work; nil: none.
func (e *eventTimes) take(minute int, at Span, text string, last *piece) {
	again := e.joined(at, text)
	switch {
	case last == nil:
		e.clock, e.again = minute, again
	case last.clock == -1:
		last.clock = minute
	case last.clock >= 0 && minute > last.clock && again:
		last.clocks = append(last.clocks, minute)
	}
	e.end = at.End
}

// give gives a piece of work the time of day that waits for one.
func (e *eventTimes) give(it *piece) {
	if e.clock >= 0 {
		it.clock, e.clock = e.clock, -1
	}
}

// andWords join two times of day, in the languages that are read.
var andWords = []string{"", "and", "und", "et", "y", "e", "i"}

// joined says whether a time of day stands straight behind another, or behind an "and":
// "9:30-14:00" is how long a thing lasts, and "home 4pm" is none of it.
func (e *eventTimes) joined(at Span, text string) bool {
	return e.end > 0 && e.end <= at.Start && slices.Contains(andWords, strings.ToLower(strings.Trim(text[e.end:at.Start], " ,;/&+")))
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
func (e *eventTimes) starts(it piece, s Session, event, usual bool) (times int) {
	times = it.times
	if !event || it.clock < 0 {
		return times
	}
	all := append([]int{it.clock}, it.clocks...)
	if usual {
		times = max(times, len(all))
	}
	e.timed = timedEvent{first: len(e.begun), session: s, minutes: s.Total() * float64(times), usual: usual}
	for _, at := range all {
		e.begun = append(e.begun, yard.EventStart{Min: at, Minutes: e.timed.minutes / float64(len(all))})
	}
	return times
}

// last gives a time of day that nothing followed to the event before it.
func (e *eventTimes) last(out *Work) {
	if e.clock < 0 || !e.again || len(e.begun) == 0 || slices.ContainsFunc(e.begun, func(s yard.EventStart) bool { return s.Min >= e.clock }) {
		return
	}
	start := yard.EventStart{Min: e.clock, Minutes: e.timed.session.Total()}
	if e.timed.usual {
		out.Sessions = append(out.Sessions, e.timed.session)
	} else {
		of := e.begun[e.timed.first:]
		start.Minutes = e.timed.minutes / float64(len(of)+1)
		for i := range of {
			of[i].Minutes = start.Minutes
		}
	}
	e.begun = append(e.begun, start)
}
