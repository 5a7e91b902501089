package reporttest

import (
	"math"
	"strings"

	"hardfeed/report/draw"
)

// CheckPlaces: no text nearer to the edge of its card or page than 5 mm, and no
// text on top of another.
func CheckPlaces(t interface{ Errorf(string, ...any) }, s *Drawing, firstCard, across, down int) {
	d := s.D
	if len(d.Boxes) == 0 {
		t.Errorf("no text was drawn")
	}
	byPage := map[int][]draw.Box{}
	for _, b := range d.Boxes {
		byPage[b.Page] = append(byPage[b.Page], b)
		w, h := d.PageW, d.PageH
		if firstCard > 0 && b.Page >= firstCard {
			w, h = w/float64(across), h/float64(down)
		}
		x, y := math.Mod(b.X, w), math.Mod(b.Y, h)
		if x < 5 || y < 5 || x+b.W > w-5 || y+b.H > h-5 {
			t.Errorf("page %d: %q at %.1f, %.1f (%.1f × %.1f) leaves the clear border of %.0f × %.0f", b.Page, b.Text, x, y, b.W, b.H, w, h)
		}
	}
	const touch = 0.05          // mm: the size of type is rounded to a hundredth of a point
	for _, m := range d.Marks { // drawings, in the same way; a foot and a page number have none
		w, h := d.PageW, d.PageH
		if firstCard > 0 && m.Page >= firstCard {
			w, h = w/float64(across), h/float64(down)
		}
		if x, y := math.Mod(m.X, w), math.Mod(m.Y, h); x < 5 || y < 5 || x+m.W > w-5 || y+m.H > h-5 {
			t.Errorf("page %d: a drawing of %.1f × %.1f at %.1f, %.1f leaves the clear border of %.0f × %.0f", m.Page, m.W, m.H, x, y, w, h)
		}
		m.Text = "a drawing"
		byPage[m.Page] = append(byPage[m.Page], m)
	}
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

func FirstCardPage(s *Drawing) int {
	mark := strings.ToUpper(s.Main.NotAfter(s.Plan.Week)) // in capitals on cards only
	for _, b := range s.D.Boxes {
		if b.Text == mark || strings.HasPrefix(mark, b.Text) && len(b.Text) > 8 {
			return b.Page
		}
	}
	return 0
}
