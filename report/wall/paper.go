package wall

import (
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// paper is a document for the wall on its way: what is said, and what it is drawn on.
type paper struct {
	*words.Sheet
	d *draw.Doc
}

// boxMargin is the white inside the box round a word, in heights of its capitals.
const boxMargin = 0.25

// boxed is a word in a box: something to be done or known before dishing out. A
// second language stands small under it.
func (s *paper) boxed(key string, cap, w float64) *draw.Group {
	const margin = boxMargin
	small := min(cap, least)
	word := fitTrim(s.d, draw.Bold, cap, small, w-2*margin*cap, draw.Black, s.Word(key))
	if t := s.Also(key); t != "" {
		word = draw.Stack(0.35*cap, word, fitTrim(s.d, draw.Regular, max(0.75*cap, small), small, w-2*margin*cap, draw.Black, t))
	}
	return draw.Framed(0.16*cap, margin*cap, word)
}

// boxedWidth is how wide [paper.boxed] must be for its words to stand on one line each.
func (s *paper) boxedWidth(key string) float64 {
	return max(s.d.Set.Width(draw.Bold, least, s.Word(key)), s.d.Set.Width(draw.Regular, least, s.Also(key))) + 2*boxMargin*least + 0.1
}

// unbrokenCap is [draw.Typesetter.Unbroken] of bold type.
func (s *paper) unbrokenCap(top, floor, w float64, name string) float64 {
	return s.d.Set.Unbroken(draw.Bold, top, floor, w, name)
}

// fitTrim is t on one line without room round it, between floor and cap; where even
// the floor is too wide, wrapped at the floor.
func fitTrim(d *draw.Doc, f draw.Face, cap, floor, w float64, ink draw.Ink, t string) *draw.Group {
	t, _ = draw.Printable(t)
	if full := d.Set.Width(f, cap, t); full > w {
		if cap *= w / full * 0.999; cap < floor {
			return d.Set.Close(f, floor, w, ink, t)
		}
	}
	return d.Set.Trim(f, cap, ink, t)
}
