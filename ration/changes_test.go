package ration

import (
	"slices"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// undecided is a horse's week as the steps see it before anything is decided.
func undecided(t *testing.T, w yard.Week) *horseWeek {
	t.Helper()
	c, reasons := newHorseWeek(w.Horses[0], w.Lines, newRoom(w, DefaultRules()), w, DefaultRules(), nil, nil)
	if len(reasons) > 0 {
		t.Fatal(reasons)
	}
	c.facts.readWeighings()
	return c
}

func keysOf(all []yard.Saying) (keys []string) {
	for _, s := range all {
		keys = append(keys, s.Key)
	}
	return keys
}

// What counts as a change beside hard feed, and what does not: an hour of grass more
// or less, where both weeks' hours are known; hay of a batch begun or first fed inside
// two weeks, or new; coming into work. Without a date of the week no date has an age.
func TestWhatCountsAsAChange(t *testing.T) {
	t.Parallel()
	monday := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	n := yard.Known
	grass := func(before, now yard.Num) func(*yard.Week) {
		return func(w *yard.Week) { w.Horses[0].GrassBefore, w.Horses[0].GrassHours = before, now }
	}
	batch := func(days int) func(*yard.Week) {
		return func(w *yard.Week) { w.Feeds[0].BatchSince = monday.AddDate(0, 0, -days) }
	}
	for _, c := range []struct {
		what   string
		change func(*yard.Week)
		want   []string
	}{
		{"nothing", func(*yard.Week) {}, nil},
		{"an hour more at grass", grass(n(1), n(2)), []string{"part.change.grass"}},
		{"an hour less", grass(n(2), n(1)), []string{"part.change.grass"}},
		{"nine tenths of an hour more", grass(n(1), n(1.9)), nil},
		{"nine tenths less", grass(n(1.9), n(1)), nil},
		{"last week's hours are not known", grass(yard.Num{}, n(4)), nil},
		{"this week's are not known", grass(n(4), yard.Num{}), nil},
		{"a batch begun two days before", batch(2), []string{"part.change.hay"}},
		{"a batch begun on the week's last day", batch(-6), []string{"part.change.hay"}},
		{"a batch begun the week after", batch(-7), nil},
		{"a batch that is fourteen days old at the week's end", batch(7), []string{"part.change.hay"}},
		{"one that is fifteen", batch(8), nil},
		{"a batch of two days, in a week nobody dated", func(w *yard.Week) { batch(2)(w); w.Beginning = time.Time{} }, nil},
		{"hay first fed four days before", func(w *yard.Week) { w.Lines[0].Since = monday.AddDate(0, 0, -4) }, []string{"part.change.hay"}},
		{"hay that is not fed now", func(w *yard.Week) { w.Lines[0].Now, w.Lines[0].Planned = kilos(0), kilos(8) }, []string{"part.change.hay"}},
		{"grass is no new hay", func(w *yard.Week) {
			grass(n(2), n(2))(w)
			w.Feeds = append(w.Feeds, yard.Feed{Name: "Paddock", Generic: "grass pasture", BatchSince: monday})
		}, nil},
		{"hay nobody wrote down", func(w *yard.Week) { w.Lines = w.Lines[1:]; batch(2)(w) }, nil},
		{"hard feed of a new batch", func(w *yard.Week) { w.Feeds[1].BatchSince = monday }, nil},
		{"coming into work", func(w *yard.Week) { w.Horses[0].InWorkSince = monday.AddDate(0, 0, -3) }, []string{"part.change.work"}},
		{"all three", func(w *yard.Week) {
			batch(2)(w)
			grass(n(1), n(3))(w)
			w.Horses[0].InWorkSince = monday
		}, []string{"part.change.hay", "part.change.grass", "part.change.work"}},
	} {
		w := smallYard(horse("Sedge", 500))
		w.Lines = []yard.Line{line("Sedge", "Hay", kilos(8), nothing), line("Sedge", "Cubes", kilos(1.5), nothing)}
		c.change(&w)
		changes, _ := changesBesideHardFeed(&undecided(t, w).dish)
		if got := keysOf(changes); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

// New hay at once is reduced to a quarter of it where what it takes the place of is
// weighed; where that is ad lib or not known there is nothing to mix by, and an
// override, forage ad lib or a forage beside it are no swap.
func TestWhichNewHayIsReduced(t *testing.T) {
	t.Parallel()
	adLib := yard.Amount{Given: true, AdLib: true}
	unread := yard.Amount{Given: true}
	for _, c := range []struct {
		what  string
		lines []yard.Line
		held  bool
		old   []string // what is said to give way
	}{
		{"for the hay", []yard.Line{line("", "Hay", kilos(10), kilos(0)), line("", "Haylage", nothing, kilos(13))}, true, []string{"Hay"}},
		{"for hay and straw", []yard.Line{line("", "Hay", kilos(8), kilos(0)), line("", "Straw", kilos(2), kilos(0)), line("", "Haylage", nothing, kilos(13))}, true, []string{"Hay", "Straw"}},
		{"straw is written down and not fed", []yard.Line{line("", "Hay", kilos(10), kilos(0)), line("", "Straw", kilos(0), kilos(0)), line("", "Haylage", nothing, kilos(13))}, true, []string{"Hay"}},
		{"straw of which nobody says what is fed now", []yard.Line{line("", "Hay", kilos(10), kilos(0)), line("", "Straw", nothing, kilos(0)), line("", "Haylage", nothing, kilos(13))}, true, []string{"Hay"}},
		{"the hay stays in part", []yard.Line{line("", "Hay", kilos(10), kilos(1)), line("", "Haylage", nothing, kilos(13))}, false, nil},
		{"the hay is ad lib now", []yard.Line{line("", "Hay", adLib, kilos(0)), line("", "Haylage", nothing, kilos(13))}, false, nil},
		{"the hay's amount cannot be read", []yard.Line{line("", "Hay", unread, kilos(0)), line("", "Haylage", nothing, kilos(13))}, false, nil},
		{"haylage was fed before", []yard.Line{line("", "Hay", kilos(10), kilos(0)), line("", "Haylage", kilos(3), kilos(13))}, false, nil},
		{"haylage ad lib", []yard.Line{line("", "Hay", kilos(10), kilos(0)), line("", "Haylage", nothing, adLib)}, false, nil},
		{"nothing is said of what is fed now", []yard.Line{line("", "Hay", nothing, kilos(0)), line("", "Haylage", nothing, kilos(13))}, false, nil},
	} {
		for _, overridden := range []bool{false, true} {
			h := horse("Reed", 540)
			if overridden {
				h.Override = yard.Override{Asked: true, Who: "R. Hale", Reason: "the hay is gone"}
			}
			w := smallYard(h)
			w.Feeds = append(w.Feeds, yard.Feed{Name: "Haylage", Generic: "grass haylage"}, yard.Feed{Name: "Straw", Generic: "oat straw"})
			for _, l := range append(c.lines, line("", "Cubes", kilos(0.75), kilos(0.75))) {
				l.Horse = "Reed"
				w.Lines = append(w.Lines, l)
			}
			x := undecided(t, w)
			planned := x.dish.asWritten()
			got, why := holdNewHay(x, planned)
			if held := len(why) > 0; held != (c.held && !overridden) || !held && !same(got, planned) {
				t.Errorf("%s, overridden %v: held %v, %v", c.what, overridden, held, why)
				continue
			}
			if overridden || !c.held {
				continue
			}
			old, _ := why[0].Arg("old").(yard.List)
			var names []string
			for _, v := range old.Items {
				names = append(names, v.(yard.Text).Text)
			}
			if !slices.Equal(names, c.old) {
				t.Errorf("%s: %v gives way, want %v", c.what, names, c.old)
			}
			for i, it := range x.dish.bucket {
				if want := map[string]float64{"Haylage": 3.25}[it.feed.Feed.Name]; want != 0 && got[i] != want {
					t.Errorf("%s: %g kg of haylage, want %g", c.what, got[i], want)
				}
			}
		}
	}
}

// An amount nobody can read stops a card where it is forage, or hard feed that is
// planned; of the others it is said.
func TestWhichAmountThatCannotBeReadStopsACard(t *testing.T) {
	t.Parallel()
	unread := yard.Amount{Given: true}
	for _, c := range []struct {
		what   string
		line   yard.Line
		carded bool
	}{
		{"hard feed planned", line("Moth", "Cubes", kilos(1), unread), false},
		{"hard feed fed now, nothing planned", line("Moth", "Cubes", unread, nothing), true},
		{"hard feed fed now, planned in kilos", line("Moth", "Cubes", unread, kilos(1)), true},
		{"forage planned", line("Moth", "Straw", kilos(2), unread), false},
		{"forage fed now", line("Moth", "Straw", unread, nothing), false},
		{"forage fed now, planned in kilos", line("Moth", "Straw", unread, kilos(2)), true},
		{"salt planned", line("Moth", "Salt", kilos(0.03), unread), true},
		{"oil planned", line("Moth", "Oil", kilos(0.05), unread), true},
	} {
		w := smallYard(horse("Moth", 500))
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Straw", Generic: "oat straw"})
		w.Lines = []yard.Line{line("Moth", "Hay", kilos(8), nothing), c.line}
		hp := Plan(w, DefaultRules()).Horses[0]
		f, said := has(hp, "amount-unread")
		if carded := hp.Status != yard.NoCard; carded != c.carded || !said || (f.Severity == yard.Stop) == c.carded {
			t.Errorf("%s: %s, %v (%s)", c.what, hp.Status, said, f.Severity)
		}
	}
}

// A date has an age only where both it and the week's beginning are known.
func TestAnAgeNeedsBothDates(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Teal", 500))
	w.Lines = []yard.Line{line("Teal", "Hay", kilos(8), nothing)}
	c := undecided(t, w)
	ten := w.Beginning.AddDate(0, 0, -10)
	if got := c.facts.ageDays(ten); got != 10 {
		t.Errorf("ten days before: %g", got)
	}
	if got := c.facts.ageDays(time.Time{}); got != 0 {
		t.Errorf("no date: %g days", got)
	}
	w.Beginning = time.Time{}
	if got := undecided(t, w).facts.ageDays(ten); got != 0 {
		t.Errorf("a week nobody dated: %g days", got)
	}
}

// A rise that is spread over the week is said to go in steps, and one that is made on one
// day is not.
func TestAChangeInStepsSaysSo(t *testing.T) {
	t.Parallel()
	inSteps := func(nowKg, plannedKg float64) (in, found bool) {
		hp := planOne(t, horse("Fern", 500), line("Fern", "Hay", kilos(9), kilos(9)), line("Fern", "Cubes", kilos(nowKg), kilos(plannedKg)))
		stages := map[float64]bool{}
		for _, s := range hp.Servings {
			if s.Feed == "Cubes" && s.Day == yard.WorkDay {
				stages[float64(s.From)] = true
			}
		}
		for _, c := range hp.Changes {
			if c.Feed == "Cubes" {
				if c.InSteps != (len(stages) > 1 && c.From > 0) && len(stages) > 2 {
					t.Errorf("%g to %g kg: in steps %v, servings of %d stages", nowKg, plannedKg, c.InSteps, len(stages))
				}
				return c.InSteps, true
			}
		}
		return false, false
	}
	if in, found := inSteps(1.5, 2.25); !found || !in {
		t.Errorf("three quarters of a kilo more: in steps %v, a change %v", in, found)
	}
	if in, found := inSteps(1.5, 1.125); !found || in {
		t.Errorf("less at once: in steps %v, a change %v", in, found)
	}
}
