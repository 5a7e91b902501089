package ration

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

func TestRestDayHalvesHardFeedFromPointThreePercent(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kg, want float64
		tyingUp  bool
	}{{3, 1.5, false}, {1.5, 0.75, false}, {1.125, 1.125, false}, {0.75, 0.375, true}} {
		h := horse("Rowan", 500)
		if c.tyingUp {
			h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.TyingUp, Text: "tying-up"}}
		}
		hp := planOne(t, h, line("Rowan", "Hay", kilos(10), nothing), line("Rowan", "Cubes", kilos(c.kg), kilos(c.kg)))
		if hp.Days[6].Kind != yard.RestDay {
			t.Fatalf("Sunday is a %s day", hp.Days[6].Kind)
		}
		if got := hp.Days[6].HardFeedKg; !near(got, c.want) {
			t.Errorf("%.3g kg on a work day (tying-up %v): %v on the rest day, want %.3g", c.kg, c.tyingUp, got, c.want)
		}
	}
}

func TestAWeekOfRestIsFedLikeADayOff(t *testing.T) {
	t.Parallel()
	h := horse("Old Tom", 450)
	h.Work = [7]yard.Day{}
	lines := []yard.Line{line("Old Tom", "Hay", kilos(8), nothing), line("Old Tom", "Cubes", kilos(2.25), kilos(2.25))}
	hp := planOne(t, h, lines...)
	if !near(hp.Days[2].HardFeedKg, 1.125) || !hp.RestAsWork || hp.Status != yard.Held { // 6 quarters of 375 g: three
		t.Errorf("%v kg on a rest day in a week of rest", hp.Days[2].HardFeedKg)
	}
	if _, ok := has(hp, "D-20"); !ok {
		t.Error("and nobody is asked")
	}
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.TyingUp, Text: "tying-up"}}
	if hp := planOne(t, h, lines...); hp.RestAsWork {
		t.Error("a horse that has tied up is cut on days off whatever the week")
	}
}

func TestTheRestDayCutDoesNotComeAndGoWhileTheAmountClimbs(t *testing.T) {
	t.Parallel()
	h := horse("Fine", 500)
	h.Work[0], h.Work[6] = yard.Day{Text: "rest"}, yard.Day{Text: "rest"}
	// 1.4 kg now is under 0.3 % of body weight, 2 kg planned is over.
	hp := planOne(t, h, line("Fine", "Hay", kilos(10), nothing), line("Fine", "Cubes", kilos(1.4), kilos(2)))
	mon, sun := hp.Days[0].HardFeedKg.Or(9), hp.Days[6].HardFeedKg.Or(9)
	if mon > 0.8+1e-9 || math.Abs(sun-0.75) > 1e-9 { // of 1 kg two whole quarters of 375 g
		t.Errorf("%.3f kg on Monday off, %.3f on Sunday off", mon, sun)
	}
}

func TestOnEventDayTheLastHardFeedIsFourHoursBefore(t *testing.T) {
	t.Parallel()
	h := horse("Swift", 500)
	h.Work[5] = yard.Day{Text: "show 10:00", Event: true, StartMin: 600, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{40, 20, 10}}}}
	hp := planOne(t, h, line("Swift", "Hay", kilos(10), nothing), line("Swift", "Cubes", kilos(3), kilos(3)))
	meals := map[string]bool{}
	for _, s := range hp.Servings {
		if s.Day == yard.EventDay && s.Class == yard.HardFeed && s.Kg > 0 {
			meals[s.Meal] = true
		}
	}
	// 07:00 is within four hours of 10:00; 12:30 is an hour and more after 11:10.
	if meals["Breakfast"] || !meals["Lunch"] || !meals["Tea"] {
		t.Errorf("hard feed on the event day at %v", meals)
	}
	if e := hp.Events; len(e) != 1 || e[0].Day != 5 || e[0].Start != 600 || e[0].End != 670 || e[0].LastHardFeed != 360 || e[0].NextHardFeed != 730 || e[0].Source == "" {
		t.Errorf("the clock of the day: %+v", e)
	}
	if !strings.Contains(saidAll(hp.Cautions), "No hard feed after 06:00") {
		t.Errorf("cautions %v", hp.Cautions)
	}
}

// Hay is held near 1.5 % of body weight on a day of galloping, of jumping or of
// efforts alone, and on no other event. It goes off the meals before the start, down to a
// small feed (limits FO-14); the hay after it is that of any day.
func TestThereIsLessHayOnADayOfFastCompetition(t *testing.T) {
	t.Parallel()
	minutes := func(g yard.Gait, m float64) yard.Session {
		s := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 20, yard.Trot: 20}}
		s.Minutes[g] += m
		return s
	}
	for _, c := range []struct {
		what    string
		session yard.Session
		held    bool
	}{
		{"gallop", minutes(yard.Gallop, 4), true},
		{"jumping minutes", minutes(yard.Jump, 3), true},
		{"efforts", yard.Session{Minutes: [yard.Gaits]float64{20, 20, 5}, Efforts: 12}, true},
		{"dressage", minutes(yard.Canter, 8), false},
		{"a walk in hand", yard.Session{Minutes: [yard.Gaits]float64{60}, Led: true}, false},
	} {
		h := horse("Rush", 500)
		h.Work[5] = yard.Day{Event: true, StartMin: 600, Sessions: []yard.Session{c.session}}
		hp := planOne(t, h, line("Rush", "Hay", kilos(12), kilos(12)), line("Rush", "Cubes", kilos(1.5), kilos(1.5)))
		onEvent, onWork := map[string]float64{}, map[string]float64{}
		for _, s := range hp.Servings {
			if s.Feed == "Hay" && s.Day == yard.EventDay {
				onEvent[s.Meal] += float64(s.Kg)
			}
			if s.Feed == "Hay" && s.Day == yard.WorkDay {
				onWork[s.Meal] += float64(s.Kg)
			}
		}
		if held := onEvent["Breakfast"] < onWork["Breakfast"]; held != c.held || c.held && onEvent["Breakfast"] < 1 {
			t.Errorf("%s: %g kg of hay before the event, %g on a day of work", c.what, onEvent["Breakfast"], onWork["Breakfast"])
		}
		for _, m := range []string{"Lunch", "Tea"} {
			if onEvent[m] != onWork[m] || onWork[m] == 0 {
				t.Errorf("%s: %g kg of hay at %s after the event, %g on a day of work", c.what, onEvent[m], m, onWork[m])
			}
		}
	}
	// 1.5 % of 500 kg is 7.5 kg of dry matter, some 8 to 9 kg of hay: no more than that is taken off.
	h := horse("Rush", 500)
	h.Work[5] = yard.Day{Event: true, StartMin: 20 * 60, Sessions: []yard.Session{minutes(yard.Gallop, 4)}}
	all := 0.0
	for _, s := range planOne(t, h, line("Rush", "Hay", kilos(12), kilos(12)), line("Rush", "Cubes", kilos(1.5), kilos(1.5))).Servings {
		if s.Feed == "Hay" && s.Day == yard.EventDay {
			all += float64(s.Kg)
		}
	}
	if all < 8 || all > 9 {
		t.Errorf("%g kg of hay on the day of an evening event", all)
	}
}

// Two events of a day: the last hard feed four hours before each, the next one an hour
// after each, and the meals that leaves (design §5.11). A show of 70 minutes each time.
func TestADayOfTwoEventsIsTimedByEach(t *testing.T) {
	t.Parallel()
	test := yard.Session{Minutes: [yard.Gaits]float64{40, 20, 10}}
	for _, c := range []struct {
		what          string
		first, second int
		meals         []string // with hard feed, of 07:00, 12:30 and 17:30
		says          string
	}{
		{"close together", 9*60 + 30, 14 * 60, []string{"Tea"}, "events at 09:30 and 14:00. Hard feed only until 05:30, and again an hour after the last work"},
		{"far apart", 4 * 60, 17*60 + 30, []string{"Breakfast", "Lunch"}, "events at 04:00 and 17:30. Hard feed only until 00:00 and from 06:10 to 13:30, and again an hour after the last work"},
		{"before the day begins", 3 * 60, 7 * 60, []string{"Lunch", "Tea"}, "events at 03:00 and 07:00. No hard feed until an hour after the last work"},
	} {
		h := horse("Swift", 500)
		h.Work[5] = yard.Day{Text: "two classes", Event: true, Sessions: []yard.Session{test, test}}
		h.Work[5].SetStarts([]yard.EventStart{{Min: c.second, Minutes: 70}, {Min: c.first, Minutes: 70}})
		hp := planOne(t, h, line("Swift", "Hay", kilos(10), nothing), line("Swift", "Cubes", kilos(3), kilos(3)))
		fed := map[string]bool{}
		for _, s := range hp.Servings {
			if s.Day == yard.EventDay && s.Class == yard.HardFeed && s.Kg > 0 {
				fed[s.Meal] = true
			}
		}
		for _, m := range []string{"Breakfast", "Lunch", "Tea"} {
			if fed[m] != slices.Contains(c.meals, m) {
				t.Errorf("%s: hard feed at %v, want at %v", c.what, fed, c.meals)
			}
		}
		if e := hp.Events; len(e) != 2 || e[0].Start != c.first || e[0].End != c.first+70 || e[1].Start != c.second || e[1].NextHardFeed != c.second+130 {
			t.Errorf("%s: the clocks of the day: %+v", c.what, hp.Events)
		}
		if got := saidAll(hp.Cautions); !strings.Contains(got, c.says) {
			t.Errorf("%s: %s", c.what, got)
		}
	}
}

// Event days whose start nobody has written down are one caution, which names them all; one
// whose start is known has its own.
func TestEventsWithoutATimeAreOneCaution(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		untimed []int
		want    []string
	}{
		{[]int{1}, []string{"Sat: event at 10:00.", "Tue is an event day."}},
		{[]int{1, 2, 4}, []string{"Sat: event at 10:00.", "Tue, Wed and Fri are event days."}},
	} {
		h := horse("Swift", 500)
		event := yard.Day{Event: true, StartMin: 600, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{40, 20, 10}}}}
		h.Work[5] = event
		for _, day := range c.untimed {
			event.StartMin = -1
			h.Work[day] = event
		}
		hp := planOne(t, h, line("Swift", "Hay", kilos(10), nothing), line("Swift", "Cubes", kilos(3), kilos(3)))
		said := saidAll(hp.Cautions)
		if n := strings.Count(said, "event"); n != len(c.want) {
			t.Errorf("%v: events are told of %d times in %s", c.untimed, n, said)
		}
		for _, w := range c.want {
			if !strings.Contains(said, w) {
				t.Errorf("%v: %q is not said in %s", c.untimed, w, said)
			}
		}
	}
}
