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
		w, err := Read(sheets, time.Time{})
		if err != nil {
			t.Errorf("%s: not read", name)
			continue
		}
		if got := factsOf(w, "Rowan"); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	// A line of a horse is not a legend: it defines nothing for the others.
	w, _ := Read([]Sheet{sheetOf("Week", board+work+"1 scoop nuts = 1.5 kg\n\nSorrel – lunge 20")}, time.Time{})
	if got := factsOf(w, "Rowan"); got != want {
		t.Errorf("beside a remark: %s, want %s", got, want)
	}
}

// What is behind a gap beside horses that stand across, under what a mug weighs, is
// the rest of the legend and no horse without a name.
func TestLegendBesideHorsesAcross(t *testing.T) {
	text := "Week commencing 1 March 2027\n\nHorse|Rowan|Sorrel|Alder||1 mug nuts = 0.3 kg\nHeight|15.1|14.2|16\nWeight kg|500|420|560||Sch school\nMon|Hk 60|Sch 45|off||Hk hack\nTue|off|Hk 60|Hk 60||Lg lunge\n" +
		"Wed|Hk 60|off|Hk 60||Jp jump\nThu|off|off|off\nFri|off|off|off\nSat|off|off|off\nSun|off|off|off\nFeed now|5 mugs nuts|4 mugs nuts|5 mugs nuts\nNew feed|5 mugs nuts|4 mugs nuts|5 mugs nuts"
	w, _ := Read([]Sheet{sheetOf("Week", text)}, time.Time{})
	if got, want := factsOf(w, "Rowan"), "500 kg; 60 0 60 0 0 0 0; 1.5 -> 1.5"; got != want || len(w.Horses) != 3 {
		t.Errorf("%s, want %s; %d horses, want 3", got, want, len(w.Horses))
	}
	// A row among the horses whose name is missing is still asked about.
	week := "|hack 60|off|hack 60|off|hack 60|off|off|2 kg nuts|2 kg nuts\n"
	w, _ = Read([]Sheet{sheetOf("Week", "Week commencing 1 March 2027\n\nHorse|Weight|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\nRowan|500"+week+"Sorrel|420"+week+"|480"+week+"Alder|560"+week)}, time.Time{})
	if len(w.Horses) != 4 {
		t.Errorf("with a name missing: %d horses, want 4", len(w.Horses))
	}
}

// A measure alone in a row of amounts heads no list of what it weighs, whatever the row below
// it says.
func TestAmountsBelowEachOtherAreNoList(t *testing.T) {
	s := sheetOf("Week", "Week commencing 1 March 2027\nBowl: nuts 1.5 kg, mix 1.2 kg\n\nHorse|Weight kg|nuts Breakfast|nuts Tea|mix Breakfast|mix Tea\n"+
		"Rowan|500|1 bowl|1 bowl|0|0\nSorrel|400|half bowl|half bowl|0|0\nAlder|450|0|0|1 bowl|half bowl")
	w, _ := Read([]Sheet{s}, time.Time{})
	for name, kg := range map[string]string{"Rowan": "3", "Sorrel": "1.5", "Alder": "1.8"} {
		if now, plan := hardOf(w, name, false), hardOf(w, name, true); now != kg && plan != kg {
			t.Errorf("%s is fed %s, planned %s, want %s", name, now, plan, kg)
		}
	}
}
