package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// Each column's role and its reason are values, and every one has words.
func TestHowAColumnWasReadHasAReason(t *testing.T) {
	w, err := Read([]Sheet{sheetOf("Board", `Week beginning 1 March 2027
Horse | kg | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Feed now | New feed | Tel
Larkin | 512 | off | hack 60 | off | off | hack 60 | off | off | 2 kg nuts | 2 kg nuts | 01632 960111
Pilot | 430 | off | off | hack 45 | off | off | hack 45 | off | 1 kg nuts | 1 kg nuts | 01632 960112`), sheetOf("Farrier", `Horse | Last shod | Next due
Larkin | d:2027-02-01 | d:2027-03-15
Pilot | d:2027-02-08 | d:2027-03-22`)}, time.Time{})
	if err != nil || len(w.Regions) != 2 {
		t.Fatalf("%d regions, %v", len(w.Regions), err)
	}
	r := w.Regions[0]
	if r.At.Ref != "A2" || r.To != "L4" || r.WeekBy.Ref != "A1" || r.Week.Format(time.DateOnly) != "2027-03-01" || !w.Regions[1].NotOfUse {
		t.Errorf("%+v\n%+v", r, w.Regions[1])
	}
	got := map[string]string{}
	for _, c := range r.Columns {
		got[c.Head.Text] = words.AsWritten(c.As) + ", because " + words.AsWritten(c.Why)
	}
	for head, want := range map[string]string{"Horse": "names, because it has the names of horses", "kg": "weights, because its cells look like weights", "Wed": "work, because its heading is a day",
		"New feed": "hard feed planned, because its heading says when it is fed, or which feed", "Tel": "nothing a card needs, because its heading is about other things"} {
		if got[head] != want {
			t.Errorf("%s: %q, want %q", head, got[head], want)
		}
	}
	for r, key := range roleKeys {
		if text := words.AsWritten(yard.Say("read.as." + key)); strings.Contains(text, "read.as") || text == "" {
			t.Errorf("%v has no words: %q", r, text)
		}
	}
	for _, rule := range headingRules {
		if text := words.AsWritten(yard.Say("read.why." + rule.why)); strings.Contains(text, "read.why") || text == "" {
			t.Errorf("%v by its heading has no words for why: %q", rule.role, text)
		}
	}
}
