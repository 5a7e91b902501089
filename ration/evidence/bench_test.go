package evidence

import (
	"math/rand/v2"
	"testing"

	"hardfeed/ration/yard"
)

// A yard of a thousand horses with half a year of weekly weighings and feed: the
// budget is 0.5 s.
func BenchmarkThousandHorsesHalfAYear(b *testing.B) {
	y := Yard{Today: simStart.AddDate(0, 0, 7*simWeeks), Assume: Published()}
	for _, h := range simulate(rand.New(rand.NewPCG(1, 1)), ordinary(yard.ByScale), 1000) {
		y.Horses = append(y.Horses, h.after(simWeeks))
	}
	b.ReportAllocs()
	for b.Loop() {
		r := Learn(y)
		for i := range r.Horses {
			r.Horses[i].Forecast(y.Horses[i].Now, 28)
			r.Horses[i].MoreWeighings(0.05)
		}
	}
}
