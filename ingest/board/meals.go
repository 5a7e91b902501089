package board

import (
	"slices"
	"strconv"
	"strings"
)

// mealNames are the plain English words for meals; one that she names by an hour
// or in another way keeps her words.
var mealNames = map[string]string{"am": "Morning", "pm": "Evening", "breakfast": "Breakfast", "lunch": "Lunch", "mid": "Midday", "afternoon": "Afternoon", "tea": "Tea", "late": "Late"}

// mealMinutes are the usual hours of meals, to put them in order: common
// practice, no source.
var mealMinutes = map[string]int{"breakfast": 7 * 60, "am": 7*60 + 1, "before work": 8 * 60, "after work": 11 * 60, "lunch": 12 * 60, "mid": 12*60 + 1, "afternoon": 15 * 60, "tea": 17 * 60, "pm": 17*60 + 1, "late": 21 * 60}

func mealName(m string) string {
	if m == "" {
		return ""
	}
	if w, ok := mealNames[m]; ok {
		return w
	}
	m = strings.TrimLeft(m, "@=")
	return m
}

// mealMinute is when a meal is given, in minutes after midnight; -1 if it is not
// named by the hour.
func mealMinute(m string) int {
	m = strings.TrimLeft(m, "@=")
	h, mi, ok := strings.Cut(m, ":")
	if !ok {
		return -1
	}
	hh, err1 := strconv.Atoi(h)
	mm, err2 := strconv.Atoi(mi)
	if err1 != nil || err2 != nil {
		return -1
	}
	return hh*60 + mm
}

// mealOrder is the meals the week's lines name, in the order of the day.
func (fs *facts) mealOrder() []string {
	var out []string
	for m := range fs.mealsUsed {
		out = append(out, m)
	}
	at := func(m string) int {
		if v := mealMinute(m); v >= 0 {
			return v
		}
		if v, ok := mealMinutes[m]; ok {
			return v
		}
		return 13 * 60
	}
	slices.SortFunc(out, func(x, y string) int {
		if at(x) != at(y) {
			return at(x) - at(y)
		}
		return strings.Compare(x, y)
	})
	return out
}

// mealsAgain says that meals which are headed a second time are of what the heading that
// begins them says: behind "From Monday: morning" a second "noon" and "evening" are from
// Monday on too.
func mealsAgain(t *table) {
	for i, k := range t.cols {
		if k.role != feedRole || k.when != unsaid || k.own == nil || k.meal == "" {
			continue
		}
		again := slices.ContainsFunc(t.cols[:i], func(x *column) bool {
			return x.role == feedRole && x.own != nil && x.sameMeal(k) && x.when != planned
		})
		for j := i - 1; again && j >= 0 && t.cols[j].role == feedRole; j-- {
			if t.cols[j].when == planned {
				k.when = planned
				break
			}
			if t.cols[j].own != nil && t.cols[j].sameMeal(k) {
				break
			}
		}
	}
}

// sameMeal says whether two columns are of the same meal and the same feed, in whatever words.
func (k *column) sameMeal(o *column) bool {
	return k.own.Text == o.own.Text || k.meal == o.meal && k.feed == o.feed && k.unit == o.unit
}

// sections says of the lines of a turned table what stands alone over them: below "FEED NOW"
// with nothing beside it, breakfast and tea are what is fed now.
func sections(t *table) {
	if !t.g.turned {
		return
	}
	over := unsaid
	for _, k := range t.cols {
		switch {
		case k.own == nil:
		case t.nothingUnder(k):
			if over = unsaid; k.role == feedRole {
				over = k.when
			}
		case k.role != feedRole:
			over = unsaid
		case k.when == unsaid:
			k.when = over
		}
	}
}

// nothingUnder says whether no horse has anything under a heading.
func (t *table) nothingUnder(k *column) bool {
	for r := t.h2 + 1; r < t.end; r++ {
		if t.g.over(r, k.at) != nil {
			return false
		}
	}
	return true
}
