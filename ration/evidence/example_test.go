package evidence_test

import (
	"fmt"
	"time"

	"hardfeed/ration/evidence"
	"hardfeed/ration/yard"
)

// Bramble weighs 500 kg, does light work and has had 20 Mcal a day for ten weeks. The
// tables give her 16.7 for herself and 2 for her work. She is weighed on Mondays.
func ExampleLearn() {
	monday := time.Date(2026, time.September, 21, 0, 0, 0, 0, time.UTC)
	fed := evidence.Feeding{ForageMcal: yard.Known(15), OtherMcal: yard.Known(5), WorkMcal: yard.Known(2)}
	bramble := evidence.Horse{Name: "Bramble", BodyKg: 500, Basis: yard.ByScale, Score: yard.Known(5),
		Prior: evidence.PriorOf(yard.NormalDoer, false), Now: fed}
	for week, kg := range []float64{501, 498, 503, 500, 452, 499, 502, 498, 500, 501, 499} {
		day := monday.AddDate(0, 0, 7*week)
		bramble.Weighings = append(bramble.Weighings, yard.Weighing{Date: day, Kg: yard.Known(kg), Basis: yard.ByScale})
		if week < 10 {
			bramble.Weeks = append(bramble.Weeks, evidence.Week{Beginning: day, Feeding: fed})
		}
	}

	r := evidence.Learn(evidence.Yard{Today: monday.AddDate(0, 0, 70), Horses: []evidence.Horse{bramble}, Assume: evidence.Published()})
	e := r.Horses[0]
	fmt.Printf("%s holds her weight on %.1f Mcal a day (%.1f to %.1f): %d weighings, %d weeks.\n", e.Horse, e.Need.Mean, e.Need.Low, e.Need.High, e.Weighings, e.Weeks)
	fmt.Printf("The tables say %.1f.\n", e.TablesMcal)
	fmt.Printf("She is %s: %+.1f kg a week, give or take %.1f.\n", e.Trend, e.Long.KgPerWeek.Mean, e.Long.SE)
	for _, o := range e.Odd {
		fmt.Printf("%s: %.0f kg does not fit, about %.0f was expected.\n", o.Weighing.Date.Format("2 January"), o.Weighing.Kg.Or(0), o.ExpectedKg)
	}
	if n, ok := e.MoreWeighings(0.05); ok {
		fmt.Printf("%d more weekly weighings will tell her need to 5 %%.\n", n)
	}
	less := fed
	less.OtherMcal = yard.Known(2)
	if f, ok := e.Forecast(less, 28); ok {
		fmt.Printf("On 3 Mcal a day less she would weigh %.0f kg (%.0f to %.0f) on %s.\n", f.WeightKg.Mean, f.WeightKg.Low, f.WeightKg.High, f.On.Format("2 January"))
	}
	// Output:
	// Bramble holds her weight on 19.8 Mcal a day (18.5 to 21.2): 10 weighings, 10 weeks.
	// The tables say 18.7.
	// She is holding: -0.1 kg a week, give or take 0.3.
	// 19 October: 452 kg does not fit, about 500 was expected.
	// 4 more weekly weighings will tell her need to 5 %.
	// On 3 Mcal a day less she would weigh 496 kg (491 to 502) on 28 December.
}
