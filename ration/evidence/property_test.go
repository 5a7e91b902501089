package evidence

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

// drawHorse is any horse whose weighings go together.
func drawHorse(t *rapid.T, weeks int) Horse {
	f := func(lo, hi float64, label string) float64 { return rapid.Float64Range(lo, hi).Draw(t, label) }
	kg := f(120, 900, "kg")
	h := Horse{Name: "Juno", BodyKg: kg, Basis: yard.ByScale, Score: yard.Known(f(3, 8, "score")),
		Prior: PriorOf(rapid.SampledFrom([]yard.Keeper{yard.GoodDoer, yard.NormalDoer, yard.PoorDoer}).Draw(t, "keeper"), rapid.Bool().Draw(t, "racing"))}
	m := h.Prior.McalPerKg * kg
	feeding := func() Feeding {
		return Feeding{yard.Known(m * f(0.4, 1, "forage")), yard.Known(m * f(0, 0.5, "other")), yard.Known(m * f(0, 0.4, "work"))}
	}
	for i := range weeks {
		w := Week{Beginning: simStart.AddDate(0, 0, 7*i), Feeding: feeding()}
		if rapid.IntRange(0, 9).Draw(t, "known") == 0 {
			w.ForageMcal = yard.Num{}
		}
		h.Weeks = append(h.Weeks, w)
	}
	h.Now = feeding()
	for range rapid.IntRange(0, 2*weeks).Draw(t, "weighings") {
		basis := rapid.SampledFrom([]yard.WeightBasis{yard.ByScale, yard.ByScale, yard.ByTape, yard.ByGirthLength, yard.Stated}).Draw(t, "basis")
		h.Weighings = append(h.Weighings, yard.Weighing{Date: simStart.AddDate(0, 0, rapid.IntRange(0, 7*weeks).Draw(t, "day")),
			Kg: yard.Known(kg * f(0.985, 1.015, "reading")), Basis: basis})
	}
	return h
}

// linear are the assumptions under which the range depends on when and how a horse
// was weighed alone, not on what was found: no scatter of its own, and a known cost
// of a kilogram.
func linear() Assumptions {
	as := Published()
	as.ScatterCounts, as.McalPerKgCV = math.Inf(1), 0
	return as
}

func learnWith(h []Horse, weeks int, as Assumptions) Result {
	return Learn(Yard{Today: simStart.AddDate(0, 0, 7*weeks), Horses: h, Assume: as})
}

func needSD(e Learnt) float64 {
	_, v := e.state.of(e.history.needOf(e.history.forageNow, e.history.workNow))
	return math.Sqrt(v)
}

func TestMoreWeighingsNeverWidenTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(3, 15).Draw(t, "weeks")
		h := drawHorse(t, weeks)
		more := h
		more.Weighings = append(slices.Clone(h.Weighings), yard.Weighing{Date: simStart.AddDate(0, 0, rapid.IntRange(0, 7*weeks).Draw(t, "one more")),
			Kg: yard.Known(h.BodyKg * rapid.Float64Range(0.985, 1.015).Draw(t, "it reads")), Basis: yard.ByScale})
		a, b := learnWith([]Horse{h}, weeks, linear()).Horses[0], learnWith([]Horse{more}, weeks, linear()).Horses[0]
		if len(a.Odd)+len(b.Odd) > 0 {
			return
		}
		if wide, narrow := needSD(a), needSD(b); narrow > wide+1e-9 {
			t.Fatalf("the SD of the need goes from %.9f to %.9f Mcal by one more weighing", wide, narrow)
		}
	})
}

// Another horse's weighings never widen a range either.
func TestMoreHorsesNeverWidenTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(3, 10).Draw(t, "weeks")
		h, other := drawHorse(t, weeks), drawHorse(t, weeks)
		a, b := learnWith([]Horse{h}, weeks, linear()).Horses[0], learnWith([]Horse{h, other}, weeks, linear()).Horses[0]
		if wide, narrow := needSD(a), needSD(b); narrow > wide+1e-9 {
			t.Fatalf("the SD of the need goes from %.9f to %.9f Mcal by another horse", wide, narrow)
		}
	})
}

func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(3, 12).Draw(t, "weeks")
		h := drawHorse(t, weeks)
		mixed := h
		mixed.Weighings, mixed.Weeks = slices.Clone(h.Weighings), slices.Clone(h.Weeks)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 0))
		rng.Shuffle(len(mixed.Weighings), func(i, j int) {
			mixed.Weighings[i], mixed.Weighings[j] = mixed.Weighings[j], mixed.Weighings[i]
		})
		rng.Shuffle(len(mixed.Weeks), func(i, j int) { mixed.Weeks[i], mixed.Weeks[j] = mixed.Weeks[j], mixed.Weeks[i] })
		a, b := learnWith([]Horse{h}, weeks, Published()).Horses[0], learnWith([]Horse{mixed}, weeks, Published()).Horses[0]
		if !reflect.DeepEqual(a.Evidence, b.Evidence) {
			t.Fatalf("written down in another order:\n%+v\n%+v", a.Evidence, b.Evidence)
		}
	})
}

func near(a, b, scale float64) bool { return math.Abs(a-b) <= 1e-9*scale }

func nearly(a, b yard.Estimate, times, scale float64) bool {
	return near(a.Low*times, b.Low, scale) && near(a.Mean*times, b.Mean, scale) && near(a.High*times, b.High, scale)
}

// A horse twice as large that eats, works and weighs twice as much is the same
// horse in other units; and so is one a year later.
func TestUnitsAndDatesDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(3, 12).Draw(t, "weeks")
		h := drawHorse(t, weeks)
		k := rapid.Float64Range(0.5, 2).Draw(t, "times")
		days := rapid.IntRange(-4000, 4000).Draw(t, "days on")
		other := h
		other.BodyKg *= k
		scale := func(f Feeding) Feeding {
			for _, n := range []*yard.Num{&f.ForageMcal, &f.OtherMcal, &f.WorkMcal} {
				if v, ok := n.Get(); ok {
					*n = yard.Known(k * v)
				}
			}
			return f
		}
		other.Now = scale(h.Now)
		other.Weeks, other.Weighings = slices.Clone(h.Weeks), slices.Clone(h.Weighings)
		for i := range other.Weeks {
			other.Weeks[i].Feeding = scale(h.Weeks[i].Feeding)
			other.Weeks[i].Beginning = other.Weeks[i].Beginning.AddDate(0, 0, days)
		}
		for i := range other.Weighings {
			other.Weighings[i].Kg = yard.Known(k * h.Weighings[i].Kg.Or(0))
			other.Weighings[i].Date = other.Weighings[i].Date.AddDate(0, 0, days)
		}
		today := simStart.AddDate(0, 0, 7*weeks)
		a := Learn(Yard{Today: today, Horses: []Horse{h}, Assume: Published()}).Horses[0]
		b := Learn(Yard{Today: today.AddDate(0, 0, days), Horses: []Horse{other}, Assume: Published()}).Horses[0]
		if a.NotLearnt != b.NotLearnt || a.Trend != b.Trend || a.MayLower != b.MayLower || len(a.Odd) != len(b.Odd) {
			t.Fatalf("%+v\n%+v", a.Evidence, b.Evidence)
		}
		if s := b.TablesMcal; !nearly(a.Need, b.Need, k, s) || !nearly(a.Maintenance, b.Maintenance, 1, 1) || !nearly(a.Long.KgPerWeek, b.Long.KgPerWeek, k, b.history.BodyKg) {
			t.Fatalf("times %g:\n%+v\n%+v", k, a.Evidence, b.Evidence)
		}
	})
}

// Without weighings, or with none between which feed and work are known, a need is
// that of the tables, whatever the other horses of the yard tell.
func TestWithoutEvidenceNothingChanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(3, 10).Draw(t, "weeks")
		h, other := drawHorse(t, weeks), drawHorse(t, weeks)
		want := h.Prior.McalPerKg*h.BodyKg + h.Now.WorkMcal.Or(0)
		unweighed, unfed := h, h
		unweighed.Weighings = nil
		unfed.Weeks = slices.Clone(h.Weeks)
		for i := range unfed.Weeks {
			unfed.Weeks[i].OtherMcal = yard.Num{}
		}
		for _, x := range []Horse{unweighed, unfed} {
			e := learnWith([]Horse{other, x}, weeks, Published()).Horses[1]
			if e.NotLearnt == yard.LearntSomething || e.Need.Mean != want || e.MayLower {
				t.Fatalf("%+v, want %g", e.Evidence, want)
			}
		}
		// The arithmetic itself learns nothing from them either.
		as := Published()
		p := read(unfed, dayOf(simStart)+7*weeks, &as)
		g := p.solve(nil)
		if m, v := g.of(p.needOf(p.forageNow, p.workNow)); math.Abs(m) > 1e-9 || math.Abs(v-sum2(p.needOf(p.forageNow, p.workNow))) > 1e-9 {
			t.Fatalf("weeks of unknown feed moved the need by %g", m)
		}
	})
}

func sum2(f []float64) (s float64) {
	for _, v := range f {
		s += v * v
	}
	return s
}

// Same weights on more feed: it needs more. Same feed and a weight that falls: it
// needs more.
func TestTheNeedFollowsWhatIsFedAndWhatIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weeks := rapid.IntRange(4, 20).Draw(t, "weeks")
		f := tableFeed()
		slope := rapid.Float64Range(0.2, 2).Draw(t, "kg a week")
		var flat, falling []onDay
		for i := range weeks + 1 {
			flat = append(flat, onDay{7 * i, 500})
			falling = append(falling, onDay{7 * i, 500 + slope*float64(weeks-i)})
		}
		base := learnOne(fedAlike(weeks, f, byScale(flat...)), weeks)
		more := f
		more.OtherMcal = yard.Known(f.OtherMcal.Or(0) + rapid.Float64Range(0.2, 3).Draw(t, "Mcal more"))
		if fed := learnOne(fedAlike(weeks, more, byScale(flat...)), weeks); fed.Need.Mean <= base.Need.Mean {
			t.Fatalf("held on more feed, and the need goes from %g to %g", base.Need.Mean, fed.Need.Mean)
		}
		if lost := learnOne(fedAlike(weeks, f, byScale(falling...)), weeks); lost.Need.Mean <= base.Need.Mean {
			t.Fatalf("falling on the same feed, and the need goes from %g to %g", base.Need.Mean, lost.Need.Mean)
		}
	})
}

// Weights turned round in time turn the trend round.
func TestTheTrendTurnsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 7).Draw(t, "weighings")
		var there, back []onDay
		for i := range n {
			kg := rapid.Float64Range(495, 505).Draw(t, "kg")
			there = append(there, onDay{7 * i, kg})
			back = append(back, onDay{7 * (n - 1 - i), kg})
		}
		a := learnOne(fedAlike(n-1, tableFeed(), byScale(there...)), n-1).Recent
		b := learnOne(fedAlike(n-1, tableFeed(), byScale(back...)), n-1).Recent
		if a.Weighings != n || math.Abs(a.KgPerWeek.Mean+b.KgPerWeek.Mean) > 0.001 || math.Abs(a.SE-b.SE) > 0.001 {
			t.Fatalf("%+v and turned round %+v", a, b)
		}
	})
}

// Whatever is in a yard's books, nothing panics and what comes out can be printed.
func TestAnythingWrittenDownIsSurvived(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(label string) float64 {
			return rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 1000), rapid.SampledFrom([]float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300, 1e300, 500})).Draw(t, label)
		}
		maybe := func(label string) yard.Num {
			if rapid.Bool().Draw(t, label+" known") {
				return yard.Known(num(label))
			}
			return yard.Num{}
		}
		date := func() time.Time {
			if rapid.IntRange(0, 20).Draw(t, "no date") == 0 {
				return time.Time{}
			}
			return simStart.AddDate(0, 0, rapid.IntRange(-400, 400).Draw(t, "date"))
		}
		feeding := func() Feeding { return Feeding{maybe("forage"), maybe("other"), maybe("work")} }
		var hs []Horse
		for range rapid.IntRange(0, 3).Draw(t, "horses") {
			h := Horse{BodyKg: num("body"), Basis: rapid.SampledFrom([]yard.WeightBasis{"", yard.ByScale, yard.ByTape, yard.Stated, "guess"}).Draw(t, "basis"),
				Score: maybe("score"), Prior: Prior{num("per kg"), num("cv")}, Now: feeding()}
			if rapid.Bool().Draw(t, "sound") {
				h.BodyKg, h.Prior = 500, PriorOf(yard.NormalDoer, false)
			}
			for range rapid.IntRange(0, 12).Draw(t, "weighings") {
				h.Weighings = append(h.Weighings, yard.Weighing{Date: date(), Kg: maybe("kg"), Basis: rapid.SampledFrom([]yard.WeightBasis{"", yard.ByScale, yard.ByTape, yard.ByGirthLength, yard.Stated, "guess"}).Draw(t, "way")})
			}
			for range rapid.IntRange(0, 12).Draw(t, "weeks") {
				h.Weeks = append(h.Weeks, Week{Beginning: date(), Feeding: feeding(), DoubtMcal: num("doubt")})
			}
			h.HardDays = []time.Time{date()}
			hs = append(hs, h)
		}
		r := Learn(Yard{Today: simStart.AddDate(0, 0, 100), Horses: hs, Assume: Published()})
		sound := func(what string, es ...yard.Estimate) {
			for _, e := range es {
				if !(e.Low <= e.Mean && e.Mean <= e.High) || math.IsInf(e.Low, 0) || math.IsInf(e.High, 0) {
					t.Fatalf("%s: %+v", what, e)
				}
			}
		}
		sound("forage", r.Forage.EnergyPct)
		for i := range r.Horses {
			e := &r.Horses[i]
			sound("horse", e.Need, e.Maintenance, e.WeightKg, e.Recent.KgPerWeek, e.Long.KgPerWeek)
			if f, ok := e.Forecast(feeding(), rapid.IntRange(-1, 100).Draw(t, "days")); ok {
				sound("forecast", f.WeightKg, f.ChangeKg)
			}
			e.MoreWeighings(num("within"))
		}
	})
}

// What is promised of further weighings is what comes of them.
func TestMoreWeighingsAreAsPromised(t *testing.T) {
	as := linear()
	for _, basis := range []yard.WeightBasis{yard.ByScale, yard.ByTape} {
		f := Feeding{yard.Known(14), yard.Known(4), yard.Known(0)}
		live := func(weeks int) Learnt {
			h := fedAlike(weeks, f, nil)
			for i := range weeks + 1 {
				h.Weighings = append(h.Weighings, by(basis, onDay{7 * i, 500})...)
			}
			return learnWith([]Horse{h}, weeks, as).Horses[0]
		}
		half := func(e Learnt) float64 { return z90 * needSD(e) / e.Need.Mean }
		now := live(4)
		n, ok := now.MoreWeighings(0.08)
		if !ok || n < 2 {
			t.Fatalf("%s: %d more weighings, %v", basis, n, ok)
		}
		if before, after := half(live(4+n-1)), half(live(4+n)); after > 0.0805 || before < 0.0795 {
			t.Errorf("%s: %d more weighings are promised to bring 8 %%: %.4f with them, %.4f with one less", basis, n, after, before)
		}
		if n, ok := live(40).MoreWeighings(0.5); !ok || n != 0 {
			t.Errorf("%s: a range that is narrow enough asks for %d more, %v", basis, n, ok)
		}
		if n, ok := now.MoreWeighings(0.0001); ok {
			t.Errorf("%s: the need is promised to a ten thousandth in %d weeks", basis, n)
		}
	}
}
