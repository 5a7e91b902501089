package feeds

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

func TestSupplyIsLinearAndDryMatterComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dm := rapid.Float64Range(0.05, 1).Draw(t, "dry matter")
		content := yard.Known(rapid.Float64Range(0, 1000).Draw(t, "content"))
		k := Resolved{FeedNeed: yard.FeedNeed{Composition: yard.Composition{DM: yard.Known(dm)}}}
		a, b := rapid.Float64Range(0, 40).Draw(t, "a"), rapid.Float64Range(0, 40).Draw(t, "b")
		of := func(kg float64) float64 { return k.Contains(yard.KgFed(kg), content).Or(math.NaN()) }
		if got, want := of(a+b), of(a)+of(b); math.Abs(got-want) > 1e-9*(1+want) {
			t.Fatalf("%g and %g together bring %g, apart %g", a, b, got, want)
		}
		f := rapid.Float64Range(0, 10).Draw(t, "times")
		if got, want := of(f*a), f*of(a); math.Abs(got-want) > 1e-9*(1+want) {
			t.Fatalf("%g times as much brings %g, not %g", f, got, want)
		}
		dry, ok := k.DryMatter(yard.KgFed(a))
		if back := float64(dry) / dm; !ok || math.Abs(back-a) > 1e-9*(1+a) {
			t.Fatalf("%g kg as fed come back as %g", a, back)
		}
	})
}

// The estimate of energy is refused or a figure a horse feed can have.
func TestEstimatesStayInBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		perhaps := func(what string, most float64) yard.Num {
			if rapid.Bool().Draw(t, what+" known") {
				return yard.Known(rapid.Float64Range(0, most).Draw(t, what))
			}
			return yard.Num{}
		}
		c := yard.Composition{ADF: perhaps("ADF", 1000), CP: perhaps("CP", 1000), Fat: perhaps("fat", 1000), CrudeFibre: perhaps("fibre", 1000)}
		class := rapid.SampledFrom([]yard.FeedClass{yard.Forage, yard.HardFeed, yard.Chaff, yard.Oil, yard.Salt, yard.Supplement}).Draw(t, "class")
		e, ok := EstimateDE(class, c, rapid.Bool().Draw(t, "beet"))
		if !ok {
			if e != (Estimate{}) {
				t.Fatalf("refused, and yet %+v", e)
			}
			return
		}
		if !(e.McalPerKgDM > 1 && e.McalPerKgDM < 13) || e.How == "" || e.Source == "" {
			t.Fatalf("%+v of %+v", e, c)
		}
	})
}
