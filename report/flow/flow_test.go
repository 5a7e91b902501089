package flow

import (
	"io"
	"math/rand/v2"
	"slices"
	"testing"

	"hardfeed/report/draw"
)

// Whatever is put on pages: every block is on one of them, in order and within
// it, nothing is parted that is to stay together and fits a page, and the last of
// several pages holds a quarter at least.
func TestNoFlowEndsOnNextToNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	saved, moved := 0, 0
	for range 3000 {
		f := &Flow{W: 100, Top: 10, Foot: 210}
		for i := range 1 + r.IntN(60) {
			if r.IntN(5) == 0 {
				f.Gap(float64(1 + r.IntN(5)))
			}
			if r.IntN(5) == 0 {
				f.Keep(float64(r.IntN(40)))
			}
			h := float64(1 + r.IntN(20))
			if i%7 == 0 {
				f.Table(draw.Space(100, 5), []*draw.Group{draw.Space(100, h), draw.Space(100, 4)})
			} else {
				f.Put(draw.Space(100, h))
			}
		}
		pages := f.pages()
		next := 0
		for _, p := range pages {
			if p.first != next || p.next <= p.first {
				t.Fatalf("a page holds blocks %d to %d, after %d", p.first, p.next, next)
			}
			next = p.next
			if p.full > 200+1e-6 {
				t.Errorf("a page of 200 mm holds %.1f mm", p.full)
			}
			for i, b := range f.blocks[p.first:p.next] {
				if y := p.y[i]; y+b.g.H > p.full+1e-6 || i > 0 && y < p.y[i-1]+f.blocks[p.first+i-1].g.H-1e-6 {
					t.Errorf("block %d of a page stands at %.1f", i, y)
				}
				if b.keep > 0 && p.next < len(f.blocks) && p.y[i]+b.keep > 200+1e-6 {
					t.Errorf("what is to stay together starts %.1f mm above the foot", 200-p.y[i])
				}
			}
		}
		if next != len(f.blocks) {
			t.Errorf("%d of %d blocks are on pages", next, len(f.blocks))
		}
		last := pages[len(pages)-1]
		if plain := f.laid(1, -1, 0); len(plain) > len(pages) {
			saved++
		} else if plain[len(plain)-1].full < last.full {
			moved++
		}
		if len(pages) > 1 && last.full < leastPage*200-1e-6 {
			t.Errorf("the last of %d pages holds %.1f of 200 mm", len(pages), last.full)
		}
	}
	if saved < 20 || moved < 20 {
		t.Errorf("only %d pages were saved and %d filled up", saved, moved)
	}
}

// Pages placed as they fill are those of a flow that waits for its end: every row on its
// page and at its height, whatever is before and after.
func TestPagesPlacedAsTheyFillAreTheSame(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for _, rows := range []int{mostWaiting - 1, mostWaiting, 3*mostWaiting + 17} {
		var heights []float64
		for range rows {
			heights = append(heights, float64(3+r.IntN(9)))
		}
		whole := &Flow{W: 100, Top: 10, Foot: 210}
		var got, want []draw.Box
		doc, err := draw.New("A4", false, draw.About{}, io.Discard)
		if err != nil {
			t.Fatal(err)
		}
		f := &Flow{D: doc, W: 100, Top: 10, Foot: 210}
		head := draw.Space(100, 5)
		for i, h := range heights {
			row := draw.Space(100, h).Draw(func(d *draw.Doc, _, y float64) { got = append(got, draw.Box{Page: d.Page(), Y: y, H: h}) })
			if i == 0 {
				f.Table(head, []*draw.Group{row})
				whole.Table(head, []*draw.Group{draw.Space(100, h)})
				continue
			}
			f.More(head, row)
			whole.next.head = head
			whole.next.g = draw.Space(100, h)
			whole.blocks, whole.next = append(whole.blocks, whole.next), flowBlock{}
		}
		if rows > 2*mostWaiting && len(f.blocks) > mostWaiting {
			t.Errorf("%d of %d rows wait for the end", len(f.blocks), rows)
		}
		f.End()
		for n, p := range whole.pages() {
			for i, b := range whole.blocks[p.first:p.next] {
				if b.g != head {
					want = append(want, draw.Box{Page: n + 1, Y: 10 + p.y[i], H: b.g.H})
				}
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%d rows stand elsewhere", rows)
		}
	}
}
