package phrase

import (
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
	r.doubt(UnknownWord, r.cell.toks[i].Span)
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
	d, n := quantity.ReadDate(r.cell.w.t, r.cell.text, r.cell.toks, i)
	if n == 0 || d.Month == 0 || r.cell.listed(i) {
		return 0
	}
	behind := r.part.remark || len(r.part.items) == 0 && i > 0 && (r.out.Visit != "" || r.part.said)
	if !d.Weak || d.Day != 0 && behind {
		return r.unread(d.Span, n)
	}
	return 0
}

// soMany takes "2x", "2 x 30", "2 x hack". Of "hack 30 x2" the number is the minutes.
func (r *workReader) soMany(i int) int {
	toks, tok := r.cell.toks, r.cell.toks[i]
	if !tok.Whole || i+1 >= len(toks) || toks[i+1].Text != "x" || tok.Value < 1 || tok.Value > 20 {
		return 0
	}
	_, unit := quantity.ReadUnit(r.cell.w.t, toks, i+3, quantity.Time)
	p := r.part.last()
	if p != nil && !p.given && !(i+2 < len(toks) && toks[i+2].Kind == lexicon.Number && (toks[i+2].Value > tok.Value || unit > 0)) {
		return 0
	}
	if p != nil && !p.given {
		p.times *= int(tok.Value) // "lesson 2 x 30"
	} else {
		r.part.timesAhead = int(tok.Value)
	}
	return r.read(i, 2)
}

// hourOfDay takes "9am" and "6 Uhr".
func (r *workReader) hourOfDay(i int) int {
	m, n := ReadClock(r.cell.w.t, r.cell.text, r.cell.toks, i)
	if w := r.cell.next(i + 1); n > 0 && (w == "am" || w == "pm" || w == "uhr") {
		return r.clockTime(i, m, n)
	}
	return 0
}

// startOfEvent takes "10.30" behind an event.
func (r *workReader) startOfEvent(i int) int {
	m, ok := dotted(r.cell.toks[i].Of(r.cell.text))
	if p := r.part.last(); !ok || p == nil || !r.part.kinds.isEvent(*p) {
		return 0
	}
	if _, k := quantity.ReadUnit(r.cell.w.t, r.cell.toks, i+1, quantity.Time); k > 0 {
		return 0
	}
	return r.clockTime(i, m, 1)
}

// oftenInFigures takes "2 times a day".
func (r *workReader) oftenInFigures(i int) int {
	if s, n := r.cell.w.t.Match(r.cell.toks, i, "times"); n > 1 {
		return r.often(i, s, n)
	}
	return 0
}

// lot takes lots and floors: "1st lot".
func (r *workReader) lot(i int) int {
	if _, n := r.cell.w.t.Match(r.cell.toks, i, "fillers"); n > 1 {
		return r.read(i, n)
	}
	return 0
}

// yearOfRemark takes a year in a remark.
func (r *workReader) yearOfRemark(i int) int {
	tok := r.cell.toks[i]
	if !tok.Whole || tok.Value < firstYear || tok.Value > lastYear || !r.part.remark && r.out.Fate == "" {
		return 0
	}
	if _, n := quantity.ReadDuration(r.cell.w.t, r.cell.toks, i); n != 1 {
		return 0
	}
	return r.unread(tok.Span, 1)
}

// Years that may stand in a remark (ours).
const firstYear, lastYear = 1990, 2100

// length takes a length of time.
func (r *workReader) length(i int) int {
	d, n := quantity.ReadDuration(r.cell.w.t, r.cell.toks, i)
	if n == 0 {
		return 0
	}
	return r.duration(i, d, n)
}

// duration gives a length of time to the piece before it, or keeps it for the
// one behind it.
func (r *workReader) duration(i int, d quantity.Duration, n int) int {
	at := r.cell.span(i, n)
	r.read(i, n)
	if d.High != 0 {
		r.doubt(ARange, at)
	}
	if r.cell.toks[i].Other != 0 || n == 2 && d.Value >= fewestMetres && r.cell.toks[i+1].Text == "m" {
		r.doubt(HowMuch, at)
	}
	r.part.take(d, at, d.Unit != "" && r.cell.begins(i+n))
	return n
}

// often takes "twice a day".
func (r *workReader) often(i int, s lexicon.Sense, n int) int {
	if v := s.Key[0]; v >= '1' && v <= '9' {
		if len(r.part.items) > 0 {
			r.part.repeat(int(v-'0'), r.cell.span(i, n), true)
		} else if r.part.pending.on {
			r.part.pending.d.Minutes *= float64(v - '0')
			r.part.pending.d.Value *= float64(v - '0')
		} else {
			r.part.timesAhead = int(v - '0')
		}
	}
	return r.read(i, n)
}
