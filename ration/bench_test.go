package ration

import (
	"fmt"
	"testing"

	"hardfeed/ration/yard"
)

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{20, 1000} {
		w := smallYard()
		for i := range n {
			h := horse(fmt.Sprintf("Horse %d", i), 450+float64(i%20)*10)
			w.Horses = append(w.Horses, h)
			w.Lines = append(w.Lines, line(h.Name, "Hay", kilos(9), nothing), line(h.Name, "Oats", kilos(0.4), nothing),
				line(h.Name, "Salt", kilos(0.03), nothing))
			planned := nothing
			if i%2 == 0 {
				planned = kilos(2)
			}
			w.Lines = append(w.Lines, line(h.Name, "Cubes", kilos(1.5), planned))
		}
		b.Run(fmt.Sprintf("%d horses", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if p := Plan(w, DefaultRules()); len(p.Horses) != n || p.Horses[0].Status == yard.NoCard {
					b.Fatal("not planned")
				}
			}
		})
	}
}
