package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
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

// plural is the measure's name for n of them: "½ scoop", "1¼ scoops".
func plural(n float64, name string) string {
	if n <= 1 || strings.HasSuffix(name, "s") {
		return name
	}
	return name + "s"
}

// amount is a serving in words: "2½" "scoops", and "1.25 kg" beside it.
type amount struct {
	number, unit string // unit may be empty
	aside        string // the weight beside a measure, or the measures beside a weight
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

func amountOf(s yard.Serving, imperial bool) amount {
	kg := float64(s.Kg)
	n, inMeasures := s.Measures.Get()
	inMeasures = inMeasures && s.Measure != ""
	lb := ""
	if imperial && kg > 0 && !s.AdLib {
		lb = pounds(kg)
	}
	ml, byMl := s.Ml.Get()
	switch {
	case s.AdLib:
		return amount{number: "ad lib"}
	case byMl:
		if ml == 0 {
			return amount{number: "none"}
		}
		return amount{number: figure(ml, 1), unit: "ml"}
	case kg == 0 && (!inMeasures || n == 0):
		return amount{number: "none"}
	case inMeasures && !s.Weigh:
		return amount{number: count(n), unit: plural(n, s.Measure), aside: join(" / ", weight(kg), lb), byMeasure: true}
	}
	a := amount{aside: lb, weigh: s.Weigh}
	a.number, a.unit = kilos(kg)
	if s.Weigh && a.unit == "kg" { // to the gram: this is what the scale must show
		a.number = figure(kg, 3)
	}
	if small := s.Class == yard.Salt || s.Class == yard.Supplement; small && kg < 1 {
		a.number, a.unit = figure(kg*1000, 1), "g"
	}
	if inMeasures {
		a.aside = join(", ", lb, "about"+nb+figure(n, 1)+nb+plural(n, s.Measure))
	}
	return a
}

// join joins what is not empty.
func join(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// weekday is the short name of day i of the week; a week without a date is
// taken to start on a Monday, as the work sheet's columns do.
func weekday(w yard.Week, i int) string {
	return w.Beginning.AddDate(0, 0, i).Format("Mon")
}

func date(w yard.Week, i int) string {
	if w.Beginning.IsZero() {
		return weekday(w, i)
	}
	return w.Beginning.AddDate(0, 0, i).Format("Mon 2 Jan")
}

// weekSpan is "Mon 30 Nov – Sun 6 Dec 2026".
func weekSpan(w yard.Week) string {
	if w.Beginning.IsZero() {
		return "WEEK NOT STATED"
	}
	return strings.ReplaceAll(date(w, 0)+" – "+w.Beginning.AddDate(0, 0, 6).Format("Mon 2 Jan 2006"), " ", nb)
}

func notAfter(w yard.Week) string {
	if w.Beginning.IsZero() {
		return "Ask which week this is for"
	}
	return strings.ReplaceAll("Not after "+date(w, 6), " ", nb)
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

// listed names the days of a set: "Mon–Wed, Fri".
func listed(w yard.Week, on days) string {
	var parts []string
	for i := 0; i < 7; i++ {
		if !on[i] {
			continue
		}
		j := i
		for j < 6 && on[j+1] {
			j++
		}
		switch j - i {
		case 0:
			parts = append(parts, weekday(w, i))
		case 1:
			parts = append(parts, weekday(w, i), weekday(w, j))
		default:
			parts = append(parts, weekday(w, i)+"–"+weekday(w, j))
		}
		i = j
	}
	return strings.Join(parts, ", ")
}

// dayColumn is the days of a week that are fed alike, and under which heading
// they are printed.
type dayColumn struct {
	kind  yard.DayKind // whose servings
	head  string
	short string // for the sheet of the whole yard
	on    days   // none: no such day is planned this week
	// unsaid: there are such days, but no serving for them at all. That is no
	// order to feed nothing, and never printed as one.
	unsaid bool
}

// dayColumns are the columns of a horse's card. Where hard feed is not cut on
// days off, work and rest days are one.
func dayColumns(h yard.HorsePlan) []dayColumn {
	served := func(k yard.DayKind) bool {
		return slices.ContainsFunc(h.Servings, func(s yard.Serving) bool { return s.Day == k })
	}
	on := map[yard.DayKind]days{}
	for i, d := range h.Days {
		set := on[d.Kind]
		set[i] = true
		on[d.Kind] = set
	}
	var out []dayColumn
	add := func(k yard.DayKind, short string) {
		if on[k].any() || served(k) {
			out = append(out, dayColumn{k, short + " DAY", short, on[k], !served(k)})
		}
	}
	if h.RestAsWork && served(yard.WorkDay) {
		all := dayColumn{kind: yard.WorkDay, head: "EVERY DAY"}
		for i := range all.on {
			all.on[i] = on[yard.WorkDay][i] || on[yard.RestDay][i]
		}
		if on[yard.EventDay].any() || served(yard.EventDay) {
			all.head = "EVERY DAY BUT THE EVENT"
		}
		out = append(out, all)
	} else {
		add(yard.WorkDay, "WORK")
		add(yard.RestDay, "REST")
	}
	add(yard.EventDay, "EVENT")
	return out
}

// nothing is what stands in a column for a feed that has no serving in it.
func (c dayColumn) nothing() string {
	if c.unsaid {
		return "not said: ask"
	}
	return "none"
}

// says is which days a column holds for.
func (c dayColumn) says(w yard.Week) string {
	switch t := listed(w, c.on); {
	case t == "":
		return "none planned this week"
	case c.short == "":
		return t + ", days off too"
	default:
		return t
	}
}

// meal is one feeding time of one horse.
type meal struct {
	name  string
	clock string // "06:30", or empty
	feeds []mealFeed
}

type mealFeed struct {
	feed    string
	class   yard.FeedClass
	changed bool
	stages  map[yard.DayKind][]yard.Serving // in order of the day they start
}

const allDay = "All day"

// mealsOf sorts a horse's servings into the yard's meals. Servings without a
// meal stand first, "All day"; a meal the yard sheet does not have stands last.
func mealsOf(w yard.Week, h yard.HorsePlan) []meal {
	var out []meal
	at := map[string]int{}
	add := func(name, clock string) int {
		key := strings.ToLower(name)
		if i, ok := at[key]; ok {
			return i
		}
		at[key] = len(out)
		out = append(out, meal{name: name, clock: clock})
		return len(out) - 1
	}
	add(allDay, "")
	for _, m := range w.Meals {
		clock := ""
		if m.Minute >= 0 && m.Minute < 24*60 {
			clock = fmt.Sprintf("%02d:%02d", m.Minute/60, m.Minute%60)
		}
		add(m.Name, clock)
	}
	for _, s := range h.Servings {
		m := &out[add(cmp.Or(s.Meal, allDay), "")]
		i := slices.IndexFunc(m.feeds, func(f mealFeed) bool { return strings.EqualFold(f.feed, s.Feed) })
		if i < 0 {
			m.feeds = append(m.feeds, mealFeed{feed: s.Feed, class: s.Class, stages: map[yard.DayKind][]yard.Serving{}})
			i = len(m.feeds) - 1
		}
		f := &m.feeds[i]
		f.changed = f.changed || s.Changed
		f.stages[s.Day] = append(f.stages[s.Day], s)
	}
	out = slices.DeleteFunc(out, func(m meal) bool { return len(m.feeds) == 0 })
	for _, m := range out {
		for _, f := range m.feeds {
			for _, st := range f.stages {
				slices.SortStableFunc(st, func(a, b yard.Serving) int { return cmp.Compare(a.From, b.From) })
			}
		}
	}
	return out
}

// stage is one amount with the days it holds for.
type stage struct {
	days    string // empty: all the column's days
	on      days
	amount  amount
	serving yard.Serving
}

// stages lays out the amounts of one feed in one column. Days before the first
// stage get none of it, and that is said; a stage that no day of the column
// falls in is left out. A column without days this week is laid out as if all
// were its.
func (s *sheet) stages(c dayColumn, ss []yard.Serving) []stage {
	w, all := s.p.Week, c.on
	if !all.any() {
		all = days{true, true, true, true, true, true, true}
	}
	var out []stage
	add := func(from, next int, a amount, sv yard.Serving) {
		on := all.between(from, next)
		if !on.any() {
			return
		}
		t := ""
		if on != all {
			t = listed(w, on)
			if first := on.first(); on == all.between(first, 7) && on.between(first+1, 7).any() {
				t = "from" + nb + weekday(w, first)
			}
		}
		out = append(out, stage{t, on, a, sv})
	}
	for i, sv := range ss {
		next := 7
		if j := slices.IndexFunc(ss, func(o yard.Serving) bool { return o.From > sv.From }); j >= 0 {
			next = int(ss[j].From)
		}
		if i == 0 && sv.From > 0 {
			add(0, int(sv.From), amount{number: "none"}, yard.Serving{})
		}
		a := amountOf(sv, w.Imperial)
		a.unweighed = s.unweighed(sv)
		add(int(sv.From), next, a, sv)
	}
	return out
}

// unweighed says whether a serving is dished out by a measure that nobody has
// weighed.
func (s *sheet) unweighed(sv yard.Serving) bool {
	return amountOf(sv, false).byMeasure && s.feeds[strings.ToLower(sv.Feed)].Unweighed
}

// ask names whom to ask: the yard's contacts in order, or the yard manager.
func ask(w yard.Week) string {
	var parts []string
	for _, c := range w.Contacts {
		parts = append(parts, strings.ReplaceAll(join(" ", c.Role, c.Name, c.Phone), " ", nb))
	}
	if len(parts) == 0 {
		return "the yard manager"
	}
	return strings.Join(parts, "; ")
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

// since is the day a change is reached, in bold.
func (s *sheet) since(c yard.Change) draw.Run {
	return draw.Run{Face: draw.Bold, Text: strings.ReplaceAll("from "+date(s.p.Week, int(c.From)), " ", nb)}
}

// changeText says what changed since last week, of a change whose earlier
// amount is known; the day it is reached stands out.
func (s *sheet) changeText(c yard.Change) []draw.Run {
	was := c.FromKg.Or(0)
	is, isKnown := c.ToKg.Get()
	when := s.since(c)
	plain := func(format string, args ...any) draw.Run { return draw.Run{Text: fmt.Sprintf(format, args...)} }
	switch {
	case !isKnown:
		return []draw.Run{plain("%s: changed", c.Feed), when, plain("– the amount is not known: ask")}
	case is == 0:
		return []draw.Run{plain("%s: taken out", c.Feed), when, plain("– was %s a day", s.daily(c.Feed, was))}
	case was == 0:
		return []draw.Run{plain("%s: new, %s a day", c.Feed, s.daily(c.Feed, is)), when}
	}
	return []draw.Run{plain("%s: was %s a day, now %s", c.Feed, s.daily(c.Feed, was), s.daily(c.Feed, is)), when}
}

// notKnownBefore says once, for all feeds of a horse of which nobody knows what
// was fed last week, what they are now; nil where there is none. Those of one
// day stand together.
func (s *sheet) notKnownBefore(changes []yard.Change) []draw.Run {
	var out []draw.Run
	some := false // is known of others
	last := yard.Weekday(-1)
	for _, c := range changes {
		if c.FromKg.IsKnown() {
			some = true
			continue
		}
		is := "amount not known, ask"
		if kg, ok := c.ToKg.Get(); ok {
			is = s.daily(c.Feed, kg) + " a day"
		}
		text := c.Feed + " " + is
		if n := len(out) - 1; n >= 0 && c.From == last {
			out[n].Text += "; " + text
		} else {
			if n >= 0 {
				out[n].Text += "."
			}
			when := s.since(c)
			out = append(out, draw.Run{Face: when.Face, Text: capital(when.Text) + ":"}, draw.Run{Text: text})
		}
		last = c.From
	}
	if len(out) == 0 {
		return nil
	}
	say := "What was fed last week is not known."
	if some {
		say = "What was fed last week of these is not known."
	}
	out[len(out)-1].Text += "."
	return append([]draw.Run{{Text: say}}, out...)
}

// daily is a day's amount of a feed, in measures too where it has one.
func (s *sheet) daily(feed string, kg float64) string {
	f, ok := s.feeds[strings.ToLower(feed)]
	one, weighed := f.MeasureKg.Get()
	if !ok || !weighed || one <= 0 || f.Feed.Class == yard.Forage {
		return weight(kg)
	}
	n := kg / one
	if q := math.Round(n*4) / 4; math.Abs(q-n) < 0.005 {
		n = q
	}
	return count(n) + nb + plural(n, s.measureName(f)) + " (" + weight(kg) + ")"
}

func (s *sheet) measureName(f yard.FeedNeed) string {
	name := f.Feed.MeasureName
	if name == "" && len(s.p.Week.Measures) > 0 {
		name = s.p.Week.Measures[0].Name
	}
	return cmp.Or(name, "scoop")
}

var basisWords = map[yard.WeightBasis]string{
	yard.ByScale: "by scale", yard.ByTape: "by tape", yard.Stated: "as stated",
	yard.ByGirthLength: "from girth and length", yard.NoWeight: "",
}

// cardFoot is the short selection of general cautions that stands on every
// card; the rest of a horse's cautions are its own.
var cardFoot = []string{
	"Hay first, water always.",
	"Level scoops; WEIGH means on the scale.",
	"Mould, heat, dust, a torn wrap or a dead animal in it: do not feed.",
	"No cattle or poultry feed, ever.",
	"Rolling or other signs of colic: take hard feed away, ring the vet.",
	"Off feed, sore feet, dark urine or stiff after work: ring the vet and ask before feeding; never starve a pony, donkey or mini.",
	"Loose in the feed room: ring the vet now.",
}

var reportFoot = []string{
	"Limits come from published guidance, their row ids are given; they do not replace a vet or a qualified nutritionist.",
	"Competition rules and feed law differ by place: check yours.",
	"A total with an unknown part is printed as \"at least\"; no shortfall is claimed from it.",
}
