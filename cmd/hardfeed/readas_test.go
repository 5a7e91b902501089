package main

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// check says in a sentence how each table was read and, asked for all, why each column was.
func TestCheckSaysWhyColumnsWereReadAsTheyWere(t *testing.T) {
	at := func(ref, text string) yard.Cell { return yard.Cell{Sheet: "Board", Ref: ref, Text: text} }
	say := func(key string) yard.Saying { return yard.Say("read." + key) }
	w := yard.Week{Regions: []yard.RegionRead{
		{At: at("A2", ""), To: "D9", What: say("rows"), WeekBy: at("A1", "Week of 1 March 2027"), Week: time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC), Columns: []yard.ColumnRead{
			{Head: at("A2", "Horse"), As: say("as.names"), Why: say("why.names")},
			{Head: at("B2", "Wt"), As: say("as.weights"), Why: say("why.weight")},
			{Head: at("C2", "Mon"), As: say("as.work"), Why: say("why.day")},
			{Head: at("D2", "Tue"), As: say("as.work"), Why: say("why.day")},
		}},
		{At: at("F2", ""), To: "H6", What: say("unread.staff"), NotOfUse: true},
	}}
	short, whole := sayRegions(w, false), sayRegions(w, true)
	for text, lines := range map[string][]string{
		short: {"  Board!A2 to D9: a row a horse; names A2; weights B2; work C2 to D2; week of 1 Mar 2027, by Board!A1.", "  Board!F2 to H6: not used: a table of staff.", "--verbose"},
		whole: {`    B2 "Wt": weights, because its heading says weight.`, `    D2 "Tue": work, because its heading is a day.`},
	} {
		for _, l := range lines {
			if !strings.Contains(text, l) {
				t.Errorf("%q is not in\n%s", l, text)
			}
		}
	}
	if strings.Contains(short, "because") || sayRegions(yard.Week{}, true) != "" {
		t.Errorf("too much is said:\n%s", short)
	}
	for range mostRegions {
		w.Regions = append(w.Regions, w.Regions[1])
	}
	if got := sayRegions(w, false); !strings.Contains(got, "and 2 more") || strings.Count(got, "\n") != mostRegions+3 {
		t.Errorf("a long list is\n%s", got)
	}
}
