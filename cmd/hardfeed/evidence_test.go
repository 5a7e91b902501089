package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

type learntResults struct {
	Horses []struct {
		DE struct {
			Need, Own, Supply *float64
			Low               *float64 `json:"need_low"`
			High              *float64 `json:"need_high"`
		} `json:"de_mcal"`
		Evidence *struct {
			Weighings int
			NotLearnt string                             `json:"not_learnt"`
			Need      *struct{ Low, Mean, High float64 } `json:"need_mcal"`
			Tables    *float64                           `json:"tables_need_mcal"`
			Ahead     []struct{ Date string }
			Says      []string
		}
	}
}

// A yard that writes the weight over each week and keeps its results, in the drop
// folder or beside: after a quarter of a year each horse's need is its own, the same by
// both ways, and the sheets say so. Nothing of it is in the first weeks.
func TestAQuarterOfAYearTeachesTheNeed(t *testing.T) {
	t.Setenv("HARDFEED_WATCH_SETTLE_SECONDS", "0.05")
	drop, history := t.TempDir(), t.TempDir()
	book := func(dir string, beginning time.Time, n int) string {
		t.Helper()
		data, err := workbookOf(fmt.Sprintf(`
[yard]
Yard | Cold Brook
Week beginning | %s
Meals | Breakfast 7:00, Tea 17:00
[horses]
Horse | Weight (kg) | How weighed | Weighed | Score | Target score | Fitness
Gannet | %d | scale | %s | 5 | 5 | hard
[work]
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Gannet | hack 60 | hack 60 | hack 60 | hack 60 | hack 60 | hack 60 | rest
[feeds]
Feed | Kind | What it is | One measure (kg)
Hay | forage | grass hay |
Oats | hard feed | oats | 1
[rations]
Horse | Feed | Now | Planned
Gannet | Hay | 8 kg | 8 kg
Gannet | Oats | 2.5 kg | 2.5 kg
`, beginning.Format(time.DateOnly), 500+n%2, beginning.AddDate(0, 0, -2).Format(time.DateOnly)))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "week.xlsx")
		if err := os.WriteFile(path, data, 0o640); err != nil {
			t.Fatal(err)
		}
		return path
	}
	const weeks = 13
	var first, byDrop, byHistory learntResults
	for n := range weeks {
		beginning := time.Date(2026, 9, 7, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*n)
		book(drop, beginning, n)
		var said bytes.Buffer
		if code := run(t.Context(), []string{"watch", drop, "--once"}, nil, nil, &said); code != exitDone {
			t.Fatalf("week %d: %d\n%s", n, code, said.String())
		}
		out := filepath.Join(drop, beginning.Format(time.DateOnly)+" Cold Brook")
		path := book(t.TempDir(), beginning, n)
		beside := filepath.Join(history, beginning.Format(time.DateOnly))
		said.Reset()
		if code := run(t.Context(), []string{"run", path, "-o", beside, "--history", history}, nil, nil, &said); code != exitDone {
			t.Fatalf("week %d: %d\n%s", n, code, said.String())
		}
		switch n {
		case 1:
			readResults(t, out, &first)
		case weeks - 1:
			readResults(t, out, &byDrop)
			readResults(t, beside, &byHistory)
			office := pdfText(t, filepath.Join(out, "office.pdf"))
			for _, want := range []string{"keeps its weight on", "13 weighings in 12 weeks", "Body weight over time, and as expected on this card", "by its own weighings"} {
				if !strings.Contains(strings.Join(strings.Fields(office), " "), want) {
					t.Errorf("the office sheet does not say %q", want)
				}
			}
		}
	}
	if h := first.Horses[0]; h.DE.Own != nil || h.Evidence != nil && h.Evidence.Need != nil {
		t.Errorf("after one week a need is learnt: %+v", h)
	}
	h := byDrop.Horses[0]
	if h.DE.Own == nil || h.Evidence == nil || h.Evidence.Need == nil || h.Evidence.Tables == nil || h.Evidence.Weighings != weeks {
		t.Fatalf("after a quarter of a year nothing is learnt: %+v %+v", h.DE, h.Evidence)
	}
	fed, tables, mean := *h.DE.Supply, *h.Evidence.Tables, h.Evidence.Need.Mean
	if fed < 1.1*tables || mean < tables+(fed-tables)/2 || mean > fed*1.02 || *h.DE.Need != mean || *h.DE.Low > mean || *h.DE.High < mean {
		t.Errorf("it holds its weight on %.1f Mcal, by the tables it needs %.1f; learnt %.1f, need %.1f (%.1f to %.1f)", fed, tables, mean, *h.DE.Need, *h.DE.Low, *h.DE.High)
	}
	a, _ := json.Marshal(byDrop)
	b, _ := json.Marshal(byHistory)
	if !bytes.Equal(a, b) {
		t.Errorf("by the drop folder and by --history another is learnt:\n%s\n%s", a, b)
	}
}
