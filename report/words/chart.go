package words

import (
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// Chart is a horse's week as the cards show it: for each feed of each meal what it gets
// on each of the seven days.
type Chart struct {
	Meals []ChartMeal
	Alike bool            // every day is fed the same: one column is enough
	Kinds [7]yard.DayKind // of the days
	Spare []Spare         // what a kind of day gets that is not planned this week
}

// ChartMeal is a feeding time with its rows.
type ChartMeal struct {
	Name   string
	Clock  string // "06:30", or empty
	Minute int    // after midnight; -1 where it has no time
	Rows   []Row
}

// Row is one feed of a meal. A feed given in two servings at once has two rows: one
// cell, one amount.
type Row struct {
	Feed    string
	Class   yard.FeedClass
	Changed bool // against what is fed now
	Days    [7]Entry
}

// Entry is what a row gives on one day.
type Entry struct {
	Amount
	Serving *yard.Serving // nil: none
	Unsaid  bool          // nobody has said what such a day gets; no order to feed nothing
}

// Measures is how many measures it is dished out in.
func (e Entry) Measures() (n float64, ok bool) {
	if e.Serving == nil || e.None {
		return 0, false
	}
	return ByMeasure(*e.Serving)
}

// Same says that two entries read alike.
func (e Entry) Same(o Entry) bool { return e.Amount == o.Amount && e.Unsaid == o.Unsaid }

// Spare is what a meal gives of a feed on a kind of day that is not planned this week,
// where that differs from the days that are.
type Spare struct {
	Kind       yard.DayKind // rest or event
	Meal, Feed string
	Amount     Amount
}

// Step says that a row's amount is another one than on the day before.
func (r Row) Step(day int) bool { return day > 0 && !r.Days[day].Same(r.Days[day-1]) }

// Alike says that a row gives the same every day.
func (r Row) Alike() bool {
	for day := range 7 {
		if r.Step(day) {
			return false
		}
	}
	return true
}

// Chart lays out a horse's week.
func (s *Sheet) Chart(h *yard.HorsePlan) Chart {
	kinds, as, served := days(h)
	c := Chart{Alike: true, Kinds: kinds}
	for _, m := range MealsOf(s.Plan.Week, h) {
		meal := ChartMeal{Name: m.Name, Clock: m.Clock, Minute: m.Minute, Rows: s.mealRows(m, as, served)}
		if len(meal.Rows) > 0 {
			c.Meals = append(c.Meals, meal)
		}
		for i := range meal.Rows {
			c.Alike = c.Alike && meal.Rows[i].Alike()
		}
	}
	for _, k := range []yard.DayKind{yard.RestDay, yard.EventDay} {
		if served[k] && !slices.Contains(kinds[:], k) && !(h.RestAsWork && k == yard.RestDay) {
			c.Spare = append(c.Spare, s.spare(h, k, as)...)
		}
	}
	return c
}

// RowsAt are a horse's rows at one meal, as its [Sheet.Chart] has them: of a large yard
// all charts together are much.
func (s *Sheet) RowsAt(h *yard.HorsePlan, meal string) []Row {
	_, as, served := days(h)
	for _, m := range MealsOf(s.Plan.Week, h) {
		if strings.EqualFold(m.Name, meal) {
			return s.mealRows(m, as, served)
		}
	}
	return nil
}

// days are the kinds of a horse's days, whose servings each gets, and the kinds that have
// servings.
func days(h *yard.HorsePlan) (kinds, as [7]yard.DayKind, served map[yard.DayKind]bool) {
	served = map[yard.DayKind]bool{}
	for i := range h.Servings {
		served[h.Servings[i].Day] = true
	}
	for day := range 7 {
		k := h.Days[day].Kind
		if k == "" {
			k = yard.WorkDay
		}
		kinds[day], as[day] = k, k
		if h.RestAsWork && k == yard.RestDay && served[yard.WorkDay] {
			as[day] = yard.WorkDay
		}
	}
	return kinds, as, served
}

// mealRows are the rows of a meal in which something is fed.
func (s *Sheet) mealRows(m Meal, as [7]yard.DayKind, served map[yard.DayKind]bool) (out []Row) {
	for _, f := range m.Feeds {
		for _, r := range s.rows(f, as, served) {
			if r.fed() {
				out = append(out, r)
			}
		}
	}
	return out
}

// rows are a feed's at one meal, one for each of its servings at once, by whose servings
// each day gets.
func (s *Sheet) rows(f MealFeed, as [7]yard.DayKind, served map[yard.DayKind]bool) []Row {
	none := s.AmountOf(yard.Serving{})
	var rows []Row
	for day := range 7 {
		valid := ValidOn(f.On(as[day]), day)
		for len(rows) < max(1, len(valid)) {
			rows = append(rows, Row{Feed: f.Feed, Class: f.class, Changed: f.Changed})
		}
		for i := range rows {
			switch e := &rows[i].Days[day]; {
			case i < len(valid) && day > 0 && rows[i].Days[day-1].Serving == valid[i]:
				*e = rows[i].Days[day-1]
			case i < len(valid):
				*e = Entry{Amount: s.amountWith(*valid[i]), Serving: valid[i]}
			case !served[as[day]]:
				e.Unsaid = true
			default:
				e.Amount = none
			}
		}
	}
	for i := 1; i < len(rows); i++ { // of the days before a second serving began
		for day := range 7 {
			if e := &rows[i].Days[day]; e.Serving == nil && !e.Unsaid && e.Number == "" {
				*e = rows[0].Days[day]
				e.Amount, e.Serving = none, nil
			}
		}
	}
	return rows
}

// fed says that a row has a serving on any day, or a day of which nobody has said what
// it gets.
func (r Row) fed() bool {
	for _, e := range r.Days {
		if e.Serving != nil || e.Unsaid {
			return true
		}
	}
	return false
}

// amountWith is a serving's amount, and whether its measure was never weighed.
func (s *Sheet) amountWith(v yard.Serving) Amount {
	a := s.AmountOf(v)
	a.Unweighed = s.Unweighed(v)
	return a
}

// spare is what a kind of day gets that no day of the week is of, where it differs from
// each of those that are. Of several stages it is the smallest.
func (s *Sheet) spare(h *yard.HorsePlan, kind yard.DayKind, as [7]yard.DayKind) (out []Spare) {
	none := s.AmountOf(yard.Serving{})
	for _, m := range MealsOf(s.Plan.Week, h) {
		for _, f := range m.Feeds {
			a := none
			least := -1.0
			for _, v := range f.On(kind) {
				if kg := float64(v.Kg); least < 0 || kg < least {
					a, least = s.amountWith(*v), kg
				}
			}
			differs := false
			for day := range 7 {
				other := none
				if valid := ValidOn(f.On(as[day]), day); len(valid) > 0 {
					other = s.amountWith(*valid[0])
				}
				differs = differs || other != a
			}
			if differs {
				out = append(out, Spare{kind, m.Name, f.Feed, a})
			}
		}
	}
	return out
}

// SpareText says in one sentence what a kind of day gets that is not planned; empty
// where nothing is to be said.
func (t Language) SpareText(spare []Spare, kind yard.DayKind) string {
	var meals []string
	at := ""
	for _, p := range spare {
		if p.Kind != kind {
			continue
		}
		amount := p.Amount.String()
		if p.Amount.Weigh {
			amount = t.Say("amount.weigh") + NoBreak + amount
		}
		part := p.Feed + " " + amount
		if n := len(meals) - 1; n >= 0 && at == p.Meal {
			meals[n] += ", " + part
		} else {
			meals = append(meals, t.Name("meal.", p.Meal)+" – "+part)
		}
		at = p.Meal
	}
	if len(meals) == 0 {
		return ""
	}
	return t.Say("spare."+string(kind), "amounts", strings.Join(meals, "; "))
}
