package reporttest

import (
	"time"

	"hardfeed/ration/yard"
)

// learnt is a horse's weighings of fourteen weeks, one of them a slip, and what they
// tell of it.
func learnt() (weighings []yard.Weighing, e *yard.HorseEvidence) {
	at := func(weeks int) time.Time { return Monday.AddDate(0, 0, 7*weeks-2) }
	for i, kg := range []float64{511, 515, 512, 517, 513, 519, 516, 561, 514, 519, 521, 517, 522, 520} {
		weighings = append(weighings, yard.Weighing{Date: at(i - 13), Kg: Num(kg), Basis: yard.ByScale})
	}
	slip := weighings[7]
	est := func(low, mean, high float64) yard.Estimate { return yard.Estimate{Low: low, Mean: mean, High: high} }
	e = &yard.HorseEvidence{Evidence: yard.Evidence{Horse: "Bramble", Weighings: 13, From: at(-13), To: at(0), Weeks: 12, Need: est(20.3, 21.6, 22.9), TablesMcal: 20.4,
		Maintenance: est(0.0331, 0.0356, 0.0381), MayLower: true, Trend: yard.TrendHolding, Holds: true,
		Recent: yard.TrendLine{KgPerWeek: est(-0.4, 0.6, 1.6), SE: 0.6, From: at(-5), To: at(0), Weighings: 6},
		Long:   yard.TrendLine{KgPerWeek: est(0.2, 0.6, 1), SE: 0.25, From: at(-11), To: at(0), Weighings: 11},
		Odd:    []yard.OddWeighing{{Weighing: slip, ExpectedKg: 515, OffKg: 46}}, WeightKg: est(517, 520, 523)},
		MoreWeighings: Num(6)}
	for week := range 5 {
		wide := 3 + 2.2*float64(week)
		kg := 520 + 0.5*float64(week)
		f := yard.WeightForecast{On: Monday.AddDate(0, 0, 7*week), Basis: yard.ByScale, WeightKg: est(kg-wide, kg, kg+wide), ChangeKg: est(kg-520-wide, kg-520, kg-520+wide)}
		f.Score.Low, f.Score.Mean, f.Score.High = Num(4.6), Num(5.1), Num(5.6)
		e.Ahead = append(e.Ahead, f)
	}
	mcal := func(name string, v float64) yard.Arg { return yard.Fixed(name, v, yard.Mcal, 1) }
	kg := func(name string, v float64, digits int) yard.Arg { return yard.Fixed(name, v, yard.Kilograms, digits) }
	date := func(name string, t time.Time) yard.Arg { return yard.Arg{Name: name, Value: yard.Date{Date: t}} }
	e.Says = []yard.Saying{
		yard.Say("part.evidence.need", mcal("mean", 21.6), mcal("low", 20.3), mcal("high", 22.9), yard.Count("n", 13), yard.Fixed("weeks", 13, yard.Weeks, 0), mcal("tables", 20.4)),
		yard.Say("part.evidence.trend.holding", kg("mean", 0.6, 1), kg("low", 0.2, 1), kg("high", 1, 1), yard.Count("n", 11), date("from", at(-11))),
		yard.Say("part.evidence.ahead", kg("mean", 522, 0), kg("low", 510, 0), kg("high", 534, 0), date("date", Monday.AddDate(0, 0, 28))),
		yard.Say("part.evidence.more", yard.Count("n", 6)),
	}
	return weighings, e
}
