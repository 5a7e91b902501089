package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// Days is a set of days of the week.
type Days [7]bool

// Any says that there is a day in the set.
func (d Days) Any() bool { return d != Days{} }

// First is the first day of the set, 0 of an empty one.
func (d Days) First() int { return max(0, slices.Index(d[:], true)) }

// between is the part of d from one day up to, but not with, the next.
func (d Days) between(from, next int) (out Days) {
	for i := max(0, from); i < min(7, next); i++ {
		out[i] = d[i]
	}
	return out
}

// Column is the days of a week that are fed alike, and under which heading
// they are printed.
type Column struct {
	Kind  yard.DayKind // whose servings
	Head  string       // key of its words: "column.work"
	Short string       // key of its words on the sheet of the whole yard; empty: days off too
	On    Days         // none: no such day is planned this week
	// unsaid: there are such days, but no serving for them at all. That is no
	// order to feed nothing, and never printed as one.
	Unsaid bool
}

// Columns are the columns of a horse's card. Where hard feed is not cut on
// days off, work and rest days are one.
func Columns(h yard.HorsePlan) []Column {
	served := func(k yard.DayKind) bool {
		for i := range h.Servings {
			if h.Servings[i].Day == k {
				return true
			}
		}
		return false
	}
	on := func(kinds ...yard.DayKind) (set Days) {
		for i := range h.Days {
			set[i] = slices.Contains(kinds, h.Days[i].Kind)
		}
		return set
	}
	out := make([]Column, 0, 3)
	add := func(k yard.DayKind) {
		if days, served := on(k), served(k); days.Any() || served {
			out = append(out, Column{k, "column." + string(k), "short." + string(k), days, !served})
		}
	}
	if h.RestAsWork && served(yard.WorkDay) {
		all := Column{Kind: yard.WorkDay, Head: "column.every", On: on(yard.WorkDay, yard.RestDay)}
		if on(yard.EventDay).Any() || served(yard.EventDay) {
			all.Head = "column.every but event"
		}
		out = append(out, all)
	} else {
		add(yard.WorkDay)
		add(yard.RestDay)
	}
	add(yard.EventDay)
	return out
}

// Nothing is the key of what is in a column for a feed that has no serving
// in it.
func (c Column) Nothing() string {
	if c.Unsaid {
		return "amount.unsaid"
	}
	return "amount.none"
}

// Meal is one feeding time of one horse.
type Meal struct {
	Name   string
	Clock  string // "06:30", or empty
	Minute int    // after midnight; -1 where it has no time
	Feeds  []MealFeed
}

// MealFeed is one feed of a meal, with its servings on all kinds of days.
type MealFeed struct {
	Feed     string
	class    yard.FeedClass
	Changed  bool
	servings []*yard.Serving // by kind of day, then in order of the day they start
}

// On are those of one kind of day.
func (f MealFeed) On(kind yard.DayKind) []*yard.Serving {
	from := 0
	for from < len(f.servings) && f.servings[from].Day != kind {
		from++
	}
	to := from
	for to < len(f.servings) && f.servings[to].Day == kind {
		to++
	}
	return f.servings[from:to]
}

// AllDay is the name of the meal of servings without one.
const AllDay = "All day"

// MealsOf sorts a horse's servings into the yard's meals. Servings without a
// meal stand first, "All day"; a meal the yard sheet does not have stands last.
func MealsOf(w yard.Week, h *yard.HorsePlan) []Meal {
	out := make([]Meal, 0, len(w.Meals)+2)
	add := func(name, clock string, minute int) int {
		for i := range out {
			if strings.EqualFold(out[i].Name, name) {
				return i
			}
		}
		out = append(out, Meal{Name: name, Clock: clock, Minute: minute})
		return len(out) - 1
	}
	add(AllDay, "", -1)
	for _, m := range w.Meals {
		at, minute := "", -1
		if m.Minute >= 0 && m.Minute < 24*60 {
			at, minute = Clock(m.Minute), m.Minute
			if strings.Contains(m.Name, strings.TrimPrefix(at, "0")) { // a meal that is called 04:30
				at = ""
			}
		}
		add(m.Name, at, minute)
	}
	for i := range h.Servings {
		s := &h.Servings[i]
		m := &out[add(cmp.Or(s.Meal, AllDay), "", -1)]
		i := slices.IndexFunc(m.Feeds, func(f MealFeed) bool { return strings.EqualFold(f.Feed, s.Feed) })
		if i < 0 {
			m.Feeds = append(m.Feeds, MealFeed{Feed: s.Feed, class: s.Class})
			i = len(m.Feeds) - 1
		}
		f := &m.Feeds[i]
		f.Changed = f.Changed || s.Changed
		f.servings = append(f.servings, s)
	}
	out = slices.DeleteFunc(out, func(m Meal) bool { return len(m.Feeds) == 0 })
	for _, m := range out {
		for _, f := range m.Feeds {
			slices.SortStableFunc(f.servings, func(a, b *yard.Serving) int {
				return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.From, b.From))
			})
		}
	}
	return out
}

// Stage is one amount with the days it holds for.
type Stage struct {
	from    int  // the day from which it holds to the column's end; -1: not so
	On      Days // all the column's days: empty
	Amount  Amount
	Serving *yard.Serving
}

// Stages lays out the amounts of one feed in one column. Days before the first
// stage get none of it, and that is said; a stage that no day of the column
// falls in is left out. A column without days this week is laid out as if all
// were its.
func (s *Sheet) Stages(c Column, ss []*yard.Serving) []Stage {
	all := c.On
	if !all.Any() {
		all = Days{true, true, true, true, true, true, true}
	}
	var out []Stage
	add := func(from, next int, a Amount, sv *yard.Serving) {
		on := all.between(from, next)
		if !on.Any() {
			return
		}
		st := Stage{from: -1, On: on, Amount: a, Serving: sv}
		if on == all {
			st.On = Days{}
		} else if first := on.First(); on == all.between(first, 7) && on.between(first+1, 7).Any() {
			st.from = first
		}
		out = append(out, st)
	}
	for i, sv := range ss {
		next := 7
		if j := slices.IndexFunc(ss, func(o *yard.Serving) bool { return o.From > sv.From }); j >= 0 {
			next = int(ss[j].From)
		}
		if i == 0 && sv.From > 0 {
			add(0, int(sv.From), s.AmountOf(yard.Serving{}), &yard.Serving{})
		}
		a := s.AmountOf(*sv)
		a.Unweighed = s.Unweighed(*sv)
		add(int(sv.From), next, a, sv)
	}
	return out
}

// Unweighed says whether a serving is dished out by a measure that nobody has
// weighed.
func (s *Sheet) Unweighed(sv yard.Serving) bool {
	_, ok := ByMeasure(sv)
	return ok && s.feeds[strings.ToLower(sv.Feed)].Unweighed
}

// ChangeWay is +1 where a change gives more, -1 where less, 0 where that is
// not known.
func ChangeWay(c yard.Change) int {
	was, wasKnown := c.FromKg.Get()
	is, isKnown := c.ToKg.Get()
	switch {
	case !wasKnown || !isKnown:
		return 0
	case is < was:
		return -1
	case is > was:
		return 1
	}
	return 0
}

// MeasureName is what a feed's measure is called in the workbook.
func (s *Sheet) MeasureName(f yard.FeedNeed) string {
	name := f.Feed.MeasureName
	if name == "" && len(s.Plan.Week.Measures) > 0 {
		name = s.Plan.Week.Measures[0].Name
	}
	return cmp.Or(name, "scoop")
}

// Clock is minutes after midnight as a time of day; what lies beyond the day is
// said to.
func Clock(min int) string {
	switch {
	case min < 0:
		return "the day before"
	case min >= 24*60:
		return "the day after"
	}
	return fmt.Sprintf("%02d:%02d", min/60, min%60)
}

// CountOf is "1 horse", "3 horses".
func CountOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// ValidOn is what of a feed's stages holds on a day; none before the first.
func ValidOn(ss []*yard.Serving, day int) []*yard.Serving {
	from, to := 0, 0
	for ; to < len(ss) && int(ss[to].From) <= day; to++ {
		if ss[to].From != ss[from].From {
			from = to
		}
	}
	return ss[from:to]
}

// Holds says whether a stage, as its days are printed, is read as holding on a day.
func (st Stage) Holds(day int) bool {
	return !st.On.Any() || st.On[day] || st.from >= 0 && day >= st.from
}

// AnyUnweighed says that some serving is dished out by a measure nobody has weighed.
func (s *Sheet) AnyUnweighed() bool {
	return slices.ContainsFunc(s.Plan.Horses, func(h yard.HorsePlan) bool { return slices.ContainsFunc(h.Servings, s.Unweighed) })
}
