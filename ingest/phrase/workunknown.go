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
	tok := r.cell.toks[i]
	if _, n := r.cell.w.t.Match(r.cell.toks, i, "number joins", "amounts"); n > 0 {
		if s, _ := r.cell.w.t.Match(r.cell.toks, i, "number joins"); s.Key == "and" {
			r.endSession()
			return r.read(i, n)
		}
	}
	if r.part.remark || r.depth > 0 && len(r.part.items) > 0 {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	if r.person(i) {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	if fixed := r.cell.slip(tok.Text); fixed != "" {
		r.out.Corrected = append(r.out.Corrected, [2]string{tok.Of(r.cell.text), fixed})
		toks := slices.Clone(r.cell.toks)
		toks[i].Text = fixed
		r.cell.toks = toks
		return r.wordAt(i)
	}
	if r.code(i) {
		// A code of hers with its minutes: how long is said, what is ours, and told.
		r.add(piece{kind: "exercise", name: tok.Of(r.cell.text), span: tok.Span})
		r.out.Defaults = append(r.out.Defaults, Default{Span: tok.Span, Word: tok.Of(r.cell.text)})
		return r.read(i, 1)
	}
	d := Doubt{Kind: UnknownWord, Span: tok.Span, Word: tok.Of(r.cell.text), Near: r.cell.near(tok.Text)}
	r.out.Doubts = append(r.out.Doubts, d)
	r.part.strange = true
	return 1
}

// person says whether token i is the name of whoever rides, or of where an event is: an
// unknown word with one capital beside a piece of work, with no number of its own.
func (r *workReader) person(i int) bool {
	tok := r.cell.toks[i]
	c, n := utf8.DecodeRuneInString(r.cell.text[tok.Start:])
	if !unicode.IsUpper(c) || tok.Upper || tok.End-tok.Start-n < 1 || r.cell.near(tok.Text) != "" {
		return false
	}
	if i+1 < len(r.cell.toks) && r.cell.toks[i+1].Kind == lexicon.Number || r.part.pending.on {
		return false
	}
	if last := r.part.last(); last != nil && (last.given || r.part.kinds.isEvent(*last)) {
		return true
	}
	return r.cell.begins(i + 1)
}

// code says whether token i is an abbreviation of hers with a length of time
// right beside it: up to three letters that begin with a capital.
func (r *workReader) code(i int) bool {
	tok := r.cell.toks[i]
	if c, _ := utf8.DecodeRuneInString(r.cell.text[tok.Start:]); tok.End-tok.Start > 4 || !unicode.IsUpper(c) {
		return false
	}
	if i+2 < len(r.cell.toks) && tok.End-tok.Start == 1 && r.cell.toks[i+2].End-r.cell.toks[i+2].Start == 1 {
		if _, n := r.cell.w.t.Match(r.cell.toks, i+2, "paces"); n > 0 {
			return false // "P20 T15" is paces of another language
		}
	}
	if r.cell.longFrom(i + 1) {
		return true
	}
	if i+3 < len(r.cell.toks) && r.cell.toks[i+1].Whole && r.cell.toks[i+2].Text == "x" && r.cell.longFrom(i+3) { // "L 2 x 1hr"
		return true
	}
	return r.part.pending.on && long(r.part.pending.d)
}

// long says whether a length of time is one of work, and no count.
func long(d quantity.Duration) bool { return d.Unit != "" || d.Value >= fewestMinutes }
