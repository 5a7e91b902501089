package ingest

import (
	"testing"
)

// A heading that is a slip of one of ours may be a word of its own: "Tape" beside "Feeds"
// is a weight and no type of feed. Such a workbook is not laid out as the starter is, and
// the lines of its legend are not horses.
func TestSlipsDoNotMakeTheStartersLayout(t *testing.T) {
	w := read(t,
		tab{"Riding", "Work, week commencing 1 March 2027\n\n | Rowan | Sorrel | Alder\nMon | hack 60 | off | hack 45\nTue | off | hack 60 | off\nWed | hack 60 | off | off\nThu | off | off | hack 45\nFri | hack 60 | off | off\nSat | off | hack 60 | off\nSun | off | off | off"},
		tab{"Feeds now", "FEEDS NOW\n\nHorse | Tape | Feeds | Remarks\nRowan | 500 | 1 scoop cubes | kicks\nSorrel | 420 | 2 scoops oats | \nAlder | 480 | 1 scoop oats | \n\nOne scoop\ncubes | 1.5 | kg\noats | 1.1 | kg"},
		tab{"Feeds new", "FEEDS NEW\n\nHorse | Tape | Feeds | Remarks\nRowan | 500 | 1½ scoops cubes | kicks\nSorrel | 420 | no change | \nAlder | 480 | 1 scoop oats | "})
	if len(w.Horses) != 3 {
		for _, h := range w.Horses {
			t.Errorf("%s is taken for a horse or is one", h.Name)
		}
	}
	for name, want := range map[string][2]string{"Rowan": {"1.5", "2.25"}, "Sorrel": {"2.2", "2.2"}, "Alder": {"1.1", "1.1"}} {
		if now, plan := hardFeedOf(w, name); now != want[0] || plan != want[1] {
			t.Errorf("%s is fed %s and is to get %s, want %v", name, now, plan, want)
		}
	}
}
