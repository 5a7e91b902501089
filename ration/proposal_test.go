package ration

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

func TestAProposalMeetsTheNeedInsideTheStep(t *testing.T) {
	t.Parallel()
	h := horse("Plover", 500)
	h.Keeper, h.Score, h.TargetScore, h.Work = yard.PoorDoer, yard.Known(4), yard.Known(6), workWeek(55, 45, 16)
	hp := planOne(t, h, line("Plover", "Hay", kilos(8.5), nothing), line("Plover", "Cubes", kilos(1.5), nothing))
	if hp.Status != yard.Carded || hp.HardFeed.Planned.IsKnown() {
		t.Fatalf("%s, planned %v", hp.Status, hp.HardFeed.Planned)
	}
	if rise := hp.Step.RiseKg.Or(9); rise > 0.7+1e-9 || rise <= 0 {
		t.Errorf("rise %.2f kg", rise)
	}
	if q := hp.HardFeed.Card.Or(0) / 0.375; math.Abs(q-math.Round(q)) > 1e-6 {
		t.Errorf("card %v kg is not in quarter scoops", hp.HardFeed.Card)
	}
	if hp.HardFeed.Target.Or(0) <= hp.HardFeed.Card.Or(9) {
		t.Errorf("target %v, card %v: this horse needs weeks", hp.HardFeed.Target, hp.HardFeed.Card)
	}
}

func TestForageComesFirstInAProposal(t *testing.T) {
	t.Parallel()
	h := horse("Dunnock", 500)
	h.Score, h.TargetScore = yard.Known(4.5), yard.Known(5) // else what is fed a fifth off the need is kept
	hp := planOne(t, h, line("Dunnock", "Hay", kilos(7), nothing), line("Dunnock", "Cubes", kilos(1.5), nothing))
	if pct := hp.ForageDMPct.Or(0); pct < 1.5 || hp.Status != yard.Carded {
		t.Errorf("forage %.2f %% of body weight, status %s", pct, hp.Status)
	}
}

func TestAVetNamedHorseIsNeverRaisedByTheProgram(t *testing.T) {
	t.Parallel()
	h := horse("Thimble", 300)
	h.Type, h.Keeper = yard.TypePony, yard.PoorDoer
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.PPID, Text: "PPID, insulin normal"}}
	hp := planOne(t, h, line("Thimble", "Hay", kilos(5.5), nothing), line("Thimble", "Cubes", kilos(0.375), nothing))
	if hp.HardFeed.Card.Or(9) > 0.375+1e-9 {
		t.Errorf("raised to %v kg", hp.HardFeed.Card)
	}
	if _, ok := has(hp, "vet-named"); !ok {
		t.Error("and the reason is not said")
	}
}

func TestUnknownWorkIsSaidAndRaisesNothing(t *testing.T) {
	t.Parallel()
	h := horse("Snipe", 500)
	h.Keeper = yard.PoorDoer
	h.Work[2] = yard.Day{Text: "torrt 20", Unknown: true}
	hp := planOne(t, h, line("Snipe", "Hay", kilos(8.5), nothing), line("Snipe", "Cubes", kilos(1.5), nothing))
	if !hp.WorkAtLeast || hp.HardFeed.Card.Or(9) > 1.5+1e-9 {
		t.Errorf("at least %v, card %v", hp.WorkAtLeast, hp.HardFeed.Card)
	}
}
