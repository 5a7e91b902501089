package ration_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// keptHorse is a horse of a well-run yard with what only its owner knows of it: the
// weight it really has and holds.
type keptHorse struct {
	trueKg  float64
	minutes []float64 // of an ordinary day's work, by gait
	planned bool      // its manager writes a plan: what it gets now
	feed    string    // its hard feed
}

// calmYards is how many there are.
const calmYards = 7

// calmYard is one of seven well-run yards of ten ordinary horses: a riding school,
// a livery yard, a competition yard, a trekking centre, a hunting yard, a home for old horses
// and a pony club. All hold their weight and are fed what they
// need, hay in four feeds or at all times.
func calmYard(kind int, r *rand.Rand) (yard.Week, []keptHorse) {
	n := yard.Known
	w := ordinary().Week
	w.Yard, w.Horses, w.Lines = fmt.Sprintf("Calm yard %d", kind+1), nil, nil
	if kind == 1 { // what the bags say is all that is known of its feeds
		s := stable{w, nil}
		s.label("Cubes")
		s.label("Balancer")
	}
	var kept []keptHorse
	for i := range 10 {
		k := keptHorse{planned: r.IntN(2) == 0, feed: "Cubes"}
		h := yard.Horse{Name: fmt.Sprintf("Horse %c", 'A'+i), WeightBasis: yard.ByScale, Type: yard.TypeHorse, Keeper: yard.NormalDoer, Fitness: yard.Hard, InWorkSince: ago(300),
			Score: n(5), TargetScore: n(5), AgeYears: n(float64(6 + r.IntN(12))), WorkGiven: true, BeforeGiven: true, Kept: yard.Stabled}
		// One of ten is old in the joints, and one is fed as its vet set it.
		switch {
		case i == 2:
			h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.NoFeedRule, Text: "arthritis"}}
		case i == 3:
			k.feed = "Fibre cubes"
			h.Diagnoses = [][]yard.NamedDiagnosis{{{Kind: yard.InsulinEMS, Text: "EMS"}}, {{Kind: yard.TyingUp, Text: "tying-up (PSSM)"}}, {{Kind: yard.Ulcers, Text: "ulcers, treated"}}, {{Kind: yard.NoFeedRule, Text: "sarcoids"}}, {{Kind: yard.PPID, Text: "PPID"}},
				{{Kind: yard.PPID, Text: "PPID, insulin normal"}}, {{Kind: yard.Heaves, Text: "heaves; hay soaked"}}}[kind]
		}
		switch kind {
		case 0: // riding school: cobs and ponies in light work
			k.trueKg, k.minutes = math.Round(between(r, 300, 520)), []float64{between(r, 35, 50), between(r, 8, 15), between(r, 1, 3)}
			if k.trueKg < 400 {
				h.Type, h.Keeper = yard.TypePony, yard.GoodDoer
			}
		case 1: // livery
			k.trueKg, k.minutes = math.Round(between(r, 450, 620)), []float64{between(r, 30, 45), between(r, 12, 20), between(r, 3, 6)}
			h.GrassBefore, h.GrassHours = n(2), n(2)
		case 3: // trekking: cobs that walk for hours and are out a while
			k.trueKg, k.minutes = math.Round(between(r, 360, 500)), []float64{between(r, 70, 100), between(r, 5, 10), 0}
			h.GrassBefore, h.GrassHours = n(3), n(3)
		case 5: // old horses that do nothing
			k.trueKg, k.minutes, k.feed = math.Round(between(r, 380, 560)), nil, "Fibre cubes"
			h.AgeYears, h.RiderTackKg = n(float64(20+r.IntN(9))), yard.Num{}
		case 6: // ponies of a pony club, ridden three times a week and at rallies
			k.trueKg, k.minutes = math.Round(between(r, 260, 400)), []float64{between(r, 25, 35), between(r, 15, 20), between(r, 3, 6)}
			h.Type = yard.TypePony
		case 4: // hunting
			k.trueKg, k.minutes = math.Round(between(r, 520, 650)), []float64{between(r, 45, 60), between(r, 20, 30), between(r, 5, 10)}
		default: // competition
			k.trueKg, k.minutes = math.Round(between(r, 500, 640)), []float64{between(r, 30, 40), between(r, 22, 32), between(r, 8, 14)}
		}
		h.HeightCm = n(math.Round(100 * math.Cbrt(k.trueKg/122)))
		h.RiderTackKg = n(math.Round(k.trueKg * between(r, 0.13, 0.16)))
		for back := 6; back >= 1; back-- { // weighed every fortnight before the first week
			h.Weighings = append(h.Weighings, weighed(r, k.trueKg, ago(14*back)))
		}
		workOf(&h, k, r, kind, 0)
		h.Before = h.Work
		w.Horses, kept = append(w.Horses, h), append(kept, k)
	}
	feedCalm(&w, kept, r, kind)
	return w, kept
}

// weighed is a weighing on a scale with a scatter of 0.7 % (gut fill and the scale).
func weighed(r *rand.Rand, trueKg float64, at time.Time) yard.Weighing {
	return yard.Weighing{Date: at, Kg: yard.Known(math.Round(trueKg * (1 + 0.007*r.NormFloat64()))), Basis: yard.ByScale, Score: yard.Known(5)}
}

// workOf writes a week's work: six days much as always, the seventh off, a
// competition on some Saturdays.
func workOf(h *yard.Horse, k keptHorse, r *rand.Rand, kind, weekNo int) {
	for d := range 6 {
		if kind == 5 || kind == 6 && d%2 == 1 {
			h.Work[d] = yard.Day{Text: "off", StartMin: -1}
			continue
		}
		s := yard.Session{}
		for g, min := range k.minutes {
			s.Minutes[g] = math.Round(min * between(r, 0.9, 1.1))
		}
		h.Work[d] = yard.Day{Text: "school", Sessions: []yard.Session{s}, StartMin: -1}
	}
	h.Work[6] = yard.Day{Text: "off", StartMin: -1}
	if kind == 6 && weekNo%2 == 1 {
		h.Work[5] = yard.Day{Text: "rally 10:00", Event: true, StartMin: 10 * 60, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{40, 20, 6}}}}
	}
	if kind == 2 && (weekNo+len(h.Name))%4 == 3 && r.IntN(2) == 0 {
		h.Work[5] = yard.Day{Text: "show 11:00", Event: true, StartMin: 11 * 60, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 20, 10, 0, 3}, Efforts: 20}}}
	}
}

// feedCalm writes what each horse has come to be fed: the ration on which it holds
// its weight, forage first, in whole scoops and half kilos. What that is comes
// from the horse, its need as the mean of its kind and work, with the scatter of
// one horse to another (evidence EN-01) of a horse that is no easy or poor keeper.
func feedCalm(w *yard.Week, kept []keptHorse, r *rand.Rand, kind int) {
	for i := range kept {
		h := &w.Horses[i]
		alone := *w
		alone.Horses, alone.Lines = []yard.Horse{*h}, nil
		alone.Horses[0].WeightKg, alone.Horses[0].Weighed = yard.Known(kept[i].trueKg), ago(2)
		alone.Lines = []yard.Line{{Horse: h.Name, Feed: "Hay", Now: kilos(0.016 * kept[i].trueKg), Planned: kilos(0.016 * kept[i].trueKg)}}
		need := ration.Plan(alone, ration.DefaultRules()).Horses[0].Energy.Need.Or(math.NaN()) * (1 + 0.02*r.NormFloat64())
		add := func(feed string, kg float64, always bool) {
			l := yard.Line{Horse: h.Name, Feed: feed, Now: kilos(kg)}
			if always {
				l.Now = adLib
			}
			if kept[i].planned {
				l.Planned = l.Now
			}
			w.Lines = append(w.Lines, l)
		}
		hay := math.Round(0.0185*kept[i].trueKg*2) / 2
		if most := need / (0.88 * 2.05); hay > most {
			hay = math.Floor(most*2) / 2
		}
		always := kind == 1 && i%2 == 0
		if always {
			hay = 0.02 * kept[i].trueKg / 0.88
		}
		left := need - hay*0.88*2.05
		balancer := 0.0
		if left < 2.2 && kept[i].feed == "Cubes" {
			balancer = math.Round(0.001*kept[i].trueKg*20) / 20
			left -= balancer * 0.88 * 2.9
		}
		add("Hay", hay, always)
		quarter, mcal := 0.35, 2.9
		if kept[i].feed == "Fibre cubes" {
			quarter, mcal = 0.3, 2.5
		}
		if cubes := math.Round(left/(0.88*mcal)/quarter) * quarter; cubes > 0 {
			add(kept[i].feed, cubes, false)
		}
		if balancer > 0 {
			add("Balancer", balancer, false)
		}
		add("Salt", math.Round(0.006*kept[i].trueKg)/100, false)
	}
}

// The warnings and stops of well-run yards, by rule, a horse and week.
func TestCalmYardsAreQuiet(t *testing.T) {
	t.Parallel()
	weeks := pick(4, 10)
	stops, warns, rules := 0, 0, map[string]int{}
	held, horseWeeks, changed := 0, 0, 0
	for kind := range calmYards {
		r := chance(kind)
		w, kept := calmYard(kind, r)
		for n := range weeks {
			for i := range w.Horses {
				h := &w.Horses[i]
				if n > 0 {
					workOf(h, kept[i], r, kind, n)
				}
				x := weighed(r, kept[i].trueKg, w.Beginning.AddDate(0, 0, -1-r.IntN(2)))
				h.Weighings = append(h.Weighings, x)
				h.WeightKg, h.Weighed = x.Kg, x.Date
			}
			for i := range w.Feeds {
				w.Feeds[i].MeasureWeighed = w.Beginning.AddDate(0, 0, -6)
			}
			w.Temperature = yard.Known(math.Round(between(r, 3, 11)))
			p := ration.Plan(w, ration.DefaultRules())
			for _, f := range p.Findings {
				switch f.Severity {
				case yard.Stop:
					stops++
					rules["stop "+string(f.Rule)]++
				case yard.Warn:
					warns++
					rules["warn "+string(f.Rule)]++
				}
			}
			for _, hp := range p.Horses {
				horseWeeks++
				if hp.Status != yard.Carded {
					held++
				}
				if len(hp.Changes) > 0 {
					changed++
				}
			}
			w = nextWeek(w, p)
			for i := range w.Lines { // hay is never fed to the gram
				l := &w.Lines[i]
				if kg, ok := l.Now.Kg.Get(); ok && l.Feed == "Hay" {
					l.Now = kilos(math.Round(4*(kg+between(r, -0.25, 0.25))) / 4)
				}
				if kept[l.Horse[len(l.Horse)-1]-'A'].planned && l.Planned.Kg.IsKnown() && l.Feed == "Hay" {
					l.Planned = l.Now
				}
			}
		}
	}
	per := func(n int) float64 { return float64(n) / float64(horseWeeks) }
	t.Logf("%d horses and weeks; by rule: %s; %d cards changed something", horseWeeks, tally(rules), changed)
	holds(t, "stops a horse and week of calm yards", per(stops), floors.calmStops)
	holds(t, "warnings a horse and week of calm yards", per(warns), floors.calmWarns)
	holds(t, "share of cards held or missing in calm yards", per(held), floors.calmHeld)
}
