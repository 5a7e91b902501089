package phrase

import (
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// weighed is one measure's weight on its way.
type weighed struct {
	count    float64
	measure  string
	word     string
	from, to int // the tokens of the feed's name; from is -1 as long as there is none
	value    float64
	unit     string
	size     string // "heaped", where it says so
	start    int    // tokens
	end      int
}

// weightReader walks over a legend for what measures of feeds weigh.
type weightReader struct {
	w     *Words
	text  string
	toks  []lexicon.Token
	cur   weighed
	found []weighed
	// measure and word go on for the feeds behind: "Scoop: nuts 1.7 kg, oats 1 kg".
	measure, word string
}

// weightPieces are what may begin at a token, in the order they are tried: each says
// how many tokens it took, 0 for none. What none takes is a word of a feed's name.
var weightPieces = []func(*weightReader, int) int{
	(*weightReader).lineEnd, (*weightReader).size, (*weightReader).rate, (*weightReader).measureHere, (*weightReader).number, (*weightReader).legendOrMark, (*weightReader).littleWord,
}

// measureWeights reads what measures of feeds weigh.
func (w *Words) measureWeights(text string, toks []lexicon.Token) []Definition {
	r := weightReader{w: w, text: text, toks: toks, cur: weighed{count: 1, from: -1}}
	for i := 0; i < len(toks); {
		if i > 0 && gapped(text, toks, i) || stops(toks[i]) {
			r.finish(i)
			r.cur.from = -1
		}
		i += r.step(i)
	}
	r.finish(len(toks))
	return r.definitions()
}

func (r *weightReader) step(i int) int {
	for _, take := range weightPieces {
		if n := take(r, i); n > 0 {
			return n
		}
	}
	return r.name(i)
}

// finish keeps what was read up to token i, where a weight is in it.
func (r *weightReader) finish(i int) {
	if r.cur.value <= 0 {
		return
	}
	r.cur.end = i
	r.found = append(r.found, r.cur)
	r.cur = weighed{count: 1, from: -1, start: i, measure: r.measure, word: r.word}
}

// measureAt is the measure or unit of volume at token i.
func (r *weightReader) measureAt(i int) (key, word string, n int) {
	s, n := r.w.t.Match(r.toks, i, "measures")
	key = s.Key
	if n == 0 {
		key, n = quantity.ReadUnit(r.w.t, r.toks, i, quantity.Volume)
	}
	if n == 0 {
		return "", "", 0
	}
	return key, spanOf(r.toks, i, n).Of(r.text), n
}

// lineEnd takes the end of a line: what was said of a measure ends there.
func (r *weightReader) lineEnd(i int) int {
	if !stops(r.toks[i]) {
		return 0
	}
	r.measure, r.word, r.cur.measure = "", "", ""
	return 1
}

// size takes "heaped" and the like.
func (r *weightReader) size(i int) int {
	_, n := r.w.t.Match(r.toks, i, "sizes")
	if n == 0 {
		return 0
	}
	r.finish(i)
	r.cur.size = lexicon.Fold(spanOf(r.toks, i, n).Of(r.text))
	return n
}

// rate takes "a scoop" behind a weight: "1.5 kg a scoop".
func (r *weightReader) rate(i int) int {
	_, n := r.w.t.Match(r.toks, i, "rates")
	if n == 0 || r.cur.value <= 0 {
		return 0
	}
	m, word, k := r.measureAt(i + n)
	if k == 0 {
		return 0
	}
	r.cur.measure, r.cur.word = m, word
	r.finish(i + n + k)
	return n + k
}

// measureHere takes a measure without a number.
func (r *weightReader) measureHere(i int) int {
	m, word, n := r.measureAt(i)
	if n == 0 || r.cur.from >= 0 && r.cur.value == 0 && r.cur.measure != "" && r.cur.to == i {
		return 0
	}
	r.finish(i)
	r.cur.measure, r.cur.word = m, word
	if r.cur.from < 0 {
		r.measure, r.word = m, word
	}
	return n
}

// number takes a weight, so many measures, or a figure whose unit comes with the next.
func (r *weightReader) number(i int) int {
	num, n := quantity.ReadNumber(r.w.t, r.toks, i)
	if n == 0 || num.Word && r.cur.from >= 0 {
		return 0
	}
	if u, k := quantity.ReadUnit(r.w.t, r.toks, i+n, quantity.Mass); k > 0 {
		r.finish(i)
		r.cur.value, r.cur.unit = num.Value, u
		return n + k + r.ounces(i+n+k, u)
	}
	if k := r.soMany(i, i+n, num.Value); k > 0 {
		return n + k
	}
	if r.cur.value == 0 && r.cur.from >= 0 {
		r.cur.value = num.Value
	}
	return n
}

// ounces takes the "8 oz" of "1 lb 8 oz".
func (r *weightReader) ounces(i int, unit string) int {
	more, m := quantity.ReadNumber(r.w.t, r.toks, i)
	if m == 0 || unit != "lb" {
		return 0
	}
	u, k := quantity.ReadUnit(r.w.t, r.toks, i+m, quantity.Mass)
	if k == 0 || u != "oz" {
		return 0
	}
	r.cur.value += more.Value / 16
	return m + k
}

// soMany takes the measures behind a number at token i that ends before token j: "2
// heaped scoops".
func (r *weightReader) soMany(i, j int, count float64) int {
	from, size := j, r.cur.size
	for {
		_, k := r.w.t.Match(r.toks, j, "sizes")
		if k == 0 {
			break
		}
		size = lexicon.Fold(spanOf(r.toks, j, k).Of(r.text))
		j += k
	}
	m, word, k := r.measureAt(j)
	if k == 0 {
		return 0
	}
	r.finish(i)
	if r.cur.from < 0 || r.cur.value == 0 && r.cur.measure == "" {
		r.cur = weighed{count: count, from: r.cur.from, to: r.cur.to, start: i, size: size, measure: m, word: word}
		r.measure, r.word = m, word
	}
	return j + k - from
}

// legendOrMark takes signs and words of legends; a comma and its like end what was
// weighed.
func (r *weightReader) legendOrMark(i int) int {
	tok := r.toks[i]
	s, n := r.w.t.Match(r.toks, i, "legend")
	if n == 0 && tok.Kind != lexicon.Mark {
		return 0
	}
	switch tok.Text {
	case ",", "/", "+", "&":
		if r.cur.value <= 0 && r.cur.from >= 0 && tok.Text == "," {
			r.cur.from = -1
		}
		r.finish(i + 1)
	}
	if n > 0 && s.Key != "is" && tok.Kind == lexicon.Word {
		return n
	}
	return 1
}

// littleWord takes "of", "with", "about", "or".
func (r *weightReader) littleWord(i int) int {
	if s, n := r.w.t.Match(r.toks, i, "amounts"); n > 0 && (s.Key == "of" || s.Key == "with") {
		if s.Key == "with" {
			r.finish(i + n)
		}
		return n
	}
	if s, n := r.w.t.Match(r.toks, i, "qualifiers"); n > 0 && r.toks[i].Kind == lexicon.Word && (s.Key == "approx" || s.Key == "or") {
		if s.Key == "or" {
			r.finish(i + n)
		}
		return n
	}
	return 0
}

// name takes a word of a feed's name: of the next weight, or of the one before where
// weights are before their feeds ("1 scoop = 1.5 kg nuts / 1.2 kg mix").
func (r *weightReader) name(i int) int {
	_, n := r.w.t.Match(r.toks, i, "feeds")
	if c := &r.cur; c.value > 0 && c.unit != "" && c.from < 0 && n > 0 && r.w.endsWithFeed(r.text, r.toks, i) {
		c.from, c.to = i, i+n
		r.finish(i + n)
		return n
	}
	r.finish(i)
	n = max(n, 1)
	if r.cur.from < 0 {
		r.cur.from = i
	}
	r.cur.to = i + n
	return n
}

// mostNameWords is how many tokens a feed's name may have in a legend (ours); more are
// a sentence.
const mostNameWords = 4

// definitions are the measures whose weight is known.
func (r *weightReader) definitions() []Definition {
	unit := ""
	for k := len(r.found) - 1; k >= 0; k-- { // "nuts 1.4, mix 1.05 kg": the unit is written once
		if r.found[k].unit == "" {
			r.found[k].unit = unit
		}
		unit = r.found[k].unit
	}
	var out []Definition
	var sizes []string
	for _, f := range r.found {
		per, ok := quantity.KgPer(f.unit)
		if !ok || f.measure == "" || f.count <= 0 || f.from >= 0 && f.to-f.from > mostNameWords {
			continue
		}
		d := Definition{Kind: MeasureWeight, Measure: f.measure, Word: f.word, Kg: exact(f.value * per / f.count)}
		d.Span = spanOf(r.toks, f.start, max(1, f.end-f.start))
		if f.from >= 0 {
			d.Feed = strings.Join(strings.Fields(spanOf(r.toks, f.from, f.to-f.from).Of(r.text)), " ")
			d.FeedKey = r.classOf(f)
		}
		sizes = append(sizes, f.size)
		out = append(out, d)
	}
	return r.w.bySize(out, sizes)
}

// classOf is the class of a feed by the first word of its name, or the last.
func (r *weightReader) classOf(f weighed) string {
	for _, k := range []int{f.from, f.to - 1} {
		if s, n := r.w.t.Match(r.toks, k, "feeds"); n > 0 {
			return s.Key
		}
	}
	return ""
}

// endsWithFeed says whether of the feeds and weights from token i to the end of the
// line a feed comes last: then each weight is before its feed.
func (w *Words) endsWithFeed(text string, toks []lexicon.Token, i int) bool {
	feed := false
	for from := i; i < len(toks) && !stops(toks[i]) && (i == from || !gapped(text, toks, i)); {
		if _, n := w.t.Match(toks, i, "feeds"); n > 0 {
			feed = true
			i += n
			continue
		}
		if _, n := quantity.ReadUnit(w.t, toks, i, quantity.Mass); n > 0 && toks[i-1].Kind == lexicon.Number {
			feed = false
		}
		i++
	}
	return feed
}

// bySize makes two measures of one that is said to weigh different things by its
// size: "big scoop 2 kg, small scoop 1 kg". A size of its own that is said once
// ("1 heaped scoop = 1.5 kg") is a measure too, and stands for the plain one.
func (w *Words) bySize(defs []Definition, sizes []string) []Definition {
	split := make([]bool, len(defs))
	for i, a := range defs {
		for j, b := range defs[:i] {
			if a.Measure == b.Measure && sizes[i] != sizes[j] && a.Kg != b.Kg && (a.Feed == "" || b.Feed == "" || lexicon.Fold(a.Feed) == lexicon.Fold(b.Feed)) {
				split[i], split[j] = true, true
			}
		}
	}
	for i := range len(defs) {
		key, _ := w.t.Has(sizes[i], "sizes")
		switch own := sizes[i] + " " + defs[i].Measure; {
		case sizes[i] == "":
		case split[i]:
			defs[i].Measure = own
		case key == unlike:
			d := defs[i]
			d.Measure = own
			defs = append(defs, d)
		}
	}
	return defs
}
