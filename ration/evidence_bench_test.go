package ration_test

import (
	"fmt"
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// A yard of a thousand horses planned with half a year of weekly records and weighings,
// and without: the difference is what evidence costs. It may be 0.5 s.
func BenchmarkThousandHorses(b *testing.B) {
	r := chance(1)
	s := ordinary()
	s.keep("Hay", 8) // what is fed is planned too: nothing is chosen, with evidence or without
	s.keep("Cubes", 1.4)
	c := ration.Plan(s.Week, ration.DefaultRules()).Horses[0]
	w := s.Week
	horse, lines := w.Horses[0], w.Lines
	w.Horses, w.Lines = nil, nil
	for i := range 1000 {
		h := horse
		h.Name = fmt.Sprintf("Horse %d", i)
		kg := math.Round(between(r, 460, 540))
		h.WeightKg = yard.Known(kg)
		for back := 26; back >= 1; back-- {
			h.Past = append(h.Past, recordOf(ago(7*back), c))
			h.Weighings = append(h.Weighings, weighed(r, kg, ago(7*back-6)))
		}
		w.Horses = append(w.Horses, h)
		for _, l := range lines {
			l.Horse = h.Name
			w.Lines = append(w.Lines, l)
		}
	}
	alone := w
	alone.Horses = append([]yard.Horse(nil), w.Horses...)
	for i := range alone.Horses {
		alone.Horses[i].Past = nil
	}
	for _, y := range []struct {
		name string
		w    yard.Week
	}{{"alone", alone}, {"with half a year", w}} {
		b.Run(y.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				ration.Plan(y.w, ration.DefaultRules())
			}
		})
	}
}
