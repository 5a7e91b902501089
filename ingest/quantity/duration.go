package quantity

import (
	"math"

	"hardfeed/ingest/lexicon"
)

// Duration is a length of time as it is in a text.
type Duration struct {
	lexicon.Span
	Value   float64 // the number as written, without regard to a unit
	Minutes float64 // 0 where no unit was said
	Unit    string  // "min" or "h", "" where none was said
	High    float64 // the upper end of a range, in the unit of Value; else 0
}

// durationReader reads a length of time from token i on; n is how many tokens it took so
// far.
type durationReader struct {
	t    *lexicon.Table
	toks []lexicon.Token
	i, n int
	num  Number
	d    Duration
}

// ReadDuration reads a length of time at token i: "45", "45 min", "45'", "1hr
// 15", "1h15", "1 1/2 hrs", "an hour and a half", "half an hour", "1:15 h".
func ReadDuration(t *lexicon.Table, toks []lexicon.Token, i int) (Duration, int) {
	if i < len(toks) && toks[i].Kind == lexicon.Clock {
		return hoursOnTheClock(t, toks, i)
	}
	r := durationReader{t: t, toks: toks, i: i}
	r.num, r.n = ReadRange(t, toks, i)
	if r.n == 0 {
		return Duration{}, 0
	}
	r.d = Duration{Span: r.num.Span, Value: r.num.Value, High: r.num.High}
	if !r.partOfAnHour() && r.unit() && r.d.Unit == "h" && !r.num.IsRange() {
		r.restOfHours()
	}
	return r.d, r.n
}

// hoursOnTheClock reads "1:15 h".
func hoursOnTheClock(t *lexicon.Table, toks []lexicon.Token, i int) (Duration, int) {
	u, n := ReadUnit(t, toks, i+1, Time)
	if n == 0 || u != "h" {
		return Duration{}, 0
	}
	m := float64(toks[i].Minute)
	return Duration{Span: span(toks, i, 1+n), Value: m / 60, Minutes: m, Unit: "h"}, 1 + n
}

// take counts n more tokens in.
func (r *durationReader) take(n int) {
	r.n += n
	r.d.End = r.toks[r.i+r.n-1].End
}

// partOfAnHour reads "three quarters of an hour".
func (r *durationReader) partOfAnHour() bool {
	j := r.i + r.n
	s, k := r.t.Match(r.toks, j, "amounts")
	if k == 0 || s.Key != "of" || r.num.Value >= 1 || r.num.IsRange() {
		return false
	}
	_, a := r.t.Match(r.toks, j+k, "articles")
	u, m := ReadUnit(r.t, r.toks, j+k+a, Time)
	if m == 0 || u != "h" {
		return false
	}
	r.d.Unit, r.d.Minutes = u, 60*r.num.Value
	r.take(k + a + m)
	return true
}

// unit reads the unit of time.
func (r *durationReader) unit() bool {
	u, k := ReadUnit(r.t, r.toks, r.i+r.n, Time)
	if k == 0 {
		return false
	}
	r.d.Unit, r.d.Minutes = u, r.num.Value*units[u].per
	r.take(k)
	return true
}

// restOfHours reads what is behind whole hours and belongs to them.
func (r *durationReader) restOfHours() {
	j := r.i + r.n
	if f, m := ReadAndFraction(r.t, r.toks, j); m > 0 { // "una hora y media"
		r.d.Minutes += 60 * f
		r.d.Value += f
		r.take(m)
		return
	}
	if s, m := r.t.Match(r.toks, j, "numbers"); m > 0 && s.Key == "0.5" || r.num.Value != math.Trunc(r.num.Value) {
		return
	}
	if _, m := r.t.Match(r.toks, j, "number joins"); m > 0 {
		r.andMinutes(j, m)
		return
	}
	if j >= len(r.toks) || r.toks[j].Kind != lexicon.Number {
		return
	}
	switch tok := r.toks[j]; {
	case !tok.Whole && tok.Value < 1 && !tok.Glued: // "1h ½"
		r.add(60*tok.Value, 1)
	case tok.Whole && tok.Value < 60:
		r.minutesBehind(j)
	}
}

// add adds minutes that n tokens say.
func (r *durationReader) add(minutes float64, n int) {
	r.d.Minutes += minutes
	r.d.Value = r.d.Minutes / 60
	r.take(n)
}

// andMinutes reads "1 hour and 15 minutes", with the word that joins at token j; "1 hr &
// 15 min lunge" is two.
func (r *durationReader) andMinutes(j, m int) {
	if r.toks[j].Kind != lexicon.Word {
		return
	}
	more, w := ReadNumber(r.t, r.toks, j+m)
	if w == 0 {
		return
	}
	if u, k := ReadUnit(r.t, r.toks, j+m+w, Time); k > 0 && u == "min" && more.Value < 60 {
		r.add(more.Value, m+w+k)
	}
}

// minutesBehind reads the minutes at token j of "1hr 15" and "1 h 15 min"; not "1h 30
// trot", but "1hr 10 canter" is seventy minutes of it where nothing is before.
func (r *durationReader) minutesBehind(j int) {
	u, k := ReadUnit(r.t, r.toks, j+1, Time)
	if k > 0 && u == "h" {
		return
	}
	_, pace := r.t.Match(r.toks, j+1, "paces")
	alone := r.i == 0 || r.toks[r.i-1].Kind == lexicon.Mark
	if more := j + 1 + pace; pace > 0 && more < len(r.toks) && r.toks[more].Kind == lexicon.Number {
		alone = false // "1h 30 trot 20 walk"
	}
	if k > 0 || r.toks[j].Glued || pace == 0 || alone {
		r.add(r.toks[j].Value, 1+k)
	}
}
