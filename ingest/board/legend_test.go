package board

import (
	"testing"
	"time"
)

// What a scoop weighs, how long a word of work is and what it stands for may be
// said in a line, in lines, in a small table, in a column on a tab of its own.
func TestLegendsWhereverTheyStand(t *testing.T) {
	board := "Week commencing 1 March 2027\n\nHorse|Weight|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\n" +
		"Rowan|500|Hk|off|Jp|Hk|off|Jp|off|2 scoops nuts|2½ scoops nuts\nSorrel|420|off|Hk|off|Hk|off|Hk|off|1 scoop nuts|same\n"
	const want = "500 kg; 60 0 45 60 0 45 0; 3 -> 3.75"
	work := "\n\nHk = hack 60    Jp = jump 45\n"
	for name, sheets := range map[string][]Sheet{
		"one line":              {sheetOf("Week", board+work+"1 scoop nuts = 1.5 kg")},
		"measure first":         {sheetOf("Week", board+work+"Scoop: nuts 1.5 kg")},
		"weight a scoop":        {sheetOf("Week", board+work+"nuts 1.5 kg a scoop")},
		"a small table":         {sheetOf("Week", board+work+"\nOne level scoop\nnuts|1.5|kg")},
		"a column on a tab":     {sheetOf("Week", board+work), sheetOf("Scoops", "Feed|1 scoop (kg)\nNuts|1.5\nOats|1.1")},
		"abbreviations by dash": {sheetOf("Week", board+"\nHk – hack 60\nJp – jump 45\n\n1 scoop nuts = 1.5 kg")},
	} {
		w, err := Read("x.xlsx", sheets, time.Time{})
		if err != nil {
			t.Errorf("%s: not read", name)
			continue
		}
		if got := factsOf(w, "Rowan"); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	// A line of a horse is no legend: it defines nothing for the others.
	w, _ := Read("x.xlsx", []Sheet{sheetOf("Week", board+work+"1 scoop nuts = 1.5 kg\n\nSorrel – lunge 20")}, time.Time{})
	if got := factsOf(w, "Rowan"); got != want {
		t.Errorf("beside a remark: %s, want %s", got, want)
	}
}
