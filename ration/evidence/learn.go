package evidence

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// Yard is what evidence is sought in: all horses fed from one lot of forage.
type Yard struct {
	Today  time.Time // the first day of the week the plan is for
	Horses []Horse
	Assume Assumptions // left empty: [Published]
}

// Result is what a yard's weighings tell.
type Result struct {
	Horses []Learnt // in the order of Yard.Horses
	Forage yard.CommonForage
}

// Learnt is one horse's evidence, and what can be foretold from it.
type Learnt struct {
	yard.Evidence
	history *history
	state   gaussian // of the common unknowns
}

// Learn works out what each horse holds its weight on. It never fails: what cannot
// be used is left out, and [yard.Evidence.NotLearnt] says why a need stays that of
// the tables. Equal input gives equal output, whatever the order of weighings and
// weeks.
func Learn(y Yard) Result {
	r := Result{Horses: make([]Learnt, len(y.Horses))}
	if y.Assume.Ways == nil {
		y.Assume = Published()
	}
	today := dayOf(y.Today)
	own := make([]gaussian, len(y.Horses))
	sideBySide(len(y.Horses), func(i int) {
		p := read(y.Horses[i], today, &y.Assume)
		r.Horses[i] = Learnt{history: p, state: posterior(nState, nState, nil)}
		if p.why == yard.LearntSomething {
			own[i] = p.solve(nil)
		}
	})
	var taught []int
	for i, h := range r.Horses {
		if h.history.why == yard.LearntSomething {
			own[len(taught)] = own[i]
			taught = append(taught, i)
		}
	}
	own = own[:len(taught)]
	first, _, _ := shared(own)
	sideBySide(len(taught), func(k int) { own[k] = r.Horses[taught[k]].history.solve(first[k].mean) })
	all, precision, information := shared(own)
	for k, i := range taught {
		r.Horses[i].state = all[k]
	}
	sideBySide(len(r.Horses), func(i int) { r.Horses[i].report() })
	r.Forage = common(r, taught, precision, information, &y.Assume)
	return r
}

// sideBySide calls do for 0 to n-1, a part of them on each processor. A panic in one
// becomes the caller's, who can still name the workbook.
func sideBySide(n int, do func(i int)) {
	var wg sync.WaitGroup
	var fault atomic.Value
	parts := runtime.GOMAXPROCS(0)
	for part := range parts {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fault.Store(fmt.Sprint(p))
				}
			}()
			for i := part * n / parts; i < (part+1)*n/parts; i++ {
				do(i)
			}
		})
	}
	wg.Wait()
	if p := fault.Load(); p != nil {
		panic(p)
	}
}

// estimate is a mean with its 90 % range.
func estimate(mean, variance float64) yard.Estimate {
	half := z90 * math.Sqrt(variance)
	return yard.Estimate{Low: mean - half, Mean: mean, High: mean + half}
}

func (e *Learnt) report() {
	p := e.history
	e.Horse, e.NotLearnt = p.Name, p.why
	if p.why == yard.NoBodyWeight || p.why == yard.NoTablesNeed {
		e.Trend = yard.TrendUnknown
		return
	}
	e.Weighings, e.Weeks = len(p.used), p.knownDays/7
	if len(p.used) > 0 {
		e.From, e.To = dateOf(p.first), dateOf(p.to)
	}
	e.Odd, e.UnconfirmedFall = p.odd, p.fall
	e.Recent, e.Long, e.Trend = p.trends()
	e.Holds = p.holds(e.Long, e.Trend)

	e.TablesMcal = p.maintenance + p.workNow
	e.Need, e.AtBound = e.need(p.forageNow, p.workNow)
	e.FarFromTables = math.Abs(e.Need.Mean-e.TablesMcal) > FarFromTables*e.TablesMcal
	perKg, v := e.state.of(p.needOf(0, 0))
	e.Maintenance = estimate(p.Prior.McalPerKg+perKg/p.BodyKg, v/p.BodyKg/p.BodyKg)
	score, scored := p.Score.Get()
	e.MayLower = p.why == yard.LearntSomething && scored && score >= thin && e.Trend != yard.TrendLosing && !p.fall && e.Recent.KgPerWeek.Mean > -holdsPerWeek*p.BodyKg
	w := make([]float64, nState)
	w[uWeight] = p.as.Level * p.BodyKg
	dw, v := e.state.of(w)
	e.WeightKg = estimate(p.BodyKg+dw, v)
}

// need is the need at a forage and work, Mcal a day, inside the bounds, and whether
// they held it.
func (e Learnt) need(forage, work float64) (n yard.Estimate, bound bool) {
	p := e.history
	tables := p.maintenance + work
	off, variance := e.state.of(p.needOf(forage, work))
	n = estimate(tables+off, variance)
	for _, v := range []*float64{&n.Low, &n.Mean, &n.High} {
		*v = min(max(*v, LeastOfTables*tables), MostOfTables*tables)
	}
	return n, math.Abs(n.Mean-(tables+off)) > tiny
}

// NeedOn is what [yard.Evidence.Need] would be in a week of other forage or work: the
// forage's error and the work's go with their amounts. False where either is
// unknown, or there is no body weight or no need by the tables.
func (e Learnt) NeedOn(f Feeding) (yard.Estimate, bool) {
	f.OtherMcal = yard.Known(0) // it does not matter
	forage, _, work, ok := f.amounts()
	if why := e.history.why; !ok || why == yard.NoBodyWeight || why == yard.NoTablesNeed {
		return yard.Estimate{}, false
	}
	n, _ := e.need(forage, work)
	return n, true
}

// NeedWorking is what [yard.Evidence.Need] would be in a week of other work, Mcal a day
// above maintenance, with the forage as now; at 0 or less there is none.
func (e Learnt) NeedWorking(workMcal float64) yard.Estimate {
	n, _ := e.need(e.history.forageNow, max(0, workMcal))
	return n
}

const (
	thin = 5.0  // condition score under which feed is never lowered (the design's section 5)
	tiny = 1e-9 // Mcal: less is rounding
)

// Lately is what the horse was fed and did in the last six weeks, the mean day of those
// that are known; false where none is.
func (e Learnt) Lately() (Feeding, bool) {
	p := e.history
	n, forage, other, work := 0.0, 0.0, 0.0, 0.0
	for i, d := range p.days {
		if d.known && p.first+i >= p.today-recentDays {
			n, forage, other, work = n+1, forage+d.forage, other+d.other, work+d.work
		}
	}
	if n == 0 {
		return Feeding{}, false
	}
	return Feeding{yard.Known(forage / n), yard.Known(other / n), yard.Known(work / n)}, true
}

// Forecast is the horse's weight after so many days on a ration and work, today's where
// they are 0, and false where the ration is not known or nothing was learnt. As long as the
// weight changes the need changes with it.
func (e Learnt) Forecast(on Feeding, days int) (yard.WeightForecast, bool) {
	forage, other, work, ok := on.amounts()
	p := e.history
	if !ok || p.why != yard.LearntSomething || days < 0 {
		return yard.WeightForecast{}, false
	}
	as := p.as
	keep := 1 - p.pull()
	need, _ := e.state.of(p.needOf(forage, work))
	balance := forage + other - p.maintenance - work - need
	step := p.needOf(forage, work)
	change, variance := 0.0, 0.0
	f := make([]float64, nState)
	for d := range days {
		if d%7 == 0 { // a new week's own error
			week := 7 * as.Balance * (p.maintenance + work) / as.McalPerKg
			variance += week * week
		}
		for i := range f {
			f[i] = keep*f[i] - step[i]/as.McalPerKg
		}
		f[uCost] += as.McalPerKgCV * (balance - p.Prior.McalPerKg*change) / as.McalPerKg
		change = keep*change + balance/as.McalPerKg
		variance *= keep * keep
	}
	_, v := e.state.of(f)
	out := yard.WeightForecast{On: dateOf(p.today + days), ChangeKg: estimate(change, v+variance)}
	more := forage - p.forageNow
	f[uWeight] = as.Level * p.BodyKg
	f[uGut] = as.GutKgPerMcalSD * more
	shown := p.BodyKg + e.state.mean[uWeight]*f[uWeight] + change + as.GutKgPerMcal*more + e.state.mean[uGut]*f[uGut]
	last := p.used[len(p.used)-1]
	out.Basis = last.Basis
	shown += last.bias
	if last.offset >= 0 {
		f[last.offset] = last.offKg
		shown += e.state.mean[last.offset] * last.offKg
	}
	_, v = e.state.of(f)
	out.WeightKg = estimate(shown, v+variance)
	if s, ok := p.Score.Get(); ok {
		perScore := kgPerScore(p.BodyKg)
		mean := change / perScore
		sd := math.Hypot((out.ChangeKg.High-change)/z90/perScore, kgPerScoreCV*mean)
		at := func(v float64) yard.Num { return yard.Known(min(9, max(1, s+v))) }
		out.Score.Low, out.Score.Mean, out.Score.High = at(mean-z90*sd), at(mean), at(mean+z90*sd)
	}
	return out, true
}

func kgPerScore(bodyKg float64) float64 { return need.KgPerScorePer500 * bodyKg / 500 }

// mostMoreWeighings is how far ahead [Learnt.MoreWeighings] looks, weeks.
const mostMoreWeighings = 52

// MoreWeighings is how many more weighings, one a week by the same way of weighing,
// with feed and work known and as now, bring the 90 % range of the need to within
// a fraction of it either way; 0 if it is there. False where a year of them does
// not, or nothing was learnt yet. It does not depend on what they will show.
func (e Learnt) MoreWeighings(within float64) (int, bool) {
	p := e.history
	if p.why != yard.LearntSomething {
		return 0, false
	}
	as := p.as
	last := p.used[len(p.used)-1]
	sd := as.Ways[last.Basis].Scatter * p.BodyKg
	noise := p.scatter * p.scatter * (sd*sd + as.Gut*as.Gut*p.BodyKg*p.BodyKg)
	week := 7 * as.Balance * (p.maintenance + p.workNow) / as.McalPerKg
	keep := 1 - p.pull()
	step := p.needOf(p.forageNow, p.workNow)
	balance := 0.0
	if forage, other, work, ok := p.Now.amounts(); ok {
		need, _ := e.state.of(step)
		balance = forage + other - p.maintenance - work - need
	}

	// The state and behind it the sum of the weeks' own errors to come.
	const n = nState + 1
	var cov [n][n]float64
	for i := range nState {
		for j := range nState {
			cov[i][j] = e.state.cov.At(i, j)
		}
	}
	f := make([]float64, n)
	f[uWeight] = as.Level * p.BodyKg
	if last.offset >= 0 {
		f[last.offset] = last.offKg
	}
	f[nState] = 1
	goal := within * e.Need.Mean / z90
	for k := 0; ; k++ {
		// The need at the weight it has by then.
		var need [n]float64
		for i := range nState {
			need[i] = step[i]
			if i != uWeight && i != last.offset {
				need[i] += p.Prior.McalPerKg * f[i]
			}
		}
		need[nState] = p.Prior.McalPerKg
		v := 0.0
		for i := range n {
			for j := range n {
				v += need[i] * need[j] * cov[i][j]
			}
		}
		if v <= goal*goal {
			return k, true
		}
		if k == mostMoreWeighings {
			return 0, false
		}
		pulled := 1.0
		for range 7 {
			for i := range nState {
				if i == uOwn || i == uWork || i == uForage {
					f[i] = keep*f[i] - step[i]/as.McalPerKg
				}
			}
			f[uCost] = keep*f[uCost] + as.McalPerKgCV*balance/as.McalPerKg
			pulled *= keep
		}
		for i := range n {
			cov[i][nState] *= pulled
			cov[nState][i] *= pulled
		}
		cov[nState][nState] += week * week
		var c [n]float64
		total := noise
		for i := range n {
			for j := range n {
				c[i] += cov[i][j] * f[j]
			}
			total += f[i] * c[i]
		}
		for i := range n {
			for j := range n {
				cov[i][j] -= c[i] * c[j] / total
			}
		}
	}
}

// common is what the horses tell together of the forage. The tables' need may be
// off for the whole yard, which looks the same but for its size: it goes in as a
// noise of what they tell.
func common(r Result, taught []int, precision, information float64, as *Assumptions) yard.CommonForage {
	c := yard.CommonForage{Horses: len(taught)}
	tables, forage := 0.0, 0.0
	for _, i := range taught {
		tables += r.Horses[i].TablesMcal
		forage += r.Horses[i].history.forageNow
	}
	if precision <= 0 || forage <= 0 {
		c.EnergyPct = estimate(0, 100*100*as.Forage*as.Forage)
		return c
	}
	prior := as.Forage * as.Forage
	doubt := as.Tables * tables / forage
	noise := prior/precision + doubt*doubt
	toldMean := as.Forage * information / precision
	share := prior / (prior + noise)
	c.EnergyPct = estimate(100*share*toldMean, 100*100*share*noise)
	c.Shown = c.EnergyPct.Low > 0 || c.EnergyPct.High < 0
	return c
}
