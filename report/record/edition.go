package record

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// EditionChanges compares p with the results.json of the edition before: horses
// gone or new, cards held or no longer, body weights, work and amounts. Where
// that record is missing or cannot be read, the one change says so.
func EditionChanges(last []byte, p yard.Plan, m words.Meta) []words.EditionChange {
	var was Record
	if err := json.Unmarshal(last, &was); err != nil || was.Schema != schema {
		return []words.EditionChange{{What: fmt.Sprintf("We don't know what changed, because the record of version %d is missing or can't be read. Compare the sheets", m.Edition-1)}}
	}
	now := recordOf(p, m)
	var out []words.EditionChange
	find := func(hs []recordHorse, name string) int {
		return slices.IndexFunc(hs, func(h recordHorse) bool { return strings.EqualFold(h.Name, name) })
	}
	for _, h := range was.Horses {
		if find(now.Horses, h.Name) < 0 {
			out = append(out, words.EditionChange{Horse: h.Name, What: "no longer in the workbook, so take its card down"})
		}
	}
	for _, h := range now.Horses {
		i := find(was.Horses, h.Name)
		if i < 0 {
			out = append(out, words.EditionChange{Horse: h.Name, What: "new in this version"})
			continue
		}
		for _, t := range horseChanges(was.Horses[i], h) {
			out = append(out, words.EditionChange{Horse: h.Name, What: t})
		}
	}
	return out
}

func horseChanges(was, now recordHorse) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	card := map[string]string{string(yard.Carded): "a card", string(yard.Held): "a reduced card", string(yard.NoCard): "no card"}
	if was.Status != now.Status {
		say("%s, was %s", card[now.Status], card[was.Status])
	}
	if was.BodyWeightKg != now.BodyWeightKg {
		say("body weight %s, was %s", words.Known(now.BodyWeightKg, 0, "kg"), words.Known(was.BodyWeightKg, 0, "kg"))
	}
	var days []string
	for i := range now.Days {
		if was.Days[i].Work != now.Days[i].Work || was.Days[i].Kind != now.Days[i].Kind {
			days = append(days, now.Days[i].Day)
		}
	}
	if len(days) > 0 {
		say("other work on %s", strings.Join(days, ", "))
	}
	for _, feed := range feedsOf(now.Ration, was.Ration) {
		a, b := servingsOf(was.Ration, feed), servingsOf(now.Ration, feed)
		if slices.Equal(a, b) {
			continue
		}
		before, after := dayAmount(a), dayAmount(b)
		switch {
		case before == after:
			say("%s: %s a work day as before, but its meals, days off or steps have changed", feed, after)
		default:
			say("%s: %s a work day, was %s", feed, after, before)
		}
	}
	return out
}

// feedsOf lists the feeds of rations, each once, in their order.
func feedsOf(rations ...[]recordServing) (names []string) {
	for _, r := range rations {
		for _, v := range r {
			if !slices.Contains(names, v.Feed) {
				names = append(names, v.Feed)
			}
		}
	}
	return names
}

// servingsOf are those of one feed, without the mark that compares them with
// what was fed before.
func servingsOf(ration []recordServing, feed string) (out []recordServing) {
	for _, v := range ration {
		if v.Feed == feed {
			v.Changed = false
			out = append(out, v)
		}
	}
	return out
}

// dayAmount is what one feed comes to on an ordinary work day at the week's end.
func dayAmount(servings []recordServing) string {
	last := map[string]recordServing{} // the latest stage stands last
	for _, v := range servings {
		if v.Day == string(yard.WorkDay) {
			last[v.Meal] = v
		}
	}
	kg := 0.0
	for _, v := range servings {
		if l, ok := last[v.Meal]; ok && l == v {
			if v.AdLib {
				return "ad lib"
			}
			kg += v.Kg.Or(0)
		}
	}
	if kg == 0 {
		return "none"
	}
	return words.Figure(kg, 2) + words.NoBreak + "kg"
}
