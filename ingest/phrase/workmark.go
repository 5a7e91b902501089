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
	"?": func(r *workReader, i int) int { r.out.doubt(AQuestion, r.cell.toks[i].Span, "?"); return r.read(i, 1) },
	"%": func(r *workReader, i int) int {
		r.out.doubt(UnknownWord, r.cell.toks[i].Span, "%")
		return r.read(i, 1)
	},
	"x": (*workReader).timesAt,
	".": (*workReader).nothing, "!": (*workReader).nothing, ":": (*workReader).nothing, "\"": (*workReader).nothing, "~": (*workReader).nothing, "'": (*workReader).nothing, "=": (*workReader).nothing, "@": (*workReader).nothing, "*": (*workReader).nothing, "#": (*workReader).nothing,
}

func (r *workReader) mark(i int) int {
	tok := r.cell.toks[i]
	if do := workMarks[tok.Text]; do != nil {
		return do(r, i)
	}
	if u, _ := utf8.DecodeRuneInString(tok.Text); r.part.remark || r.depth > 0 && !unicode.IsLetter(u) && u < utf8.RuneSelf {
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	r.doubt(UnknownWord, tok.Span)
	return r.read(i, 1)
}

func (r *workReader) nothing(i int) int { return r.read(i, 1) }

func (r *workReader) endPart(i int) int { r.endSession(); return r.read(i, 1) }

func (r *workReader) commaAt(i int) int { r.part.comma = true; return r.read(i, 1) }

// slash parts two pieces of work where the one before is whole: "hack 45 / lunge 20".
func (r *workReader) slash(i int) int {
	if p := r.part.last(); p != nil && (p.given || p.own != nil) {
		r.endSession()
	} else {
		r.part.comma = true
	}
	return r.read(i, 1)
}

// dash parts as a comma does, but "flat – 45" is one piece; behind a rest it leads to
// the reason.
func (r *workReader) dash(i int) int {
	if r.part.said && r.part.idle() {
		r.part.remark = true
	}
	p := r.part.last()
	r.part.comma = p == nil || p.given || p.letter
	if tok := r.cell.toks[i]; tok.Glued && i+1 < len(r.cell.toks) && r.cell.toks[i+1].Glued && p != nil && p.letter && r.cell.toks[i+1].Kind == lexicon.Number { // "W-30"
		r.out.doubt(UnknownWord, tok.Span, "-")
	}
	return r.read(i, 1)
}

func (r *workReader) open(i int) int {
	r.depth++
	if r.part.said && r.part.idle() {
		r.part.remark = true
	}
	return r.read(i, 1)
}

func (r *workReader) closed(i int) int { r.depth = max(0, r.depth-1); return r.read(i, 1) }

// timesAt takes "x2" behind what is done twice; a lone x counts for nothing.
func (r *workReader) timesAt(i int) int {
	if i+1 >= len(r.cell.toks) || !r.cell.toks[i+1].Whole {
		return r.read(i, 1)
	}
	v := r.cell.toks[i+1].Value
	// "2 x 30" took its x already; here stands "hack 30 x2" or "x2 hack".
	switch {
	case v < 1 || v > 20:
		r.doubt(UnknownWord, r.cell.span(i, 2))
	case len(r.part.items) == 0 && r.part.pending.on:
		r.part.pending.d.Minutes *= v
		r.part.pending.d.Value *= v
	case len(r.part.items) == 0:
		r.part.timesAhead = int(v)
	default:
		r.part.repeat(int(v), r.cell.span(i, 2), false)
	}
	return r.read(i, 2)
}
