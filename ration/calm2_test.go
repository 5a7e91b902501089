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

// quietYard is a well-run yard written down before it was looked at what the program says
// of it: its season, its feeds, how it weighs and what each horse is fed. It proves that
// what is ordinary is ordinary elsewhere too: haylage and balancers, grass, a tape, missed
// weighings, a day off more, the farrier's day, competitions.
type quietYard struct {
	name      string
	beginning time.Time
	warmth    [2]float64 // °C, coldest and warmest week
	horse     func(i int, r *rand.Rand) (yard.Horse, quietHorse)
	work      func(k quietHorse, r *rand.Rand, weekNo int) [7]yard.Day
	labels    bool // nothing is analysed: bags have labels, and forage is what the table has
}

// quietHorse is what only its owner knows of a horse of such a yard, and how it is fed.
type quietHorse struct {
	trueKg  float64
	minutes []float64
	planned bool
	fixed   map[string]float64 // kg a day of what stays as it is
	forage  string             // what is fed to what the horse needs
	least   float64            // of it, % of body weight as fed: with the grass over 1.6 % of dry matter
	most    float64            // the same
	filler  string             // what makes up the rest, by quarters of a scoop
	tape    bool
	offset  float64 // by which its tape always misses
}

// quietYards are a livery yard in winter, an eventing yard in spring and a riding school with
// ponies out on summer grass.
func quietYards() []quietYard {
	n := yard.Known
	sound := func(name string, kg float64, r *rand.Rand) yard.Horse {
		return yard.Horse{Name: name, WeightBasis: yard.ByScale, Type: yard.TypeHorse, Keeper: yard.NormalDoer, Fitness: yard.Hard, Score: n(5), TargetScore: n(5),
			AgeYears: n(float64(5 + r.IntN(13))), HeightCm: n(math.Round(100 * math.Cbrt(kg/122))), RiderTackKg: n(math.Round(kg * between(r, 0.13, 0.16))), Kept: yard.Stabled}
	}
	name := func(i int) string { return fmt.Sprintf("Horse %c", 'A'+i) }
	off := yard.Day{Text: "off", StartMin: -1}
	ride := func(k quietHorse, r *rand.Rand, text string, times float64) yard.Day {
		s := yard.Session{}
		for g, min := range k.minutes {
			s.Minutes[g] = math.Round(min * times * between(r, 0.85, 1.15))
		}
		return yard.Day{Text: text, Sessions: []yard.Session{s}, StartMin: -1}
	}
	return []quietYard{
		{"livery in winter", time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC), [2]float64{-3, 8},
			func(i int, r *rand.Rand) (yard.Horse, quietHorse) {
				kg := math.Round(between(r, 420, 640))
				h := sound(name(i), kg, r)
				h.GrassBefore, h.GrassHours = n(3), n(3)
				k := quietHorse{trueKg: kg, minutes: []float64{between(r, 25, 35), between(r, 12, 18), between(r, 3, 6)}, planned: i%3 == 0, forage: "Haylage", least: 2.3, most: 3.1, filler: "Fibre cubes", tape: true, offset: between(r, -0.04, 0.04),
					fixed: map[string]float64{"Balancer": math.Round(kg/50) * 0.05, "Salt": 0.03}}
				switch i {
				case 1, 4:
					h.Keeper, k.minutes = yard.GoodDoer, []float64{between(r, 25, 35), between(r, 8, 12), 0}
				case 6:
					h.AgeYears, h.Diagnoses = n(23), []yard.NamedDiagnosis{{Kind: yard.NoFeedRule, Text: "arthritis in the hocks"}}
				case 8:
					k.fixed["Chaff"] = 0.3
				}
				return h, k
			},
			func(k quietHorse, r *rand.Rand, weekNo int) (d [7]yard.Day) {
				for i := range d {
					d[i] = ride(k, r, "hack or school", 1)
				}
				d[0], d[3] = off, off
				if r.IntN(5) == 0 { // frozen, or the farrier
					d[1+r.IntN(2)] = off
				}
				return d
			}, true},
		{"eventing in spring", time.Date(2027, 3, 8, 0, 0, 0, 0, time.UTC), [2]float64{4, 14},
			func(i int, r *rand.Rand) (yard.Horse, quietHorse) {
				kg := math.Round(between(r, 480, 590))
				h := sound(name(i), kg, r)
				h.Breed, h.AgeYears = "Irish sport horse", n(float64(6+r.IntN(9)))
				h.GrassBefore, h.GrassHours = n(1), n(1)
				k := quietHorse{trueKg: kg, minutes: []float64{between(r, 35, 45), between(r, 18, 24), between(r, 7, 12)}, planned: i%2 == 0, forage: "Hay", least: 1.8, most: 2.0, filler: "Cubes",
					fixed: map[string]float64{"Salt": 0.05, "Chaff": 0.3}}
				if i == 5 {
					k.fixed["Balancer"] = math.Round(kg/50) * 0.05
				}
				if i == 7 {
					h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Ulcers, Text: "ulcers, healed"}}
					k.filler = "Fibre cubes"
				}
				return h, k
			},
			func(k quietHorse, r *rand.Rand, weekNo int) (d [7]yard.Day) {
				for i := range d {
					d[i] = ride(k, r, "school, hack or gallops", 1)
				}
				d[0] = off
				if (weekNo+int(k.trueKg))%4 == 1 { // a one-day event, and the day after it off anyway
					d[5] = yard.Day{Text: "ODE 10:40", Event: true, StartMin: 10*60 + 40, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{45, 25, 12, 2, 4}, Efforts: 26}}}
					d[6] = yard.Day{Text: "hand walk", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30}}}, StartMin: -1}
				}
				if r.IntN(6) == 0 { // the farrier
					d[2] = off
				}
				return d
			}, false},
		{"riding school in summer", time.Date(2027, 6, 7, 0, 0, 0, 0, time.UTC), [2]float64{13, 24},
			func(i int, r *rand.Rand) (yard.Horse, quietHorse) {
				kg := math.Round(between(r, 240, 390))
				h := sound(name(i), kg, r)
				h.Type, h.Keeper = yard.TypePony, yard.GoodDoer
				h.GrassBefore, h.GrassHours = n(4), n(4)
				k := quietHorse{trueKg: kg, minutes: []float64{between(r, 60, 80), between(r, 15, 25), between(r, 0, 4)}, planned: i%2 == 1, forage: "Hay", least: 1.45, most: 1.9, filler: "Fibre cubes",
					fixed: map[string]float64{"Balancer": math.Round(kg/50) * 0.05, "Salt": math.Round(kg/20) / 1000}}
				if i < 3 { // three horses among the ponies
					k.trueKg = math.Round(between(r, 430, 520))
					h = sound(name(i), k.trueKg, r)
					h.GrassBefore, h.GrassHours = n(6), n(6)
					k.fixed = map[string]float64{"Salt": 0.035}
				}
				return h, k
			},
			func(k quietHorse, r *rand.Rand, weekNo int) (d [7]yard.Day) {
				for i := range d {
					d[i] = ride(k, r, "lessons", 1)
				}
				d[0] = off
				if r.IntN(3) == 0 { // few pupils
					d[4] = off
				}
				if weekNo == 5 { // a camp: two hours more on one day
					d[2] = ride(k, r, "camp", 1.4)
				}
				return d
			}, true},
	}
}

// weigh is a weighing of a horse that holds its weight: a scale with a scatter of 0.7 %
// (evidence WG-01's weighings; gut fill), or a tape that always misses by as much and
// reads one part in a hundred this way or that.
func (k quietHorse) weigh(r *rand.Rand, at time.Time) yard.Weighing {
	w := weighed(r, k.trueKg, at)
	if k.tape {
		w.Basis, w.Kg = yard.ByTape, yard.Known(math.Round(k.trueKg*(1+k.offset)*(1+0.01*r.NormFloat64())))
	}
	return w
}

// settle writes what the horse has come to be fed, on which it holds its weight: forage to
// what it needs or to what it gets of it at the most, the rest in its hard feed, with the
// scatter of one horse to another.
func (y quietYard) settle(w *yard.Week, h yard.Horse, k quietHorse, r *rand.Rand) {
	alone := *w
	alone.Horses = []yard.Horse{h}
	alone.Horses[0].Weighings = nil
	lines := func(forage, filler float64) (out []yard.Line) {
		add := func(f string, kg float64) {
			if kg > 0 {
				out = append(out, yard.Line{Horse: h.Name, Feed: f, Now: kilos(kg), Planned: kilos(kg)})
			}
		}
		add(k.forage, forage)
		add(k.filler, filler)
		for _, f := range []string{"Balancer", "Chaff", "Salt"} {
			add(f, k.fixed[f])
		}
		return out
	}
	short := func(forage, filler float64) float64 {
		alone.Lines = lines(forage, filler)
		e := ration.Plan(alone, ration.DefaultRules()).Horses[0].Energy
		return e.Need.Or(math.NaN()) - e.Supply.Or(math.NaN())
	}
	short(k.most/100*k.trueKg, 0)
	shift := 0.02 * r.NormFloat64() * ration.Plan(alone, ration.DefaultRules()).Horses[0].Energy.Need.Or(0)
	forage, filler := math.Ceil(k.least/100*k.trueKg*2)/2, 0.0
	for forage+0.5 <= k.most/100*k.trueKg && short(forage+0.25, filler) > shift {
		forage += 0.5
	}
	quarter := 0.3
	if k.filler == "Cubes" {
		quarter = 0.35
	}
	for short(forage, filler+quarter/2) > shift {
		filler = math.Round((filler+quarter)/quarter) * quarter
	}
	for _, l := range lines(forage, filler) {
		if !k.planned {
			l.Planned = blank
		}
		w.Lines = append(w.Lines, l)
	}
}

// The warnings and stops of three more well-run yards, by rule, a horse and week.
func TestOtherCalmYardsAreQuiet(t *testing.T) {
	t.Parallel()
	weeks := pick(4, 10)
	for no, y := range quietYards() {
		r := chance(900 + no)
		w := ordinary().Week
		shift := y.beginning.Sub(w.Beginning)
		w.Yard, w.Beginning, w.Horses, w.Lines = y.name, y.beginning, nil, nil
		for i := range w.Feeds {
			f := &w.Feeds[i]
			if !f.MeasureWeighed.IsZero() {
				f.MeasureWeighed = f.MeasureWeighed.Add(shift)
			}
			if y.labels && f.Class == yard.Forage {
				f.Analysis, f.AnalysisFrom, f.Generic = yard.Composition{}, "", map[string]string{"Hay": "hay", "Haylage": "haylage"}[f.Name]
			}
		}
		if y.labels {
			s := stable{w, nil}
			for _, f := range []string{"Cubes", "Fibre cubes", "Balancer"} {
				s.label(f)
			}
		}
		w.Temperature = yard.Known(math.Round((y.warmth[0] + y.warmth[1]) / 2))
		kept := map[string]quietHorse{}
		for i := range 10 {
			h, k := y.horse(i, r)
			h.InWorkSince = y.beginning.AddDate(0, 0, -200)
			h.WorkGiven, h.BeforeGiven = true, true
			h.Work, h.Before = y.work(k, r, 0), y.work(k, r, 0)
			for back := 8; back >= 1; back-- {
				h.Weighings = append(h.Weighings, k.weigh(r, y.beginning.AddDate(0, 0, -14*back)))
			}
			last := h.Weighings[7]
			h.WeightKg, h.Weighed, h.WeightBasis = last.Kg, last.Date, last.Basis
			kept[h.Name] = k
			y.settle(&w, h, k, r)
			w.Horses = append(w.Horses, h)
		}
		stops, warns, held, horseWeeks, rules := 0, 0, 0, 0, map[string]int{}
		for n := range weeks {
			for i := range w.Horses {
				h := &w.Horses[i]
				k := kept[h.Name]
				if n > 0 {
					h.Work = y.work(k, r, n)
				}
				due := w.Beginning.Sub(h.Weighed) > 10*24*time.Hour
				if due && (r.IntN(5) > 0 || w.Beginning.Sub(h.Weighed) > 18*24*time.Hour) { // every fortnight; where nobody finds the time, a week later
					x := k.weigh(r, w.Beginning.AddDate(0, 0, -1-r.IntN(3)))
					h.Weighings = append(h.Weighings, x)
					h.WeightKg, h.Weighed = x.Kg, x.Date
				}
			}
			for i := range w.Feeds {
				if !w.Feeds[i].MeasureWeighed.IsZero() {
					w.Feeds[i].MeasureWeighed = w.Beginning.AddDate(0, 0, -8)
				}
			}
			w.Temperature = yard.Known(math.Round(between(r, y.warmth[0], y.warmth[1])))
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
			}
			w = nextWeek(w, p)
			for i := range w.Lines { // forage is never fed to the gram
				l := &w.Lines[i]
				k := kept[l.Horse]
				if kg, ok := l.Now.Kg.Get(); ok && l.Feed == k.forage { // her plan stays as it is
					l.Now = kilos(math.Round(4*(kg+between(r, -0.25, 0.25))) / 4)
				}
			}
		}
		per := func(n int) float64 { return float64(n) / float64(horseWeeks) }
		t.Logf("%s: %d horses and weeks; by rule: %s", y.name, horseWeeks, tally(rules))
		holds(t, "stops a horse and week: "+y.name, per(stops), floors.calmStops)
		holds(t, "warnings a horse and week: "+y.name, per(warns), floors.otherCalmWarns)
		holds(t, "share of cards held or missing: "+y.name, per(held), floors.calmHeld)
	}
}
