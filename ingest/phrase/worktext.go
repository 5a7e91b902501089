package phrase

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// workText is a cell of work and the words its tokens are looked up in. What it says of a
// token does not hang on what was read before.
type workText struct {
	w    *Words
	text string
	toks []lexicon.Token
}

// span is the part of the text that n tokens from i on take.
func (c *workText) span(i, n int) Span { return spanOf(c.toks, i, n) }

// partCommas takes apart "C10,20 trot": a decimal comma is only before hours
// ("1,5 h", or where bare numbers are hours), and in a number that is the whole cell.
func (c *workText) partCommas(bare string) {
	for i := len(c.toks) - 1; i >= 0; i-- {
		t := c.toks[i]
		raw := t.Of(c.text)
		at := strings.IndexByte(raw, ',')
		if t.Kind != lexicon.Number || at < 0 || strings.Count(raw, ",") > 1 || strings.ContainsAny(raw, "./½¼¾") || len(c.toks) == 1 || bare == "h" {
			continue
		}
		if u, n := quantity.ReadUnit(c.w.t, c.toks, i+1, quantity.Time); n > 0 && u == "h" {
			continue
		}
		part := func(from, to int) lexicon.Token {
			k := lexicon.Scan(raw[from:to])[0]
			k.Span = Span{Start: t.Start + from, End: t.Start + to}
			return k
		}
		first, second := part(0, at), part(at+1, len(raw))
		first.Glued = t.Glued
		comma := lexicon.Token{Span: Span{Start: t.Start + at, End: t.Start + at + 1}, Kind: lexicon.Mark, Text: ",", Glued: true}
		c.toks = slices.Concat(c.toks[:i], []lexicon.Token{first, comma, second}, c.toks[i+1:])
	}
}

// sense picks what the words at token i mean. Codes of one or two letters are
// known in the yard's own language only, and only with a capital or a number.
func (c *workText) sense(i int) (lexicon.Sense, int) {
	senses, n := c.w.t.Senses(c.toks, i, workSections...)
	if n == 0 {
		return lexicon.Sense{}, 0
	}
	if n == 1 && c.toks[i].End-c.toks[i].Start <= 2 && senses[0].Language != "" {
		senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return !c.mayBeCode(i, s) })
		if len(senses) == 0 {
			return lexicon.Sense{}, 0
		}
	}
	// The yard's language first, the others in their order; then the section.
	rank := func(k int) int {
		return 10000*max(0, slices.Index(c.w.t.Languages(), senses[k].Language)) + 100*slices.Index(workOrder, senses[k].Section) + k
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
func (c *workText) mayBeCode(i int, s lexicon.Sense) bool {
	number := func(k int) bool { return k >= 0 && k < len(c.toks) && c.toks[k].Kind == lexicon.Number }
	first, _ := utf8.DecodeRuneInString(c.text[c.toks[i].Start:])
	code := unicode.IsUpper(first) || number(i+1) || number(i-1)
	home := s.Language == c.w.t.Languages()[0]
	switch s.Section {
	case "rest":
		return home && c.toks[i].Upper
	case "work", "events", "paces", "illness", "fate", "visits":
		return home && code
	case "fillers":
		return home || !code || !unicode.IsUpper(first)
	}
	return true
}

// oneOf is the name of one piece of work as written: "2 lessons" are each a lesson.
func (c *workText) oneOf(at Span, s lexicon.Sense) string {
	name := lowered(at.Of(c.text))
	if one, ok := strings.CutSuffix(name, "s"); ok {
		if k, is := c.w.t.Has(one, s.Section); is && k == s.Key {
			return one
		}
	}
	return name
}

// amAndPM reads "am & pm", "am + pm" and "am/pm" at token i.
func (c *workText) amAndPM(i int) (n int, slash bool) {
	t, toks := c.w.t, c.toks
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

// isCode says whether the cell is a code of work: "do." below another cell is a
// ditto mark, "DO" a day off, and in Spanish "Do" is dressage.
func (c *workText) isCode() bool {
	if _, n := c.w.t.Match(c.toks, 0, ownWork); n > 0 {
		return true
	}
	s, n := c.sense(0)
	return n == 1 && (s.Section == "rest" || s.Section == "work" || s.Section == "events") && !c.toks[0].Dot
}

// listed says whether the number at token i is behind another and a slash.
func (c *workText) listed(i int) bool {
	return i > 1 && c.toks[i].Glued && c.toks[i-1].Text == "/" && c.toks[i-1].Glued && c.toks[i-2].Kind == lexicon.Number
}

// next is the text of token i, "" behind the last.
func (c *workText) next(i int) string {
	if i < len(c.toks) {
		return c.toks[i].Text
	}
	return ""
}

// begins says whether a word of work is at token i.
func (c *workText) begins(i int) bool {
	if i >= len(c.toks) {
		return false
	}
	s, n := c.sense(i)
	return n > 0 && (s.Section == ownWork || s.Section == "work" || s.Section == "paces" || s.Section == "events")
}

// longFrom says whether a length of time of work is at token i.
func (c *workText) longFrom(i int) bool {
	if i >= len(c.toks) || c.toks[i].Kind != lexicon.Number && c.toks[i].Kind != lexicon.Word {
		return false
	}
	d, n := quantity.ReadDuration(c.w.t, c.toks, i)
	return n > 0 && d.High == 0 && long(d)
}

// slip is the word that has two letters the wrong way round, where there is one
// such word of work alone.
func (c *workText) slip(word string) string {
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
		if _, n := c.w.t.Match([]lexicon.Token{{Text: try}}, 0, ownWork, "work", "rest", "events", "paces"); n > 0 {
			if found != "" {
				return ""
			}
			found = try
		}
	}
	return found
}

// near is a known word of work that differs from word in little.
func (c *workText) near(word string) string {
	if near, ok := c.w.near.Load(word); ok {
		return near.(string)
	}
	near := c.w.t.Nearest(word, ownWork, "work", "rest", "events", "paces")
	c.w.near.Store(word, near)
	return near
}
