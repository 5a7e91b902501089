package ingest

import (
	"encoding/json"
	"slices"
	"time"

	"hardfeed/ration/yard"
)

// maxPastWeeks is how far back the office sheet looks.
const maxPastWeeks = 12

// pastRecord is what is read of the results.json of an earlier week.
type pastRecord struct {
	Schema  int
	Program string
	Week    string
	Horses  []struct {
		Name       string
		Status     string
		HardFeedKg struct{ Card yard.Num } `json:"hard_feed_kg"`
	}
}

// PastWeeks fills in what each horse's cards of the weeks before had, at most
// twelve, from their results.json: record gives that of the week beginning on a
// day, nil where there is none. A record that is not as this program writes it is
// passed over, with a finding; a horse of which it knows no amount has no such
// week. w itself is not changed. One record at a time is held in memory.
func PastWeeks(w yard.Week, record func(beginning time.Time) []byte) yard.Week {
	if w.Beginning.IsZero() {
		return w
	}
	w.Horses, w.Findings = slices.Clone(w.Horses), slices.Clone(w.Findings)
	at := map[string]int{}
	for i, h := range w.Horses {
		at[fold(h.Name)] = i
		w.Horses[i].Past = nil
	}
	find := func(horse, key string, args ...yard.Arg) {
		w.Findings = append(w.Findings, yard.Finding{Rule: "past-week", Severity: yard.Note, Horse: horse, Saying: yard.Say(key, args...),
			Next: yard.Verbatim("the chart of past weeks has a gap there; nothing else rests on it")})
	}
	for ago := maxPastWeeks; ago > 0; ago-- {
		beginning := w.Beginning.AddDate(0, 0, -7*ago)
		data := record(beginning)
		if data == nil {
			continue
		}
		week := yard.Arg{Name: "week", Value: yard.Date{Date: beginning, Year: true}}
		var rec pastRecord
		if err := json.Unmarshal(data, &rec); err != nil || rec.Schema != 1 || rec.Program != "hardfeed" || rec.Week != beginning.Format("2006-01-02") {
			find("", "finding.past-week.unread", week)
			continue
		}
		seen := map[string]int{}
		for _, h := range rec.Horses {
			seen[fold(h.Name)]++
		}
		for _, h := range rec.Horses {
			i, ok := at[fold(h.Name)]
			kg, known := h.HardFeedKg.Card.Get()
			carded := h.Status == string(yard.Carded) || h.Status == string(yard.Held)
			switch {
			case !ok || !carded || !known:
			case seen[fold(h.Name)] > 1:
				find(w.Horses[i].Name, "finding.past-week.twice", week)
				seen[fold(h.Name)] = 0 // said once
			case kg < 0 || kg > 100:
				find(w.Horses[i].Name, "finding.past-week.amount", week, yard.Figures("kg", kg, yard.Kilograms, 6))
			case seen[fold(h.Name)] == 1:
				w.Horses[i].Past = append(w.Horses[i].Past, yard.PastWeek{Beginning: beginning, HardKg: kg})
			}
		}
	}
	yard.SortFindings(w.Findings)
	return w
}
