package board

import (
	"strings"
	"testing"
	"time"
)

// Two lists side by side may have their horses a row apart: what is written behind a name is
// of the horse next to it, and no other's.
func TestListsSideBySideARowApart(t *testing.T) {
	w, err := Read([]Sheet{sheetOf("Board", strings.Join([]string{
		"|BW kg|||Work this week (minutes)||||||",
		"Velvet|540|||Mon|Tue|Wed|Thu|Fri|Sat|Sun",
		"Tess|586||Velvet|off|45|90|45|45|off|45",
		"Sherry|511||Tess|SOLD 8/9",
		"Lark|420||Sherry|45|45|45|45|90|off|off",
		"|||Lark|30|30|30|off|off|off|off",
		"",
		"",
		"|Now||From Monday",
		"|Breakfast|Tea|Breakfast|Tea",
		"Velvet|1 kg nuts|1 kg nuts|1 kg nuts|1 kg nuts",
		"Tess|1 kg nuts|1 kg nuts|1 kg nuts|1 kg nuts",
		"Sherry|1 kg nuts|1 kg nuts|1 kg nuts|1 kg nuts",
		"Lark|1 kg nuts|1 kg nuts|1 kg nuts|1 kg nuts"}, "\n"))}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Horses) != 4 {
		t.Fatalf("%d horses", len(w.Horses))
	}
	for i, want := range []string{"Velvet: 540 kg; 0 45 90 45 45 0 45;", "Tess: 586 kg;", "Sherry: 511 kg; 45 45 45 45 90 0 0;", "Lark: 420 kg; 30 30 30 0 0 0 0;"} {
		h := w.Horses[i]
		if got := h.Name + ": " + factsOf(w, h.Name); !strings.HasPrefix(got, want) {
			t.Errorf("%s, not %s", got, want)
		}
		if (len(h.NoCard) > 0) != (h.Name == "Tess") {
			t.Errorf("%s: no card since %v", h.Name, h.NoCard)
		}
	}
}
