package guard_test

import (
	"fmt"

	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// A horse of 500 kg at the floor of 1.5 % of body weight, 7.5 kg of dry matter: hay
// of 91.7 % dry matter reaches it with 8.18 kg (example E13 of the worked rations: a
// hay merchant's note prints 8.17).
func ExampleCheck() {
	hay := feeds.Resolved{FeedNeed: yard.FeedNeed{Feed: yard.Feed{Name: "Hay", Class: yard.Forage}, Composition: yard.Composition{DM: yard.Known(0.917)}}}
	limits := yard.Limits{ForageWarnPct: 1.5, ForageStopPct: 1.25}
	for _, kg := range []float64{8.17, 8.18} {
		r := guard.Ration{BodyKg: 500, Feeds: []guard.Fed{{Feed: &hay, Kg: kg}}}
		for _, f := range guard.Check("Fern", r, limits) {
			if f.Rule == "D-17" {
				v := f.Saying.Arg("value").(yard.Quantity)
				fmt.Printf("%.2f kg: %s %s, %.*f %%\n", kg, f.Rule, f.Severity, v.Digits, v.Value)
			}
		}
	}
	// Output: 8.17 kg: D-17 warn, 1.498 %
}

// The weekly step of horses of three sizes (limits D-01 and D-02): 500 kg 0.7 and
// 1.4 kg, a pony of 250 kg half of it, and no more for a heavier horse.
func ExampleMarksFor() {
	limits := yard.Limits{WeekRiseWarnKg: 0.14, WeekRiseWarnCapKg: 0.7, WeekRiseStopKg: 0.28, WeekRiseStopCapKg: 1.4}
	for _, kg := range []float64{250, 500, 700} {
		m := guard.MarksFor(kg, limits)
		fmt.Printf("%.0f kg: %.2f and %.2f\n", kg, m.WeekWarnKg, m.WeekStopKg)
	}
	// Output:
	// 250 kg: 0.35 and 0.70
	// 500 kg: 0.70 and 1.40
	// 700 kg: 0.70 and 1.40
}
