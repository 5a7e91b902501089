package ration

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

// workWeek is six days of one kind of work and one off.
func workWeek(minutes ...float64) (days [7]yard.Day) {
	var m [yard.Gaits]float64
	copy(m[:], minutes)
	for d := range 6 {
		days[d] = yard.Day{Text: "work", Sessions: []yard.Session{{Minutes: m}}}
	}
	return days
}

func weekOf(n int, days [7]yard.Day) yard.WorkWeek {
	return yard.WorkWeek{Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*n), Work: days}
}

var (
	easy = workWeek(40, 10)
	hard = workWeek(50, 65, 46)
)

func climber(later ...yard.WorkWeek) (yard.Horse, []yard.Line) {
	h := horse("Wheatear", 500)
	h.Work = easy
	h.Later = later
	return h, []yard.Line{line(h.Name, "Hay", kilos(9.75), nothing), line(h.Name, "Cubes", kilos(1), nothing), line(h.Name, "Oats", kilos(0), nothing), line(h.Name, "Salt", kilos(0.03), nothing)}
}

func TestTheClimbStartsEarlyEnoughForTheWorkToCome(t *testing.T) {
	t.Parallel()
	h, lines := climber(weekOf(1, easy), weekOf(2, easy), weekOf(3, hard))
	lines = slices.Delete(lines, 2, 3) // without oats: the step of one feed in another's place is its own
	hp := planOne(t, h, lines...)
	alone, _ := climber()
	was := planOne(t, alone, lines...)
	if !(hp.HardFeed.Card.Or(0) > was.HardFeed.Card.Or(9)) {
		t.Errorf("with hard work three weeks on the card has %v kg, without it %v", hp.HardFeed.Card, was.HardFeed.Card)
	}
	if _, ok := has(hp, "climb"); !ok {
		t.Error("nobody is told why hard feed goes up before the work does")
	}
	a := hp.Step.Ahead
	// Hard feed is there in time; hay, which moves by a quarter a week, is a week behind.
	if len(a) != 3 || a[2].CardKg < a[2].TargetKg-1e-6 || a[2].ShortMcal > 0.05*a[2].NeedMcal || a[0].NeedMcal >= a[2].NeedMcal {
		t.Fatalf("weeks ahead: %+v", a)
	}
	if hp.HardFeed.Target.Or(0) != a[2].TargetKg || len(hp.Step.PathKg) < 4 || math.Abs(hp.Step.PathKg[3]-a[2].CardKg) > 1e-9 {
		t.Errorf("path %v to %v; ahead %+v", hp.Step.PathKg, hp.HardFeed.Target, a)
	}
	for i, kg := range hp.Step.PathKg[1:] {
		if kg-hp.Step.PathKg[i] > 0.7+1e-9 { // D-01 at 500 kg
			t.Errorf("path %v", hp.Step.PathKg)
		}
	}
	if _, said := has(hp, "energy"); !said && hp.Energy.Supply.Or(0) > 1.03*hp.Energy.Need.Or(0) {
		t.Error("the energy ahead of the work is not said")
	}
}

func TestWorkThatOutrunsTheFeedIsSaidWithWhatItCosts(t *testing.T) {
	t.Parallel()
	h, lines := climber(weekOf(1, hard))
	hp := planOne(t, h, lines...)
	f, ok := has(hp, "ahead")
	if !ok {
		t.Fatalf("nothing is said; %+v", hp.Step.Ahead)
	}
	a := hp.Step.Ahead[0]
	for _, want := range []string{"The week of 7 Dec 2026 (week 2)", "Hard feed can reach", "Ease that week's work, or put it off by"} {
		if !strings.Contains(message(f), want) {
			t.Errorf("%q does not say %q", message(f), want)
		}
	}
	if f.Severity != yard.Warn || a.ShortMcal <= 0 || math.Abs(a.ShortMcal-(a.NeedMcal-a.SupplyMcal.Or(0))) > 1e-9 {
		t.Errorf("%+v", a)
	}
	// 20 Mcal a kg: requirements §9, seen for gain, read backwards for loss.
	if math.Abs(a.WeightKg-a.ShortMcal*7/20) > 1e-9 {
		t.Errorf("%.2f Mcal a day short are %.2f kg in a week", a.ShortMcal, a.WeightKg)
	}
}

func TestAWeekNobodyWroteDownIsTakenLikeTheOneBefore(t *testing.T) {
	t.Parallel()
	h, lines := climber(weekOf(3, hard))
	hp := planOne(t, h, lines...)
	a := hp.Step.Ahead
	if len(a) != 3 || a[0].Planned || a[1].Planned || !a[2].Planned || a[0].NeedMcal != hp.Energy.Need.Or(0) {
		t.Errorf("%+v", a)
	}
}

func TestHerOwnPlanIsJudgedAgainstTheWeeksToCome(t *testing.T) {
	t.Parallel()
	h, lines := climber(weekOf(1, hard))
	lines[1].Planned = kilos(1)
	hp := planOne(t, h, lines...)
	if _, ok := has(hp, "ahead"); !ok || !near(hp.HardFeed.Card, 1) || len(hp.Step.PathKg) != 1 {
		t.Errorf("card %v, path %v, %v", hp.HardFeed.Card, hp.Step.PathKg, ok)
	}
}

func TestNoClimbWhereAVetHasNamedACondition(t *testing.T) {
	t.Parallel()
	h, lines := climber(weekOf(1, hard), weekOf(2, hard))
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.PPID, Text: "PPID"}}
	hp := planOne(t, h, lines...)
	f, ok := has(hp, "ahead")
	if !ok || !strings.Contains(message(f), "We don't raise this horse's hard feed") || hp.HardFeed.Card.Or(9) > 1 {
		t.Errorf("card %v: %q", hp.HardFeed.Card, message(f))
	}
	for _, a := range hp.Step.Ahead {
		if a.CardKg > 1+1e-9 {
			t.Errorf("%+v", a)
		}
	}
}

// Source: limits RC-13 (Lewis 1995, seen as quoted by another page): a fall of
// concentrate is spread over 14 days for horses coming off much of it.
func TestWhenWorkStopsHardFeedIsHalvedAtOnceAndTheRestFollows(t *testing.T) {
	t.Parallel()
	h := horse("Fieldfare", 500)
	h.Work = [7]yard.Day{}
	lines := []yard.Line{line(h.Name, "Hay", kilos(9), nothing), line(h.Name, "Cubes", kilos(3), nothing)}
	hp := planOne(t, h, lines...)
	if !near(hp.HardFeed.Card, 1.5) || !near(hp.HardFeed.Target, 0) || !near(hp.Step.WeeksToTarget, float64(len(hp.Step.PathKg))) || len(hp.Step.PathKg) > 3 {
		t.Errorf("card %v, target %v, path %v in %v weeks", hp.HardFeed.Card, hp.HardFeed.Target, hp.Step.PathKg, hp.Step.WeeksToTarget)
	}
	if kg := hp.Step.DayKg[0]; !near(kg, 1.5) {
		t.Errorf("on the first day it still has %v kg", kg)
	}
	if f, ok := has(hp, "taper"); !ok || !strings.Contains(message(f), "from 3 to 1.5 kg a day") {
		t.Errorf("%q", message(f))
	}
	lines[1].Now = kilos(1.2) // 0.7 kg, the week's warning limit, may go at once
	if hp := planOne(t, h, lines...); !near(hp.HardFeed.Card, 0.5) || len(hp.Step.PathKg) != 2 || hp.Step.PathKg[1] != 0 {
		t.Errorf("card %v, path %v", hp.HardFeed.Card, hp.Step.PathKg)
	}
	lines[1].Now = kilos(3)
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitis"}}
	if hp := planOne(t, h, lines...); !near(hp.HardFeed.Card, 0) {
		t.Errorf("with laminitis named by the vet the card has %v", hp.HardFeed.Card)
	}
}

// The same horse, fed so much that half of it still passes a warning limit: what is fed
// now passes that mark too, so it is no reason to take three quarters away at once.
func TestALargeFallIsSpreadOutWhereHalfPassesAUsualLimitThatNowPassesToo(t *testing.T) {
	t.Parallel()
	h := horse("Fieldfare", 500)
	h.Work = [7]yard.Day{}
	hp := planOne(t, h, line(h.Name, "Hay", kilos(9), nothing), line(h.Name, "Cubes", kilos(6), nothing))
	if f, ok := has(hp, "D-13"); !ok || f.Severity != yard.Warn {
		t.Fatalf("half passes no warning limit: %+v", hp.Findings)
	}
	if f, ok := has(hp, "taper"); !ok || !near(hp.HardFeed.Card, 3) {
		t.Errorf("card %v: %q", hp.HardFeed.Card, message(f))
	}
}

// A horse in fast work that keeps its weight on more than the figures give.
func TestAHorseIsAskedBeforeTheFigures(t *testing.T) {
	t.Parallel()
	h := horse("Bunting", 490)
	h.Score, h.Work = yard.Known(5), workWeek(40, 10, 12)
	fed := []yard.Line{line(h.Name, "Hay", kilos(7), nothing), line(h.Name, "Cubes", kilos(6.5), nothing)}
	hp := planOne(t, h, fed...)
	if f, ok := has(hp, "fed-now"); !ok || !strings.Contains(message(f), "nothing in the workbook explains it") || hp.HardFeed.Card.Or(0) < 5 {
		t.Errorf("%q; energy %+v, hard feed %+v", message(f), hp.Energy, hp.HardFeed)
	}
	for what, change := range map[string]func(h *yard.Horse, fed []yard.Line){
		"it is fat":                              func(h *yard.Horse, _ []yard.Line) { h.Score = yard.Known(7) },
		"it loses little, as she planned":        func(_ *yard.Horse, fed []yard.Line) { fed[1].Planned = kilos(5.5) },
		"it is fed what the figures give":        func(_ *yard.Horse, fed []yard.Line) { fed[1].Now = kilos(2) },
		"it did far more last week":              func(h *yard.Horse, _ []yard.Line) { h.BeforeGiven, h.Before = true, workWeek(60, 90, 60) },
		"this week's work is not all understood": func(h *yard.Horse, _ []yard.Line) { h.Work[2].Unknown = true },
	} {
		h, fed := h, slices.Clone(fed)
		change(&h, fed)
		if f, ok := has(planOne(t, h, fed...), "fed-now"); ok {
			t.Errorf("%s: %q", what, message(f))
		}
	}
	h.BeforeGiven, h.Before = true, h.Work
	if f, ok := has(planOne(t, h, fed...), "fed-now"); !ok || strings.Contains(message(f), "not known") {
		t.Errorf("%q", message(f))
	}
}

// anyLater draws the work written down for some of the weeks to come.
func anyLater(t *rapid.T) []yard.WorkWeek {
	var later []yard.WorkWeek
	for k := range rapid.IntRange(1, 5).Draw(t, "weeks") {
		if rapid.IntRange(0, 3).Draw(t, "written") == 0 {
			continue
		}
		days := workWeek(float64(rapid.IntRange(0, 90).Draw(t, "walk")), float64(rapid.IntRange(0, 60).Draw(t, "trot")), float64(rapid.IntRange(0, 40).Draw(t, "canter")))
		later = append(later, weekOf(k+1, days))
	}
	return later
}

func TestWhatHoldsOfEveryLookAhead(t *testing.T) {
	t.Parallel()
	climbs, outrun, reachable, missed := 0, 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c, w := anyProposal(t)
		w.Horses[0].Later = anyLater(t)
		hp := Plan(w, DefaultRules()).Horses[0]
		if hp.Status == yard.NoCard {
			return
		}
		a := hp.Step.Ahead
		if later := w.Horses[0].Later; len(later) == 0 {
			if len(a) > 0 {
				t.Fatalf("%+v", a)
			}
			return
		} else if last := later[len(later)-1]; a[len(a)-1].Beginning != last.Beginning {
			t.Fatalf("the last week looked at is %s, the last written down %s", a[len(a)-1].Beginning, last.Beginning)
		}
		before := hp.HardFeed.Card.Or(math.NaN())
		for k, x := range a {
			if !(x.CardKg-before <= c.facts.marks.WeekWarnKg+1e-6) {
				t.Fatalf("week %d goes from %.3f to %.3f kg, the warning limit is %.3f", k+2, before, x.CardKg, c.facts.marks.WeekWarnKg)
			}
			before = x.CardKg
			if s, ok := x.SupplyMcal.Get(); x.ShortMcal != 0 && (!ok || math.Abs(x.NeedMcal-s-x.ShortMcal) > 1e-9 || x.ShortMcal < 0.03*x.NeedMcal-1e-6) {
				t.Fatalf("%+v", x)
			}
			if hp.HardFeed.Now.IsKnown() && hp.Status == yard.Carded && hp.Step.PathKg[k+1] != x.CardKg {
				t.Fatalf("path %v, ahead %+v", hp.Step.PathKg, a)
			}
		}
		_, clash := has(hp, "clash")
		_, late := has(hp, "ahead")
		if now, known := hp.HardFeed.Now.Get(); known && hp.Status == yard.Carded && !clash && !vetNamed(&c.facts.Horse) && !c.facts.WorkAtLeast && len(c.otherChanges) == 0 {
			reach, can := now+c.rising().stepKg(), true
			c.facts.Horse.Later = w.Horses[0].Later
			for _, x := range a {
				c = c.nextWeek()
				reach += c.rising().stepKg()
				can = can && x.TargetKg <= reach
			}
			if can {
				reachable++
				for _, x := range a {
					if late && x.ShortMcal > 0 && x.CardKg < x.TargetKg-1e-6 {
						missed++
						break
					}
				}
			}
		}
		for _, f := range hp.Findings {
			switch f.Rule {
			case "climb":
				climbs++
			case "ahead":
				outrun++
			}
		}
	})
	t.Logf("%d climbs ahead of the work, %d weeks that outrun the feed; %d outlooks the steps add up to, %d of them missed", climbs, outrun, reachable, missed)
	// A step that quarters of two feeds do not hit, or a mark on the way, may cost a
	// week: 2 in a hundred of 7,000 outlooks. The border leaves room for chance.
	if climbs == 0 || outrun == 0 || reachable == 0 || missed > 8 && missed*12 > reachable {
		t.Error("too little was compared, or too much was missed")
	}
}

// The cards of the weeks to come are those announced: with the work done as it was
// written down, and the feed given as the cards say.
func TestTheWeeksToComeAreFedAsAnnounced(t *testing.T) {
	t.Parallel()
	weeks := 0
	rapid.Check(t, func(t *rapid.T) {
		_, w := anyProposal(t)
		w.Horses[0].Later = anyLater(t)
		w = inSpring(w)
		announced := Plan(w, DefaultRules()).Horses[0]
		if announced.Status != yard.Carded || !announced.HardFeed.Now.IsKnown() {
			return
		}
		hp := announced
		for k, a := range announced.Step.Ahead {
			w = weekLater(w, hp)
			if h := &w.Horses[0]; a.Planned {
				h.Work, h.Later = h.Later[0].Work, h.Later[1:]
			}
			hp = Plan(w, DefaultRules()).Horses[0]
			if hp.Status != yard.Carded {
				return // a stop limit that only the coming week's own card runs into
			}
			path := announced.Step.PathKg[k+1:]
			if !slices.EqualFunc(hp.Step.PathKg, path, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) || hp.HardFeed.Card != yard.Known(a.CardKg) || hp.Energy.Need.Or(0) != a.NeedMcal {
				t.Fatalf("week %d was announced as %+v, path %v; it came to %v, path %v", k+2, a, path, hp.HardFeed.Card, hp.Step.PathKg)
			}
			weeks++
		}
	})
	t.Logf("%d weeks were announced and came", weeks)
	if weeks == 0 {
		t.Error("no week was compared")
	}
}

// How far hard feed climbs in a week: two steps of 0.07 kg per 100 kg (design §5d), in whole
// quarter measures where one fits in a step or in the week, else in what goes on a scale;
// one step where no two days of work have three between them.
func TestHowFarHardFeedClimbsInAWeek(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what    string
		measure yard.Num
		days    int // of work
		want    float64
	}{
		{"quarters of 375 g under 0.7 kg", yard.Known(1.5), 6, 0.375},
		{"quarters of 200 g: one a step", yard.Known(0.8), 6, 0.4},
		{"quarters of 150 g: two a step", yard.Known(0.6), 6, 0.6},
		{"quarters of 350 g: two of them", yard.Known(1.4), 6, 0.7},
		{"a quarter of a kilo more than the mark", yard.Known(4), 6, 0.7},
		{"no measure", yard.Num{}, 6, 0.7},
		{"two days next to each other", yard.Num{}, 2, 0.35},
		{"two days next to each other, a quarter over what one step takes", yard.Known(1.5), 2, 0.35},
	} {
		h := horse("Plover", 500)
		for d := c.days; d < 7; d++ {
			h.Work[d] = yard.Day{Text: "off"}
		}
		w := smallYard(h)
		w.Feeds[1].MeasureKg = c.measure
		w.Measures = []yard.Measure{{Name: "scoop", Litres: yard.Known(c.measure.Or(0) / 0.6)}} // as heavy as cubes are
		if !c.measure.IsKnown() {
			w.Measures = nil
		}
		w.Lines = []yard.Line{line("Plover", "Hay", kilos(9), nothing), line("Plover", "Cubes", kilos(1.5), nothing)}
		if got := undecided(t, w).rising().stepKg(); !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%s: %g kg a week, want %g", c.what, got, c.want)
		}
	}
}

// The rise begins as late as it can: for work n weeks off this week's target is what
// that work asks for less a step for each week between, and what this week's work asks
// for where that is more.
func TestTheRiseBeginsAsLateAsItCan(t *testing.T) {
	t.Parallel()
	hard := yard.Day{Text: "fast", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{60, 60, 45, 6}}}}
	climbed := 0
	for n := 1; n <= 5; n++ {
		w := smallYard(horse("Curlew", 500))
		h := &w.Horses[0]
		var week [7]yard.Day
		for d := range 6 {
			week[d] = hard
		}
		h.Later = []yard.WorkWeek{{Beginning: w.Beginning.AddDate(0, 0, 7*n), Work: week}}
		w.Lines = []yard.Line{line("Curlew", "Hay", kilos(8), nothing), line("Curlew", "Cubes", kilos(0.75), nothing)}
		c := undecided(t, w)
		p := c.chooser().choice(nil)
		asks := c.dish.bucket.hardKg(p.ahead[n-1].target)
		want := max(p.askedKg, asks-float64(n)*c.rising().stepKg())
		if got := c.dish.bucket.hardKg(p.target); got < want-1e-9 || got >= want+c.dish.bucket[1].quarterKg()-1e-9 {
			t.Errorf("work that asks for %.3f kg, %d weeks off: this week's target is %.3f kg, want %.3f, in quarters", asks, n, got, want)
		}
		if p.askedKg < want {
			climbed++
		}
	}
	if climbed == 0 {
		t.Error("no week had to climb: the work is too light to prove anything")
	}
}
