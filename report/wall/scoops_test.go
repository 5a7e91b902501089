package wall

import (
	"math"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// A mug of a fifth of the scoop's volume is drawn the cube root of a fifth as
// high, whatever is in it.
func TestMeasuresAreDrawnToSize(t *testing.T) {
	made, err := reporttest.Sketch("scoops.pdf", Scoops(), reporttest.Fixture(), reporttest.KeepBoxes(words.Meta{Paper: "A4"}))
	if err != nil {
		t.Fatal(err)
	}
	s := scoops{paper{made.Sheet, made.D}}
	scoop, mug := s.drawnMeasure("Scoop"), s.drawnMeasure("mug")
	if scoop == nil || mug == nil || s.drawnMeasure("jug") != nil {
		t.Fatal("a measure is not drawn, or one of unknown volume is")
	}
	text := strings.Join(reporttest.Pages(t, reporttest.Pdf(t, made)), "")
	for _, w := range []string{"scoop 2 l", "mug 0.4 l", "drawn to scale", "level it off with a straight edge", "three level scoops"} {
		if !strings.Contains(text, reporttest.Bare(w)) {
			t.Errorf("%q is missing", w)
		}
	}
	for litres, high := range map[float64]float64{2: 1, 0.4: math.Cbrt(0.2), 0.25: 0.5} {
		p := reporttest.Fixture()
		p.Week.Measures[1].Litres = reporttest.Num(litres)
		s.Plan = p
		if got := s.measureHigh(litres) / s.measureHigh(2); math.Abs(got-high) > 1e-9 {
			t.Errorf("%v l is drawn %v as high as 2 l, want %v", litres, got, high)
		}
	}
	for _, odd := range []yard.Num{{}, reporttest.Num(0), reporttest.Num(-1), reporttest.Num(math.NaN()), reporttest.Num(math.Inf(1))} {
		s.Plan.Week.Measures[1].Litres = odd
		if s.drawnMeasure("mug") != nil {
			t.Errorf("a mug of %v l is drawn", odd)
		}
	}
}
