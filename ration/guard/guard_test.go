package guard

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

// The default marks, written out again from the reference table of limits so
// that a slip in the defaults and one here would have to agree.
var limits = yard.Limits{
	WeekRiseWarnKg: 0.14, WeekRiseWarnCapKg: 0.7, WeekRiseStopKg: 0.28, WeekRiseStopCapKg: 1.4,
	DayRiseWarnKg: 0.04, DayRiseWarnCapKg: 0.2, DayRiseStopKg: 0.06, DayRiseStopCapKg: 0.3,
	MealWarnKg: 0.3, MealStopKg: 0.5, StarchMealWarnG: 1, StarchMealStopG: 2, StarchDayWarnG: 2,
	HardFeedWarnPct: 0.5, HardFeedStopPct: 1, HardFeedShareStopPct: 50, OatsWarnKgPer500: 2.7,
	ForageWarnPct: 1.5, ForageStopPct: 1.25, RestDayCutFromPct: 0.3,
	OilWarnMlPerKg: 1, SaltWarnG: 10, SaltStopG: 20, CaPStopLow: 1, CaPWarnLow: 1.2, CaPWarnHigh: 6,
	HardFeedOldWarnKg: 0.7, NewFeedDaysWarn: 10, NewFeedDaysStop: 6, NewHayDaysWarn: 14, NewHayDaysStop: 6,
	GrassRiseWarnMin: 15, OilRiseDaysWarn: 14, StackDays: 14, UlcerStarchMealG: 1, UlcerStarchDayG: 2,
	InsulinBucketPct: 10, InsulinMealG: 0.1, InsulinHayPct: 10, TyingUpPSSMPct: 10, TyingUpRERPct: 20,
	SlimForageWarnPct: 1.25, SlimForageStopPct: 1, GapWarnHours: 4, GapStopHours: 6, FatWarnPct: 6, FatStopPct: 10, VitEPerMlOil: 1,
	SeWarnMg: 0.3, SeStopMg: 0.5, SeVetMg: 2, IodineWarnMg: 1, IodineStopMg: 4, VitAStopIU: 16000, VitDStopIU: 44,
	KWarnPct: 1, KStopPct: 1.1, KMealStopG: 33, LossStopPct: 1, GainWarnPct: 0.35, MaizeSharePct: 20,
	HeatWatch: 130, HeatHelp: 150, HeatStop: 180,
}

// Source: limits, "How the weekly step is worked": 500 kg 0.7 and 1.4; a pony
// of 250 kg 0.35 and 0.70; 700 kg capped at 0.7 and 1.4.
func TestStepLimitsByBodyWeight(t *testing.T) {
	for _, c := range []struct{ kg, warn, stop float64 }{{500, 0.7, 1.4}, {250, 0.35, 0.70}, {700, 0.7, 1.4}} {
		m := MarksFor(c.kg, limits)
		if math.Abs(m.WeekWarnKg-c.warn) > 1e-9 || math.Abs(m.WeekStopKg-c.stop) > 1e-9 {
			t.Errorf("%g kg: %.3f and %.3f, want %.2f and %.2f", c.kg, m.WeekWarnKg, m.WeekStopKg, c.warn, c.stop)
		}
	}
	m := MarksFor(500, limits)
	if math.Abs(m.DayWarnKg-0.2) > 1e-9 || math.Abs(m.DayStopKg-0.3) > 1e-9 {
		t.Errorf("one day at 500 kg: %.3f and %.3f, want 0.2 and 0.3", m.DayWarnKg, m.DayStopKg)
	}
}

func TestTheStepsVerdict(t *testing.T) {
	m := MarksFor(500, limits)
	for _, c := range []struct {
		rise float64
		want yard.Verdict
	}{{-2, yard.StepWithin}, {0, yard.StepWithin}, {0.7, yard.StepWithin}, {0.71, yard.StepWarn}, {1.4, yard.StepWarn}, {1.41, yard.StepStop}} {
		if got := m.Verdict(c.rise); got != c.want {
			t.Errorf("rise of %.2f kg: %s, want %s", c.rise, got, c.want)
		}
	}
}

func TestThePathNeverPassesTheUsualLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(80, 1200).Draw(t, "body kg")
		now := rapid.Float64Range(0, 8).Draw(t, "now")
		target := rapid.Float64Range(0, 12).Draw(t, "target")
		m := MarksFor(kg, limits)
		before := now
		path := m.Path(now, target)
		for _, p := range path {
			if p-before > m.WeekWarnKg+1e-6 {
				t.Fatalf("a week rises by %.3f kg, warning limit %.3f: %v", p-before, m.WeekWarnKg, path)
			}
			before = p
		}
		if math.Abs(before-target) > 1e-9 {
			t.Fatalf("the path ends at %.3f, not at %.3f", before, target)
		}
	})
}

func TestStagesKeepADaysRiseWithinTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(80, 1200).Draw(t, "body kg")
		m := MarksFor(kg, limits)
		rise := rapid.Float64Range(0, m.WeekStopKg).Draw(t, "rise")
		days := m.StageDays(rise, []int{0, 1, 2, 3, 4, 5, 6})
		if each := rise / float64(len(days)); each > m.DayWarnKg+1e-9 {
			t.Fatalf("%d steps of %.3f kg, mark %.3f", len(days), each, m.DayWarnKg)
		}
		if days[len(days)-1] > 6 {
			t.Fatalf("the last step falls outside the week: %v", days)
		}
		if rise <= m.WeekWarnKg {
			for i := 1; i < len(days); i++ {
				if days[i]-days[i-1] < 2 {
					t.Fatalf("steps less than two days apart within the warning limit: %v", days)
				}
			}
		}
	})
}

func TestStepsFallOnTheDaysTheOrdinaryAmountIsFed(t *testing.T) {
	m := MarksFor(500, limits)
	for _, c := range []struct {
		rise float64
		days []int
		want string
	}{
		{0.7, []int{0, 1, 2, 3, 4, 5, 6}, "[0 2 4 6]"},
		{0.7, []int{1, 2, 3, 4, 5, 6}, "[1 2 4 5]"},
		{0.4, []int{1, 3, 6}, "[1 3]"},
		{0.7, []int{2, 5}, "[2 5]"}, // two larger steps
		{0.1, []int{3}, "[3]"},
		{0, []int{1, 2}, "[1]"},
	} {
		if got := fmt.Sprint(m.StageDays(c.rise, c.days)); got != c.want {
			t.Errorf("%.1f kg over days %v: steps on %s, want %s", c.rise, c.days, got, c.want)
		}
	}
}

func TestStageTotalsClimbWithinTheDaysLimitToTheTarget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(80, 1200).Draw(t, "body kg")
		m := MarksFor(kg, limits)
		now := rapid.Float64Range(0, 8).Draw(t, "now")
		rise := rapid.Float64Range(0.001, m.WeekStopKg).Draw(t, "rise")
		totals := m.StageTotals(now, now+rise, len(m.StageDays(rise, []int{0, 1, 2, 3, 4, 5, 6})))
		before := now
		for i, kg := range totals {
			if kg < before-1e-9 || kg-before > m.DayWarnKg+1e-9 {
				t.Fatalf("step %d goes from %.3f to %.3f kg, mark %.3f: %v", i+1, before, kg, m.DayWarnKg, totals)
			}
			before = kg
		}
		if before != now+rise {
			t.Fatalf("ends at %.3f, not at %.3f", before, now+rise)
		}
	})
}

// Source: example E13 (a hay merchant's analysis note, address withheld): 500
// kg × 1.5 % = 7.5 kg DM; hay of 91.7 % DM; exact 8.179 kg, printed 8.17.
func TestMinimumForageOfAPublishedExample(t *testing.T) {
	for _, c := range []struct {
		hayKg float64
		want  bool
	}{{8.17, true}, {8.18, false}} {
		if f := found("D-17", "", Check("Fern", of(500, nil, one("Hay", yard.Forage, c.hayKg, 0.917, nil)), limits)); (f.Severity == yard.Warn) != c.want {
			t.Errorf("%.2f kg of hay: %v", c.hayKg, f.Severity)
		}
	}
}

func TestUnknownStarchIsSaidNotPassedOver(t *testing.T) {
	r := mealsOf(500, meal{"Tea", 1, 510})
	r.Feeds = append(r.Feeds, one("Mix", yard.HardFeed, 0.1, 0.9, nil), one("Hay chop", yard.Chaff, 0.1, 0.9, nil))
	text := ""
	for _, f := range Check("Horse", r, limits) {
		text += message(f) + "\n"
	}
	for _, want := range []string{"don't know the starch of Mix and Hay chop", "at least 1.02 g"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q not said in:\n%s", want, text)
		}
	}
}
