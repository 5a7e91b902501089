package phrase

import (
	"cmp"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// workDoes is what the words of a section do: each is given the word's first token, its
// sense and how many tokens it has, and says how many were taken. Words of a section
// without a row are only read.
var workDoes = map[string]func(r *workReader, i int, s lexicon.Sense, n int) int{
	ownWork: (*workReader).ownWord, "rest": (*workReader).rest, "events": (*workReader).kindOfWork, "work": (*workReader).kindOfWork, "paces": (*workReader).pace,
	"visits": (*workReader).visit, "times": (*workReader).often, "illness": (*workReader).ill, "fate": (*workReader).gone, "ways": (*workReader).way, "fillers": (*workReader).filler, "negation": (*workReader).denied,
}

func (r *workReader) wordAt(i int) int {
	if n := r.bothHalves(i); n > 0 {
		return n
	}
	s, n := r.cell.sense(i)
	for _, take := range []func(int, lexicon.Sense, int) int{r.numberInWords, r.dateInWords, r.weekOfPlan} {
		if k := take(i, s, n); k > 0 {
			return k
		}
	}
	if n == 0 {
		return r.unknown(i)
	}
	s, n = r.inPlace(i, s, n)
	if do := workDoes[s.Section]; do != nil {
		return do(r, i, s, n)
	}
	return r.read(i, n)
}

// numberInWords takes "half an hour", "eine halbe Stunde", unless more words there mean
// something else.
func (r *workReader) numberInWords(i int, s lexicon.Sense, n int) int {
	_, k := r.cell.w.t.Match(r.cell.toks, i, "numbers", "articles")
	if k == 0 || k < n || k == n && s.Section != "fillers" {
		return 0
	}
	d, m := quantity.ReadDuration(r.cell.w.t, r.cell.toks, i)
	if m == 0 {
		return 0
	}
	return r.duration(i, d, m)
}

// dateInWords leaves a date unread: "3 January", "Mon 4th".
func (r *workReader) dateInWords(i int, _ lexicon.Sense, n int) int {
	d, m := quantity.ReadDate(r.cell.w.t, r.cell.text, r.cell.toks, i)
	if m <= n || d.Month == 0 {
		return 0
	}
	return r.unread(d.Span, m)
}

// weekOfPlan leaves "wk 2" of a plan unread.
func (r *workReader) weekOfPlan(i int, _ lexicon.Sense, _ int) int {
	k, m := r.cell.w.t.Match(r.cell.toks, i, "week")
	if m == 0 || k.Key != "week" || r.cell.toks[i].End-r.cell.toks[i].Start <= 1 || i+m >= len(r.cell.toks) || !r.cell.toks[i+m].Whole {
		return 0
	}
	return r.unread(r.cell.span(i, m+1), m+1)
}

// inPlace is what a word means where it stands: "jump 45 incl warm up" only describes,
// and of "20 walk & trot 10" the number belongs to the walk.
func (r *workReader) inPlace(i int, s lexicon.Sense, n int) (lexicon.Sense, int) {
	if p := r.part.last(); p != nil && p.given && !r.part.comma && s.Section == "work" {
		if f, m := r.cell.w.t.Match(r.cell.toks, i, "fillers"); m == n && f.Key == "filler" {
			s = f
		}
	}
	if (s.Key == "walk and trot" || s.Key == "walk trot canter") && r.part.pending.on {
		if p, m := r.cell.w.t.Match(r.cell.toks, i, "paces"); m > 0 {
			return p, m
		}
	}
	return s, n
}

// add takes a piece of work, with the time of day that waits for one.
func (r *workReader) add(it piece) {
	if r.part.add(it) {
		r.times.give(r.part.last())
	}
}

// ownWord takes a word of her legend or a session of her table.
func (r *workReader) ownWord(i int, s lexicon.Sense, n int) int {
	at, l := r.cell.span(i, n), r.cell.w.own[s.Key]
	r.add(piece{kind: l.Kind, own: &l, name: cmp.Or(l.Name, lowered(at.Of(r.cell.text))), span: at})
	return r.read(i, n)
}

// kindOfWork takes a word of work or an event. Hills and roads behind a piece of work say
// where it was: "hack 60 (hills)".
func (r *workReader) kindOfWork(i int, s lexicon.Sense, n int) int {
	at := r.cell.span(i, n)
	switch {
	case s.Section == "work" && (s.Key == "hills" || s.Key == "roads") && len(r.part.items) > 0 && !r.part.comma:
		r.part.hills = r.part.hills || s.Key == "hills"
	case s.Key == "jump" && r.jumpsCounted(at):
		return n
	case s.Section == "work" || !r.part.remark:
		r.add(piece{kind: s.Key, name: r.cell.oneOf(at, s), span: at})
	}
	return r.read(i, n)
}

func (r *workReader) pace(i int, s lexicon.Sense, n int) int {
	at := r.cell.span(i, n)
	r.add(piece{pace: true, letter: r.cell.toks[i].End-r.cell.toks[i].Start == 1, gait: gaitOf[s.Key], name: s.Key, span: at})
	return r.read(i, n)
}

// visit takes who comes, with how long: "clip 2 hrs".
func (r *workReader) visit(i int, s lexicon.Sense, n int) int {
	if r.out.Visit == "" || s.Key == "lame" {
		r.out.Visit = s.Key
	}
	r.part.remark = r.part.remark || r.part.idle()
	if d, k := quantity.ReadDuration(r.cell.w.t, r.cell.toks, i+n); k > 0 && d.Unit != "" && r.part.idle() && !r.cell.begins(i+n+k) {
		return r.read(i, n) + r.unread(d.Span, k)
	}
	return r.read(i, n)
}

func (r *workReader) ill(i int, _ lexicon.Sense, n int) int {
	r.part.remark = r.part.remark || r.part.idle()
	return r.unread(r.cell.span(i, n), n)
}

func (r *workReader) gone(i int, s lexicon.Sense, n int) int {
	if r.part.idle() {
		r.out.Fate = s.Key
		r.part.remark, r.free = true, true
	}
	return r.read(i, n)
}

// denied takes "no jumping", "not ridden": what it denies is not work.
func (r *workReader) denied(i int, _ lexicon.Sense, n int) int {
	if i+n < len(r.cell.toks) {
		if _, k := r.cell.sense(i + n); k > 0 {
			return r.unread(r.cell.span(i, n+k), n+k)
		}
	}
	return r.read(i, n)
}

// lowered is a name as written, in small letters with single blanks.
func lowered(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), "-", " ")), " ")
}

var gaitOf = map[string]yard.Gait{"walk": yard.Walk, "trot": yard.Trot, "canter": yard.Canter, "gallop": yard.Gallop, "jump": yard.Jump}

// rest takes a word for a day without work.
func (r *workReader) rest(i int, s lexicon.Sense, n int) int {
	begins := r.part.idle()
	switch {
	case s.Key == "box rest" && s.Language != "en" && n == 1 && len(r.cell.toks) > i+1 && r.cell.toks[i+1].Kind == lexicon.Number: // "Box 7"
		return r.read(i, n)
	case !begins && s.Key == "rest" && n == 1 && (r.cell.toks[i].Text == "off" || r.cell.toks[i].Text == "out" || r.cell.toks[i].Text == "free"): // "hack 45, cool off"
		return r.read(i, n)
	case begins && (r.out.Free == Working || r.out.Free == Turnout):
		r.out.Free = Free(s.Key)
	}
	if m, k := r.cell.w.t.Match(r.cell.toks, i+n, "meals"); k == 0 || m.Key != "am" && m.Key != "pm" { // "off am": the other half may be worked
		r.resting = r.resting || s.Key == "rest"
		r.boxed = r.boxed || s.Key == "box rest"
	}
	r.part.said, r.free = true, true
	return r.read(i, n)
}

// way takes "as Mon", "or", "all week".
func (r *workReader) way(i int, s lexicon.Sense, n int) int {
	switch s.Key {
	case "as":
		if len(r.part.items) > 0 || r.part.pending.on {
			break
		}
		j := i + n
		if d, k := quantity.ReadWeekday(r.cell.w.t, r.cell.toks, j); k > 0 {
			r.out.Ref = &Ref{Span: r.cell.span(i, n+k), Weekday: d}
			r.free = true
			return r.read(i, n+k)
		}
		if j < len(r.cell.toks) && r.cell.toks[j].Kind == lexicon.Word {
			r.out.Ref = &Ref{Span: r.cell.span(i, len(r.cell.toks)-i), Weekday: -1, Other: r.cell.span(j, len(r.cell.toks)-j).Of(r.cell.text)}
			return r.read(i, len(r.cell.toks)-i)
		}
	case "or":
		r.doubt(AQuestion, r.cell.span(i, n))
		r.part.comma = true // "hack or school 45" is not one piece
	case "all week":
		r.out.AllWeek = true
	}
	return r.read(i, n)
}

// fillersDo is what words beside the work do, by their keys; the others are only read.
var fillersDo = map[string]func(r *workReader, i, n int){
	"led":       func(r *workReader, _, _ int) { r.part.led = true },
	"hills":     func(r *workReader, _, _ int) { r.part.hills = true },
	"each rein": func(r *workReader, i, n int) { r.part.eachRein(r.cell.span(i, n)) },
	// "off after show": what follows is why.
	"after": func(r *workReader, _, _ int) { r.part.remark = r.part.remark || r.part.said && len(r.part.items) == 0 },
}

// partings are fillers that end a piece of work.
var partings = map[string]bool{"and": true, "then": true, "plus": true, "und": true, "et": true, "puis": true, "y": true, "luego": true, "danach": true, "dann": true}

func (r *workReader) filler(i int, s lexicon.Sense, n int) int {
	if s.Key == "with" {
		return r.rider(i, n)
	}
	if do := fillersDo[s.Key]; do != nil {
		do(r, i, n)
	}
	if n == 1 && partings[r.cell.toks[i].Text] {
		r.endSession()
	}
	return r.read(i, n)
}

// rider takes "with Anna": who rides changes nothing; the words up to the next mark or
// word of work are a name.
func (r *workReader) rider(i, n int) int {
	n = r.read(i, n)
	for i+n < len(r.cell.toks) && r.cell.toks[i+n].Kind == lexicon.Word && !r.cell.begins(i+n) {
		if s, k := r.cell.sense(i + n); k > 0 && s.Section == "fillers" && (s.Key == "hills" || s.Key == "led") {
			break
		}
		n += r.unread(r.cell.toks[i+n].Span, 1)
	}
	return n
}

// bothHalves takes "am & pm" behind or before what is done twice; "am/pm" may be
// either.
func (r *workReader) bothHalves(i int) int {
	n, slash := r.cell.amAndPM(i)
	if n == 0 {
		return 0
	}
	j := i + n
	end := j >= len(r.cell.toks) || r.cell.toks[j].Kind == lexicon.Mark && r.cell.toks[j].Text != ":"
	switch {
	case r.part.idle() && !slash:
		r.part.timesAhead = 2
	case r.part.idle() || !end:
		return 0
	case slash:
		r.doubt(WhichTimes, r.cell.span(i, n))
	case len(r.part.items) > 0:
		r.part.repeat(2, r.cell.span(i, n), true)
	default:
		r.part.pending.d.Minutes *= 2
		r.part.pending.d.Value *= 2
	}
	return r.read(i, n)
}

// jumpsCounted takes a number before "jumps": how many there are, and no minutes. In
// a bracket behind the work it says nothing more; elsewhere it has to be asked.
func (r *workReader) jumpsCounted(at Span) bool {
	p := r.part.pending
	if !p.on || p.d.Unit != "" || !strings.HasSuffix(strings.ToLower(at.Of(r.cell.text)), "s") {
		return false
	}
	if r.depth > 0 && len(r.part.items) > 0 {
		r.part.pending = pendingNumber{}
		r.out.Unread = append(r.out.Unread, p.span, at)
		return true
	}
	r.doubt(HowMuch, p.span)
	return false
}
