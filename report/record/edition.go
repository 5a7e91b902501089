package record

import (
	"encoding/json"
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
		return []words.EditionChange{words.ChangeOf("", yard.Say("edition.change.unknown", yard.Count("n", m.Edition-1)))}
	}
	now := recordOf(p, m)
	var out []words.EditionChange
	find := func(hs []recordHorse, name string) int {
		return slices.IndexFunc(hs, func(h recordHorse) bool { return strings.EqualFold(h.Name, name) })
	}
	for _, h := range was.Horses {
		if find(now.Horses, h.Name) < 0 {
			out = append(out, words.ChangeOf(h.Name, yard.Say("edition.change.gone")))
		}
	}
	for _, h := range now.Horses {
		i := find(was.Horses, h.Name)
		if i < 0 {
			out = append(out, words.ChangeOf(h.Name, yard.Say("edition.change.new")))
			continue
		}
		for _, says := range horseChanges(was.Horses[i], h, p.Week) {
			out = append(out, words.ChangeOf(h.Name, says))
		}
	}
	return out
}

func horseChanges(was, now recordHorse, week yard.Week) (out []yard.Saying) {
	say := func(what string, args ...yard.Arg) { out = append(out, yard.Say("edition.change."+what, args...)) }
	if was.Status != now.Status {
		say("status", yard.Said("now", yard.Say("edition.change."+string(now.Status))), yard.Said("was", yard.Say("edition.change."+string(was.Status))))
	}
	if was.BodyWeightKg != now.BodyWeightKg {
		say("weight", yard.Said("now", kilos(now.BodyWeightKg, 0)), yard.Said("was", kilos(was.BodyWeightKg, 0)))
	}
	var days []yard.Value
	for i := range now.Days {
		if was.Days[i].Work != now.Days[i].Work || was.Days[i].Kind != now.Days[i].Kind {
			day := yard.DayOfWeek{Number: yard.Weekday(i)}
			if !week.Beginning.IsZero() {
				day.Date = week.Beginning.AddDate(0, 0, i)
			}
			days = append(days, day)
		}
	}
	if len(days) > 0 {
		say("work", yard.Listed("days", yard.Comma, days...))
	}
	for _, feed := range feedsOf(now.Ration, was.Ration) {
		a, b := servingsOf(was.Ration, feed), servingsOf(now.Ration, feed)
		if slices.Equal(a, b) {
			continue
		}
		before, after := dayAmount(a), dayAmount(b)
		if before.Compare(after) == 0 {
			say("meals", yard.FeedArg("feed", feed), yard.Said("now", after))
			continue
		}
		say("feed", yard.FeedArg("feed", feed), yard.Said("now", after), yard.Said("was", before))
	}
	return out
}

// kilos is a weight, or that it is not known.
func kilos(kg yard.Num, decimals int) yard.Saying {
	v, ok := kg.Get()
	if !ok {
		return yard.Say("unknown")
	}
	return yard.Say("edition.change.kg", yard.Fixed("kg", v, yard.Kilograms, decimals))
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
func dayAmount(servings []recordServing) yard.Saying {
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
				return yard.Say("amount.adlib")
			}
			kg += v.Kg.Or(0)
		}
	}
	if kg == 0 {
		return yard.Say("amount.none")
	}
	return kilos(yard.Known(kg), 2)
}
