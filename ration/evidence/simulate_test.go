package evidence

import (
	"math"
	"math/rand/v2"
	"time"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// world is how the simulated yards differ from what the model takes.
type world struct {
	basis       yard.WeightBasis
	wrongForage float64 // of all yards, fraction; NaN: drawn for each yard
	wrongWork   float64 // of all horses, fraction; NaN: drawn for each
	slips       float64 // share of weighings written down wrongly
	scatter     float64 // of the readings, times what the model takes
	steady      bool    // fed what holds it, unchanged, each week as the last
	lossPerWeek float64 // of body weight, from week lossFrom on, whatever it eats: illness
	lossFrom    int
	lossTo      int     // 0: to the end
	gaps        bool    // weighings missed, weeks not written down
	knows       float64 // share of horses fed by somebody who knows what holds them, to 5 %
}

func ordinary(b yard.WeightBasis) world {
	return world{basis: b, wrongForage: math.NaN(), wrongWork: math.NaN(), scatter: 1, gaps: true}
}

// simHorse is a horse with the truth the model does not get.
type simHorse struct {
	Horse
	weights     []float64 // true, at the end of each week, from week 0
	trueNeed    []float64 // what holds it, as the feed is counted, by week
	tablesOf    []float64 // by the tables on its true weight
	readings    []yard.Weighing
	fed         []Week
	reading     []int // the week after which each reading was taken
	everySlip   []bool
	forageError float64
	ownPerKg    float64      // maintenance, Mcal a kg
	eaten       [][3]float64 // forage, other, work by week, recorded or not
	shown       []float64    // what the way of weighing would show but for its scatter, by week
}

var simStart = time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)

const simWeeks = 26

// simulate lives the horses of one yard through half a year, day by day, with the
// product of maintenance and weight, feed that is changed now and then, and what
// people do to records. Nothing in it comes from the model but the published
// figures.
func simulate(rng *rand.Rand, w world, horses int) []simHorse {
	draw := func(sd float64) float64 { return sd * rng.NormFloat64() }
	forageError := w.wrongForage
	if math.IsNaN(forageError) {
		forageError = draw(0.07)
	}
	out := make([]simHorse, horses)
	for i := range out {
		h := &out[i]
		kg := 350 + 300*rng.Float64()
		keeper := []yard.Keeper{yard.GoodDoer, yard.NormalDoer, yard.NormalDoer, yard.PoorDoer}[rng.IntN(4)]
		perKg := need.MaintenancePerKg(keeper)
		own := perKg * (1 + draw(0.068))
		workError := w.wrongWork
		if math.IsNaN(workError) {
			workError = max(-0.8, draw(0.28))
		}
		cost := 20 * math.Exp(draw(0.33))
		gutPerMcal := max(0, 1.2+draw(0.5))
		offset := 0.0
		switch w.basis {
		case yard.ByTape:
			offset = draw(0.06)
		case yard.ByGirthLength:
			offset = -0.014 + draw(0.09)
		}
		usualWork := rng.Float64() * 0.4 * perKg * kg
		share := 0.5 + 0.45*rng.Float64()
		work, works := usualWork, func() float64 {
			if w.steady {
				return usualWork
			}
			if rng.Float64() < 0.1 {
				return 0
			}
			return usualWork * (0.7 + 0.6*rng.Float64())
		}
		holds := func(kg, forage, work float64) float64 { return own*kg + work*(1+workError) - forageError*forage }
		fed := (perKg*kg + work) * (1 + draw(0.05)) // by the tables, more or less
		if w.steady || rng.Float64() < w.knows {
			// by somebody who knows the horse
			fed = (own*kg + work*(1+workError)) / (1 + forageError*share)
			if !w.steady {
				fed *= 1 + draw(0.05)
			}
		}
		h.forageError, h.ownPerKg = forageError, own
		h.Name, h.Prior = "", PriorOf(keeper, false)
		forage0 := fed * share
		weigh := func(week int) {
			way := map[yard.WeightBasis]float64{yard.ByScale: 0.005, yard.ByTape: 0.015, yard.ByGirthLength: 0.015}[w.basis]
			seen := kg*(1+offset+w.scatter*(draw(0.005)+draw(way))) + gutPerMcal*(fed*share-forage0)
			slip := rng.Float64() < w.slips
			if slip {
				seen *= 1 + math.Copysign(0.05+0.2*rng.Float64(), rng.Float64()-0.5)
			}
			round := map[yard.WeightBasis]float64{yard.ByScale: 0.5, yard.ByTape: 5, yard.ByGirthLength: 1}[w.basis]
			day := simStart.AddDate(0, 0, 7*week)
			if week > 0 && w.gaps {
				day = day.AddDate(0, 0, -rng.IntN(3))
			}
			h.readings = append(h.readings, yard.Weighing{Date: day, Kg: yard.Known(math.Round(seen/round) * round), Basis: w.basis})
			h.reading = append(h.reading, week)
			h.everySlip = append(h.everySlip, slip)
		}
		note := func() {
			h.shown = append(h.shown, kg*(1+offset)+gutPerMcal*(fed*share-forage0))
			h.weights = append(h.weights, kg)
			h.trueNeed = append(h.trueNeed, holds(kg, fed*share, work))
			h.tablesOf = append(h.tablesOf, perKg*kg+work)
		}
		note()
		weigh(0)
		for week := range simWeeks {
			work = works()
			unknown := w.gaps && rng.Float64() < 0.06
			if !w.steady && rng.Float64() < 0.2 {
				fed *= 1 + draw(0.06)
			}
			wasted := draw(0.04) * (perKg*kg + work)
			if unknown && !w.steady {
				wasted += draw(0.4) * (perKg*kg + work) // out at grass, away, or off its feed
			}
			for range 7 {
				balance := fed*share*(1+forageError) + fed*(1-share) - own*kg - work*(1+workError) + wasted
				if w.lossPerWeek > 0 && week >= w.lossFrom && (w.lossTo == 0 || week < w.lossTo) {
					kg -= kg * w.lossPerWeek / 7
					continue
				}
				kg += balance / cost
			}
			record := Week{Beginning: simStart.AddDate(0, 0, 7*week), Feeding: Feeding{ForageMcal: yard.Known(fed * share), OtherMcal: yard.Known(fed * (1 - share)), WorkMcal: yard.Known(work)}}
			if unknown {
				record.ForageMcal = yard.Num{}
			}
			h.fed = append(h.fed, record)
			h.eaten = append(h.eaten, [3]float64{fed * share, fed * (1 - share), work})
			note()
			if !w.gaps || rng.Float64() > 0.1 || week == simWeeks-1 {
				weigh(week + 1)
			}
		}
	}
	return out
}

// after is the horse as its yard knows it after so many weeks.
func (h *simHorse) after(weeks int) Horse {
	x := h.Horse
	for i, w := range h.readings {
		if h.reading[i] <= weeks {
			x.Weighings = append(x.Weighings, w)
		}
	}
	x.Weeks = h.fed[:weeks]
	x.Now = h.fed[weeks-1].Feeding
	if !x.Now.ForageMcal.IsKnown() && weeks > 1 {
		x.Now.ForageMcal = h.fed[weeks-2].ForageMcal
	}
	last := x.Weighings[len(x.Weighings)-1]
	if len(x.Weighings) > 1 && h.everySlip[len(x.Weighings)-1] {
		last = x.Weighings[len(x.Weighings)-2]
	}
	x.BodyKg, x.Basis = last.Kg.Or(0), last.Basis
	x.Score = yard.Known(5)
	return x
}

func learnAfter(hs []simHorse, weeks int) Result {
	y := Yard{Today: simStart.AddDate(0, 0, 7*weeks), Assume: Published()}
	for i := range hs {
		y.Horses = append(y.Horses, hs[i].after(weeks))
	}
	return Learn(y)
}
