package ingest

import (
	"fmt"
	"math"
	"testing"
)

// A weight in the plain layout may be written as people write it.
func TestWeightsAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]string{
		"520": "520 stated", "c. 480": "480 stated", "~480": "480 stated", "480 approx": "480 stated", "480 (weighbridge)": "480 scale", "540kg (tape 12/11)": "540 tape 2026-11-12", "540 kg tape": "540 tape", "545 on 23/11": "545 stated 2026-11-23",
		"1,050 lb": "476.27 stated", "35 st 4 lb": "224.07 stated", "about 500kg": "500 stated", "560 (12/11), 552 (19/11)": "552 stated 2026-11-19", "tape 560 / weighbridge 548": "548 scale",
		"76 st?": "none", "480-500": "none", "not weighed": "none", "bay mare": "none", "?": "none",
	} {
		w := read(t, tab{"Yard", "Setting|Value\nWeek beginning|d:2026-11-30"}, tab{"Horses", "Name|Weight\nBella|'" + text})
		h := w.Horses[0]
		got := "none"
		if kg, ok := h.WeightKg.Get(); ok {
			got = fmt.Sprintf("%g %s", math.Round(kg*100)/100, h.WeightBasis)
			if !h.Weighed.IsZero() {
				got += " " + h.Weighed.Format("2006-01-02")
			}
		} else if len(w.Findings) == 0 {
			t.Errorf("%q is not taken, and nothing is said", text)
		}
		if got != want {
			t.Errorf("the weight %q is %q, want %q", text, got, want)
		}
	}
}

// An amount of the plain layout may be in words; what is not an amount by itself is
// asked about, never read as one.
func TestAmountsAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]string{
		"2 scoops": "2.4", "two scoops": "2.4", "half a scoop": "0.6", "a scoop": "1.2", "2 x scoop": "2.4", "1 sc twice a day": "2.4", "1 scoop nuts": "1.2", "1½ level scoops": "1.8", "3 kg in 2 feeds": "3", "4kg x3": "12", "one and a half scoops": "1.8", "same": "1.2", "as now": "1.2", "no change": "1.2",
		"+½ sc": "unknown", "½–1 sc": "unknown", "1 or 2 scoops": "unknown", "1 sc oats": "unknown", "1 sc + 1 sc oats": "unknown", "as Bella": "unknown", "2 scoops on work days": "unknown", "handful": "unknown", "1 sc am / 2 sc pm": "unknown",
	} {
		w := read(t, tab{"Yard", "Setting|Value\nWeek beginning|d:2026-11-30"}, tab{"Horses", "Name|Weight (kg)\nBella|500"},
			tab{"Feeds", "Feed|Kind|One measure (kg)\nNuts|hard feed|1.2\nOats|hard feed|1"}, tab{"Rations", "Horse|Feed|Now|Planned\nBella|Nuts|1 scoop|'" + text})
		if len(w.Lines) != 1 {
			t.Fatalf("%q: lines %+v", text, w.Lines)
		}
		got := "unknown"
		if kg, ok := w.Lines[0].Planned.Kg.Get(); ok {
			got = fmt.Sprintf("%g", math.Round(kg*100)/100)
		}
		if got != want {
			t.Errorf("the plan %q is %s kg, want %s", text, got, want)
		}
		if asked := len(findings(w, "cell-number")) + len(findings(w, "cell-unit")); (got == "unknown") != (asked > 0) {
			t.Errorf("%q: %s, and %d questions", text, got, asked)
		}
	}
}

// The week of the yard sheet may be written in any way that says its year and
// leaves one Monday.
func TestWeeksAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]string{
		"2026-11-30": "2026-11-30", "30 Nov 2026": "2026-11-30", "30/11/26": "2026-11-30", "w/c 30.11.26": "2026-11-30", "Mon 30th Nov 2026": "2026-11-30", "30 Nov – 6 Dec 2026": "2026-11-30", "week 49 2026": "2026-11-30", "KW 49 / 2026": "2026-11-30", "Monday 30th of November 2026": "2026-11-30", "12/7/2026": "2026-12-07",
		"06/09/26": "none", "30 Nov": "none", "soon": "none", "31/11/2026": "none",
	} {
		w := read(t, tab{"Yard", "Setting|Value\nWeek beginning|'" + text}, tab{"Horses", "Name|Weight (kg)\nBella|500"})
		got := "none"
		if !w.Beginning.IsZero() {
			got = w.Beginning.Format("2006-01-02")
		} else if len(findings(w, "week-unknown")) != 1 {
			t.Errorf("%q is not taken, and nothing is said", text)
		}
		if got != want {
			t.Errorf("the week %q begins %s, want %s", text, got, want)
		}
	}
}
