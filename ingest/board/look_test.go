package board

import (
	"strings"
	"testing"
	"time"
)

// Columns under headings that nobody can name are read by what is in them, when that names
// feeds or work: a feed that is left out makes a card too small.
func TestColumnsReadByTheirCells(t *testing.T) {
	for _, c := range []struct{ name, sheet, want string }{
		{"a meal under a word nobody knows", "Horse|Sundown|Evening|Hay|Weight\nOwl|3 lb oats|5 lb oats|14 lb|1080 lb\nFern|4 lb oats|6 lb oats|14 lb|1102 lb", "Owl: 490 kg; 0 0 0 0 0 0 0; 3.6"},
		{"what they have, what they do", "Name|Weight|What they have|What they do\nOwl|500 kg|2kg oats a day|hacked 45 mins Tue and Thu\nFern|480 kg|1 kg oats am and pm|hack 30 Sun", "Owl: 500 kg; 0 45 0 45 0 0 0; 2 "},
	} {
		w, err := Read([]Sheet{sheetOf("Yard", c.sheet)}, time.Time{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		if got := w.Horses[0].Name + ": " + factsOf(w, w.Horses[0].Name); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %s, not %s", c.name, got, c.want)
		}
	}
}

// A total says its unit itself; one that does not add up is asked about.
func TestTotalsWithTheirUnits(t *testing.T) {
	w, err := Read([]Sheet{sheetOf("Feed", "Horse|Morning|Evening|Total|Weight\nOwl|3 lb oats|5 lb oats|8 lb|1080 lb\nFern|4 lb oats|6 lb oats|10 lb|1102 lb\nMoth|4 lb oats|6 lb oats|14 lb|1102 lb")}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	var asked []string
	for _, f := range w.Findings {
		if f.Rule == "amount-sum" {
			asked = append(asked, f.Cell.Ref)
		}
	}
	if strings.Join(asked, " ") != "D4" {
		t.Errorf("asked about %v, not about D4", asked)
	}
	for _, h := range w.Horses {
		if (len(h.NoCard) > 0) != (h.Name == "Moth") {
			t.Errorf("%s: why no card: %v", h.Name, h.NoCard)
		}
	}
}
