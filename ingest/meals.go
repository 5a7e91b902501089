package ingest

import (
	"strings"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// mealList are the yard's meals.
type mealList struct {
	log   *log
	list  []yard.Meal
	given bool // the yard sheet names them

	asked tableMeal // what ofSheet was last asked, row after row
}

// tableMeal is the meal a table is about, of so many there were.
type tableMeal struct {
	table *table
	meals int
	meal  string
}

// add takes a meal the yard sheet names.
func (m *mealList) add(t *table, c xlsx.Cell, name string, minute int) {
	if len(m.list) > mostMeals {
		return // refused in the end
	}
	for _, known := range m.list {
		if fold(known.Name) == fold(name) {
			m.log.find("meal-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.meal-twice", yard.Named("meal", yard.Term, known.Name)))
			return
		}
	}
	m.list = append(m.list, yard.Meal{Name: strings.TrimSpace(name), Minute: minute})
	// Meals are in the order of the day, as far as their times say.
	ms := m.list
	for i := len(ms) - 1; i > 0 && ms[i].Minute >= 0 && ms[i-1].Minute > ms[i].Minute; i-- {
		ms[i], ms[i-1] = ms[i-1], ms[i]
	}
}

// nameMeals takes the meals from the rations where the yard sheet has none; at is where
// that stands.
func nameMeals(in *layout, meals *mealList, at yard.Cell) {
	if meals.given {
		return
	}
	for i := range in.tables[rationsKind] {
		t := &in.tables[rationsKind][i]
		for _, c := range t.cols {
			if c.meal != "" {
				meals.named(c.meal, yard.Cell{})
			}
		}
		if t.has("meal") {
			in.walk().each(t, "horse", func(rw xlsx.Row) {
				if c := t.cell(rw, "meal"); c.Kind == xlsx.Text && !blank(c) {
					meals.named(c.Shown, yard.Cell{})
				}
			})
		}
	}
	if len(meals.list) == 0 {
		meals.list = []yard.Meal{{Name: "Breakfast", Minute: -1}, {Name: "Tea", Minute: -1}}
		in.log.find("yard-default", yard.Note, "", at, yard.Say("finding.yard-default.meals"))
	}
}

// ofSheet is the meal that a table, by its title or its tab, is about; "": none.
func (m *mealList) ofSheet(t *table) string {
	if m.asked.table != t || m.asked.meals != len(m.list) {
		m.asked = tableMeal{t, len(m.list), m.titled(t)}
	}
	return m.asked.meal
}

func (m *mealList) titled(t *table) string {
	for _, name := range []string{t.title.Shown, t.sheet.Name} {
		for _, meal := range m.list {
			if plainName(meal.Name) == plainName(name) {
				return meal.Name
			}
		}
	}
	return ""
}

// named gives the yard's own spelling of a meal. One the yard does not have
// is added, so that nothing fed is lost, and reported unless the yard sheet
// names no meals at all.
func (m *mealList) named(name string, at yard.Cell) string {
	var known []string
	for _, meal := range m.list {
		if fold(meal.Name) == fold(name) {
			return meal.Name
		}
		known = append(known, meal.Name)
	}
	if len(m.list) > mostMeals {
		return strings.TrimSpace(name) // refused in the end
	}
	if only := m.onlyOf(fold(name)); m.given && only != "" {
		m.log.once("meal "+fold(name), "meal-unknown", yard.Note, at, yard.Say("finding.meal-unknown.half", yard.Words("wrote", strings.TrimSpace(name)), yard.Named("meal", yard.Term, only)))
		return only
	}
	if m.given {
		near := ""
		if len(name) > 2 {
			near = nearest(name, known)
		}
		m.log.once("meal "+fold(name), "meal-unknown", yard.Warn, at, orNear("finding.meal-unknown", near, wrote("wrote", name), someNames("known", known)))
	}
	m.list = append(m.list, yard.Meal{Name: strings.TrimSpace(name), Minute: -1})
	return strings.TrimSpace(name)
}

// onlyOf is the yard's one meal before noon, or after, where a name says no more
// than that; empty where there are more, none, or one without a time.
func (m *mealList) onlyOf(half string) (only string) {
	var after bool
	switch half {
	case "am", "a.m.", "morning":
	case "pm", "p.m.", "evening", "night":
		after = true
	default:
		return ""
	}
	for _, meal := range m.list {
		switch {
		case meal.Minute < 0:
			return ""
		case meal.Minute >= 12*60 != after:
		case only != "":
			return ""
		default:
			only = meal.Name
		}
	}
	return only
}

// measures are the measures the yard dishes out by.
type measures []yard.Measure

// named finds one of the yard's measures by a unit word, "scoop" or "jugs";
// "scoop" is also the only measure with that word in its name.
func (ms measures) named(word string) *yard.Measure {
	word = singular(fold(word))
	if word == "" {
		return nil
	}
	var like *yard.Measure
	several := false
	for i := range ms {
		m := &ms[i]
		name := singular(fold(m.Name))
		if name == word {
			return m
		}
		if strings.HasSuffix(name, " "+word) {
			several = several || like != nil
			like = m
		}
	}
	if several {
		return nil
	}
	return like
}

// inText reads "2 large scoops" where the yard has a measure of that name.
func (ms measures) inText(text string) (n float64, name string, ok bool) {
	s := singular(fold(text))
	for _, m := range ms {
		if head, found := strings.CutSuffix(s, singular(fold(m.Name))); found {
			if v, err := ParseNumber(head); err == nil && v >= 0 {
				return v, m.Name, true
			}
		}
	}
	return 0, "", false
}
