package phrase

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

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
	if r.longFrom(i + 1) {
		return true
	}
	if i+3 < len(r.toks) && r.toks[i+1].Whole && r.toks[i+2].Text == "x" && r.longFrom(i+3) { // "L 2 x 1hr"
		return true
	}
	return r.pending.on && long(r.pending.d)
}

// long says whether a length of time is one of work, and no count.
func long(d quantity.Duration) bool { return d.Unit != "" || d.Value >= fewestMinutes }

// longFrom says whether a length of time of work is at token i.
func (r *workReader) longFrom(i int) bool {
	if i >= len(r.toks) || r.toks[i].Kind != lexicon.Number && r.toks[i].Kind != lexicon.Word {
		return false
	}
	d, n := quantity.ReadDuration(r.w.t, r.toks, i)
	return n > 0 && d.High == 0 && long(d)
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
