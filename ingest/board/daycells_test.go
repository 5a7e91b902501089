package board

import (
	"testing"
)

// What is done is before its days or behind them, in one cell for the whole week.
func TestDaysNamedAmongTheWork(t *testing.T) {
	for text, want := range map[string]string{
		"hack 60 mins Mon, Wed, Fri; school 40 Sat": "60 0 60 0 60 40 0",
		"School 45 Tue Thu Sun":                     "0 45 0 45 0 0 45",
		"Mon, Wed hack 60; Sat school 40":           "60 0 60 0 0 40 0",
		"Mon–Fri hack 60, Sat off":                  "60 60 60 60 60 0 0",
		"Mon Wed Fri hack 60":                       "60 0 60 0 60 0 0",
		"Mon: hack 60, Tue: off, Wed: school 40":    "60 0 40 0 0 0 0",
		"lunge 20 every day":                        "20 20 20 20 20 20 20",
		"hack 60 Mon and then some more":            "-1 -1 -1 -1 -1 -1 -1",
	} {
		w, err := Read([]Sheet{sheetOf("Week", "Week beginning 11 January 2027\n\nHorse | Weight | Work | Nuts now (kg) | Nuts next (kg)\nPoppet | 500 | "+text+" | 2 | 2\nRowan | 520 | lunge 20 every day | 2 | 2")}, someMonday)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := factsOf(w, "Poppet"); got != "500 kg; "+want+"; 2 -> 2" {
			t.Errorf("%q: read %s, meant %s", text, got, want)
		}
	}
}
