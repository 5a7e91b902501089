package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// A horse at grass day and night whose rows are salt alone gets its card: that the
// grass of the table has no more calcium than phosphorus is told, and nothing the
// card could serve otherwise.
func TestAHorseAtGrassWithSaltAloneGetsItsCard(t *testing.T) {
	t.Parallel()
	for _, hours := range []float64{20, 24} {
		h := horse("Fern", 500)
		h.GrassHours, h.GrassBefore = yard.Known(hours), yard.Known(hours)
		hp := planOne(t, h, line("Fern", "Salt", kilos(0.03), kilos(0.03)))
		f, _ := has(hp, "D-26")
		if hp.Status != yard.Carded || f.Severity != yard.Warn {
			t.Errorf("%g h: %s %v %v, D-26 %v", hours, hp.Status, hp.NoCardWhy, hp.HeldWhy, f)
		}
	}
}

// With the vet's lower floor the field alone is enough for a horse that slims: no
// hay is assumed for it.
func TestAHorseThatSlimsAtGrassIsGivenNoHay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		named []yard.NamedDiagnosis
		hay   bool
	}{{nil, true}, {named(yard.Overweight), false}} {
		h := horse("Fern", 500)
		h.Diagnoses = c.named
		h.GrassHours, h.GrassBefore = yard.Known(20), yard.Known(20)
		hp := planOne(t, h, line("Fern", "Salt", kilos(0.03), kilos(0.03)))
		hay := false
		for _, s := range hp.Servings {
			hay = hay || s.Feed == "Hay"
		}
		if hay != c.hay {
			t.Errorf("%v: hay on the card is %v, want %v", c.named, hay, c.hay)
		}
	}
}

// Salt over its mark comes down to the mark for the lower of two weights, and the
// card stays a card.
func TestSaltGoesByTheLowestWeight(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 420)
	h.WeightBasis, h.GirthCm, h.LengthCm = yard.Stated, yard.Known(190), yard.Known(160) // 486 kg
	hp := planOne(t, h, line("Fern", "Hay", kilos(9), kilos(9)), line("Fern", "Salt", kilos(0.12), kilos(0.12)))
	kg := 0.0
	for _, s := range hp.Servings {
		if s.Feed == "Salt" && s.Day == yard.WorkDay {
			kg += float64(s.Kg)
		}
	}
	if hp.WeightBasis != yard.ByGirthLength || hp.Status != yard.Held || kg < 0.0839 || kg > 0.0841 {
		t.Errorf("%s by %s, %v g of salt, want 84: %s", hp.Status, hp.WeightBasis, kg*1000, saidAll(hp.NoCardWhy))
	}
}
