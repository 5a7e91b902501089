package reporttest

import (
	"fmt"
	"math/rand/v2"
	"time"

	"hardfeed/ration/yard"
)

// RandomWeek is a yard of three horses of every kind, extremes among them. What a
// person would write is in no language, so that English words on a card are the
// program's.
func RandomWeek(r *rand.Rand) yard.Week {
	type f = float64
	pick := func(vs ...f) f { return vs[r.IntN(len(vs))] }
	once := func(in int) bool { return r.IntN(in) == 0 }
	w := yard.Week{Yard: "Xyz", Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC),
		Temperature: Num(pick(5, 20, 38)), HumidityPct: Num(pick(40, 95)),
		Meals:    []yard.Meal{{Name: "Breakfast", Minute: 420}, {Name: "Lunch", Minute: 750}, {Name: "Tea", Minute: 1020}},
		Measures: []yard.Measure{{Name: "scoop", Litres: Num(2)}},
		Feeds: []yard.Feed{
			{Name: "Qhay", Generic: "grass hay, mid-maturity"}, {Name: "Qstraw", Generic: "oat straw"},
			{Name: "Qnuts", Class: yard.HardFeed, MeasureKg: Num(1.5), Analysis: yard.Composition{DM: Num(0.88), DE: Num(2.84), CP: Num(114), Starch: Num(pick(205, 40)), Sugar: Num(60), Ca: Num(11), P: Num(5.7), Na: Num(3.4)}},
			{Name: "Qoats", Generic: "oats, whole", MeasureName: "scoop"}, {Name: "Beet", Generic: "sugar beet pulp, unmolassed"}, {Name: "Qsalt", Generic: "salt"}, {Name: "Qoil", Generic: "vegetable oil"},
			{Name: "Qlick", Class: yard.Supplement, Analysis: yard.Composition{DM: Num(0.95), Se: Num(20), I: Num(100), VitA: Num(2e6), VitD: Num(4e5)}},
		}}
	if once(4) {
		w.Beginning = time.Time{}
	} else if once(2) {
		w.Feeds[0].BatchSince = w.Beginning.AddDate(0, 0, -2)
	}
	for i := range 3 {
		kg := pick(90, 250, 500, 900)
		h := yard.Horse{Name: fmt.Sprintf("Q%d", i), WeightKg: Num(kg), WeightBasis: yard.ByScale, Type: yard.TypeHorse, Keeper: yard.NormalDoer,
			Fitness: []yard.Fitness{yard.Soft, yard.PartFit, yard.Hard}[r.IntN(3)], RiderTackKg: Num(80), WorkGiven: true,
			Score: Num(pick(4, 5, 5, 7)), TargetScore: Num(5), AgeYears: Num(pick(5, 12, 30)), Kept: []yard.Kept{yard.Stabled, yard.InField}[r.IntN(2)],
			GrassBefore: Num(pick(0, 2)), GrassHours: Num(pick(0, 2, 6))}
		switch r.IntN(24) { // those no card is computed for
		case 0:
			h.WeightKg = yard.Num{}
		case 1:
			h.Score = Num(2.5)
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
			h.AgeYears = Num(1.5)
		case 7:
			h.NoCard = []yard.Saying{yard.Say("reason.twice", yard.Named("cells", yard.Place, "A4, A10"))} // as ingest says it
		case 8:
			h.NoCard = Sayings("Qhay stands on two rations sheets (X and Y)")
		}
		for range r.IntN(3) {
			d := []yard.Diagnosis{yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers, yard.HYPP, yard.Choke, yard.PoorTeeth, yard.PastColic, yard.Heaves, yard.Overweight}[r.IntN(11)]
			h.Diagnoses = append(h.Diagnoses, yard.NamedDiagnosis{Kind: d, Text: "Qqq"})
		}
		if once(5) {
			h.Override = yard.Override{Asked: true, Who: "Qa", Reason: "Qb"}
			h.OffFeed = h.OffFeed || h.Type == yard.TypeHorse // with no draw of its own, so that the other yards stay as they were
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
				if at := h.Work[d].StartMin; d%2 == 0 && at >= 0 { // a second class in the afternoon
					h.Work[d].SetStarts([]yard.EventStart{{Min: at}, {Min: at + 270, Minutes: 20}})
				}
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
				l.Now = yard.Amount{Given: true, Kg: Num(now)}
			}
			if plan >= 0 {
				l.Planned = yard.Amount{Given: true, Kg: Num(plan)}
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
