package board

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// A plan that can't be read is told of each horse it is for, by its name; the horses whose plan
// was read, and a workbook that plans nothing, are told nothing of it.
func TestAPlanThatCannotBeReadIsToldOfEachHorse(t *testing.T) {
	tab := func(week string, feed ...string) Sheet {
		rows := "Horse|Weight|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed"
		for i, name := range []string{"Rowan", "Sorrel", "Bryn", "Teal"} {
			rows += fmt.Sprintf("\n%s|500|hack 60|off|hack 60|off|hack 60|off|off|%s", name, feed[i])
		}
		return sheetOf(week, rows)
	}
	fed := tab("w-c 23 Nov 2026", "2 kg nuts", "1 kg nuts", "3 kg nuts", "1.5 kg nuts")
	columns := func(head string, feed ...string) []Sheet {
		rows := "Week beginning 30 November 2026\n\nHorse|Weight|Fed now|" + head
		for i, name := range []string{"Rowan", "Sorrel", "Bryn", "Teal"} {
			rows += fmt.Sprintf("\n%s|500|2 kg nuts|%s", name, feed[i])
		}
		return []Sheet{sheetOf("Week", rows)}
	}
	for _, c := range []struct {
		name   string
		sheets []Sheet
		told   string
	}{
		{"another word in each cell", []Sheet{fed, tab("w-c 30 Nov 2026", "qqq zz", "vbn tr", "xx yy zz", "plorp")}, "Rowan Sorrel Bryn Teal"},
		{"the same word in each cell", []Sheet{fed, tab("w-c 30 Nov 2026", "lots", "lots", "lots", "lots")}, "Rowan Sorrel Bryn Teal"},
		{"a question mark and a made-up unit", []Sheet{fed, tab("w-c 30 Nov 2026", "2.5 kg nuts", "??", "1.5 glorps", "2 kg nuts")}, "Sorrel Bryn"},
		{"in a column beside what is fed now", columns("New feed", "3 kg nuts", "zzz", "zzz", "3 kg nuts"), "Sorrel Bryn"},
		{"a blank among amounts", columns("New feed", "3 kg nuts", "", "3 kg nuts", "2 kg nuts"), "Sorrel"},
		{"all read", []Sheet{fed, tab("w-c 30 Nov 2026", "2.5 kg nuts", "1 kg nuts", "same", "2 kg nuts")}, ""},
		{"nothing planned", columns("New feed", "", "", "", ""), ""},
	} {
		w, err := Read(c.sheets, time.Time{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		var held, found []string
		for _, h := range w.Horses {
			if !h.PlanUnread.Empty() {
				held = append(held, h.Name)
			}
			n, words := 0, map[string]bool{}
			for _, f := range w.Findings {
				if f.Horse == h.Name && f.Severity > yard.Note {
					n, words[fmt.Sprint(f.Saying)] = n+1, true
				}
			}
			if n > 0 && slices.ContainsFunc(w.Findings, func(f yard.Finding) bool {
				return f.Horse == h.Name && f.Severity > yard.Note && strings.HasPrefix(string(f.Rule), "amount-")
			}) {
				found = append(found, h.Name)
			}
			if len(words) > 3 {
				t.Errorf("%s: %s has %d distinct findings", c.name, h.Name, len(words))
			}
		}
		if got := strings.Join(held, " "); got != c.told {
			t.Errorf("%s: the plan of %q is not read, meant %q", c.name, got, c.told)
		}
		if got := strings.Join(found, " "); got != c.told {
			t.Errorf("%s: findings on %q, meant %q", c.name, got, c.told)
		}
	}
}
