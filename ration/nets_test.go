package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// Hay she counts in nets or flakes is served in whole ones, or in halves where she has a
// half (design §5d); hay by the kilo is not. What is fed when nothing asks for more or
// less is printed as she wrote it.
func TestHayCountedInNetsStaysInNets(t *testing.T) {
	t.Parallel()
	served, moved := 0, 0
	for i := range pick(120, 600) {
		r := chance(9000 + i)
		s := anyHorse(r)
		if s.GrassHours.IsKnown() || s.Lines[0].Now.AdLib {
			continue
		}
		net := oneOf(r, 1.8, 3.0, 4.0)
		s.Feeds[0].MeasureName, s.Feeds[0].MeasureKg, s.Feeds[0].MeasureWeighed = "net", yard.Known(net), ago(5)
		halves := oneOf(r, 1, 2)
		n := math.Ceil(s.Lines[0].Now.Kg.Or(8)/net*float64(halves)) / float64(halves)
		if halves == 2 && n == math.Round(n) { // one half at least
			n += 0.5
		}
		nets := yard.Amount{Given: true, Measures: yard.Known(n)}
		s.fed("Hay", nets, blank)
		if oneOf(r, true, false) {
			s.fed("Hay", nets, nets)
		}
		c, _ := s.plan()
		if c.Status == yard.NoCard {
			continue
		}
		unit := net / float64(halves)
		for _, v := range c.Servings {
			if v.Feed != "Hay" {
				continue
			}
			served++
			if x := float64(v.Kg) / unit; math.Abs(x-math.Round(x)) > 1e-3 {
				t.Errorf("horse %d: %.2f kg of hay at %s %s, in nets of %.1f kg", i, v.Kg, v.Day, v.Meal, unit)
			}
			if got := v.Measures.Or(-1); v.Measure != "net" || math.Abs(got-float64(v.Kg)/net) > 1e-3 {
				t.Errorf("horse %d: %.2f kg of hay are %v %s", i, v.Kg, v.Measures, v.Measure)
			}
		}
		if math.Abs(c.most(feed("Hay"))-n*net) > 1e-6 {
			moved++
		}
	}
	if served == 0 || moved == 0 {
		t.Errorf("%d servings of hay, moved for %d horses", served, moved)
	}
	t.Logf("%d servings of hay, moved for %d horses", served, moved)
	s := ordinary()
	s.Feeds[0].MeasureName, s.Feeds[0].MeasureKg = "net", yard.Known(4)
	p := ration.Plan(s.Week, ration.DefaultRules())
	for _, v := range p.Horses[0].Servings {
		if v.Feed == "Hay" && v.Measures.IsKnown() {
			t.Errorf("hay by the kilo is served in nets: %+v", v)
		}
	}
}
