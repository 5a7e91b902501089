package ration

import (
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// A horse that somebody writes is losing weight keeps the energy it is fed where the tables say that it
// has more than enough, and a person is told; but not where its weighings show that it holds
// its weight.
func TestAHorseThatIsSaidToLoseWeight(t *testing.T) {
	t.Parallel()
	card := func(losing bool, weighings []yard.Weighing) yard.HorsePlan {
		h := horse("Twig", 480)
		h.Losing, h.Weighings = losing, weighings
		h.Before, h.BeforeGiven = workWeek(120, 60), true
		return planOne(t, h, line("Twig", "Hay", kilos(10), nothing), line("Twig", "Cubes", kilos(3), nothing))
	}
	told := func(p yard.HorsePlan) bool {
		for _, f := range p.Findings {
			if f.Saying.Key == "finding.energy.losing.keeps" && f.Severity == yard.Warn {
				return true
			}
		}
		return false
	}
	well, said := card(false, nil), card(true, nil)
	if well.HardFeed.Card.Or(9) >= 3 || told(well) {
		t.Fatalf("the horse that is well is fed %v: the case tells nothing", well.HardFeed.Card)
	}
	// Hands dish out whole quarters, so that a fiftieth less is as much.
	now := planOne(t, horse("Twig", 480), line("Twig", "Hay", kilos(10), kilos(10)), line("Twig", "Cubes", kilos(3), kilos(3)))
	if got, fed := said.Energy.Supply.Or(0), now.Energy.Supply.Or(99); got < fed*0.98 || well.Energy.Supply.Or(99) >= got || !told(said) {
		t.Errorf("%.1f Mcal of %.1f fed now, %.1f where it is well; told %v", got, fed, well.Energy.Supply.Or(99), told(said))
	}
	monday := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	var steady []yard.Weighing
	for week := range 12 {
		steady = append(steady, yard.Weighing{Date: monday.AddDate(0, 0, -7*(12-week)), Kg: yard.Known(480), Basis: yard.ByScale})
	}
	if holds := card(true, steady); holds.Evidence == nil || holds.Evidence.Trend != yard.TrendHolding || told(holds) {
		t.Errorf("its weighings hold, and it is told as losing: %+v", holds.Evidence)
	}
}
