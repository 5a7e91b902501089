package report

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// anyYard is a yard of three horses of every kind, extremes among them. What a
// person would write is in no language, so that English words on a card are the
// program's.
func anyYard(r *rand.Rand) yard.Week {
	type f = float64
	pick := func(vs ...f) f { return vs[r.IntN(len(vs))] }
	once := func(in int) bool { return r.IntN(in) == 0 }
	w := yard.Week{Yard: "Xyz", Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC),
		Temperature: n(pick(5, 20, 38)), HumidityPct: n(pick(40, 95)),
		Meals:    []yard.Meal{{Name: "Breakfast", Minute: 420}, {Name: "Lunch", Minute: 750}, {Name: "Tea", Minute: 1020}},
		Measures: []yard.Measure{{Name: "scoop", Litres: n(2)}},
		Feeds: []yard.Feed{
			{Name: "Qhay", Generic: "grass hay, mid-maturity"}, {Name: "Qstraw", Generic: "oat straw"},
			{Name: "Qnuts", Class: yard.HardFeed, MeasureKg: n(1.5), Analysis: yard.Composition{DM: n(0.88), DE: n(2.84), CP: n(114), Starch: n(pick(205, 40)), Sugar: n(60), Ca: n(11), P: n(5.7), Na: n(3.4)}},
			{Name: "Qoats", Generic: "oats, whole", MeasureName: "scoop"}, {Name: "Beet", Generic: "sugar beet pulp, unmolassed"}, {Name: "Qsalt", Generic: "salt"}, {Name: "Qoil", Generic: "vegetable oil"},
			{Name: "Qlick", Class: yard.Supplement, Analysis: yard.Composition{DM: n(0.95), Se: n(20), I: n(100), VitA: n(2e6), VitD: n(4e5)}},
		}}
	if once(4) {
		w.Beginning = time.Time{}
	} else if once(2) {
		w.Feeds[0].BatchSince = w.Beginning.AddDate(0, 0, -2)
	}
	for i := range 3 {
		kg := pick(90, 250, 500, 900)
		h := yard.Horse{Name: fmt.Sprintf("Q%d", i), WeightKg: n(kg), WeightBasis: yard.ByScale, Type: yard.TypeHorse, Keeper: yard.NormalDoer,
			Fitness: []yard.Fitness{yard.Soft, yard.PartFit, yard.Hard}[r.IntN(3)], RiderTackKg: n(80), WorkGiven: true,
			Score: n(pick(4, 5, 5, 7)), TargetScore: n(5), AgeYears: n(pick(5, 12, 30)), Kept: []yard.Kept{yard.Stabled, yard.InField}[r.IntN(2)],
			GrassBefore: n(pick(0, 2)), GrassHours: n(pick(0, 2, 6))}
		switch r.IntN(24) { // those no card is computed for
		case 0:
			h.WeightKg = yard.Num{}
		case 1:
			h.Score = n(2.5)
		case 2:
			h.Type = yard.TypeDonkey
		case 3:
			h.Type, h.OffFeed = yard.TypePony, true
		case 4:
			h.Breeding = yard.InFoal
		case 5:
			h.Breeding = yard.Lactating
		case 9:
			h.Breeding = yard.BreedingUnclear
		case 6:
			h.AgeYears = n(1.5)
		case 7:
			h.NoCard = []string{"stands twice on the horses sheet (cells A4, A10)"} // as ingest says it
		case 8:
			h.NoCard = []string{"Qhay stands on two rations sheets (X and Y)"}
		}
		for range r.IntN(3) {
			d := []yard.Diagnosis{yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers, yard.HYPP, yard.Choke, yard.PastColic, yard.Heaves, yard.Overweight}[r.IntN(10)]
			h.Diagnoses = append(h.Diagnoses, yard.NamedDiagnosis{Kind: d, Text: "Qqq"})
		}
		if once(5) {
			h.Override = yard.Override{Asked: true, Who: "Qa", Reason: "Qb"}
		}
		rest := r.IntN(7)
		for d := range h.Work {
			work := []yard.Session{{Minutes: [yard.Gaits]f{42, 15, pick(3, 40)}}}
			switch k := r.IntN(8); {
			case d < rest || k == 0:
				h.Work[d] = yard.Day{Text: "q"}
			case k == 1:
				h.Work[d] = yard.Day{Text: "q", Unknown: true}
			case k == 2:
				h.Work[d] = yard.Day{Event: true, StartMin: int(pick(-1, 100, 600)), Sessions: work}
			default:
				h.Work[d] = yard.Day{Text: "q", Sessions: work}
			}
		}
		if once(2) {
			h.Before, h.BeforeGiven = h.Work, true
		}
		line := func(feed string, now, plan f) {
			l := yard.Line{Horse: h.Name, Feed: feed}
			if now >= 0 {
				l.Now = yard.Amount{Given: true, Kg: n(now)}
			}
			if plan >= 0 {
				l.Planned = yard.Amount{Given: true, Kg: n(plan)}
			}
			w.Lines = append(w.Lines, l)
		}
		known := pick(0, 1, 1) // is what is fed now known?
		forage := kg * pick(0.003, 0.015, 0.02)
		line([]string{"Qhay", "Qhay", "Qstraw"}[r.IntN(3)], known*forage-(1-known), forage)
		for _, feed := range []string{"Qnuts", "Qoats", "Beet", "Qsalt", "Qoil", "Qlick"} {
			scale := map[string]f{"Qnuts": 1, "Qoats": 1, "Beet": 0.5, "Qsalt": 0.05, "Qoil": 0.1, "Qlick": 0.03}[feed]
			if once(2) {
				line(feed, known*scale*pick(0, 1, 4)-(1-known), scale*pick(-1, 0, 0.8, 1, 1.5, 6))
			}
		}
		w.Horses = append(w.Horses, h)
	}
	return w
}

// Whatever the engine writes on a card is said in every language: each caution
// has its line in the tables, and each reason one of its own or the one that
// sends to the office sheet. Each line of the tables is spoken, so that none
// outlives the engine's wording. No English is left on the wall.
func TestEverySentenceOfACardIsSaidInTheLanguage(t *testing.T) {
	spoken := map[string]bool{}
	met := func(kind, text string) bool {
		for _, f := range forms() {
			if strings.HasPrefix(f.key, kind) && f.MatchString(capital(text)) {
				spoken[f.key] = true
				return true
			}
		}
		return false
	}
	english := regexp.MustCompile(`(?i)\b(the|and|with|this|feed|from|kept|held|hay|over|week|vet)\b`)
	r := rand.New(rand.NewPCG(8, 1))
	yards, drawnYards := 900, 12
	if raced {
		yards, drawnYards = 900, 1
	}
	plain := 0
	for i := range yards {
		p := ration.Plan(anyYard(r), ration.DefaultRules())
		for _, h := range p.Horses {
			for _, c := range h.Cautions {
				if !met("caution.", c) {
					t.Errorf("not in the tables: %q", c)
				}
			}
			for _, why := range append(h.HeldWhy, h.NoCardWhy...) {
				first, _, _ := strings.Cut(why, ". The card prints ")
				if !met("reason.", first) {
					plain++
				}
			}
		}
		if i >= drawnYards {
			continue
		}
		for _, code := range Languages()[1:] {
			for name, doc := range map[string]func(*sheet) error{"cards.pdf": cards, "scoops.pdf": scoops} {
				s, err := sketch(name, doc, p, Meta{CardsPerPage: 2, Paper: "A4", Languages: []string{code}, keepBoxes: true, Edition: 2, Changes: []EditionChange{{What: "the work of this week"}}})
				if err != nil {
					t.Fatal(err)
				}
				for _, b := range s.d.Boxes {
					if m := english.FindString(b.Text); m != "" {
						t.Errorf("%s, %s: %q is in English", code, name, b.Text)
					}
				}
			}
		}
	}
	for _, f := range forms() {
		if !spoken[f.key] && f.key != "reason.held" {
			t.Errorf("%s is never said by the engine: %q", f.key, f.String())
		}
	}
	if plain == 0 {
		t.Error("no reason was sent to the office sheet")
	}
	t.Logf("%d yards, %d reasons told on the office sheet only", yards, plain)
}
