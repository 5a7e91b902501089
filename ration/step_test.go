package ration

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// Source: the reference table of limits, D-01 to D-30 and SH-03, and exercise §4:
// the marks written out once more, so that a slip in the defaults shows.
func TestDefaultLimitsAreTheTables(t *testing.T) {
	t.Parallel()
	want := yard.Limits{
		WeekRiseWarnKg: 0.14, WeekRiseWarnCapKg: 0.7, WeekRiseStopKg: 0.28, WeekRiseStopCapKg: 1.4,
		DayRiseWarnKg: 0.04, DayRiseWarnCapKg: 0.2, DayRiseStopKg: 0.06, DayRiseStopCapKg: 0.3,
		MealWarnKg: 0.3, MealStopKg: 0.5, StarchMealWarnG: 1, StarchMealStopG: 2, StarchDayWarnG: 2,
		HardFeedWarnPct: 0.5, HardFeedStopPct: 1, HardFeedShareStopPct: 50, OatsWarnKgPer500: 2.7, HardFeedOldWarnKg: 0.7,
		ForageWarnPct: 1.5, ForageStopPct: 1.25, SlimForageWarnPct: 1.25, SlimForageStopPct: 1, RestDayCutFromPct: 0.3,
		OilWarnMlPerKg: 1, SaltWarnG: 10, SaltStopG: 20, CaPStopLow: 1, CaPWarnLow: 1.2, CaPWarnHigh: 6,
		NewFeedDaysWarn: 10, NewFeedDaysStop: 6, NewHayDaysWarn: 14, NewHayDaysStop: 6, GrassRiseWarnMin: 15, OilRiseDaysWarn: 14, StackDays: 14,
		UlcerStarchMealG: 1, UlcerStarchDayG: 2, InsulinBucketPct: 10, InsulinMealG: 0.1, InsulinHayPct: 10, TyingUpPSSMPct: 10, TyingUpRERPct: 20,
		GapWarnHours: 4, GapStopHours: 6, FatWarnPct: 6, FatStopPct: 10, VitEPerMlOil: 1, SeWarnMg: 0.3, SeStopMg: 0.5, SeVetMg: 2,
		IodineWarnMg: 1, IodineStopMg: 4, VitAStopIU: 16000, VitDStopIU: 44, KWarnPct: 1, KStopPct: 1.1, KMealStopG: 33,
		LossStopPct: 1, GainWarnPct: 0.35, MaizeSharePct: 20, HeatWatch: 130, HeatHelp: 150, HeatStop: 180,
	}
	if got := DefaultRules().Limits; got != want {
		t.Errorf("%+v\nwant %+v", got, want)
	}
}

func TestAPlanOverTheStopLimitIsReducedAndThePathLaidOut(t *testing.T) {
	t.Parallel()
	hp := planOne(t, horse("Bracken", 500), line("Bracken", "Hay", kilos(10), nothing), line("Bracken", "Cubes", kilos(1), kilos(3)))
	if hp.Status != yard.Held || hp.Step.Verdict != yard.StepStop {
		t.Fatalf("status %s, verdict %s", hp.Status, hp.Step.Verdict)
	}
	if !near(hp.HardFeed.Now, 1) || !near(hp.HardFeed.Planned, 3) || !near(hp.HardFeed.Target, 3) || !near(hp.HardFeed.Card, 1.7) {
		t.Errorf("now, planned, target, card: %+v", hp.HardFeed)
	}
	if want := []float64{1.7, 2.4, 3}; !reflect.DeepEqual(round(hp.Step.PathKg), want) {
		t.Errorf("path %v, want %v", hp.Step.PathKg, want)
	}
	if f, ok := has(hp, "D-02"); !ok || f.Severity != yard.Stop || f.Source == "" {
		t.Errorf("no D-02 stop with a source: %+v", f)
	}
	if len(hp.HeldWhy) == 0 || !strings.Contains(words.Said(hp.HeldWhy[0]), "The plan was 3 kg of hard feed a day. That is too big a jump from 1 kg. It may go up by 1.4 kg a week at most.") {
		t.Errorf("why: %v", hp.HeldWhy)
	}
}

// Design §5d: at most two steps a week, of 0.35 kg at 500 kg. What they do not reach comes
// with the next week, and the reason says it; whoever answers for it gets all of it.
func TestAPlanOverTheWarningLimitGoesAsFarAsTwoStepsLead(t *testing.T) {
	t.Parallel()
	h := horse("Moss", 500)
	lines := []yard.Line{line("Moss", "Hay", kilos(10), nothing), line("Moss", "Cubes", kilos(1), kilos(2))}
	hp := planOne(t, h, lines...)
	if hp.Status != yard.Held || hp.Step.Verdict != yard.StepWarn || !near(hp.HardFeed.Card, 1.7) || !near(hp.HardFeed.Planned, 2) {
		t.Errorf("%s, %s, card %v", hp.Status, hp.Step.Verdict, hp.HardFeed.Card)
	}
	if !strings.Contains(heldFor(hp), "The rest comes next week") {
		t.Errorf("the reason does not say where the rest is: %s", heldFor(hp))
	}
	if f, ok := has(hp, "D-01"); !ok || f.Severity != yard.Note {
		t.Errorf("the same cause is told twice: %+v", f)
	}
	if want := []float64{1.7, 2}; !reflect.DeepEqual(round(hp.Step.PathKg), want) || !near(hp.Step.WeeksToTarget, 2) {
		t.Errorf("path %v, want %v", hp.Step.PathKg, want)
	}
	h.Override = yard.Override{Asked: true, Who: "R. Hale", Reason: "vet's instruction of 27 November"}
	if hp := planOne(t, h, lines...); hp.Status != yard.Carded || !near(hp.HardFeed.Card, 2) {
		t.Errorf("with a name and a reason: %s, card %v", hp.Status, hp.HardFeed.Card)
	}
}

func TestAnOverrideNeedsANameAndAReason(t *testing.T) {
	t.Parallel()
	lines := []yard.Line{line("Flint", "Hay", kilos(10), nothing), line("Flint", "Cubes", kilos(1), kilos(3))}
	h := horse("Flint", 500)
	h.Override = yard.Override{Asked: true, Who: "R. Hale"}
	if hp := planOne(t, h, lines...); hp.Status != yard.Held {
		t.Errorf("an override without a reason counted: %s", hp.Status)
	} else if _, ok := has(hp, "override"); !ok {
		t.Error("and nobody is told")
	}
	h.Override.Reason = "vet's instruction of 27 November"
	hp := planOne(t, h, lines...)
	if hp.Status != yard.Carded || hp.Step.Verdict != yard.StepOverridden || !near(hp.HardFeed.Card, 3) {
		t.Errorf("%s, %s, card %v", hp.Status, hp.Step.Verdict, hp.HardFeed.Card)
	}
	for _, f := range hp.Findings {
		if f.Severity == yard.Stop && guard.Holds(f.Rule) {
			t.Errorf("a stop is left standing on a card that prints: %+v", f)
		}
	}
	f, _ := has(hp, "D-02")
	if !strings.Contains(message(f), "R. Hale") || !strings.Contains(message(f), "27 November") {
		t.Errorf("the override is not printed: %q", message(f))
	}
	if strings.Contains(words.Said(f.Next), "held card") || f.Why.Empty() {
		t.Errorf("a card as planned is not reduced: %q, %q", words.Said(f.Why), words.Said(f.Next))
	}
}

func TestNoRecordOfLastWeekIsUnknownNotZero(t *testing.T) {
	t.Parallel()
	hp := planOne(t, horse("Sorrel", 500), line("Sorrel", "Hay", nothing, kilos(10)), line("Sorrel", "Cubes", nothing, kilos(3)))
	if hp.Step.Verdict != yard.StepUnknown || hp.HardFeed.Now.IsKnown() || hp.Step.RiseKg.IsKnown() {
		t.Errorf("verdict %s, now %v, rise %v", hp.Step.Verdict, hp.HardFeed.Now, hp.Step.RiseKg)
	}
	// The reduced card and what to decide say it: not a second time among the warnings.
	if f, ok := has(hp, "D-01"); !ok || hp.Status != yard.Held || f.Severity != yard.Note {
		t.Errorf("the unknown step: %v, %+v", hp.Status, f)
	}
	small := planOne(t, horse("Sorrel", 500), line("Sorrel", "Hay", nothing, kilos(10)), line("Sorrel", "Cubes", nothing, kilos(0.3)))
	if f, ok := has(small, "D-01"); !ok || small.Status == yard.Held || f.Severity != yard.Warn {
		t.Errorf("where the card is as planned the unknown step is a warning: %v, %+v", small.Status, f)
	}
	if len(hp.Cautions) == 0 || !strings.Contains(words.Said(hp.Cautions[0]), "We don't know") {
		t.Errorf("the card does not say it: %v", hp.Cautions)
	}
}

// Design §5d: a rise within the week's warning limit comes in at most two steps, each of at most
// 0.07 kg per 100 kg and with three days without one after it, whole quarters where they fit.
func TestTheRiseIsDealtOutInTwoSteps(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what         string
		kg, now, to  float64
		scoop        float64
		want         [7]float64
		weighedParts bool
	}{
		{"two quarters of 0.35 kg", 500, 1.4, 2.1, 1.4, [7]float64{1.75, 1.75, 1.75, 1.75, 2.1, 2.1, 2.1}, false},
		{"one quarter of 0.35 kg", 500, 1.4, 1.75, 1.4, [7]float64{1.75, 1.75, 1.75, 1.75, 1.75, 1.75, 1.75}, false},
		{"a quarter of 0.375 kg is more than a step", 500, 1.5, 1.875, 1.5, [7]float64{1.675, 1.675, 1.675, 1.675, 1.875, 1.875, 1.875}, true},
		{"small quarters, two a step", 500, 0.9, 1.5, 0.6, [7]float64{1.2, 1.2, 1.2, 1.2, 1.5, 1.5, 1.5}, false},
		{"by weight", 500, 1.3, 1.9, 1.4, [7]float64{1.6, 1.6, 1.6, 1.6, 1.9, 1.9, 1.9}, true},
		{"a pony", 250, 0.7, 1.05, 0.7, [7]float64{0.875, 0.875, 0.875, 0.875, 1.05, 1.05, 1.05}, false},
		// Over the week's warning limit it goes as far as two steps of whole quarters lead.
		{"over the warning limit", 500, 1, 2, 0.8, [7]float64{1.2, 1.2, 1.2, 1.2, 1.4, 1.4, 1.4}, false},
	} {
		w := smallYard(horse("Teal", c.kg))
		w.Feeds[1].MeasureKg = yard.Known(c.scoop)
		w.Measures = []yard.Measure{{Name: "scoop", Litres: yard.Known(c.scoop / 0.6)}}
		w.Lines = []yard.Line{line("Teal", "Hay", kilos(c.kg/50), nothing), line("Teal", "Cubes", kilos(c.now), kilos(c.to))}
		hp := Plan(w, DefaultRules()).Horses[0]
		for d, kg := range hp.Step.DayKg {
			if !near(kg, c.want[d]) {
				t.Errorf("%s: day %d has %v kg, want %.3f", c.what, d+1, kg, c.want[d])
			}
		}
		weighed := false
		for _, s := range hp.Servings {
			weighed = weighed || s.Feed == "Cubes" && s.Weigh && s.Day == yard.WorkDay
		}
		if weighed != c.weighedParts {
			t.Errorf("%s: WEIGH is %v", c.what, weighed)
		}
		if _, found := has(hp, "D-03"); found {
			t.Errorf("%s: its own steps are warned of", c.what)
		}
	}
}

func TestAStepFallsOnNoDayOff(t *testing.T) {
	t.Parallel()
	h := horse("Dabchick", 500)
	h.Work[0], h.Work[3] = yard.Day{Text: "rest"}, yard.Day{Text: "rest"} // Monday, Thursday and Sunday off
	h.Work[6] = yard.Day{Text: "rest"}
	hp := planOne(t, h, line("Dabchick", "Hay", kilos(10), nothing), line("Dabchick", "Cubes", kilos(1.5), kilos(2.1)))
	before, last := 1.5, -4
	for d, kg := range hp.Step.DayKg {
		v := kg.Or(math.NaN())
		if math.Abs(v-before) > 1e-9 {
			if hp.Days[d].Kind == yard.RestDay {
				t.Errorf("the amount goes from %.3f to %.3f on day %d, a day off", before, v, d+1)
			}
			if v-before > 0.35+1e-9 || d-last <= 3 {
				t.Errorf("day %d is %.3f kg over the last day of work, %d days after the last step", d+1, v-before, d-last)
			}
			last = d
		}
		before = v
	}
	// One day of work in the week cannot take 0.6 kg: over 0.35 kg in a day.
	h.Work = [7]yard.Day{2: h.Work[1]}
	hp = planOne(t, h, line("Dabchick", "Hay", kilos(10), nothing), line("Dabchick", "Cubes", kilos(1.5), kilos(2.1)))
	if hp.Status != yard.Held || hp.Step.Verdict != yard.StepStop || !near(hp.HardFeed.Card, 1.85) {
		t.Errorf("%s, %s, card %v: reduced to 0.35 kg more", hp.Status, hp.Step.Verdict, hp.HardFeed.Card)
	}
}

func TestTakingFeedAwayIsDoneAtOnce(t *testing.T) {
	t.Parallel()
	hp := planOne(t, horse("Wren", 500), line("Wren", "Hay", kilos(10), nothing), line("Wren", "Cubes", kilos(3), kilos(1.5)))
	if !near(hp.Step.DayKg[0], 1.5) || hp.Step.Verdict != yard.StepWithin {
		t.Errorf("Monday %v, %s", hp.Step.DayKg[0], hp.Step.Verdict)
	}
}

// A rise that the days there are can take is not flagged because of the card's own steps.
func TestTheCardsOwnStepsAreNoReasonToWarn(t *testing.T) {
	t.Parallel()
	h := horse("Toffee", 285) // a step of 0.1995 kg
	h.Type = yard.TypePony
	for _, d := range []int{0, 2, 4} {
		h.Work[d] = yard.Day{Text: "rest"}
	}
	hp := planOne(t, h, line("Toffee", "Hay", kilos(5.5), kilos(5.5)), line("Toffee", "Cubes", kilos(0.65), kilos(0.975)))
	before := 0.65
	for d, day := range hp.Days {
		if kg := hp.Step.DayKg[d].Or(math.NaN()); day.Kind == yard.WorkDay {
			if kg-before > 0.07*285/100+1e-9 {
				t.Errorf("from %.3f to %.3f kg in one day", before, kg)
			}
			before = kg
		}
	}
	if f, found := has(hp, "D-03"); found {
		t.Error(message(f))
	}
	if !near(hp.Step.DayKg[6], 0.975) {
		t.Errorf("the week ends on %v kg", hp.Step.DayKg[6])
	}
}

// A rise is put in one meal at a time: what is still to come is left out of the
// earliest meals first, down to what they hold now.
func TestARiseGoesInTheLaterMealFirst(t *testing.T) {
	t.Parallel()
	at := func(meal string, now, planned float64) yard.Line {
		l := line("Finch", "Cubes", kilos(now), kilos(planned))
		l.Meal = meal
		return l
	}
	w := smallYard(horse("Finch", 500))
	w.Lines = []yard.Line{line("Finch", "Hay", kilos(9), kilos(9)), at("Breakfast", 0.75, 1.125), at("Tea", 0.75, 1.125)}
	c := undecided(t, w)
	final := c.dish.asWritten()
	last := stage{day: final, meals: c.dish.shares(final)}
	cubes := slices.IndexFunc(c.dish.bucket, func(it item) bool { return it.feed.Feed.Name == "Cubes" })
	for _, s := range []struct{ share, breakfast, tea float64 }{
		{0, 0.75, 0.75}, {0.2, 0.75, 0.9}, {0.5, 0.75, 1.125}, {0.8, 0.97, 1.125}, {1, 1.125, 1.125},
	} {
		got := c.dealing().interpolateStage(last, s.share, false).meals[cubes]
		if math.Abs(got[0]-s.breakfast) > 0.011 || math.Abs(got[2]-s.tea) > 0.011 || got[1] != 0 {
			t.Errorf("%g of the way: %v, want %g at breakfast and %g at tea", s.share, got, s.breakfast, s.tea)
		}
	}
}

// What the card marks as changed: a feed whose day's amount is not what is fed now,
// where that is known and weighed.
func TestWhatIsMarkedAsChanged(t *testing.T) {
	t.Parallel()
	adLib, unread := yard.Amount{Given: true, AdLib: true}, yard.Amount{Given: true}
	for _, c := range []struct {
		what         string
		now, planned yard.Amount
		want         bool
	}{
		{"more", kilos(1.5), kilos(1.875), true},
		{"less", kilos(1.5), kilos(1.125), true},
		{"the same", kilos(1.5), kilos(1.5), false},
		{"a thousandth of a gram", kilos(1.5), kilos(1.5 + 1e-9), false},
		{"not known what is fed now", unread, kilos(1.5), false},
		{"nothing said of now", nothing, kilos(1.5), false},
		{"ad lib now", adLib, kilos(1.5), false},
	} {
		hp := planOne(t, horse("Wren", 500), line("Wren", "Hay", kilos(9), kilos(9)), line("Wren", "Cubes", c.now, c.planned))
		var cubes, hay, others bool
		for _, s := range hp.Servings {
			switch {
			case s.Day != yard.WorkDay:
				others = others || s.Changed
			case s.Feed == "Cubes":
				cubes = cubes || s.Changed
			default:
				hay = hay || s.Changed
			}
		}
		if cubes != c.want || hay || others {
			t.Errorf("%s: cubes %v, hay %v, other days %v; want cubes %v", c.what, cubes, hay, others, c.want)
		}
	}
}
