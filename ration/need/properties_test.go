package need

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

var classesInOrder = []yard.WorkClass{yard.ClassRest, yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy}

func TestNeedGrowsWithWeightWorkSweatAndCold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom([]yard.Keeper{yard.GoodDoer, yard.NormalDoer, yard.PoorDoer}).Draw(t, "keeper")
		kg := rapid.Float64Range(80, 1200).Draw(t, "kg")
		more := kg + rapid.Float64Range(0.5, 300).Draw(t, "more")
		i := rapid.IntRange(0, len(classesInOrder)-1).Draw(t, "class")
		c := classesInOrder[i]
		grows := func(what string, less, more float64) {
			if !(less >= 0) || math.IsInf(more, 0) || !(more >= less-1e-12) {
				t.Fatalf("%s falls from %g to %g", what, less, more)
			}
		}
		for _, n := range Nutrients() {
			sweat := ClassSweatKg(c, kg)
			grows(n.Name+" with weight", n.Of(c, k, kg, sweat), n.Of(c, k, more, sweat))
			grows(n.Name+" with sweat", n.Of(c, k, kg, sweat), n.Of(c, k, kg, sweat+1))
			if i > 1 { // rest is by keeper: a poor doer's may pass a normal one's light work
				before := classesInOrder[i-1]
				grows(n.Name+" with work", n.Of(before, k, kg, ClassSweatKg(before, kg)), n.Of(c, k, kg, sweat))
			}
		}
		grows("energy by class with weight", ClassMcal(c, k, kg), ClassMcal(c, k, more))
		cold := rapid.Float64Range(-50, 40).Draw(t, "°C")
		m := MaintenancePerKg(k) * kg
		grows("energy with cold", ColdMcal(m, cold, -15), ColdMcal(m, cold-1, -15))
		w, hot := WaterLitres(c, kg, yard.Known(cold)), WaterLitres(c, kg, yard.Known(cold+2))
		grows("water with heat", w.Low.Or(math.NaN()), hot.Low.Or(math.NaN()))
		if high, ok := w.High.Get(); ok {
			grows("water from its low end to its high end", w.Low.Or(math.NaN()), high)
		}
	})
}

func TestSweatScoresLieBetweenTheirNeighbours(t *testing.T) {
	for score, want := range map[float64][2]float64{1: {1, 4}, 2: {4, 7}, 3: {7, 9}, 4: {9, 12}, 5: {12, 18}, 2.5: {5.5, 8}} {
		if r := ScoreLitres(score); r.Low != yard.Known(want[0]) || r.High != yard.Known(want[1]) {
			t.Errorf("score %g: %v", score, r)
		}
	}
	for _, none := range []float64{0, 0.9, 5.1, math.NaN(), math.Inf(1)} {
		if r := ScoreLitres(none); r.Low.IsKnown() || r.High.IsKnown() {
			t.Errorf("score %g is none, and yet %v", none, r)
		}
	}
}

// What a standard gives for any week: its parts add up, nothing is negative, and
// an unknown part leaves the sum unknown.
func TestStandardsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Animal{BodyKg: rapid.Float64Range(80, 1200).Draw(t, "kg"), RiderTackKg: rapid.Float64Range(0, 150).Draw(t, "rider"),
			Keeper: yard.NormalDoer, WorkMcalDE: rapid.Float64Range(0, 30).Draw(t, "work"), WorkAtLeast: rapid.Bool().Draw(t, "at least"),
			Type:  rapid.SampledFrom([]yard.HorseType{yard.TypeHorse, yard.TypePony, yard.TypeDraught, yard.TypeDonkey}).Draw(t, "type"),
			Breed: rapid.SampledFrom([]string{"", "TB", "Warmblood", "Icelandic", "mongrel"}).Draw(t, "breed")}
		for d := range a.Days {
			s := yard.Session{Name: rapid.SampledFrom([]string{"", "hack", "schooling", "lunge", "race"}).Draw(t, "name"), Led: rapid.Bool().Draw(t, "led")}
			for g := range s.Minutes {
				s.Minutes[g] = float64(rapid.IntRange(0, 3).Draw(t, "minutes") * 10)
			}
			a.Days[d].Sessions = []yard.Session{s}
		}
		for _, s := range append(Beside(), NRC{}) {
			e := s.Energy(a)
			if e.Unit == "" || e.Source == "" || e.Formula == "" || s.Name() == "" {
				t.Fatalf("%s: %+v", s.Name(), e)
			}
			for _, end := range []struct{ m, w, sum yard.Num }{{e.Maintenance.Low, e.Work.Low, e.Total.Low}, {e.Maintenance.High, e.Work.High, e.Total.High}} {
				m, ok1 := end.m.Get()
				w, ok2 := end.w.Get()
				sum, ok := end.sum.Get()
				if ok != (ok1 && ok2) || ok && math.Abs(sum-m-w) > 1e-9 || m < 0 || w < 0 {
					t.Fatalf("%s: %v + %v = %v", s.Name(), end.m, end.w, end.sum)
				}
			}
			if a.WorkAtLeast && e.Total.High.IsKnown() {
				t.Fatalf("%s: part of the work is unknown, and yet at most %v", s.Name(), e.Total.High)
			}
		}
	})
}
