package evidence

import (
	"math"
)

// pull is the share of a change of weight that the change of maintenance takes
// back in a day: a heavier horse needs more (Prior.McalPerKg / McalPerKg).
func (p *history) pull() float64 { return p.Prior.McalPerKg / p.as.McalPerKg }

// readings sets the weighings down as readings of the unknowns. The weight of a
// day is today's less the balances between: going back a day,
//
//	v(d) = (v(d+1) - E(d)/cost) / (1 - pull),  v(today) = 0
//	E(d) = forage·(1+f) + other - maintenance·(1+own) - work·(1+w)
//
// where v is the weight less today's and E the balance at today's weight. The cost
// of a kilogram multiplies the balance, so its unknown goes in at the balances of
// an earlier solution, at; nil leaves the cost at its mean.
func (p *history) readings(at []float64) (n int, out []reading) {
	n, out = nState+p.columns+len(p.gut), make([]reading, 0, len(p.used))
	as, kg := p.as, p.BodyKg
	keep := 1 - p.pull()
	cur := make([]float64, n)
	v, solved := 0.0, 0.0
	next := len(p.used) - 1
	for d := p.today; d >= p.first; d-- {
		for ; next >= 0 && p.used[next].day == d; next-- {
			w := p.used[next]
			r := reading{value: w.kg - kg - v - w.bias, at: append([]float64(nil), cur...), sd: w.sd * p.scatter}
			r.at[uWeight] = as.Level * kg
			more := p.moreForage(d)
			r.value -= as.GutKgPerMcal * more
			r.at[uGut] = as.GutKgPerMcalSD * more
			if w.offset >= 0 {
				r.at[w.offset] = w.offKg
			}
			gut := as.Gut * kg * p.scatter
			if c, ok := p.gut[(p.today-d)/7]; ok {
				r.at[c] = gut
			} else {
				r.sd = math.Hypot(r.sd, gut)
			}
			out = append(out, r)
		}
		if d == p.first {
			break
		}
		day := p.days[d-1-p.first]
		if !day.known {
			cur[day.column] -= as.Jump * kg / 7
			continue
		}
		sd := math.Hypot(as.Balance*(p.maintenance+day.work), day.doubt)
		step := daysBalance{uOwn: -p.own, uWork: -as.Work * day.work, uForage: as.Forage * day.forage}
		e := day.forage + day.other - p.maintenance - day.work
		if at != nil {
			se := e + step[uOwn]*at[uOwn] + step[uWork]*at[uWork] + step[uForage]*at[uForage]
			solved = (solved - se/as.McalPerKg) / keep
			step[uCost] = as.McalPerKgCV * (se - p.Prior.McalPerKg*solved)
		}
		v = (v - e/as.McalPerKg) / keep
		for i := range nState {
			cur[i] = (cur[i] - step[i]/as.McalPerKg) / keep
		}
		// A week's own error stays the same through the week.
		for i := nState; i < nState+p.columns; i++ {
			cur[i] /= keep
		}
		cur[day.column] -= sd / as.McalPerKg / keep
	}
	return n, out
}

// daysBalance is a day's balance by unknown, Mcal.
type daysBalance [nState]float64

// solve is the posterior of the common unknowns.
func (p *history) solve(at []float64) gaussian {
	n, rs := p.readings(at)
	return posterior(n, nState, rs)
}

// shared takes the posteriors of a yard's horses, each solved by itself, and lets
// them tell each other of the one unknown they share, the energy of the forage. For
// a linear model with normal errors this is the posterior of all together: given
// the forage the horses are independent, so each tells the others a precision and a
// mean of it, and nothing more. precision and information are those of all.
func shared(own []gaussian) (all []gaussian, precision, information float64) {
	for _, g := range own {
		p, i := g.message(uForage)
		precision += p
		information += i
	}
	all = make([]gaussian, len(own))
	for k, g := range own {
		p, i := g.message(uForage)
		all[k] = g.told(uForage, max(0, precision-p), information-i)
	}
	return all, precision, information
}

// needOf is what the need, Mcal a day, adds for each unknown, at a forage and work.
func (p *history) needOf(forage, work float64) []float64 {
	f := make([]float64, nState)
	f[uOwn] = p.own
	f[uWork] = p.as.Work * work
	f[uForage] = -p.as.Forage * forage
	return f
}
