package phrase

import (
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
)

// workMarks is what the signs of a cell do, by their text. Signs that mean nothing are
// read; those without a row are remarks or doubts.
var workMarks = map[string]func(*workReader, int) int{
	"+": (*workReader).endPart, "&": (*workReader).endPart, ";": (*workReader).endPart, "\n": (*workReader).endPart, "|": (*workReader).endPart,
	",": (*workReader).commaAt, "/": (*workReader).slash, "-": (*workReader).dash,
	"(": (*workReader).open, "[": (*workReader).open, ")": (*workReader).closed, "]": (*workReader).closed,
	"?": func(r *workReader, i int) int { r.doubt(AQuestion, r.toks[i].Span, "?"); return r.read(i, 1) },
	"%": func(r *workReader, i int) int { r.doubt(UnknownWord, r.toks[i].Span, "%"); return r.read(i, 1) },
	"x": (*workReader).timesAt,
	".": (*workReader).nothing, "!": (*workReader).nothing, ":": (*workReader).nothing, "\"": (*workReader).nothing, "~": (*workReader).nothing, "'": (*workReader).nothing, "=": (*workReader).nothing, "@": (*workReader).nothing, "*": (*workReader).nothing, "#": (*workReader).nothing,
}

func (r *workReader) mark(i int) int {
	tok := r.toks[i]
	if do := workMarks[tok.Text]; do != nil {
		return do(r, i)
	}
	if u, _ := utf8.DecodeRuneInString(tok.Text); r.remark || r.depth > 0 && !unicode.IsLetter(u) && u < utf8.RuneSelf {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	r.doubt(UnknownWord, tok.Span, tok.Of(r.text))
	return r.read(i, 1)
}

func (r *workReader) nothing(i int) int { return r.read(i, 1) }

func (r *workReader) endPart(i int) int { r.endSession(); return r.read(i, 1) }

func (r *workReader) commaAt(i int) int { r.comma = true; return r.read(i, 1) }

// slash parts two pieces of work where the one before is whole: "hack 45 / lunge 20".
func (r *workReader) slash(i int) int {
	if p := r.last(); p != nil && (p.given || p.own != nil) {
		r.endSession()
	} else {
		r.comma = true
	}
	return r.read(i, 1)
}

// last is the piece of work read last, nil where there is none.
func (r *workReader) last() *piece {
	if len(r.items) == 0 {
		return nil
	}
	return &r.items[len(r.items)-1]
}

// idle says whether nothing was read in this part that is work or may become it.
func (r *workReader) idle() bool { return len(r.items) == 0 && !r.pending.on }

// dash parts as a comma does, but "flat – 45" is one piece; behind a rest it leads to
// the reason.
func (r *workReader) dash(i int) int {
	if r.said && r.idle() {
		r.remark = true
	}
	p := r.last()
	r.comma = p == nil || p.given || p.letter
	if tok := r.toks[i]; tok.Glued && i+1 < len(r.toks) && r.toks[i+1].Glued && p != nil && p.letter && r.toks[i+1].Kind == lexicon.Number { // "W-30"
		r.doubt(UnknownWord, tok.Span, "-")
	}
	return r.read(i, 1)
}

func (r *workReader) open(i int) int {
	r.depth++
	if r.said && r.idle() {
		r.remark = true
	}
	return r.read(i, 1)
}

func (r *workReader) closed(i int) int { r.depth = max(0, r.depth-1); return r.read(i, 1) }

// timesAt takes "x2" behind what is done twice; a lone x counts for nothing.
func (r *workReader) timesAt(i int) int {
	if i+1 >= len(r.toks) || !r.toks[i+1].Whole {
		return r.read(i, 1)
	}
	v := r.toks[i+1].Value
	// "2 x 30" took its x already; here stands "hack 30 x2" or "x2 hack".
	switch {
	case v < 1 || v > 20:
		r.doubt(UnknownWord, spanOf(r.toks, i, 2), r.word(i, 2))
	case len(r.items) == 0 && r.pending.on:
		r.pending.d.Minutes *= v
		r.pending.d.Value *= v
	case len(r.items) == 0:
		r.timesAhead = int(v)
	default:
		r.repeat(int(v), spanOf(r.toks, i, 2), false)
	}
	return r.read(i, 2)
}

// repeat multiplies the last piece of work, or all of them.
func (r *workReader) repeat(times int, at Span, all bool) {
	n := len(r.items)
	if n == 0 {
		return
	}
	last := &r.items[n-1]
	if !all && n > 1 && last.pace && r.items[n-2].pace && !last.comma {
		r.doubt(WhichTimes, at, at.Of(r.text))
		return
	}
	if all {
		for k := range r.items {
			r.items[k].times *= times
		}
		return
	}
	last.times *= times
}
