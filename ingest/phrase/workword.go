package phrase

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// sense picks what the words at token i mean. Codes of one or two letters are
// known in the yard's own language only, and only with a capital or a number.
func (r *workReader) sense(i int) (lexicon.Sense, int) {
	senses, n := r.w.t.Senses(r.toks, i, workSections...)
	if n == 0 {
		return lexicon.Sense{}, 0
	}
	if n == 1 && r.toks[i].End-r.toks[i].Start <= 2 && senses[0].Language != "" {
		senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return !r.mayBeCode(i, s) })
		if len(senses) == 0 {
			return lexicon.Sense{}, 0
		}
	}
	// The yard's language first, the others in their order; then the section.
	rank := func(k int) int {
		return 10000*max(0, slices.Index(r.w.t.Languages(), senses[k].Language)) + 100*slices.Index(workOrder, senses[k].Section) + k
	}
	best := 0
	for k := range senses {
		if rank(k) < rank(best) {
			best = k
		}
	}
	return senses[best], n
}

// mayBeCode says whether one or two letters at token i may have a meaning: "to" and "do"
// are not codes.
func (r *workReader) mayBeCode(i int, s lexicon.Sense) bool {
	number := func(k int) bool { return k >= 0 && k < len(r.toks) && r.toks[k].Kind == lexicon.Number }
	c, _ := utf8.DecodeRuneInString(r.text[r.toks[i].Start:])
	code := unicode.IsUpper(c) || number(i+1) || number(i-1)
	home := s.Language == r.w.t.Languages()[0]
	switch s.Section {
	case "rest":
		return home && r.toks[i].Upper
	case "work", "events", "paces", "illness", "fate", "visits":
		return home && code
	case "fillers":
		return home || !code || !unicode.IsUpper(c)
	}
	return true
}

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
	s, n := r.sense(i)
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
	_, k := r.w.t.Match(r.toks, i, "numbers", "articles")
	if k == 0 || k < n || k == n && s.Section != "fillers" {
		return 0
	}
	d, m := quantity.ReadDuration(r.w.t, r.toks, i)
	if m == 0 {
		return 0
	}
	return r.duration(i, d, m)
}

// dateInWords leaves a date unread: "3 January", "Mon 4th".
func (r *workReader) dateInWords(i int, _ lexicon.Sense, n int) int {
	d, m := quantity.ReadDate(r.w.t, r.text, r.toks, i)
	if m <= n || d.Month == 0 {
		return 0
	}
	return r.unread(d.Span, m)
}

// weekOfPlan leaves "wk 2" of a plan unread.
func (r *workReader) weekOfPlan(i int, _ lexicon.Sense, _ int) int {
	k, m := r.w.t.Match(r.toks, i, "week")
	if m == 0 || k.Key != "week" || r.toks[i].End-r.toks[i].Start <= 1 || i+m >= len(r.toks) || !r.toks[i+m].Whole {
		return 0
	}
	return r.unread(spanOf(r.toks, i, m+1), m+1)
}

// inPlace is what a word means where it stands: "jump 45 incl warm up" only describes,
// and of "20 walk & trot 10" the number belongs to the walk.
func (r *workReader) inPlace(i int, s lexicon.Sense, n int) (lexicon.Sense, int) {
	if p := r.last(); p != nil && p.given && !r.comma && s.Section == "work" {
		if f, m := r.w.t.Match(r.toks, i, "fillers"); m == n && f.Key == "filler" {
			s = f
		}
	}
	if (s.Key == "walk and trot" || s.Key == "walk trot canter") && r.pending.on {
		if p, m := r.w.t.Match(r.toks, i, "paces"); m > 0 {
			return p, m
		}
	}
	return s, n
}

// ownWord takes a word of her legend or a session of her table.
func (r *workReader) ownWord(i int, s lexicon.Sense, n int) int {
	at, l := spanOf(r.toks, i, n), r.w.own[s.Key]
	r.add(piece{kind: l.Kind, own: &l, name: cmp.Or(l.Name, lowered(at.Of(r.text))), span: at})
	return r.read(i, n)
}

// kindOfWork takes a word of work or an event. Hills and roads behind a piece of work say
// where it was: "hack 60 (hills)".
func (r *workReader) kindOfWork(i int, s lexicon.Sense, n int) int {
	at := spanOf(r.toks, i, n)
	switch {
	case s.Section == "work" && (s.Key == "hills" || s.Key == "roads") && len(r.items) > 0 && !r.comma:
		r.hills = r.hills || s.Key == "hills"
	case s.Key == "jump" && r.jumpsCounted(at):
		return n
	case s.Section == "work" || !r.remark:
		r.add(piece{kind: s.Key, name: r.oneOf(at, s), span: at})
	}
	return r.read(i, n)
}

func (r *workReader) pace(i int, s lexicon.Sense, n int) int {
	at := spanOf(r.toks, i, n)
	r.add(piece{pace: true, letter: r.toks[i].End-r.toks[i].Start == 1, gait: gaitOf[s.Key], name: s.Key, span: at})
	return r.read(i, n)
}

// visit takes who comes, with how long: "clip 2 hrs".
func (r *workReader) visit(i int, s lexicon.Sense, n int) int {
	if r.out.Visit == "" || s.Key == "lame" {
		r.out.Visit = s.Key
	}
	r.remark = r.remark || r.idle()
	if d, k := quantity.ReadDuration(r.w.t, r.toks, i+n); k > 0 && d.Unit != "" && r.idle() && !r.begins(i+n+k) {
		return r.read(i, n) + r.unread(d.Span, k)
	}
	return r.read(i, n)
}

func (r *workReader) ill(i int, _ lexicon.Sense, n int) int {
	r.remark = r.remark || r.idle()
	return r.unread(spanOf(r.toks, i, n), n)
}

func (r *workReader) gone(i int, s lexicon.Sense, n int) int {
	if r.idle() {
		r.out.Fate = s.Key
		r.remark, r.free = true, true
	}
	return r.read(i, n)
}

// denied takes "no jumping", "not ridden": what it denies is not work.
func (r *workReader) denied(i int, _ lexicon.Sense, n int) int {
	if i+n < len(r.toks) {
		if _, k := r.sense(i + n); k > 0 {
			return r.unread(spanOf(r.toks, i, n+k), n+k)
		}
	}
	return r.read(i, n)
}

// lowered is a name as written, in small letters with single blanks.
func lowered(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), "-", " ")), " ")
}

// oneOf is the name of one piece of work as written: "2 lessons" are each a lesson.
func (r *workReader) oneOf(at Span, s lexicon.Sense) string {
	name := lowered(at.Of(r.text))
	if one, ok := strings.CutSuffix(name, "s"); ok {
		if k, is := r.w.t.Has(one, s.Section); is && k == s.Key {
			return one
		}
	}
	return name
}

var gaitOf = map[string]yard.Gait{"walk": yard.Walk, "trot": yard.Trot, "canter": yard.Canter, "gallop": yard.Gallop, "jump": yard.Jump}

// rest takes a word for a day without work.
func (r *workReader) rest(i int, s lexicon.Sense, n int) int {
	begins := r.idle()
	switch {
	case s.Key == "box rest" && s.Language != "en" && n == 1 && len(r.toks) > i+1 && r.toks[i+1].Kind == lexicon.Number: // "Box 7"
		return r.read(i, n)
	case !begins && s.Key == "rest" && n == 1 && (r.toks[i].Text == "off" || r.toks[i].Text == "out" || r.toks[i].Text == "free"): // "hack 45, cool off"
		return r.read(i, n)
	case begins && (r.out.Free == Working || r.out.Free == Turnout):
		r.out.Free = Free(s.Key)
	}
	if m, k := r.w.t.Match(r.toks, i+n, "meals"); k == 0 || m.Key != "am" && m.Key != "pm" { // "off am": the other half may be worked
		r.resting = r.resting || s.Key == "rest"
		r.boxed = r.boxed || s.Key == "box rest"
	}
	r.said, r.free = true, true
	return r.read(i, n)
}

// way takes "as Mon", "or", "all week".
func (r *workReader) way(i int, s lexicon.Sense, n int) int {
	switch s.Key {
	case "as":
		if len(r.items) > 0 || r.pending.on {
			break
		}
		j := i + n
		if d, k := quantity.ReadWeekday(r.w.t, r.toks, j); k > 0 {
			r.out.Ref = &Ref{Span: spanOf(r.toks, i, n+k), Weekday: d}
			r.free = true
			return r.read(i, n+k)
		}
		if j < len(r.toks) && r.toks[j].Kind == lexicon.Word {
			r.out.Ref = &Ref{Span: spanOf(r.toks, i, len(r.toks)-i), Weekday: -1, Other: spanOf(r.toks, j, len(r.toks)-j).Of(r.text)}
			return r.read(i, len(r.toks)-i)
		}
	case "or":
		r.doubt(AQuestion, spanOf(r.toks, i, n), r.word(i, n))
		r.comma = true // "hack or school 45" is not one piece
	case "all week":
		r.out.AllWeek = true
	}
	return r.read(i, n)
}

// fillersDo is what words beside the work do, by their keys; the others are only read.
var fillersDo = map[string]func(r *workReader, i, n int){
	"led":       func(r *workReader, _, _ int) { r.led = true },
	"hills":     func(r *workReader, _, _ int) { r.hills = true },
	"each rein": func(r *workReader, i, n int) { r.eachRein(spanOf(r.toks, i, n)) },
	// "off after show": what follows is why.
	"after": func(r *workReader, _, _ int) { r.remark = r.remark || r.said && len(r.items) == 0 },
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
	if n == 1 && partings[r.toks[i].Text] {
		r.endSession()
	}
	return r.read(i, n)
}

// rider takes "with Anna": who rides changes nothing; the words up to the next mark or
// word of work are a name.
func (r *workReader) rider(i, n int) int {
	n = r.read(i, n)
	for i+n < len(r.toks) && r.toks[i+n].Kind == lexicon.Word && !r.begins(i+n) {
		if s, k := r.sense(i + n); k > 0 && s.Section == "fillers" && (s.Key == "hills" || s.Key == "led") {
			break
		}
		n += r.unread(r.toks[i+n].Span, 1)
	}
	return n
}

// eachRein doubles the minutes of a piece that are said of one rein.
func (r *workReader) eachRein(at Span) {
	k := len(r.items) - 1
	if k < 0 || !r.items[k].given || r.items[k].span.End > at.Start {
		return
	}
	if r.items[k].minutes > mostEachRein {
		r.doubt(HowMuch, at, at.Of(r.text))
		return
	}
	r.items[k].minutes *= 2
}

// bothHalves takes "am & pm" behind or before what is done twice; "am/pm" may be
// either.
func (r *workReader) bothHalves(i int) int {
	n, slash := r.amAndPM(i)
	if n == 0 {
		return 0
	}
	j := i + n
	end := j >= len(r.toks) || r.toks[j].Kind == lexicon.Mark && r.toks[j].Text != ":"
	switch {
	case r.idle() && !slash:
		r.timesAhead = 2
	case r.idle() || !end:
		return 0
	case slash:
		r.doubt(WhichTimes, spanOf(r.toks, i, n), r.word(i, n))
	case len(r.items) > 0:
		r.repeat(2, spanOf(r.toks, i, n), true)
	default:
		r.pending.d.Minutes *= 2
		r.pending.d.Value *= 2
	}
	return r.read(i, n)
}

// amAndPM reads "am & pm", "am + pm" and "am/pm" at token i.
func (r *workReader) amAndPM(i int) (n int, slash bool) {
	t, toks := r.w.t, r.toks
	am, k := t.Match(toks, i, "meals")
	j := i + k
	if k == 0 || am.Key != "am" || j >= len(toks) {
		return 0, false
	}
	slash = toks[j].Text == "/"
	if _, k := t.Match(toks, j, "number joins"); slash || toks[j].Text == "+" {
		j++
	} else if k > 0 {
		j += k
	} else {
		return 0, false
	}
	pm, k := t.Match(toks, j, "meals")
	if k == 0 || pm.Key != "pm" {
		return 0, false
	}
	return j + k - i, slash
}

// jumpsCounted takes a number before "jumps": how many there are, and no minutes. In
// a bracket behind the work it says nothing more; elsewhere it has to be asked.
func (r *workReader) jumpsCounted(at Span) bool {
	p := r.pending
	if !p.on || p.d.Unit != "" || !strings.HasSuffix(strings.ToLower(at.Of(r.text)), "s") {
		return false
	}
	if r.depth > 0 && len(r.items) > 0 {
		r.pending = pendingNumber{}
		r.out.Unread = append(r.out.Unread, p.span, at)
		return true
	}
	r.doubt(HowMuch, p.span, p.span.Of(r.text))
	return false
}
