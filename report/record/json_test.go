package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"math"
	"sort"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// The fields DESIGN.md promises under schema 1, path by path.
var promised = strings.Fields(`
schema program version yard week units standard work_model horses feeds findings
horses.name horses.status horses.body_weight_kg horses.body_weight_basis horses.condition_score horses.fitness
horses.work_class horses.work_minutes horses.de_mcal.maintenance horses.de_mcal.work horses.de_mcal.change
horses.de_mcal.cold horses.de_mcal.need horses.de_mcal.need_low horses.de_mcal.need_high horses.de_mcal.supply horses.de_mcal.class_need
horses.hard_feed_kg.now horses.hard_feed_kg.planned horses.hard_feed_kg.target horses.hard_feed_kg.card
horses.step.rise_kg horses.step.warn_kg horses.step.stop_kg horses.step.verdict horses.step.weeks_to_target
horses.forage_dm_pct_bw horses.starch_g_per_kg_meal_max
horses.ration.day horses.ration.meal horses.ration.feed horses.ration.kg horses.ration.measures horses.ration.measure horses.ration.from
horses.nutrients.nutrient horses.nutrients.unit horses.nutrients.need horses.nutrients.supply horses.nutrients.limit
horses.findings.rule horses.findings.severity horses.findings.message horses.findings.sheet horses.findings.cell horses.findings.source
feeds.feed feeds.kg_week feeds.units_week feeds.unit feeds.cost feeds.stock_days
findings.rule findings.severity findings.message findings.sheet findings.cell findings.source`)

func paths(v any, at string, into map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			into[strings.TrimPrefix(at+"."+k, ".")] = true
			paths(x, at+"."+k, into)
		}
	case []any:
		for _, x := range v {
			paths(x, at, into)
		}
	}
}

func TestRecordHasEveryPromisedField(t *testing.T) {
	b, err := JSON(reporttest.Fixture(), words.Meta{Version: "1.2"})
	if err != nil {
		t.Fatal(err)
	}
	if b[len(b)-1] != '\n' {
		t.Error("no newline at the end")
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	have := map[string]bool{}
	paths(v, "", have)
	sort.Strings(promised)
	for _, p := range promised {
		if !have[p] {
			t.Errorf("%s is missing", p)
		}
	}
}

// Each number of the plan comes back from the record, and what is unknown is
// null, never 0.
func TestRecordReadsBack(t *testing.T) {
	p := reporttest.Fixture()
	b, err := JSON(p, words.Meta{Version: "1.2"})
	if err != nil {
		t.Fatal(err)
	}
	var r Record
	dec := json.NewDecoder(bytes.NewReader(b))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&r); err != nil {
		t.Fatal(err)
	}
	if r.Schema != 1 || r.Program != "hardfeed" || r.Version != "1.2" || r.Yard != "Withy Brook Yard" || *r.Week != "2026-11-30" ||
		r.Units != "metric" || r.Standard != "NRC 2007" || r.WorkModel != "pace" || r.Read != (recordRead{6, 143, 7}) {
		t.Errorf("head: %+v", r)
	}
	same := func(what string, got, want yard.Num) {
		t.Helper()
		g, ok1 := got.Get()
		w, ok2 := want.Get()
		if ok1 != ok2 || math.Abs(g-w) > 1e-6 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	for i, h := range p.Horses {
		g := r.Horses[i]
		if g.Name != h.Horse.Name || g.Status != string(h.Status) || g.BodyWeightBasis != string(h.WeightBasis) || g.Fitness != string(h.Horse.Fitness) ||
			g.Step.Verdict != string(h.Step.Verdict) || g.WorkMinutes != h.WorkMinutes || len(g.Ration) != len(h.Servings) {
			t.Errorf("%s: %+v", h.Horse.Name, g)
		}
		same("weight", g.BodyWeightKg, h.WeightKg)
		same("score", g.ConditionScore, h.Horse.Score)
		same("maintenance", g.DEMcal.Maintenance, h.Energy.Maintenance)
		same("work", g.DEMcal.Work, h.Energy.Work)
		same("change", g.DEMcal.Change, h.Energy.Change)
		same("cold", g.DEMcal.Cold, h.Energy.Cold)
		same("need", g.DEMcal.Need, h.Energy.Need)
		same("lowest need", g.DEMcal.NeedLow, h.Energy.NeedRange.Low)
		same("highest need", g.DEMcal.NeedHigh, h.Energy.NeedRange.High)
		same("supply", g.DEMcal.Supply, h.Energy.Supply)
		same("class need", g.DEMcal.ClassNeed, h.Energy.ClassNeed)
		same("now", g.HardFeedKg.Now, h.HardFeed.Now)
		same("planned", g.HardFeedKg.Planned, h.HardFeed.Planned)
		same("target", g.HardFeedKg.Target, h.HardFeed.Target)
		same("card", g.HardFeedKg.Card, h.HardFeed.Card)
		same("rise", g.Step.RiseKg, h.Step.RiseKg)
		same("warn", g.Step.WarnKg, h.Step.WarnKg)
		same("stop", g.Step.StopKg, h.Step.StopKg)
		same("weeks", g.Step.WeeksToTarget, h.Step.WeeksToTarget)
		same("forage", g.ForageDMPctBW, h.ForageDMPct)
		same("starch", g.StarchPerMeal, h.StarchMax)
		for j, s := range h.Servings {
			q := g.Ration[j]
			same("kg", q.Kg, yard.Known(float64(s.Kg)))
			same("measures", q.Measures, s.Measures)
			if q.Day != string(s.Day) || q.Meal != s.Meal || q.Feed != s.Feed || q.Measure != s.Measure || q.From != [...]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}[s.From] {
				t.Errorf("serving %+v came back as %+v", s, q)
			}
		}
		for j, x := range h.Nutrients {
			q := g.Nutrients[j]
			same("nutrient need", q.Need, x.Need)
			same("nutrient supply", q.Supply, x.Supply)
			same("nutrient limit", q.Limit, x.Limit)
			if q.Nutrient != x.Name || q.Unit != x.Unit {
				t.Errorf("nutrient %+v came back as %+v", x, q)
			}
		}
	}
	for i, f := range p.Feeds {
		q := r.Feeds[i]
		same("kg a week", q.KgWeek, yard.Known(f.KgWeek))
		same("packs", q.UnitsWeek, f.Packs)
		same("cost", q.Cost, f.Cost)
		same("stock", q.StockDays, f.StockDays)
		if q.Feed != f.Feed.Name || q.Unit != f.Feed.PackName {
			t.Errorf("feed %+v", q)
		}
	}
	if len(r.Findings) != len(p.Findings)+1 || r.Findings[0].Rule != "D-02" || r.Findings[1].Sheet != "Horses" || r.Findings[1].Cell != "C9" || r.Findings[1].Severity != "stop" { // of two stops, what could do the horse more harm first
		t.Errorf("findings: %+v", r.Findings)
	}
	if r.Horses[2].WorkClass != nil {
		t.Error("a horse without a card has a work class")
	}
}

// The checksum at the end is of everything up to it.
func TestARecordEndsWithItsChecksum(t *testing.T) {
	b, err := JSON(reporttest.Fixture(), words.Meta{})
	if err != nil {
		t.Fatal(err)
	}
	text, _, _ := strings.Cut(string(b), ",\n \"crc32\"")
	if want := fmt.Sprintf("%s,\n \"crc32\": \"%08x\"\n}\n", text, crc32.ChecksumIEEE([]byte(text))); string(b) != want {
		t.Errorf("the record ends with %q", b[len(text):])
	}
}
