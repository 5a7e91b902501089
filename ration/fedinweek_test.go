package ration

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// What a horse was fed in a past week is its card, unless the sheet of the week after
// says otherwise.
func TestWhatWasFedInAPastWeek(t *testing.T) {
	fed := func(forage, other float64) yard.FedEnergy {
		return yard.FedEnergy{Forage: yard.Known(forage), Other: yard.Known(other)}
	}
	unknown := yard.FedEnergy{}
	// The card's mean day is a tenth less hard feed than its last: it climbed.
	week := yard.PastWeek{Full: true, ForageMcal: yard.Known(14), OtherMcal: yard.Known(5.4)}
	week.CardEnd, week.Now = fed(14, 6), fed(14, 4)
	for _, c := range []struct {
		name string
		said yard.FedEnergy
		want yard.FedEnergy
	}{
		{"nothing written", unknown, fed(14, 5.4)},
		{"what the card ended on", fed(14, 6), fed(14, 5.4)},
		{"the same, rounded", fed(14.4, 5.8), fed(14, 5.4)},
		{"a day on the way", fed(14, 4.9), fed(14, 5.4)},
		{"what stood there before the card: nobody knows", fed(14, 4), unknown},
		{"more hay than the card", fed(17.5, 6), fed(17.5, 5.4)},
		{"less of both", fed(7, 3), fed(7, 2.7)},
	} {
		got := fedInWeek(week, c.said)
		same := func(a, b yard.Num) bool { return a.IsKnown() == b.IsKnown() && math.Abs(a.Or(0)-b.Or(0)) < 1e-9 }
		if !same(got.Forage, c.want.Forage) || !same(got.Other, c.want.Other) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
