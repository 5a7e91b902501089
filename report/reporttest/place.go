package reporttest

import (
	"hardfeed/report/draw"
)

// CheckPlaces: no text and no drawing nearer than 5 mm to the edge of its page or to a
// line along which it is cut, and no text on top of another.
func CheckPlaces(t interface{ Errorf(string, ...any) }, s *Drawing) {
	d := s.D
	if len(d.Boxes) == 0 {
		t.Errorf("no text was drawn")
	}
	byPage := map[int][]draw.Box{}
	check := func(b draw.Box) {
		byPage[b.Page] = append(byPage[b.Page], b)
		const clear = 5.0
		if b.X < clear || b.Y < clear || b.X+b.W > d.PageW-clear || b.Y+b.H > d.PageH-clear {
			t.Errorf("page %d: %q at %.1f, %.1f (%.1f × %.1f) leaves the clear border of %.0f × %.0f", b.Page, b.Text, b.X, b.Y, b.W, b.H, d.PageW, d.PageH)
		}
		for _, c := range d.Cuts {
			if c.Page == b.Page && b.X < c.X+c.W+clear && b.X+b.W > c.X-clear && b.Y < c.Y+c.H+clear && b.Y+b.H > c.Y-clear {
				t.Errorf("page %d: %q at %.1f, %.1f (%.1f × %.1f) is too near to the cut at %.1f, %.1f", b.Page, b.Text, b.X, b.Y, b.W, b.H, c.X, c.Y)
			}
		}
	}
	for _, b := range d.Boxes {
		check(b)
	}
	for _, m := range d.Marks { // drawings; a foot and a page number have none
		m.Text = "a drawing"
		check(m)
	}
	const touch = 0.05 // mm: the size of type is rounded to a hundredth of a point
	for _, bs := range byPage {
		for i, a := range bs {
			for _, b := range bs[i+1:] {
				if a.X+touch < b.X+b.W && b.X+touch < a.X+a.W && a.Y+touch < b.Y+b.H && b.Y+touch < a.Y+a.H {
					t.Errorf("page %d: %q and %q overlap (%+v, %+v)", a.Page, a.Text, b.Text, a, b)
				}
			}
		}
	}
}

// FirstCardPage is the page of the first card: behind those of the whole yard.
func FirstCardPage(s *Drawing) int {
	first := 0
	for _, b := range s.D.Bookmarks {
		if first == 0 || b.Page < first {
			first = b.Page
		}
	}
	return first
}
