package phrase

import (
	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// mostFromTo is the longest stretch between two times of day that is taken for how long the
// work is (ours): "8:00-8:45". A longer one is when somebody is there.
const mostFromTo = 180

// fromTo takes two times of day with a dash between them for the length of the work between;
// of an event the first is when it begins.
func (r *workReader) fromTo(i int) int {
	from, n := r.cell.hourWithMinutes(i)
	if n == 0 || r.cell.next(i+n) != "-" {
		return 0
	}
	to, k := r.cell.hourWithMinutes(i + n + 1)
	m := to - from
	if k == 0 || m < fewestMinutes || m > mostFromTo {
		return 0
	}
	all := n + 1 + k
	if p := r.part.last(); p != nil && r.part.kinds.isEvent(*p) || r.cell.eventAt(i+all) {
		r.read(i, all)
		r.clockTime(i, from, n)
		return all
	}
	return r.duration(i, quantity.Duration{Span: r.cell.span(i, all), Value: float64(m), Minutes: float64(m), Unit: "min"}, all)
}

// earliestDotted is the first hour at which "8.00-8.45" is two times of day (ours): "1.30-2.15"
// may be hours and minutes.
const earliestDotted = 6 * 60

// hourWithMinutes is a time of day at token i that has its minutes: "8:45", "8.45".
func (c *workText) hourWithMinutes(i int) (minute, n int) {
	if i >= len(c.toks) {
		return 0, 0
	}
	switch t := c.toks[i]; t.Kind {
	case lexicon.Clock:
		m, k := halfOfDay(c.toks, i+1, t.Minute)
		return m, 1 + k
	case lexicon.Number:
		if m, ok := dotted(t.Of(c.text)); ok && m >= earliestDotted {
			v, k := halfOfDay(c.toks, i+1, m)
			return v, 1 + k
		}
	}
	return 0, 0
}

// eventAt says whether a word for an event is at token i.
func (c *workText) eventAt(i int) bool {
	if i >= len(c.toks) {
		return false
	}
	s, n := c.sense(i)
	return n > 0 && s.Section == "events"
}
