package report

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/report/pdftest"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// rule is a straight line on a page, from its left or upper end, in mm from the
// page's upper left.
type rule struct {
	x1, y1, x2, y2, width float64
}

// rulesOf are the straight lines and the edges of the outlined boxes of each page,
// as they are in the file (ISO 32000-1, Annex A: m, l, S, re, w).
func rulesOf(t testing.TB, file []byte, pageH float64) map[int][]rule {
	t.Helper()
	const mm = 25.4 / 72
	out := map[int][]rule{}
	width := 0.0
	var path [][2]float64
	var n []float64
	for page, text := range pdftest.Contents(t, file) {
		page++
		n, path = nil, nil
		for word := range strings.FieldsSeq(text) {
			if v, err := strconv.ParseFloat(word, 64); err == nil {
				n = append(n, v*mm)
				continue
			}
			switch {
			case word == "w" && len(n) == 1:
				width = n[0]
			case word == "m" && len(n) == 2:
				path = [][2]float64{{n[0], pageH - n[1]}}
			case word == "l" && len(n) == 2:
				path = append(path, [2]float64{n[0], pageH - n[1]})
			case word == "re" && len(n) == 4:
				x, y := n[0], pageH-n[1]
				path = [][2]float64{{x, y}, {x + n[2], y}, {x + n[2], y - n[3]}, {x, y - n[3]}, {x, y}}
			case word == "S":
				for i := 1; i < len(path); i++ {
					p, q := path[i-1], path[i]
					if p[0] == q[0] || p[1] == q[1] {
						out[page] = append(out[page], rule{min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1]), width})
					}
				}
				path = nil
			default:
				path = nil
			}
			n = n[:0]
		}
	}
	return out
}

// No letter, down to the feet of those that hang lowest, comes nearer to a rule or
// to the edge of a box than a tenth of a millimetre.
func TestNoLetterTouchesARule(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(2, 7))
	const clear = 0.1
	looked := 0
	yards := sample(8, 40)
	for i := range yards {
		p := reporttest.Fixture()
		if i > 2 {
			p = ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
			p.Week.Imperial = i%5 == 0
		}
		m := words.Meta{CardsPerPage: []int{1, 2, 4}[i%3], Paper: []string{"A4", "Letter"}[i/3%2], Languages: reporttest.Tried()[i%len(reporttest.Tried())]}
		inPlace(t, p, m, func(name string, s *reporttest.Drawing, _ int) {
			if name == "office" {
				return
			}
			rules := rulesOf(t, reporttest.Pdf(t, s), s.D.PageH)
			for _, b := range s.D.Boxes {
				for _, l := range rules[b.Page] {
					looked++
					near := l.width/2 + clear
					if b.X < l.x2+near && b.X+b.W > l.x1-near && b.Y < l.y2+near && b.Y+b.H > l.y1-near {
						t.Errorf("yard %d, %v, %s, %d a page, page %d of %s: %q (%.2f mm high, %.2f to %.2f) touches a rule at %.2f, %.2f wide", i, m.Languages, m.Paper, m.CardsPerPage, b.Page, name, b.Text, b.Cap, b.Y, b.Y+b.H, l.y1, l.width)
					}
				}
			}
		})
	}
	if looked < 2500*yards {
		t.Errorf("only %d pairs of a line of text and a rule were looked at", looked)
	}
}
