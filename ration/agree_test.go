package ration

import (
	"math/rand/v2"
	"slices"
	"testing"

	"hardfeed/ration/choose"
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// someBucket draws the nth horse, with one to three meals and weighed feeds, among them
// one that holds a lot of everything there is and one that holds a little of it. Two more
// are the next of the generic feeds, so that a limit on any of them is met.
func someBucket(t *testing.T, rnd *rand.Rand, n int) *horseWeek {
	h := horse("Any", 150+rnd.Float64()*600)
	kinds := []yard.Diagnosis{yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers, yard.HYPP, yard.Overweight, yard.NoFeedRule, yard.OtherDiagnosis}
	if rnd.IntN(3) > 0 {
		d := kinds[rnd.IntN(len(kinds))]
		h.Diagnoses = []yard.NamedDiagnosis{{Kind: d, Text: string(d)}}
	}
	if rnd.IntN(2) == 0 {
		h.Work = [7]yard.Day{}
	}
	if rnd.IntN(4) == 0 {
		h.GrassHours = yard.Known(float64(1 + rnd.IntN(12)))
	}
	w := smallYard(h)
	w.Meals = w.Meals[:1+rnd.IntN(len(w.Meals))]
	analysed := func(share float64) yard.Composition {
		var c yard.Composition
		much := map[yard.Unit]float64{yard.Grams: 400, yard.Milligrams: 2e4, yard.IU: 2e5}
		for _, n := range yard.Constituents() {
			*n.In(&c) = yard.Known(share * much[n.Unit] * rnd.Float64())
		}
		c.DM, c.DE = yard.Known(0.9), yard.Known(3)
		if rnd.IntN(4) > 0 {
			c.Ca, c.P = yard.Known(20*rnd.Float64()), yard.Known(8*rnd.Float64())
		}
		return c
	}
	poor := analysed(0)
	w.Feeds = append(w.Feeds, []yard.Feed{
		{Name: "Plain hay", Class: yard.Forage, Analysis: poor, AnalysisFrom: "workbook: dry matter"},
		{Name: "Lick", Class: yard.Supplement, Analysis: analysed(1), AnalysisFrom: "workbook: dry matter"},
		{Name: "Mix", Class: yard.HardFeed, Analysis: analysed(0.5), AnalysisFrom: "workbook: dry matter"},
		{Name: "Chop", Class: yard.Chaff, Analysis: analysed(0.1), AnalysisFrom: "workbook: dry matter"},
		{Name: "Maize", Generic: "flaked maize", Class: yard.HardFeed, Analysis: analysed(0), AnalysisFrom: "workbook: dry matter"},
		{Name: "Plain oats", Generic: "oats", Class: yard.HardFeed, Analysis: analysed(0), AnalysisFrom: "workbook: dry matter"},
	}...)
	for _, f := range []struct {
		name string
		most float64
	}{{"Hay", 12}, {"Plain hay", 12}, {"Lick", 0.5}, {"Mix", 3}, {"Chop", 2}, {"Maize", 3}, {"Plain oats", 4}, {"Oats", 3}, {"Salt", 0.1}, {"Oil", 0.5}} {
		if rnd.IntN(2) == 0 {
			continue
		}
		l := line("Any", f.name, kilos(rnd.Float64()*f.most), nothing)
		if f.name == "Hay" && rnd.IntN(4) == 0 {
			l.Now = yard.Amount{Given: true, AdLib: true}
		}
		w.Lines = append(w.Lines, l)
	}
	for i := range 2 {
		g := generic[(2*n+i)%len(generic)]
		name := "Listed " + g.Name
		w.Feeds = append(w.Feeds, yard.Feed{Name: name, Generic: g.Name, Class: g.Class, Analysis: poor, AnalysisFrom: "workbook: dry matter"})
		w.Lines = append(w.Lines, line("Any", name, kilos(rnd.Float64()*2), nothing))
	}
	c, reasons := newHorseWeek(h, w.Lines, newRoom(w, DefaultRules()), w, DefaultRules(), nil, nil)
	if len(reasons) > 0 {
		t.Fatal(reasons)
	}
	c.facts.readWeighings()
	return c
}

var generic = feeds.Load().All()

// eachMark calls do with each mark of each limit.
func eachMark(do func(n guard.Linear, sev yard.Severity)) {
	for _, n := range guard.Limits() {
		for _, sev := range []yard.Severity{yard.Stop, yard.Warn} {
			do(n, sev)
		}
	}
}

// passes says whether the guard finds a mark passed by a ration, and can compare.
func passes(n guard.Linear, sev yard.Severity, r guard.Ration, l yard.Limits) (passed, compared bool) {
	_, has := n.Mark(sev, r, l)
	c := n.Compare(r, l)
	return has && c.Severity >= sev, has && !c.Unknown
}

// brokenBy says of each limit of a model, by name, whether a choice is outside it.
func brokenBy(m *formulation, choice []int) map[string]bool {
	out := map[string]bool{}
	for _, l := range m.model.Limits {
		out[l.Name] = l.Outside(choice) > 0
	}
	return out
}

// Each mark of each row of the guard's table stands in the model, and nothing
// is there beside them but what a horse can eat. A ration drawn at random is
// outside the model's limit where, and only where, the guard finds the mark passed;
// where something is eaten ad lib or grazed the model keeps the mark at both ends
// of what is eaten, and there it must be outside where the guard is.
func TestModelAndGuardAgreeOnEveryRow(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(1, 18))
	type seen struct{ kept, passed int }
	met := map[string]*seen{}
	for n := range 800 {
		c := someBucket(t, rnd, n)
		base := c.dish.asWritten()
		m := c.chooser().newModel(base, c.chooser().options(base), false)
		m.limits()
		choice, d := make([]int, len(m.model.Feeds)), slices.Clone(base)
		for i := range c.dish.bucket {
			if at := m.feedIndex[i]; at >= 0 {
				choice[at] = rnd.IntN(len(m.amount[i]))
				d[i] = m.amount[i][choice[at]]
			}
		}
		c.dish.estimateAdLib(d)
		r, broken := c.dish.evaluate(d, c.dish.sharing.keepsMealPattern), brokenBy(m, choice)
		if broken[eatableLimit] { // out of what counts as ad lib: the tables are not lines there
			continue
		}
		exact := len(m.adLib) == 0 && m.grass < 0
		byGuard := map[string]bool{}
		eachMark(func(n guard.Linear, sev yard.Severity) {
			if sev == yard.Warn && n.ToldOnly {
				return
			}
			passed, compared := passes(n, sev, r, c.facts.rules.Limits)
			name := markName(n, sev)
			if _, stands := broken[name]; !stands {
				if compared && m.comparable(n) {
					t.Fatalf("the model has no limit for %s", name)
				}
				return
			}
			byGuard[name] = byGuard[name] || passed
		})
		for name, out := range broken {
			passed, stands := byGuard[name]
			switch {
			case name == eatableLimit:
			case !stands:
				t.Fatalf("the model keeps %q, which is no mark of the guard", name)
			case passed && !out:
				t.Fatalf("%s: the guard finds it passed, the model does not: %+v", name, d)
			case exact && out && !passed:
				t.Fatalf("%s: the model is outside it, the guard finds it kept: %+v", name, d)
			}
			if met[name] == nil {
				met[name] = &seen{}
			}
			if passed {
				met[name].passed++
			} else {
				met[name].kept++
			}
		}
	}
	eachMark(func(n guard.Linear, sev yard.Severity) {
		mark := n.Warn
		if sev == yard.Stop {
			mark = n.Stop
		}
		if mark == nil || sev == yard.Warn && n.ToldOnly {
			return
		}
		if s := met[markName(n, sev)]; s == nil || s.kept == 0 || s.passed == 0 {
			t.Errorf("%s was not both kept and passed: %+v", markName(n, sev), s)
		}
	})
}

// At each mark, and just over it: the guard's border, found by halving, is the
// model's.
func TestModelAndGuardTurnAtTheSameAmount(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(2, 18))
	tried := map[string]int{}
	for n := range 300 {
		c := someBucket(t, rnd, n)
		if len(c.dish.sharing.meals) > 1 || slices.ContainsFunc(c.dish.bucket, func(it item) bool { return it.grazed || it.startingPortion().adLib }) {
			continue
		}
		base := c.dish.asWritten()
		eachMark(func(n guard.Linear, sev yard.Severity) {
			if sev == yard.Warn && n.ToldOnly {
				return
			}
			for i := range c.dish.bucket {
				low, high, ok := turn(c, base, i, n, sev)
				if !ok {
					continue
				}
				options := make([][]float64, len(c.dish.bucket))
				options[i] = []float64{low, high}
				m := c.chooser().newModel(base, options, false)
				m.limits()
				name := markName(n, sev)
				k := slices.IndexFunc(m.model.Limits, func(l choose.Limit) bool { return l.Name == name })
				if k < 0 {
					if m.comparable(n) {
						t.Fatalf("the model has no limit for %s", name)
					}
					continue
				}
				for v, kg := range options[i] {
					choice := make([]int, len(m.model.Feeds))
					choice[m.feedIndex[i]] = v
					d := slices.Clone(base)
					d[i] = kg
					want := false
					for _, same := range guard.Limits() { // rows of one name are one limit
						if markName(same, sev) == name {
							passed, _ := passes(same, sev, c.dish.evaluate(d, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits)
							want = want || passed
						}
					}
					if got := m.model.Limits[k].Outside(choice) > 0; got != want {
						t.Fatalf("%s with %v kg of %s: model %v, guard %v; it turns between %v and %v", name, kg, c.dish.bucket[i].feed.Feed.Name, got, want, low, high)
					}
				}
				tried[name]++
			}
		})
	}
	eachMark(func(n guard.Linear, sev yard.Severity) {
		mark := n.Warn
		if sev == yard.Stop {
			mark = n.Stop
		}
		if mark == nil || sev == yard.Warn && n.ToldOnly {
			return
		}
		if name := markName(n, sev); tried[name] == 0 {
			t.Errorf("%s was tried at its mark %d times", name, tried[name])
		}
	})
}

// turn finds the two amounts of an item, a ten thousandth apart, between which the
// guard's verdict on a mark turns.
func turn(c *horseWeek, base dailyKg, i int, n guard.Linear, sev yard.Severity) (low, high float64, ok bool) {
	verdict := func(kg float64) (bool, bool) {
		d := slices.Clone(base)
		d[i] = kg
		return passes(n, sev, c.dish.evaluate(d, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits)
	}
	low, high = 1e-3, 30
	atLow, ok1 := verdict(low)
	atHigh, ok2 := verdict(high)
	if !ok1 || !ok2 || atLow == atHigh {
		return 0, 0, false
	}
	for high-low > 1e-9 {
		mid := (low + high) / 2
		if at, _ := verdict(mid); at == atLow {
			low = mid
		} else {
			high = mid
		}
	}
	d := max(low*1e-4, 1e-5)
	return low - d, high + d, true
}
