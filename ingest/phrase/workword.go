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

func (r *workReader) wordAt(i int) int {
	toks := r.toks
	tok := toks[i]
	if n := r.bothHalves(i); n > 0 {
		return n
	}
	s, n := r.sense(i)
	if _, k := r.w.t.Match(toks, i, "numbers", "articles"); k > n || k > 0 && k == n && s.Section == "fillers" || n == 0 && k > 0 {
		if d, m := quantity.ReadDuration(r.w.t, toks, i); m > 0 {
			return r.duration(i, d, m)
		}
	}
	if d, m := quantity.ReadDate(r.w.t, r.text, toks, i); m > n && d.Month != 0 {
		r.out.Unread = append(r.out.Unread, d.Span)
		return m
	}
	// "wk 2" of a plan
	if k, m := r.w.t.Match(toks, i, "week"); m > 0 && k.Key == "week" && tok.End-tok.Start > 1 && i+m < len(toks) && toks[i+m].Whole {
		r.out.Unread = append(r.out.Unread, spanOf(toks, i, m+1))
		return m + 1
	}
	if n == 0 {
		return r.unknown(i)
	}
	at := spanOf(toks, i, n)
	if k := len(r.items); k > 0 && r.items[k-1].given && !r.comma && s.Section == "work" {
		if f, m := r.w.t.Match(toks, i, "fillers"); m == n && f.Key == "filler" { // "jump 45 incl warm up"
			s = f
		}
	}
	if (s.Key == "walk and trot" || s.Key == "walk trot canter") && r.pending.on { // "20 walk & trot 10"
		if p, m := r.w.t.Match(toks, i, "paces"); m > 0 {
			s, n, at = p, m, spanOf(toks, i, m)
		}
	}
	switch s.Section {
	case ownWork:
		l := r.w.own[s.Key]
		r.add(piece{kind: l.Kind, own: &l, name: cmp.Or(l.Name, lowered(at.Of(r.text))), span: at})
	case "rest":
		return r.rest(i, s, n)
	case "events", "work":
		if k := len(r.items); s.Section == "work" && (s.Key == "hills" || s.Key == "roads") && k > 0 && !r.comma {
			r.hills = r.hills || s.Key == "hills" // "hack 60 (hills)"
			break
		}
		if s.Key == "jump" && r.jumpsCounted(at) {
			return n
		}
		if s.Section == "work" || !r.remark {
			r.add(piece{kind: s.Key, name: r.named1(at, s), span: at})
		}
	case "paces":
		r.add(piece{pace: true, letter: tok.End-tok.Start == 1, gait: gaitOf[s.Key], name: s.Key, span: at})
	case "visits":
		if r.out.Visit == "" || s.Key == "lame" {
			r.out.Visit = s.Key
		}
		r.remark = r.remark || len(r.items) == 0 && !r.pending.on
		if d, k := quantity.ReadDuration(r.w.t, toks, i+n); k > 0 && d.Unit != "" && len(r.items) == 0 && !r.pending.on && !r.begins(i+n+k) { // "clip 2 hrs"
			r.out.Unread = append(r.out.Unread, d.Span)
			return r.read(i, n) + k
		}
	case "times":
		return r.often(i, s, n)
	case "illness":
		r.remark = r.remark || len(r.items) == 0 && !r.pending.on
		r.out.Unread = append(r.out.Unread, at)
		return n
	case "fate":
		if len(r.items) == 0 && !r.pending.on {
			r.out.Fate = s.Key
			r.remark, r.free = true, true
		}
	case "ways":
		return r.way(i, s, n)
	case "fillers":
		return r.filler(i, s, n)
	case "negation":
		// "no jumping", "not ridden": what it denies is not work.
		if _, k := r.sense(min(i+n, len(toks)-1)); k > 0 && i+n < len(toks) {
			r.out.Unread = append(r.out.Unread, spanOf(toks, i, n+k))
			return n + k
		}
	}
	return r.read(i, n)
}

// lowered is a name as written, in small letters with single blanks.
func lowered(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), "-", " ")), " ")
}

// named1 is the name of one piece of work as written: "2 lessons" are each a lesson.
func (r *workReader) named1(at Span, s lexicon.Sense) string {
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

// unknown takes a word nobody knows: a remark where one may stand, a slip of the
// pen, or a doubt.
func (r *workReader) unknown(i int) int {
	tok := r.toks[i]
	if _, n := r.w.t.Match(r.toks, i, "number joins", "amounts"); n > 0 {
		if s, _ := r.w.t.Match(r.toks, i, "number joins"); s.Key == "and" {
			r.endSession()
			return r.read(i, n)
		}
	}
	if r.remark || r.depth > 0 && len(r.items) > 0 {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	if r.person(i) {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	if fixed := r.slip(tok.Text); fixed != "" {
		r.out.Corrected = append(r.out.Corrected, [2]string{tok.Of(r.text), fixed})
		toks := slices.Clone(r.toks)
		toks[i].Text = fixed
		r.toks = toks
		return r.wordAt(i)
	}
	if r.code(i) {
		// A code of hers with its minutes: how long is said, what is ours, and told.
		r.add(piece{kind: "exercise", name: tok.Of(r.text), span: tok.Span})
		r.out.Defaults = append(r.out.Defaults, Default{Span: tok.Span, Word: tok.Of(r.text)})
		return r.read(i, 1)
	}
	d := Doubt{Kind: UnknownWord, Span: tok.Span, Word: tok.Of(r.text), Near: r.near(tok.Text)}
	r.out.Doubts = append(r.out.Doubts, d)
	r.strange = true
	return 1
}

// person says whether token i is the name of whoever rides: an unknown word with
// one capital beside a piece of work, with no number of its own.
func (r *workReader) person(i int) bool {
	tok := r.toks[i]
	c, n := utf8.DecodeRuneInString(r.text[tok.Start:])
	if !unicode.IsUpper(c) || tok.Upper || tok.End-tok.Start-n < 1 || r.near(tok.Text) != "" {
		return false
	}
	if i+1 < len(r.toks) && r.toks[i+1].Kind == lexicon.Number || r.pending.on {
		return false
	}
	return len(r.items) > 0 && r.items[len(r.items)-1].given || r.begins(i+1)
}

// code says whether token i is an abbreviation of hers with a length of time
// right beside it: up to three letters that begin with a capital.
func (r *workReader) code(i int) bool {
	tok := r.toks[i]
	if c, _ := utf8.DecodeRuneInString(r.text[tok.Start:]); tok.End-tok.Start > 4 || !unicode.IsUpper(c) {
		return false
	}
	if i+2 < len(r.toks) && tok.End-tok.Start == 1 && r.toks[i+2].End-r.toks[i+2].Start == 1 {
		if _, n := r.w.t.Match(r.toks, i+2, "paces"); n > 0 {
			return false // "P20 T15" is paces of another language
		}
	}
	long := func(d quantity.Duration) bool { return d.Unit != "" || d.Value >= fewestMinutes }
	if i+1 < len(r.toks) && (r.toks[i+1].Kind == lexicon.Number || r.toks[i+1].Kind == lexicon.Word) {
		if d, n := quantity.ReadDuration(r.w.t, r.toks, i+1); n > 0 && d.High == 0 && long(d) {
			return true
		}
	}
	if i+3 < len(r.toks) && r.toks[i+1].Whole && r.toks[i+2].Text == "x" { // "L 2 x 1hr"
		if d, n := quantity.ReadDuration(r.w.t, r.toks, i+3); n > 0 && d.High == 0 && long(d) {
			return true
		}
	}
	return r.pending.on && long(r.pending.d)
}

// slip is the word that has two letters the wrong way round, where there is one
// such word of work alone.
func (r *workReader) slip(word string) string {
	if len(word) < 5 {
		return ""
	}
	found := ""
	b := []byte(word)
	for k := 0; k+1 < len(b); k++ {
		if b[k] == b[k+1] || b[k] >= 0x80 || b[k+1] >= 0x80 {
			continue
		}
		b[k], b[k+1] = b[k+1], b[k]
		try := string(b)
		b[k], b[k+1] = b[k+1], b[k]
		if _, n := r.w.t.Match([]lexicon.Token{{Text: try}}, 0, ownWork, "work", "rest", "events", "paces"); n > 0 {
			if found != "" {
				return ""
			}
			found = try
		}
	}
	return found
}

// near is a known word of work that differs from word in little.
func (r *workReader) near(word string) string {
	if near, ok := r.w.near.Load(word); ok {
		return near.(string)
	}
	near := r.w.t.Nearest(word, ownWork, "work", "rest", "events", "paces")
	r.w.near.Store(word, near)
	return near
}

func (r *workReader) isEvent(p piece) bool {
	if p.own != nil && p.own.Event {
		return true
	}
	return !p.pace && r.w.kinds[p.kind].Event
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
