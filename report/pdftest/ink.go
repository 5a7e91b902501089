package pdftest

import (
	"math"
	"strings"
	"testing"

	"github.com/ledongthuc/pdf"
)

// inkDPI is how finely [Ink] looks at a page.
const inkDPI = 100

// Ink is how many dots of the first page are dark, at 100 to the inch: what straight
// lines and areas with straight edges, filled or drawn, leave black. Text is not looked
// at; a page with curves or clipped areas fails the test.
func Ink(t testing.TB, file []byte) (dark int) {
	t.Helper()
	page := open(t, file).Page(1).V
	box := inherited(page, "MediaBox")
	const step = 72.0 / inkDPI
	w, h := int(box.Index(2).Float64()/step), int(box.Index(3).Float64()/step)
	black := make([]bool, w*h)
	// paint sets the dots between two corners that a test finds inside.
	paint := func(path [][2]float64, beyond float64, on bool, inside func(x, y float64) bool) {
		x1, y1, x2, y2 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
		for _, p := range path {
			x1, y1, x2, y2 = min(x1, p[0]), min(y1, p[1]), max(x2, p[0]), max(y2, p[1])
		}
		for j := max(0, int((y1-beyond)/step)); j <= min(h-1, int((y2+beyond)/step)); j++ {
			for i := max(0, int((x1-beyond)/step)); i <= min(w-1, int((x2+beyond)/step)); i++ {
				if inside((float64(i)+0.5)*step, (float64(j)+0.5)*step) {
					black[j*w+i] = on
				}
			}
		}
	}
	fill, line, width := 0.0, 0.0, 1.0
	var paths [][][2]float64
	pdf.Interpret(page.Key("Contents"), func(stack *pdf.Stack, op string) {
		n := make([]float64, stack.Len())
		for i := range n {
			if v := stack.Pop(); v.Kind() == pdf.Integer || v.Kind() == pdf.Real {
				n[len(n)-1-i] = v.Float64()
			}
		}
		switch op {
		case "g":
			fill = n[0]
		case "G":
			line = n[0]
		case "w":
			width = n[0]
		case "m":
			paths = append(paths, [][2]float64{{n[0], n[1]}})
		case "l":
			paths[len(paths)-1] = append(paths[len(paths)-1], [2]float64{n[0], n[1]})
		case "h":
			p := paths[len(paths)-1]
			paths[len(paths)-1] = append(p, p[0])
		case "re":
			x, y, w, h := n[0], n[1], n[2], n[3]
			paths = append(paths, [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}})
		case "f", "S":
			for _, p := range paths {
				if op == "f" {
					paint(p, 0, fill < 0.5, func(x, y float64) bool { return within(p, x, y) })
					continue
				}
				for i := 1; i < len(p); i++ {
					paint(p[i-1:i+1], width, line < 0.5, func(x, y float64) bool { return away(p[i-1], p[i], x, y) <= width/2 })
				}
			}
			paths = nil
		case "n":
			paths = nil
		case "c", "v", "y", "W", "W*", "cm", "B", "b", "f*", "rg", "RG", "Do":
			t.Fatalf("the page uses %s, of which these tests cannot tell the ink", op)
		}
	})
	for _, b := range black {
		if b {
			dark++
		}
	}
	if *tools {
		secondInk(t, file, dark)
	}
	return dark
}

// within says whether a point lies in an area, by how often a ray crosses its edge.
func within(p [][2]float64, x, y float64) (in bool) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if a[1] > y != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// away is how far a point is from a line between two others.
func away(a, b [2]float64, x, y float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	along := 0.0
	if long := dx*dx + dy*dy; long > 0 {
		along = min(1, max(0, ((x-a[0])*dx+(y-a[1])*dy)/long))
	}
	return math.Hypot(x-a[0]-along*dx, y-a[1]-along*dy)
}

// secondInk holds the count against what poppler draws: the edges of lines are each
// program's own.
func secondInk(t testing.TB, file []byte, dark int) {
	t.Helper()
	said, err := outside(t, file, "pdftoppm", "-r", "100", "-gray", "FILE")
	if err != nil {
		t.Fatalf("pdftoppm: %v", err)
	}
	parts := strings.SplitN(said, "\n", 4) // a PGM: three lines of header, then a byte a dot
	if len(parts) != 4 || parts[0] != "P5" {
		t.Fatal("pdftoppm gave no PGM")
	}
	theirs := 0
	for _, v := range []byte(parts[3]) {
		if v < 128 {
			theirs++
		}
	}
	if math.Abs(float64(dark-theirs)) > 0.05*float64(theirs)+40 {
		t.Errorf("pdftoppm draws %d dark dots, and %d were counted", theirs, dark)
	}
}
