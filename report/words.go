package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
)

// nb is a no-break space: a number is never parted from its unit.
const nb = "\u00a0"

// lbPerKg: the international pound is 0.45359237 kg exactly (1959 agreement).
const lbPerKg = 1 / 0.45359237

// figure is v with at most dec decimals, halves rounded up as people do, and no
// idle zeros.
func figure(v float64, dec int) string {
	if p := math.Pow10(dec); math.Abs(v) < 1e9 {
		v = math.Round(v*p+math.Copysign(1e-7, v)) / p
	}
	s := strconv.FormatFloat(v, 'f', dec, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// known is n as a figure, or "unknown".
func known(n yard.Num, dec int, unit string) string {
	v, ok := n.Get()
	if !ok {
		return "unknown"
	}
	if unit != "" {
		unit = nb + unit
	}
	return figure(v, dec) + unit
}

// kilos writes a weight of feed: grams below a tenth of a kilo, where two
// decimals of a kilo would lose it.
func kilos(v float64) (number, unit string) {
	if v > 0 && v < 0.1 {
		return figure(v*1000, 1), "g"
	}
	return figure(v, 2), "kg"
}

func weight(v float64) string {
	n, u := kilos(v)
	return n + nb + u
}

func pounds(v float64) string { return figure(v*lbPerKg, 2) + nb + "lb" }

// count writes a number of measures with quarters as fractions: "2½".
func count(n float64) string {
	q := math.Round(n * 4)
	if math.Abs(q-n*4) > 1e-6 || n < 0 || n > 1e6 {
		return figure(n, 2)
	}
	whole, part := int(q)/4, [...]string{"", "¼", "½", "¾"}[int(q)%4]
	if whole == 0 && part != "" {
		return part
	}
	return strconv.Itoa(whole) + part
}

// amount is a serving in words: "2½" "scoops", and "1.25 kg" beside it.
type amount struct {
	number, unit string // unit may be empty
	aside        string // the weight beside a measure, or the measures beside a weight
	none         bool
	weigh        bool
	byMeasure    bool // dished out by the measure
	unweighed    bool // … of which nobody has weighed one: its weight is a published density
}

func (a amount) String() string {
	s := a.number
	if a.unit != "" {
		s += nb + a.unit
	}
	return s
}

// byMeasure says whether a serving is dished out by the measure, and how many.
func byMeasure(v yard.Serving) (n float64, ok bool) {
	n, ok = v.Measures.Get()
	ok = ok && v.Measure != "" && !v.Weigh && !v.AdLib && !v.Ml.IsKnown() && (v.Kg != 0 || n != 0)
	return n, ok
}

// join joins what is not empty.
func join(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// days is a set of days of the week.
type days [7]bool

func (d days) any() bool { return d != days{} }

// first is the first day of the set, 0 of an empty one.
func (d days) first() int { return max(0, slices.Index(d[:], true)) }

// between is the part of d from one day up to, but not with, the next.
func (d days) between(from, next int) (out days) {
	for i := max(0, from); i < min(7, next); i++ {
		out[i] = d[i]
	}
	return out
}

// dayColumn is the days of a week that are fed alike, and under which heading
// they are printed.
type dayColumn struct {
	kind  yard.DayKind // whose servings
	head  string       // key of its words: "column.work"
	short string       // key of its words on the sheet of the whole yard; empty: days off too
	on    days         // none: no such day is planned this week
	// unsaid: there are such days, but no serving for them at all. That is no
	// order to feed nothing, and never printed as one.
	unsaid bool
}

// dayColumns are the columns of a horse's card. Where hard feed is not cut on
// days off, work and rest days are one.
func dayColumns(h yard.HorsePlan) []dayColumn {
	served := func(k yard.DayKind) bool {
		for i := range h.Servings {
			if h.Servings[i].Day == k {
				return true
			}
		}
		return false
	}
	on := func(kinds ...yard.DayKind) (set days) {
		for i := range h.Days {
			set[i] = slices.Contains(kinds, h.Days[i].Kind)
		}
		return set
	}
	out := make([]dayColumn, 0, 3)
	add := func(k yard.DayKind) {
		if days, served := on(k), served(k); days.any() || served {
			out = append(out, dayColumn{k, "column." + string(k), "short." + string(k), days, !served})
		}
	}
	if h.RestAsWork && served(yard.WorkDay) {
		all := dayColumn{kind: yard.WorkDay, head: "column.every", on: on(yard.WorkDay, yard.RestDay)}
		if on(yard.EventDay).any() || served(yard.EventDay) {
			all.head = "column.every but event"
		}
		out = append(out, all)
	} else {
		add(yard.WorkDay)
		add(yard.RestDay)
	}
	add(yard.EventDay)
	return out
}

// nothing is the key of what stands in a column for a feed that has no serving
// in it.
func (c dayColumn) nothing() string {
	if c.unsaid {
		return "amount.unsaid"
	}
	return "amount.none"
}

// meal is one feeding time of one horse.
type meal struct {
	name   string
	clock  string // "06:30", or empty
	minute int    // after midnight; -1 where it has no time
	feeds  []mealFeed
}

type mealFeed struct {
	feed     string
	class    yard.FeedClass
	changed  bool
	servings []*yard.Serving // by kind of day, then in order of the day they start
}

// on are those of one kind of day.
func (f mealFeed) on(kind yard.DayKind) []*yard.Serving {
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

// allDay is the name of the meal of servings without one.
const allDay = "All day"

// mealsOf sorts a horse's servings into the yard's meals. Servings without a
// meal stand first, "All day"; a meal the yard sheet does not have stands last.
func mealsOf(w yard.Week, h yard.HorsePlan) []meal {
	out := make([]meal, 0, len(w.Meals)+2)
	add := func(name, clock string, minute int) int {
		for i := range out {
			if strings.EqualFold(out[i].name, name) {
				return i
			}
		}
		out = append(out, meal{name: name, clock: clock, minute: minute})
		return len(out) - 1
	}
	add(allDay, "", -1)
	for _, m := range w.Meals {
		at, minute := "", -1
		if m.Minute >= 0 && m.Minute < 24*60 {
			at, minute = clock(m.Minute), m.Minute
		}
		add(m.Name, at, minute)
	}
	for i := range h.Servings {
		s := &h.Servings[i]
		m := &out[add(cmp.Or(s.Meal, allDay), "", -1)]
		i := slices.IndexFunc(m.feeds, func(f mealFeed) bool { return strings.EqualFold(f.feed, s.Feed) })
		if i < 0 {
			m.feeds = append(m.feeds, mealFeed{feed: s.Feed, class: s.Class})
			i = len(m.feeds) - 1
		}
		f := &m.feeds[i]
		f.changed = f.changed || s.Changed
		f.servings = append(f.servings, s)
	}
	out = slices.DeleteFunc(out, func(m meal) bool { return len(m.feeds) == 0 })
	for _, m := range out {
		for _, f := range m.feeds {
			slices.SortStableFunc(f.servings, func(a, b *yard.Serving) int {
				return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.From, b.From))
			})
		}
	}
	return out
}

// stage is one amount with the days it holds for.
type stage struct {
	from    int  // the day from which it holds to the column's end; -1: not so
	on      days // all the column's days: empty
	amount  amount
	serving *yard.Serving
}

// stages lays out the amounts of one feed in one column. Days before the first
// stage get none of it, and that is said; a stage that no day of the column
// falls in is left out. A column without days this week is laid out as if all
// were its.
func (s *sheet) stages(c dayColumn, ss []*yard.Serving) []stage {
	all := c.on
	if !all.any() {
		all = days{true, true, true, true, true, true, true}
	}
	var out []stage
	add := func(from, next int, a amount, sv *yard.Serving) {
		on := all.between(from, next)
		if !on.any() {
			return
		}
		st := stage{from: -1, on: on, amount: a, serving: sv}
		if on == all {
			st.on = days{}
		} else if first := on.first(); on == all.between(first, 7) && on.between(first+1, 7).any() {
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
			add(0, int(sv.From), s.amountOf(yard.Serving{}), &yard.Serving{})
		}
		a := s.amountOf(*sv)
		a.unweighed = s.unweighed(*sv)
		add(int(sv.From), next, a, sv)
	}
	return out
}

// unweighed says whether a serving is dished out by a measure that nobody has
// weighed.
func (s *sheet) unweighed(sv yard.Serving) bool {
	_, ok := byMeasure(sv)
	return ok && s.feeds[strings.ToLower(sv.Feed)].Unweighed
}

// changeWay is +1 where a change gives more, -1 where less, 0 where that is
// not known.
func changeWay(c yard.Change) int {
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

// measureName is what a feed's measure is called in the workbook.
func (s *sheet) measureName(f yard.FeedNeed) string {
	name := f.Feed.MeasureName
	if name == "" && len(s.p.Week.Measures) > 0 {
		name = s.p.Week.Measures[0].Name
	}
	return cmp.Or(name, "scoop")
}

var reportFoot = []string{
	"Limits come from published guidance, their row ids are given; they do not replace a vet or a qualified nutritionist.",
	"Competition rules and feed law differ by place: check yours.",
	"A total with an unknown part is printed as \"at least\"; no shortfall is claimed from it.",
}
