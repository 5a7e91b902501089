package record_test

import (
	"fmt"
	"hash/crc32"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/record"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// What a later week reads of a horse in the list that is for it is what it reads of the
// horse's whole record.
func TestTheListForLaterWeeksIsTheRecord(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 5))
	var weeks, full, weighed, events, unknown int
	for range 200 {
		w := reporttest.RandomWeek(r)
		w.Beginning = time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC)
		for i := range w.Horses {
			h := &w.Horses[i]
			h.Name += []string{"", " \"the \\ Grey\"", "\n  }", "éß\u2028", "<b>", "\xff"}[r.IntN(6)]
			for j := range w.Lines {
				if w.Lines[j].Horse == fmt.Sprintf("Q%d", i) {
					w.Lines[j].Horse = h.Name
				}
			}
			if r.IntN(2) == 0 {
				h.Weighings = []yard.Weighing{{Date: w.Beginning.AddDate(0, 0, -r.IntN(40)), Kg: yard.Known(400 + 200*r.Float64()), Basis: yard.ByTape}}
			}
			for d := range h.Work {
				h.Work[d].Text = []string{"hack", "show \"A\"\n ],\n \"horses\": [", ""}[r.IntN(3)]
				for s := range h.Work[d].Sessions {
					h.Work[d].Sessions[s].Minutes[r.IntN(int(yard.Gaits))] = r.Float64() * []float64{1, 90, 90, 90, 2000}[r.IntN(5)]
				}
			}
		}
		text, err := record.JSON(ration.Plan(w, ration.DefaultRules()), words.Meta{Version: "1.2.3"})
		if err != nil {
			t.Fatal(err)
		}
		short := string(text)
		before, rest, ok1 := strings.Cut(short, "\n \"for_later_weeks\": [\n")
		_, after, ok2 := strings.Cut(rest, "\n \"horses\": [\n")
		body, _, ok3 := strings.Cut(before+"\n \"horses\": [\n"+after, ",\n \"crc32\"")
		if !ok1 || !ok2 || !ok3 {
			t.Fatal(short)
		}
		recalled := func(text string) yard.Week {
			next := yard.Week{Yard: w.Yard, Beginning: w.Beginning.AddDate(0, 0, 7), Feeds: w.Feeds, Meals: w.Meals}
			for _, h := range w.Horses {
				next.Horses = append(next.Horses, yard.Horse{Name: strings.ToValidUTF8(h.Name, "\uFFFD")})
			}
			got, err := ingest.RecallFrom(next, fstest.MapFS{"results.json": {Data: []byte(text)}})
			if err != nil {
				t.Fatal(err)
			}
			if same := ingest.PastWeeks(next, func(day time.Time) []byte {
				if day.Equal(w.Beginning) {
					return []byte(text)
				}
				return nil
			}); !reflect.DeepEqual(same.Horses[0].Past, got.Horses[0].Past) {
				t.Errorf("a folder's record is read as %+v, an archive's as %+v", got.Horses[0].Past, same.Horses[0].Past)
			}
			return got
		}
		want := recalled(body + "\n}\n")
		for name, text := range map[string]string{"with the list": short, "without": fmt.Sprintf("%s,\n \"crc32\": \"%08x\"\n}\n", body, crc32.ChecksumIEEE([]byte(body)))} {
			if got := recalled(text); !reflect.DeepEqual(got, want) {
				t.Fatalf("%s, read as\n%+v\nnot\n%+v\n%s", name, got.Horses, want.Horses, text[:3000])
			}
		}
		for _, h := range want.Horses {
			for _, p := range h.Past {
				weeks++
				events += len(p.Events)
				if p.Full {
					full++
				}
				if p.Weighed.Kg.IsKnown() {
					weighed++
				}
				if !p.WorkMinutes().IsKnown() {
					unknown++
				}
			}
		}
	}
	if t.Logf("%d weeks of horses", weeks); weeks < 500 || full < 20 || weighed < 100 || events < 50 || unknown < 50 {
		t.Errorf("of %d weeks %d were full, %d had a weighing, %d events, %d work that is not known", weeks, full, weighed, events, unknown)
	}
}
