package phrase

import (
	"cmp"
	"math"
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
	tok := r.toks[i]
	own := senses[0].Language == ""
	if short := n == 1 && tok.End-tok.Start <= 2; short && !own {
		first := r.w.t.Languages()[0]
		c, _ := utf8.DecodeRuneInString(r.text[tok.Start:])
		code := unicode.IsUpper(c) || i+1 < len(r.toks) && r.toks[i+1].Kind == lexicon.Number || i > 0 && r.toks[i-1].Kind == lexicon.Number
		senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool {
			switch s.Section {
			case "rest":
				return s.Language != first || !tok.Upper // "to" and "do" are no codes
			case "work", "events", "paces", "illness", "fate", "visits":
				return s.Language != first || !code
			case "fillers":
				return s.Language != first && code && unicode.IsUpper(c)
			}
			return false
		})
		if len(senses) == 0 {
			return lexicon.Sense{}, 0
		}
	}
	best, rank := lexicon.Sense{}, math.MaxInt
	for k, s := range senses {
		lang := slices.Index(r.w.t.Languages(), s.Language)
		if rk := 100*slices.Index(workOrder, s.Section) + k; lang <= 0 && rk < rank || rank == math.MaxInt {
			best, rank = s, rk
			if lang > 0 {
				best, rank = s, 10000*lang+rk
			}
		} else if lang > 0 && 10000*lang+rk < rank {
			best, rank = s, 10000*lang+rk
		}
	}
	return best, n
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
	toks := r.toks
	if s.Key == "box rest" && s.Language != "en" && n == 1 && len(toks) > i+1 && toks[i+1].Kind == lexicon.Number {
		return r.read(i, n) // "Box 7"
	}
	half := false // "off am": the other half may be worked
	if m, k := r.w.t.Match(toks, i+n, "meals"); k > 0 && (m.Key == "am" || m.Key == "pm") {
		half = true
	}
	begins := len(r.items) == 0 && !r.pending.on
	if begins {
		r.said, r.free = true, true
		if r.out.Free == Working || r.out.Free == Turnout {
			r.out.Free = Free(s.Key)
		}
		r.resting = r.resting || s.Key == "rest" && !half
		r.boxed = r.boxed || s.Key == "box rest" && !half
		return r.read(i, n)
	}
	if w := toks[i].Text; s.Key == "rest" && n == 1 && (w == "off" || w == "out" || w == "free") {
		return r.read(i, n)
	}
	r.resting = r.resting || s.Key == "rest" && !half
	r.boxed = r.boxed || s.Key == "box rest" && !half
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

func (r *workReader) filler(i int, s lexicon.Sense, n int) int {
	toks := r.toks
	switch s.Key {
	case "led":
		r.led = true
	case "hills":
		r.hills = true
	case "each rein":
		r.eachRein(spanOf(toks, i, n))
	case "with":
		// Who rides changes nothing; the words up to the next mark or word of work
		// are a name.
		n := r.read(i, n)
		for i+n < len(toks) && toks[i+n].Kind == lexicon.Word {
			if s, k := r.sense(i + n); k > 0 && (s.Section == "work" || s.Section == "paces" || s.Section == ownWork || s.Section == "events" || s.Section == "fillers" && (s.Key == "hills" || s.Key == "led")) {
				break
			}
			r.out.Unread = append(r.out.Unread, toks[i+n].Span)
			n++
		}
		return n
	case "after":
		// "off after show": what follows is why.
		if r.said && len(r.items) == 0 {
			r.remark = true
		}
	}
	if w := toks[i].Text; n == 1 && (w == "and" || w == "then" || w == "plus" || w == "und" || w == "et" || w == "puis" || w == "y" || w == "luego" || w == "danach" || w == "dann") {
		r.endSession()
	}
	return r.read(i, n)
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
	toks, t := r.toks, r.w.t
	am, n := t.Match(toks, i, "meals")
	if n == 0 || am.Key != "am" || i+n >= len(toks) {
		return 0
	}
	j := i + n
	slash := toks[j].Text == "/"
	switch _, k := t.Match(toks, j, "number joins"); {
	case slash || toks[j].Text == "+":
		j++
	case k > 0:
		j += k
	default:
		return 0
	}
	pm, n := t.Match(toks, j, "meals")
	if n == 0 || pm.Key != "pm" {
		return 0
	}
	j += n
	switch end := j >= len(toks) || toks[j].Kind == lexicon.Mark && toks[j].Text != ":"; {
	case end && slash && (len(r.items) > 0 || r.pending.on):
		r.doubt(WhichTimes, spanOf(toks, i, j-i), r.word(i, j-i))
	case end && len(r.items) > 0:
		r.repeat(2, spanOf(toks, i, j-i), true)
	case end && r.pending.on:
		r.pending.d.Minutes *= 2
		r.pending.d.Value *= 2
	case len(r.items) == 0 && !r.pending.on && !slash:
		r.timesAhead = 2
	default:
		return 0
	}
	return r.read(i, j-i)
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
