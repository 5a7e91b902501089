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
}

// Spare says that a kind of day that is not planned this week gets another amount of some
// feed than the days that are.
func (c Chart) Spare() bool {
	for _, m := range c.Meals {
		for _, r := range m.Rows {
			if len(r.Spare) > 0 {
				return true
			}
		}
	}
	return false
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
	Spare   []Spare // what a day of another kind gets of it, where that differs
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

// kg is what an entry weighs; nothing where there is none.
func (e Entry) kg() yard.KgFed {
	if e.Serving == nil {
		return 0
	}
	return e.Serving.Kg
}

// Same says that two entries read alike.
func (e Entry) Same(o Entry) bool { return e.Amount == o.Amount && e.Unsaid == o.Unsaid }

// Spare is what a kind of day gets that is not planned this week.
type Spare struct {
	Kind yard.DayKind // rest or event
	Entry
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
		meal := ChartMeal{Name: m.Name, Clock: m.Clock, Minute: m.Minute, Rows: s.mealRows(h, m, kinds, as, served)}
		if len(meal.Rows) > 0 {
			c.Meals = append(c.Meals, meal)
		}
		for i := range meal.Rows {
			c.Alike = c.Alike && meal.Rows[i].Alike()
		}
	}
	return c
}

// RowsAt are a horse's rows at one meal, as its [Sheet.Chart] has them: of a large yard
// all charts together are much.
func (s *Sheet) RowsAt(h *yard.HorsePlan, meal string) []Row {
	kinds, as, served := days(h)
	for _, m := range MealsOf(s.Plan.Week, h) {
		if strings.EqualFold(m.Name, meal) {
			return s.mealRows(h, m, kinds, as, served)
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
func (s *Sheet) mealRows(h *yard.HorsePlan, m Meal, kinds, as [7]yard.DayKind, served map[yard.DayKind]bool) (out []Row) {
	var others []yard.DayKind
	for _, k := range []yard.DayKind{yard.RestDay, yard.EventDay} {
		if served[k] && !slices.Contains(kinds[:], k) && !(h.RestAsWork && k == yard.RestDay) {
			others = append(others, k)
		}
	}
	out = make([]Row, 0, len(m.Feeds)) // a row is large
	for _, f := range m.Feeds {
		rows := s.rows(f, as, served)
		for _, k := range others {
			if e, differs := s.spare(f, k, as); differs {
				last := &rows[len(rows)-1]
				last.Spare = append(last.Spare, Spare{k, e})
			}
		}
		for _, r := range rows {
			if r.fed() || len(r.Spare) > 0 {
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
	for i := range rows {
		for day := range 7 { // of the days before a second serving began
			if e := &rows[i].Days[day]; i > 0 && e.Serving == nil && !e.Unsaid && e.Number == "" {
				*e = rows[0].Days[day]
				e.Amount, e.Serving = none, nil
			}
		}
		s.InOneUnit(&rows[i])
	}
	return rows
}

// lighter are the units that a kilo and a pound are written in beside amounts of less:
// how many make a kilo, and to how many decimals.
var lighter = map[string]struct {
	unit   string
	perKg  float64
	digits int
}{"kg": {"g", 1000, 0}, "lb": {"oz", ozPerLb * LbPerKg, 1}}

// inOneUnitBelow is how heavy the amounts of a row may be for all to be in grams, in kg:
// a number of five figures is misread sooner than a unit (ours).
const inOneUnitBelow = 5.0

// InOneUnit has a row that is weighed in grams on some days and in kilos on others be in
// grams on all its days: 750 beside 1.5 is taken for the more.
func (s *Sheet) InOneUnit(r *Row) {
	light, heavy, most := false, false, 0.0
	for _, e := range r.Days {
		if e.Serving == nil || e.byMeasure {
			continue
		}
		_, is := lighter[e.Unit]
		light, heavy = light || e.Unit == "g" || e.Unit == "oz", heavy || is
		most = max(most, float64(e.Serving.Kg))
	}
	if !light || !heavy || most >= inOneUnitBelow {
		return
	}
	for day := range r.Days {
		e := &r.Days[day]
		if to, is := lighter[e.Unit]; is && e.Serving != nil && !e.byMeasure {
			e.Number, e.Unit = s.Main.pointed(Figure(float64(e.Serving.Kg)*to.perKg, to.digits)), to.unit
		}
	}
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

// spare is what a kind of day gets of a feed that no day of the week is of, and whether it
// differs from any of those that are. Of several stages it is the smallest; and of a feed
// that is going down it is no more than a work day of the week gets.
func (s *Sheet) spare(f MealFeed, kind yard.DayKind, as [7]yard.DayKind) (e Entry, differs bool) {
	none := s.AmountOf(yard.Serving{})
	e.Amount = none
	for _, v := range f.On(kind) {
		if e.Serving == nil || v.Kg < e.Serving.Kg {
			e = Entry{Amount: s.amountWith(*v), Serving: v}
		}
	}
	var others [7]Entry
	for day := range others {
		others[day].Amount = none
		if valid := ValidOn(f.On(as[day]), day); len(valid) > 0 {
			others[day] = Entry{Amount: s.amountWith(*valid[0]), Serving: valid[0]}
		}
		if o := others[day]; as[day] == yard.WorkDay && e.kg() > o.kg() {
			e = o
		}
	}
	for _, o := range others {
		differs = differs || o.Amount != e.Amount
	}
	return e, differs
}
