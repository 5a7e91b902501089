package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report"
	"hardfeed/report/record"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// demoPlan is the demo yard's week and its plan.
func demoPlan(t *testing.T) (yard.Week, yard.Plan) {
	t.Helper()
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	week, err := ingest.Read("demo.xlsx", data, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return week, ration.Plan(week, ration.DefaultRules())
}

// What the demo yard's cards of one week say is what the next week is measured
// from, where nobody wrote down what was fed. The record is the only thing that
// passes from one to the other, so this is the check that both ends of it agree.
func TestTheCardsOfOneWeekAreFedInTheNext(t *testing.T) {
	week, first := demoPlan(t)
	before, err := record.JSON(first, words.Meta{Version: version})
	if err != nil {
		t.Fatal(err)
	}
	next := week
	next.Beginning = week.Beginning.AddDate(0, 0, 7)
	next.Lines = nil
	for _, l := range week.Lines {
		l.Now = yard.Amount{}
		if l.Planned.Given {
			next.Lines = append(next.Lines, l)
		}
	}
	second := ration.Plan(ingest.LastWeek(next, before), ration.DefaultRules())
	measured := 0
	for i, h := range second.Horses {
		was := first.Horses[i]
		if was.Status == yard.NoCard {
			continue
		}
		now, ok := h.HardFeed.Now.Get()
		if !ok {
			t.Errorf("%s: what was on its card is not known a week later", h.Horse.Name)
			continue
		}
		measured++
		// The day with the second most hard feed, from the days of the plan itself.
		var most, second float64
		for _, d := range was.Days {
			kg := d.HardFeedKg.Or(math.NaN())
			if kg > most {
				most, second = kg, most
			} else if kg > second {
				second = kg
			}
		}
		if math.Abs(now-second) > 0.001 {
			t.Errorf("%s: fed now is %v kg, and the card had %v kg on two days", h.Horse.Name, now, second)
		}
		if h.Horse.BeforeGiven && !sameWork(was.Horse, h.Horse) {
			t.Errorf("%s: last week's work is %+v, and was %+v", h.Horse.Name, h.Horse.Before, was.Horse.Work)
		}
	}
	if measured < 10 {
		t.Errorf("only %d horses are measured", measured)
	}
}

func sameWork(was, now yard.Horse) bool {
	for i := range was.Work {
		a, b := was.Work[i], now.Before[i]
		if a.Unknown != b.Unknown || a.Event != b.Event || !a.Unknown && len(a.Sessions) != len(b.Sessions) {
			return false
		}
		for j := range b.Sessions {
			if a.Sessions[j] != b.Sessions[j] {
				return false
			}
		}
	}
	return true
}

// An edition that differs in nothing says so, and one horse's change is said of
// that horse only.
func TestWhatAnEditionChanged(t *testing.T) {
	_, first := demoPlan(t)
	before, err := record.JSON(first, words.Meta{Version: version, Edition: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got := record.EditionChanges(before, first, words.Meta{Edition: 2}); len(got) != 0 {
		t.Errorf("nothing was changed, and it says %v", got)
	}
	other := first
	other.Horses = append([]yard.HorsePlan{}, first.Horses...)
	h := &other.Horses[2]
	h.Servings = append([]yard.Serving{}, h.Servings...)
	for i := range h.Servings {
		if h.Servings[i].Class == yard.HardFeed {
			h.Servings[i].Kg++
			break
		}
	}
	got := record.EditionChanges(before, other, words.Meta{Edition: 2})
	if len(got) != 1 || got[0].Horse != h.Horse.Name || !strings.Contains(got[0].What, "a work day, was") {
		t.Errorf("it says %v", got)
	}
	other.Horses = append(other.Horses[:1:1], other.Horses[2:]...)
	if got := record.EditionChanges(before, other, words.Meta{Edition: 2}); len(got) != 2 || got[0].Horse != first.Horses[1].Horse.Name || !strings.Contains(got[0].What, "take its card down") {
		t.Errorf("it says %v", got)
	}
	for _, gone := range []string{"", "{}", "nonsense"} {
		if got := record.EditionChanges([]byte(gone), first, words.Meta{Edition: 3}); len(got) != 1 || !strings.Contains(got[0].What, "We don't know what changed") {
			t.Errorf("without a record it says %v", got)
		}
	}
	files, err := report.Files(first, words.Meta{Version: version, Edition: 1})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := report.Files(first, words.Meta{Version: version})
	if err != nil {
		t.Fatal(err)
	}
	for i := range files {
		same := string(files[i].Bytes) == string(plain[i].Bytes)
		if files[i].Name == resultsName {
			var r struct{ Edition int }
			if err := json.Unmarshal(files[i].Bytes, &r); err != nil || r.Edition != 1 {
				t.Errorf("the record says edition %d, %v", r.Edition, err)
			}
		} else if !same {
			t.Errorf("%s of a first edition differs from a run's", files[i].Name)
		}
	}
}

// What the plan of one week worked out is what the record tells a later one: energy
// split, work, and whether all of it was known.
func TestTheRecordTellsWhatThePlanWorkedOut(t *testing.T) {
	week, first := demoPlan(t)
	written, err := record.JSON(first, words.Meta{Version: version})
	if err != nil {
		t.Fatal(err)
	}
	next := week
	next.Beginning = week.Beginning.AddDate(0, 0, 7)
	next = ingest.PastWeeks(next, func(beginning time.Time) []byte {
		if beginning.Equal(week.Beginning) {
			return written
		}
		return nil
	})
	near := func(a yard.Num, b float64) bool { v, ok := a.Get(); return ok && math.Abs(v-b) < 0.005 }
	full := 0
	for i, h := range next.Horses {
		was := first.Horses[i]
		if len(h.Past) != 1 {
			t.Fatalf("%s has %d past weeks", h.Name, len(h.Past))
		}
		p := h.Past[0]
		if !p.Full {
			continue
		}
		full++
		e := was.Energy
		if p.ForageMcal.Or(0) <= 0 || !near(p.ForageMcal, e.SupplyForage.Or(-1)) || !near(p.OtherMcal, e.Supply.Or(-1)-e.SupplyForage.Or(0)) ||
			!near(p.WorkMcal, e.Work.Or(-1)+e.Cold.Or(0)) || !near(p.DoubtMcal, e.SupplyDoubt.Or(-1)) || !near(p.WeightKg, was.WeightKg.Or(-1)) ||
			!near(p.HardKg, was.HardFeed.Card.Or(-1)) || math.Abs(p.WorkMinutes().Or(-1)-was.WorkMinutes) > 0.5 || p.Basis != was.WeightBasis {
			t.Errorf("%s: %+v\nthe plan had %+v", h.Name, p, e)
		}
	}
	if full < len(next.Horses)*2/3 {
		t.Errorf("%d of %d weeks are full", full, len(next.Horses))
	}
}
