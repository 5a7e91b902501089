package guard

import (
	"math"

	"hardfeed/ration/yard"
)

// StepSource is whose figures the step marks are: the slower half of published
// husbandry guidance. No trial sets a weekly step.
const StepSource = "RC-01 to RC-05 (University of Kentucky; Lewis 1995), the slower half"

// Marks are a horse's own step marks, kg as fed of hard feed a day.
type Marks struct {
	WeekWarnKg, WeekStopKg float64 // rise of the daily amount over one week
	DayWarnKg, DayStopKg   float64 // rise from one day to the next
	QuietStepKg            float64 // rise from one day to the next with nothing rising on the [QuietDays] after it
}

// A rise of one day that is followed by days without one may be larger than a daily one:
// 0.07 kg per 100 kg of body weight, 0.4 kg at the most (design §5d), as shares of the
// day's warning limits, so that who tightens those tightens it too. Two of them come to the
// week's warning limit. Ours: hands change a bucket twice a week, not six times.
const (
	quietOfDay    = 0.07 / 0.04
	quietCapOfDay = 0.4 / 0.2
	QuietDays     = 3 // days after such a rise on which nothing rises
)

// MarksFor scales the marks to a body weight and caps them (limits D-01 to
// D-03): 500 kg gives 0.7 and 1.4 kg a week, a pony of 250 kg 0.35 and 0.70.
func MarksFor(bodyKg float64, l yard.Limits) Marks {
	m := func(per100, limitKg float64) float64 { return min(per100*bodyKg/100, limitKg) }
	return Marks{
		WeekWarnKg:  m(l.WeekRiseWarnKg, l.WeekRiseWarnCapKg),
		WeekStopKg:  m(l.WeekRiseStopKg, l.WeekRiseStopCapKg),
		DayWarnKg:   m(l.DayRiseWarnKg, l.DayRiseWarnCapKg),
		DayStopKg:   m(l.DayRiseStopKg, l.DayRiseStopCapKg),
		QuietStepKg: m(quietOfDay*l.DayRiseWarnKg, quietCapOfDay*l.DayRiseWarnCapKg),
	}
}

// Verdict says which weekly mark a rise passes.
func (m Marks) Verdict(riseKg float64) yard.Verdict {
	switch {
	case over(riseKg, m.WeekStopKg):
		return yard.StepStop
	case over(riseKg, m.WeekWarnKg):
		return yard.StepWarn
	}
	return yard.StepWithin
}

// Path is the daily amount week by week from now to a target, each week's rise
// within the warning limit; the last is the target. A fall is done at once.
func (m Marks) Path(nowKg, targetKg float64) []float64 {
	if m.WeekWarnKg == 0 { // no body weight, no marks
		return []float64{targetKg}
	}
	path := make([]float64, steps(targetKg-nowKg, m.WeekWarnKg))
	for i := range path {
		path[i] = min(targetKg, nowKg+float64(i+1)*m.WeekWarnKg)
	}
	path[len(path)-1] = targetKg
	return path
}

// steps is how many steps within a mark a rise takes, one at least.
func steps(riseKg, markKg float64) int { return int(max(1, math.Ceil(riseKg/markKg-tiny))) }

// StageDays are the days of the week (0 to 6) on which the amount goes up when
// a rise is spread: as few steps as keep each within the day's warning limit, two
// days apart where that leaves room for them (limits D-03), else spread evenly.
// days are those the ordinary amount is fed on: a rise on a day off would reach
// the horse on the next working day on top of that day's own. Fewer days than
// steps make the steps larger.
func (m Marks) StageDays(riseKg float64, days []int) []int {
	n := 1
	if m.DayWarnKg != 0 {
		n = min(len(days), steps(riseKg, m.DayWarnKg))
	}
	return Spread(days, n)
}

// Spread are n of some days: two days apart where that leaves room for them (limits D-03),
// else spread evenly.
func Spread(days []int, n int) []int {
	var apart []int
	for _, d := range days {
		if len(apart) == 0 || d-apart[len(apart)-1] >= 2 {
			apart = append(apart, d)
		}
	}
	if len(apart) >= n {
		return apart[:n]
	}
	out := make([]int, n)
	for i := range out {
		out[i] = days[i*len(days)/n]
	}
	return out
}

// stageUnitKg is how fine a stage's amount is where the marks leave room: what
// a kitchen scale shows at a glance. fineStageUnitKg is as fine as a card goes on
// the way up.
const (
	stageUnitKg     = 0.05
	fineStageUnitKg = 0.01
)

// StageTotals are the n daily amounts on the way from now to a target, the last
// the target itself: each as far as the day's warning limit goes, in steps of 50 g, of
// 10 g where those do not get there in n, in equal ones where neither does. n is what [Marks.StageDays]
// gives, the fewest that keep within the mark where there are days for them.
func (m Marks) StageTotals(nowKg, targetKg float64, n int) []float64 {
	totals := make([]float64, n)
	for _, unit := range [...]float64{stageUnitKg, fineStageUnitKg} {
		kg := nowKg
		for i := range totals {
			kg = min(targetKg, math.Floor((kg+m.DayWarnKg)/unit+tiny)*unit)
			totals[i] = kg
		}
		if !under(kg, targetKg) {
			totals[n-1] = targetKg
			return totals
		}
	}
	for i := range totals {
		totals[i] = nowKg + (targetKg-nowKg)*float64(i+1)/float64(n)
	}
	totals[n-1] = targetKg
	return totals
}

// DayFinding compares the largest rise from one day to the next with D-03.
func (m Marks) DayFinding(horse string, riseKg float64) (f yard.Finding, over bool) {
	f = yard.Finding{Rule: "D-03", Horse: horse, Source: StepSource}
	f.Severity, f.Saying = upperMark(riseKg, m.DayWarnKg, m.DayStopKg, func(word yard.Arg, mark float64) yard.Saying {
		v, passed := distinct(2, riseKg, mark, yard.Kilograms)
		return yard.Say("finding.D-03", v, word, passed)
	})
	return f, f.Severity != 0
}
