package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// Two rows of headings with nothing over the names are found by the two together, though the
// upper says little but feed: joined over its meals or not, with a column more or less.
func TestTwoRowsOfHeadingsOverABlankCorner(t *testing.T) {
	now := sheetOf("Feeds now", "All in kg\n\nHorse|Weight|Mix||Remarks\n||Breakfast|Tea|\nBrook|520|cubes 1|cubes 1|\nLinnet|410|cubes 0.5|cubes 0.5|\nTansy|600|cubes 2|cubes 1|")
	const brook, linnet = "520 kg; 0 0 0 0 0 0 0; 2 -> 2.5", "410 kg; 0 0 0 0 0 0 0; 1 -> 1"
	for name, c := range map[string]struct {
		text   string
		joined []Rect
	}{
		"remarks beside the meals": {"|Feed|Hard feed||Notes\n||Breakfast|Tea|", []Rect{{3, 1, 4, 1}, {3, 2, 4, 2}, {3, 3, 3, 4}, {3, 5, 4, 5}}},
		"no remarks":               {"|Feed|Hard feed|\n||Breakfast|Tea", []Rect{{3, 3, 3, 4}}},
		"not joined":               {"|Feed|Hard feed||Notes\n||Breakfast|Tea|", nil},
		"other meals":              {"|Grain|Hard feed||Notes\n||am|pm|", []Rect{{3, 3, 3, 4}}},
	} {
		body := "\nBrook|cubes|1.5|1|\nLinnet|cubes|as now|as now|\nTansy|cubes|2|1|"
		plan := sheetOf("Feeds new", "All in kg\n\n"+c.text+body)
		plan.Joined = c.joined
		w, _ := Read([]Sheet{now, plan}, time.Time{})
		if got := factsOf(w, "Brook"); got != brook {
			t.Errorf("%s: Brook %s, want %s", name, got, brook)
		}
		if got := factsOf(w, "Linnet"); got != linnet {
			t.Errorf("%s: Linnet %s, want %s", name, got, linnet)
		}
		for _, f := range w.Findings {
			if strings.HasSuffix(string(f.Rule), "-unused") && f.Severity != yard.Note {
				t.Errorf("%s: %s at %s %s", name, f.Rule, f.Cell.Sheet, f.Cell.Ref)
			}
		}
	}
}

// A week down the page under the horses' names may have its days as letters alone, with nothing
// else that heads it; and a horse that a day says is gone is gone.
func TestLettersOfTheWeekDownThePage(t *testing.T) {
	list := sheetOf("List", "Horse|Weight kg|Hay\nBrook|520|2 nets\nLinnet|410|2 nets\nTansy|600|2 nets\nTuesday|450|2 nets")
	for _, gone := range []string{"gone 4/3", "sold", "went home Thursday – sold"} {
		for name, text := range map[string]string{
			"under a title": "GREENFOLD\n\n|Brook|Linnet|Tansy|Tuesday\n",
			"nothing over":  "|Brook|Linnet|Tansy|Tuesday\n",
		} {
			work := sheetOf("Work", text+"M|40|"+gone+"|off|60\nT|off||20|60\nW|60||off|off\nT|45||25|45\nF|off||off|60\nS|40||30|off\nS|off||off|off\n\nplain numbers = minutes")
			w, _ := Read([]Sheet{work, list}, time.Time{})
			if got, want := factsOf(w, "Brook"), "520 kg; 40 0 60 45 0 40 0; - -> -"; got != want {
				t.Errorf("%s: Brook %s, want %s", name, got, want)
			}
			if got, want := factsOf(w, "Tuesday"), "450 kg; 60 60 0 45 60 0 0; - -> -"; got != want {
				t.Errorf("%s: Tuesday %s, want %s", name, got, want)
			}
			for _, h := range w.Horses {
				if (len(h.NoCard) > 0) != (h.Name == "Linnet") {
					t.Errorf("%s, %q: %s: %d reasons for no card", name, gone, h.Name, len(h.NoCard))
				}
			}
		}
	}
}

// Where the meals go by other names than now, "same" at all of them is all of it; beside an
// amount at one of them nobody knows what it is the same as.
func TestSameWhereTheMealsGoByOtherNames(t *testing.T) {
	for cells, want := range map[string]string{"same|same": "2 -> 2", "2|same": "2 -> -"} {
		now := sheetOf("Feeds now", "All in kg\n\nHorse|Weight|Breakfast|Tea\nBrook|520|cubes 1|cubes 1\nTansy|600|cubes 2|cubes 1")
		plan := sheetOf("Feeds new", "All in kg\n\nHorse|Feed|am|pm\nBrook|cubes|"+cells+"\nTansy|cubes|2|1")
		w, _ := Read([]Sheet{now, plan}, time.Time{})
		asked := false
		for _, f := range w.Findings {
			asked = asked || f.Rule == "amount-same"
		}
		if got := factsOf(w, "Brook"); !strings.HasSuffix(got, "; "+want) || asked != (cells != "same|same") {
			t.Errorf("%s: %s, want %s; asked: %v", cells, got, want, asked)
		}
	}
}

// Units stand below two rows of headings, and one of them may be no unit of feed.
func TestUnitsInAThirdRow(t *testing.T) {
	s := sheetOf("Chart", "Horse|Weight|Breakfast|||Tea\n||Cubes|Chaff|Tonic|Cubes|Chaff|Tonic\n|kg|kg|kg|cc|kg|kg|cc\nBrook|520|1|0.3||1.5|0.3\nTansy|600|2|0.3||2|0.3")
	w, _ := Read([]Sheet{s}, time.Time{})
	if got, want := factsOf(w, "Brook"), "520 kg; 0 0 0 0 0 0 0; 2.5 -> -"; got != want || len(w.Horses) != 2 {
		t.Errorf("%s, want %s; %d horses, want 2", got, want, len(w.Horses))
	}
}

// A weight beside a horse's name is that horse's, or nobody's: never the one's in whose
// column of the table below it happens to stand.
func TestAWeightBesideANameIsNoOthers(t *testing.T) {
	s := sheetOf("Week", "Brook||520 kg (tape)\nTansy||600kg taped\n\n|Brook|Tansy\nMonday|hack 60|off\nTuesday|off|lunge 20\nWednesday|school 45|off\nThursday|off|hack 40\nFriday|hack 30|off\nSaturday|off|off\nSunday|off|off")
	w, _ := Read([]Sheet{s}, time.Time{})
	for _, name := range []string{"Brook", "Tansy"} {
		own := map[string]float64{"Brook": 520, "Tansy": 600}[name]
		for _, h := range w.Horses {
			if kg, known := h.WeightKg.Get(); h.Name == name && known && kg != own {
				t.Errorf("%s weighs %v kg, want %v or not known", name, kg, own)
			}
		}
	}
	if len(w.Horses) != 2 {
		t.Errorf("%d horses", len(w.Horses))
	}
}
