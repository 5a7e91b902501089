package quantity

import (
	"hardfeed/ingest/lexicon"
)

// Duration is a length of time as it stands in a text.
type Duration struct {
	lexicon.Span
	Value   float64 // the number as written, without regard to a unit
	Minutes float64 // 0 where no unit was said
	Unit    string  // "min" or "h", "" where none was said
	High    float64 // the upper end of a range, in the unit of Value; else 0
}

// ReadDuration reads a length of time at token i: "45", "45 min", "45'", "1hr
// 15", "1h15", "1 1/2 hrs", "an hour and a half", "half an hour", "1:15 h".
func ReadDuration(t *lexicon.Table, toks []lexicon.Token, i int) (Duration, int) {
	if i < len(toks) && toks[i].Kind == lexicon.Clock {
		if u, n := ReadUnit(t, toks, i+1, Time); n > 0 && u == "h" {
			return Duration{Span: span(toks, i, 1+n), Value: float64(toks[i].Minute) / 60, Minutes: float64(toks[i].Minute), Unit: "h"}, 1 + n
		}
		return Duration{}, 0
	}
	num, n := ReadRange(t, toks, i)
	if n == 0 {
		return Duration{}, 0
	}
	d := Duration{Span: num.Span, Value: num.Value, High: num.High}
	if s, k := t.Match(toks, i+n, "amounts"); k > 0 && s.Key == "of" && num.Value < 1 && !num.IsRange() { // "three quarters of an hour"
		_, a := t.Match(toks, i+n+k, "articles")
		if u, m := ReadUnit(t, toks, i+n+k+a, Time); m > 0 && u == "h" {
			d.Unit, d.Minutes, d.End = u, 60*num.Value, toks[i+n+k+a+m-1].End
			return d, n + k + a + m
		}
	}
	u, k := ReadUnit(t, toks, i+n, Time)
	if k == 0 {
		return d, n
	}
	n += k
	d.Unit, d.End = u, toks[i+n-1].End
	d.Minutes = num.Value * units[u].per
	if u != "h" || num.IsRange() {
		return d, n
	}
	if f, m := ReadAndFraction(t, toks, i+n); m > 0 { // "una hora y media"
		d.Minutes += 60 * f
		d.Value += f
		n += m
		d.End = toks[i+n-1].End
		return d, n
	}
	if s, m := t.Match(toks, i+n, "numbers"); m > 0 && s.Key == "0.5" && num.Value == float64(int(num.Value)) { // "1 Stunde halb" is nobody's way; "1h ½" is
		return d, n
	}
	if num.Value != float64(int(num.Value)) {
		return d, n
	}
	// "1hr 15", "1 h 15 min", "1 hour and 15 minutes"; not "1h 30 trot".
	j := i + n
	if _, m := t.Match(toks, j, "number joins"); m > 0 {
		if toks[j].Kind != lexicon.Word {
			return d, n // "1 hr & 15 min lunge" is two
		}
		if more, w := ReadNumber(t, toks, j+m); w > 0 {
			if u2, k2 := ReadUnit(t, toks, j+m+w, Time); k2 > 0 && u2 == "min" && more.Value < 60 {
				d.Minutes += more.Value
				d.Value = d.Minutes / 60
				n += m + w + k2
				d.End = toks[i+n-1].End
			}
		}
		return d, n
	}
	if j < len(toks) && toks[j].Kind == lexicon.Number && !toks[j].Whole && toks[j].Value < 1 && !toks[j].Glued { // "1h ½"
		d.Minutes += 60 * toks[j].Value
		d.Value = d.Minutes / 60
		d.End = toks[j].End
		return d, n + 1
	}
	if j < len(toks) && toks[j].Kind == lexicon.Number && toks[j].Whole && toks[j].Value < 60 {
		u2, k2 := ReadUnit(t, toks, j+1, Time)
		_, pace := t.Match(toks, j+1, "paces")
		if k2 > 0 && u2 == "h" {
			return d, n
		}
		// "1hr 10 canter" is seventy minutes of it where nothing stands before.
		alone := i == 0 || toks[i-1].Kind == lexicon.Mark
		if pace > 0 && alone {
			if more := j + 1 + pace; more < len(toks) && toks[more].Kind == lexicon.Number {
				alone = false // "1h 30 trot 20 walk"
			}
		}
		if k2 > 0 || toks[j].Glued || pace == 0 || alone {
			d.Minutes += toks[j].Value
			d.Value = d.Minutes / 60
			n += 1 + k2
			d.End = toks[i+n-1].End
		}
	}
	return d, n
}
