package phrase

import (
	"slices"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// sign is a legend's sign, and the first token of the word before it.
type sign struct{ at, left int }

// workWords reads what words of work mean and how long they are.
func (w *Words) workWords(text string, toks []lexicon.Token, before []Definition) []Definition {
	taken := func(s Span) bool {
		return slices.ContainsFunc(before, func(d Definition) bool { return d.Span.Start < s.End && s.Start < d.Span.End })
	}
	signs := w.signs(text, toks)
	var out []Definition
	for n, s := range signs {
		to := len(toks)
		if n+1 < len(signs) {
			to = signs[n+1].left
		}
		for _, d := range before { // what another part of the legend says is no part of this
			if i := slices.IndexFunc(toks, func(k lexicon.Token) bool { return k.Start >= d.Span.Start }); i > s.at {
				to = min(to, i)
			}
		}
		to = meaningEnds(text, toks, s.at+1, to, n+1 < len(signs))
		left, whole := spanOf(toks, s.left, s.at-s.left), Span{}
		if s.at+1 < to {
			whole = spanOf(toks, s.left, to-s.left)
		}
		if s.at+1 >= to || taken(whole) {
			continue
		}
		if d, ok := w.meaning(text, toks, s.at+1, to, left.Of(text), toks[s.at].Text == "=" || w.lasts(toks, s.at)); ok {
			d.Span = whole
			out = append(out, d)
			// "rally, games = 1 h" is two words of one length: not read.
		}
	}
	return out
}

// signs are the signs of a text with a word before them that they may define.
func (w *Words) signs(text string, toks []lexicon.Token) []sign {
	var signs []sign
	for i, k := range toks {
		equal, dash := k.Text == "=", k.Text == "-" && !k.Glued
		verb := w.lasts(toks, i)
		if i == 0 || !equal && !dash && k.Text != ":" && !verb {
			continue
		}
		before := -1
		if n := len(signs); n > 0 {
			before = signs[n-1].at
		}
		left := w.defined(text, toks, i, before)
		if left >= i || toks[left].Kind != lexicon.Word {
			continue
		}
		if verb {
			if _, n := w.t.Match(toks, left, "work", "events"); n != i-left {
				continue // "Bella is 15 hands"
			}
		}
		// A dash or a colon defines only a short word.
		if !equal && (i-left > 2 || dash && i-left > 1 && left > 0 && !gapped(text, toks, left)) {
			continue
		}
		signs = append(signs, sign{i, left})
	}
	return signs
}

// lasts says whether token i is a verb between a word of work and its length: "lessons are
// 45 mins", "a hack takes 1 h".
func (w *Words) lasts(toks []lexicon.Token, i int) bool {
	s, n := w.t.Match(toks, i, "legend")
	if n != 1 || s.Key != "is" && s.Key != "lasts" || toks[i].Kind != lexicon.Word {
		return false
	}
	d, n := quantity.ReadDuration(w.t, toks, i+1)
	return n > 0 && d.Unit != ""
}

// defined is the first token of the word that a sign at token i defines. Behind a
// number's unit, and where nothing parts it from what the sign before defined, it is the
// last word alone.
func (w *Words) defined(text string, toks []lexicon.Token, i, before int) int {
	left := wordBefore(text, toks, i)
	if before >= 0 && left <= before+1 {
		left = i - 1
	}
	for left > 0 && left < i-1 && toks[left-1].Kind == lexicon.Number {
		_, n := quantity.ReadUnit(w.t, toks, left, quantity.Time)
		if n == 0 {
			break
		}
		left += n
	}
	return left
}

// mostDefinedWords is how many tokens the word that a legend defines may have (ours).
const mostDefinedWords = 5

// wordBefore is the first token of the words that stand together before token i.
func wordBefore(text string, toks []lexicon.Token, i int) int {
	left := i
	for left > 0 && i-left < mostDefinedWords && !(left < i && gapped(text, toks, left)) {
		p := toks[left-1]
		joins := p.Text == "/" && toks[left].Glued && p.Glued || p.Text == "-" && p.Glued || p.Text == "&" && left-1 > 0
		if p.Kind == lexicon.Mark && !joins || p.Kind == lexicon.Number || p.Kind == lexicon.Clock {
			break
		}
		left--
	}
	for left < i && toks[left].Kind == lexicon.Mark {
		left++
	}
	return left
}

// meaningEnds is where what is behind a sign ends: at a line's end, a gap, or, where
// more is defined, a comma outside brackets.
func meaningEnds(text string, toks []lexicon.Token, from, to int, more bool) int {
	depth := 0
	for j := from; j < to; j++ {
		switch {
		case toks[j].Text == "(":
			depth++
		case toks[j].Text == ")":
			depth--
		case depth > 0:
		case stops(toks[j]) || toks[j].Text == "," && more || j > from && gapped(text, toks, j):
			return j
		}
	}
	return to
}

// meaningReader reads what is behind a legend's sign: a length, a word, both.
type meaningReader struct {
	w     *Words
	sub   []lexicon.Token // up to the meaning's end
	d     Definition
	given bool    // a length was read
	sum   float64 // of the paces that make it up
	depth int     // brackets open
	other bool    // it is no length but an amount: "AM: 2 scoops"

	pace, rest, work *lexicon.Sense // the first word of each
}

// meaning reads what is behind a legend's sign.
func (w *Words) meaning(text string, toks []lexicon.Token, from, to int, word string, equal bool) (Definition, bool) {
	r := meaningReader{w: w, sub: toks[:to], d: Definition{Kind: WorkLength, Word: word}}
	for i := from; i < to && !r.other; {
		switch r.sub[i].Text {
		case "(":
			r.depth++
		case ")":
			r.depth--
		}
		if n := r.length(i); n > 0 {
			i += n
		} else {
			i += r.word(i)
		}
	}
	if r.other || !r.mayDefine(equal, w.workPhrase(text, toks, from, to)) {
		return r.d, false
	}
	r.kind()
	return r.definition()
}

// minutes is a length of time where a number alone is minutes.
func minutes(d quantity.Duration) float64 {
	if d.Unit == "" {
		return d.Value
	}
	return d.Minutes
}

// length takes the length of the whole, or of a pace behind it: "70 min (45 walk, 15
// trot)".
func (r *meaningReader) length(i int) int {
	if k := r.sub[i].Kind; k != lexicon.Number && k != lexicon.Word {
		return 0
	}
	t := r.w.t
	d, n := quantity.ReadDuration(t, r.sub, i)
	if n == 0 {
		return 0
	}
	_, measure := t.Match(r.sub, i+n, "measures")
	if _, unit := quantity.ReadUnit(t, r.sub, i+n, quantity.Mass, quantity.Volume); measure > 0 || unit > 0 && d.Unit == "" {
		r.other = true
		return n
	}
	if g, k := t.Match(r.sub, i+n, "paces"); k > 0 && r.given {
		r.paced(g, d)
		return n + k
	}
	switch {
	case d.High != 0:
		r.other = true
	case !r.given && (d.Unit != "" || d.Value >= fewestMinutes):
		r.d.Length.Minutes, r.given = minutes(d), true
	}
	return n
}

// paced adds minutes at a pace.
func (r *meaningReader) paced(g lexicon.Sense, d quantity.Duration) {
	r.d.Length.Gaits[gaitOf[g.Key]] += minutes(d)
	r.sum += minutes(d)
}

// word takes a word of work, a pace or a rest.
func (r *meaningReader) word(i int) int {
	senses, n := r.w.t.Senses(r.sub, i, "rest", "work", "events", "paces")
	if n == 0 {
		return 1
	}
	s := preferred(senses, "rest", "events", "paces", "work")
	if r.sub[i].End-r.sub[i].Start <= 2 && s.Language != r.w.t.Languages()[0] {
		return n
	}
	first := func(at **lexicon.Sense) {
		if *at == nil {
			*at = &s
		}
	}
	switch s.Section {
	case "paces":
		if d, k := quantity.ReadDuration(r.w.t, r.sub, i+n); k > 0 && r.depth > 0 && r.pace == nil {
			r.paced(s, d)
			return n + k
		}
		first(&r.pace)
	case "rest":
		first(&r.rest)
	case "work", "events":
		first(&r.work)
	}
	return n
}

// mayDefine says whether the word may be defined at all, and in d.Sure whether it can be
// nothing else. Her own word says what it is, where we know it, or it is short for the
// words behind; "Jo – hack 60" is somebody's.
func (r *meaningReader) mayDefine(equal bool, phrase string) bool {
	word := r.d.Word
	r.d.Sure = equal || abbreviates(word, phrase)
	if k, ok := r.w.t.Has(word, "work", "events"); ok && r.work != nil && k == r.work.Key {
		r.d.Sure = true // "HW – walker 40"
	}
	_, pace := r.w.t.Has(word, "paces")
	return r.d.Sure || r.ownKind().Section != "" || pace
}

// ownKind is the kind of work the word itself, or its beginning, is known for.
func (r *meaningReader) ownKind() lexicon.Sense {
	senses, _ := r.w.t.Senses(lexicon.Scan(r.d.Word), 0, "work", "events", "paces")
	return preferred(senses, "work", "events")
}

// paceKinds is the kind of work that a pace with a length stands for.
var paceKinds = map[string]string{"canter": "canter work", "gallop": "fast", "jump": "jump", "trot": "hack"}

// kind settles the kind of work: of an abbreviation the words behind say it, else the
// word itself where it is known.
func (r *meaningReader) kind() {
	l := &r.d.Length
	if len(r.d.Word) <= 3 && r.work != nil {
		l.Kind = r.work.Key
	}
	if own := r.ownKind(); l.Kind == "" && own.Section != "" {
		if _, whole := r.w.t.Has(r.d.Word, "work", "events"); whole {
			l.Kind = own.Key
		}
	}
	if l.Kind == "" && r.work != nil {
		l.Kind = r.work.Key
	}
	if g, ok := r.w.t.Has(r.d.Word, "paces"); ok && l.Kind == "" && r.given {
		l.Kind = paceKinds[g]
		if g == "walk" {
			l.Gaits[yard.Walk] = l.Minutes
		}
	}
}

// definition is what was read, and whether it defines anything.
func (r *meaningReader) definition() (Definition, bool) {
	d := r.d
	if r.given {
		l := &d.Length
		if r.sum > 0 && (r.sum > l.Minutes+.5 || r.sum < l.Minutes-.5) {
			l.Gaits = [yard.Gaits]float64{}
		}
		kind := r.w.kinds[l.Kind]
		l.Event, l.Led = kind.Event, kind.Led
		if _, is := r.w.t.Has(d.Word, "events"); is && l.Kind == "" {
			l.Event = true
		}
		return d, true
	}
	d.Kind = Meaning
	switch {
	case r.rest != nil && r.work == nil && r.pace == nil:
		d.Section, d.Key = "rest", r.rest.Key
	case r.pace != nil && r.work == nil:
		d.Section, d.Key = "paces", r.pace.Key
	case r.work != nil:
		d.Section, d.Key = r.work.Section, r.work.Key
	default:
		return d, false
	}
	return d, d.Sure
}

// workPhrase is the first words of work between two tokens, folded.
func (w *Words) workPhrase(text string, toks []lexicon.Token, from, to int) string {
	for i := from; i < to; i++ {
		if _, n := w.t.Match(toks[:to], i, "rest", "work", "events", "paces"); n > 0 {
			return lexicon.Fold(spanOf(toks, i, n).Of(text))
		}
	}
	return ""
}

// abbreviates says whether a short word is made of letters of a phrase, in order,
// and begins as it does: "Hk" of hack, "LR" of lead rein.
func abbreviates(word, phrase string) bool {
	code := lexicon.Fold(strings.Join(strings.Fields(strings.ReplaceAll(word, "/", "")), ""))
	if code == "" || len(code) > 4 || phrase == "" || code[0] != phrase[0] || len(code) >= len(phrase) {
		return false
	}
	k := 0
	for i := 0; i < len(phrase) && k < len(code); i++ {
		if phrase[i] == code[k] {
			k++
		}
	}
	return k == len(code)
}
