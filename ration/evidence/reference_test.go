package evidence

import (
	"math"
	"math/rand/v2"
	"testing"

	"hardfeed/ration/yard"
)

// The model once more, written apart from it: everything is one joint normal
// distribution of the readings and what is asked for, set up by sums over days
// instead of a recursion, with covariances instead of information, all horses of
// the yard in one matrix, and conditioned by Gaussian elimination. Nothing of the
// package's arithmetic is used, and no library.

// refHorse is one horse of the reference: its readings' deviations from what is
// expected and their response to each unknown.
type refHorse struct {
	Horse
	as       Assumptions
	today    int
	forage0  float64
	m, own   float64 // maintenance and its SD
	scatter  float64
	readings []refReading
	days     map[int]refDay
}

type refDay struct {
	f, o, w float64
	begin   int
	ok      bool
}

type refReading struct {
	day  int
	less float64 // value less its mean
	kind yard.WeightBasis
	more float64 // forage more than now
}

func (h *refHorse) week(day int) (f, o, w float64, begin int, ok bool) {
	d := h.days[day]
	return d.f, d.o, d.w, d.begin, d.ok
}

// sum adds up of(day) over the days from day to today, each as it is on day: a
// balance of a later day counts for more the further back it is looked at, by the
// maintenance that goes with weight; days of unknown feed leave it as it is.
func (h *refHorse) sum(day int, of func(day int) float64) float64 {
	keep := 1 - h.Prior.McalPerKg/h.as.McalPerKg
	total, known := 0.0, 0
	for s := day; s < h.today; s++ {
		if _, _, _, _, ok := h.week(s); ok {
			known++
			total += of(s) / math.Pow(keep, float64(known))
		}
	}
	return total
}

func newRef(h Horse, today int, as Assumptions, scatter float64) *refHorse {
	r := &refHorse{scatter: scatter, Horse: h, as: as, today: today, m: h.Prior.McalPerKg * h.BodyKg, days: map[int]refDay{}}
	for _, k := range h.Weeks {
		for d := range 7 {
			f, o, w, ok := k.amounts()
			r.days[dayOf(k.Beginning)+d] = refDay{f, o, w, dayOf(k.Beginning), ok}
		}
	}
	r.forage0 = h.Now.ForageMcal.Or(math.NaN())
	off := as.Ways[h.Basis]
	r.own = r.m * math.Sqrt(h.Prior.CV*h.Prior.CV+off.Offset*off.Offset+off.Scatter*off.Scatter)
	for _, w := range h.Weighings {
		day := dayOf(w.Date)
		x := refReading{day: day, kind: w.Basis}
		f, _, _, _, ok := r.week(day - 1)
		if _, _, _, b, _ := r.week(day - 1); b == 0 { // no such week
			f, _, _, _, ok = r.week(day)
		}
		if ok {
			x.more = f - r.forage0
		}
		balance := func(d int) float64 { f, o, w, _, _ := r.week(d); return f + o - r.m - w }
		mean := h.BodyKg*(1+as.Ways[w.Basis].Bias) - r.sum(day, balance)/as.McalPerKg + as.GutKgPerMcal*x.more
		x.less = w.Kg.Or(0) - mean
		r.readings = append(r.readings, x)
	}
	return r
}

// responses of a reading to own maintenance, work, forage and cost, in kg a SD.
func (h *refHorse) responses(x refReading, cost func(day int) float64) [4]float64 {
	c := h.as.McalPerKg
	out := [4]float64{
		h.sum(x.day, func(int) float64 { return h.own }) / c,
		h.sum(x.day, func(d int) float64 { _, _, w, _, _ := h.week(d); return h.as.Work * w }) / c,
		-h.sum(x.day, func(d int) float64 { f, _, _, _, _ := h.week(d); return h.as.Forage * f }) / c,
	}
	if cost != nil {
		out[3] = -h.sum(x.day, func(d int) float64 { return h.as.McalPerKgCV * cost(d) }) / c
	}
	return out
}

// ownErrors is the covariance of two readings by the weeks' own errors.
func (h *refHorse) ownErrors(a, b refReading) float64 {
	total := 0.0
	done := map[[2]int]bool{}
	for d := min(a.day, b.day); d < h.today; d++ {
		_, _, _, begin, ok := h.week(d)
		key := [2]int{1, (h.today - 1 - d) / 7}
		if ok {
			key = [2]int{0, begin}
		}
		if done[key] {
			continue
		}
		done[key] = true
		respond := func(x refReading) float64 {
			if ok {
				return -h.sum(x.day, func(s int) float64 {
					_, _, w, b, _ := h.week(s)
					if b != begin {
						return 0
					}
					return h.as.Balance * (h.m + w)
				}) / h.as.McalPerKg
			}
			// A day of unknown feed adds its share, grown by the known days before it.
			keep := 1 - h.Prior.McalPerKg/h.as.McalPerKg
			sum := 0.0
			for s := x.day; s < h.today; s++ {
				if _, _, _, _, known := h.week(s); known || (h.today-1-s)/7 != key[1] {
					continue
				}
				before := 0
				for q := x.day; q < s; q++ {
					if _, _, _, _, known := h.week(q); known {
						before++
					}
				}
				sum += h.as.Jump * h.BodyKg / 7 / math.Pow(keep, float64(before))
			}
			return -sum
		}
		total += respond(a) * respond(b)
	}
	return total
}

// covariance of two readings of one horse.
func (h *refHorse) covariance(i, j int, cost func(int) float64) float64 {
	a, b := h.readings[i], h.readings[j]
	kg := h.BodyKg
	v := h.as.Level * h.as.Level * kg * kg
	ra, rb := h.responses(a, cost), h.responses(b, cost)
	for k := range ra {
		v += ra[k] * rb[k]
	}
	v += h.ownErrors(a, b) + h.as.GutKgPerMcalSD*h.as.GutKgPerMcalSD*a.more*b.more
	if a.kind == b.kind {
		off := h.as.Ways[a.kind].Offset * kg
		v += off * off
	}
	if (h.today-a.day)/7 == (h.today-b.day)/7 {
		v += h.as.Gut * h.as.Gut * kg * kg * h.scatter * h.scatter
	}
	if i == j {
		s := h.as.Ways[a.kind].Scatter * kg * h.scatter
		v += s * s
	}
	return v
}

// eliminate solves a x = b with partial pivoting.
func eliminate(a [][]float64, b []float64) []float64 {
	n := len(b)
	for c := range n {
		p := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		b[c], b[p] = b[p], b[c]
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k < n; k++ {
				a[r][k] -= f * a[c][k]
			}
			b[r] -= f * b[c]
		}
	}
	for c := n - 1; c >= 0; c-- {
		for k := c + 1; k < n; k++ {
			b[c] -= a[c][k] * b[k]
		}
		b[c] /= a[c][c]
	}
	return b
}

// refYard conditions a yard's horses on all readings of all of them. asked gives,
// for horse h and reading k of horse g, the covariance of what is asked of h with
// that reading, and variance that of what is asked itself.
func refYard(hs []*refHorse, costs []func(int) float64, asked func(h, g int, r [4]float64) float64, variance func(h int) float64) (mean, v []float64) {
	type at struct{ horse, reading int }
	var all []at
	for g, h := range hs {
		for k := range h.readings {
			all = append(all, at{g, k})
		}
	}
	n := len(all)
	responses := make([][4]float64, n)
	for i, x := range all {
		responses[i] = hs[x.horse].responses(hs[x.horse].readings[x.reading], costs[x.horse])
	}
	matrix := func() [][]float64 {
		m := make([][]float64, n)
		for i := range m {
			m[i] = make([]float64, n)
			for j := range m[i] {
				if all[i].horse == all[j].horse {
					m[i][j] = hs[all[i].horse].covariance(all[i].reading, all[j].reading, costs[all[i].horse])
				} else {
					m[i][j] = responses[i][2] * responses[j][2] // the forage is shared
				}
			}
		}
		return m
	}
	for h := range hs {
		c := make([]float64, n)
		for i, x := range all {
			c[i] = asked(h, x.horse, responses[i])
		}
		weights := eliminate(matrix(), append([]float64(nil), c...))
		m, less := 0.0, 0.0
		for i, x := range all {
			m += weights[i] * hs[x.horse].readings[x.reading].less
			less += weights[i] * c[i]
		}
		mean = append(mean, m)
		v = append(v, variance(h)-less)
	}
	return mean, v
}

// refNeeds is the posterior of every horse's need about the tables.
func refNeeds(hs []*refHorse) (mean, variance []float64) {
	costs := make([]func(int) float64, len(hs))
	// First with the cost at its mean, to find the balances.
	posterior := make([][3]float64, len(hs))
	for k := range 3 {
		m, _ := refYard(hs, costs, func(h, g int, r [4]float64) float64 {
			if h == g || k == 2 {
				return r[k]
			}
			return 0
		}, func(int) float64 { return 1 })
		for h := range hs {
			posterior[h][k] = m[h]
		}
	}
	for i, h := range hs {
		z := posterior[i]
		atToday := func(d int) float64 {
			f, o, w, _, _ := h.week(d)
			return f*(1+h.as.Forage*z[2]) + o - h.m - h.own*z[0] - w*(1+h.as.Work*z[1])
		}
		known := map[int]float64{}
		costs[i] = func(d int) float64 {
			if v, ok := known[d]; ok {
				return v
			}
			known[d] = atToday(d) + h.Prior.McalPerKg*h.sum(d, atToday)/h.as.McalPerKg
			return known[d]
		}
	}
	return refYard(hs, costs, func(h, g int, r [4]float64) float64 {
		x := hs[h]
		work := x.Now.WorkMcal.Or(0)
		c := -x.as.Forage * x.forage0 * r[2]
		if h == g {
			c += x.own*r[0] + x.as.Work*work*r[1]
		}
		return c
	}, func(h int) float64 {
		x := hs[h]
		a, b, c := x.own, x.as.Work*x.Now.WorkMcal.Or(0), x.as.Forage*x.forage0
		return a*a + b*b + c*c
	})
}

func TestPosteriorsEqualTheReference(t *testing.T) {
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 9))
		y := Yard{Today: simStart.AddDate(0, 0, 7*8), Assume: Published()}
		w := ordinary([]yard.WeightBasis{yard.ByScale, yard.ByTape, yard.ByGirthLength, yard.ByScale}[seed])
		w.scatter = 1.5
		for _, h := range simulate(rng, w, 3) {
			x := h.after(8)
			// Two ways of weighing, two in one week, a week not known.
			second := x.Weighings[3]
			second.Basis = yard.ByTape
			second.Date = second.Date.AddDate(0, 0, 1)
			x.Weighings = append(x.Weighings, second)
			x.Weeks = append([]Week(nil), x.Weeks...)
			x.Weeks[2].WorkMcal = yard.Num{}
			x.Now.ForageMcal = yard.Known(x.Now.ForageMcal.Or(10) + 1)
			y.Horses = append(y.Horses, x)
		}
		r := Learn(y)
		var refs []*refHorse
		rough := 1.0
		for i, x := range y.Horses {
			s := r.Horses[i].history.scatter
			rough = max(rough, s)
			refs = append(refs, newRef(x, dayOf(y.Today), y.Assume, s))
		}
		if rough == 1 {
			t.Errorf("seed %d: the case is to have a rough scale", seed)
		}
		mean, variance := refNeeds(refs)
		for i, e := range r.Horses {
			if len(e.Odd) > 0 || e.NotLearnt != yard.LearntSomething {
				t.Fatalf("the case is to use every weighing: %+v", e.Evidence)
			}
			m, v := e.state.of(e.history.needOf(e.history.forageNow, e.history.workNow))
			if math.Abs(m-mean[i]) > 1e-6*e.TablesMcal || math.Abs(math.Sqrt(v)-math.Sqrt(variance[i])) > 1e-6*e.TablesMcal {
				t.Errorf("seed %d, horse %d: %.9f ± %.9f Mcal about the tables, the reference has %.9f ± %.9f", seed, i, m, math.Sqrt(v), mean[i], math.Sqrt(variance[i]))
			}
		}
	}
}

// With all else certain, two unknowns are left: the weight today and the horse's own
// maintenance. Their posterior is added up over a grid, the weights of the days by
// living the days forward.
func TestPosteriorEqualsAGrid(t *testing.T) {
	as := Published()
	as.Forage, as.Work, as.Balance, as.McalPerKgCV, as.GutKgPerMcal, as.GutKgPerMcalSD = 0, 0, 0, 0, 0, 0
	as.ScatterCounts = math.Inf(1)
	h := Horse{BodyKg: 500, Basis: yard.ByScale, Prior: PriorOf(yard.NormalDoer, false), Now: Feeding{yard.Known(12), yard.Known(4), yard.Known(2)}}
	today := simStart.AddDate(0, 0, 42)
	for i, kg := range []float64{512, 508, 511, 503, 502, 504, 498} {
		h.Weighings = append(h.Weighings, yard.Weighing{Date: simStart.AddDate(0, 0, 7*i), Kg: yard.Known(kg), Basis: yard.ByScale})
	}
	for i := range 6 {
		h.Weeks = append(h.Weeks, Week{Beginning: simStart.AddDate(0, 0, 7*i), Feeding: Feeding{yard.Known(11 + 0.3*float64(i)), yard.Known(4), yard.Known(1 + 0.5*float64(i%2))}})
	}
	r := Learn(Yard{Today: today, Horses: []Horse{h}, Assume: as})

	m := h.Prior.McalPerKg * h.BodyKg
	ownSD := m * math.Hypot(h.Prior.CV, as.Ways[yard.ByScale].Scatter)
	path := func(own float64) (kg [7]float64) {
		// Forward from an unknown start; the start that ends at 0 is found by two runs.
		run := func(v float64) (out [7]float64) {
			out[0] = v
			for d := range 42 {
				f, o, w, _ := h.Weeks[d/7].amounts()
				v += (f + o - w - m - own - h.Prior.McalPerKg*v) / as.McalPerKg
				if (d+1)%7 == 0 {
					out[(d+1)/7] = v
				}
			}
			return out
		}
		a, b := run(0), run(1)
		start := -a[6] / (b[6] - a[6])
		return run(start)
	}
	noise := math.Hypot(as.Ways[yard.ByScale].Scatter, as.Gut) * h.BodyKg
	var sum, first, second float64
	const n = 400
	for i := -n; i <= n; i++ {
		own := 7 * ownSD * float64(i) / n
		p := path(own)
		for j := -n; j <= n; j++ {
			kg := 500 + 25*float64(j)/n
			logp := -own*own/ownSD/ownSD/2 - math.Pow((kg-500)/as.Level/500, 2)/2
			for k, w := range h.Weighings {
				logp -= math.Pow((w.Kg.Or(0)-kg-p[k])/noise, 2) / 2
			}
			q := math.Exp(logp)
			sum, first, second = sum+q, first+q*own, second+q*own*own
		}
	}
	mean := first / sum
	sd := math.Sqrt(second/sum - mean*mean)
	e := r.Horses[0]
	if got := e.Need.Mean - e.TablesMcal; math.Abs(got-mean) > 1e-6*m {
		t.Errorf("the need lies %.8f Mcal from the tables, over the grid %.8f", got, mean)
	}
	if got := (e.Need.High - e.Need.Mean) / z90; math.Abs(got-sd) > 1e-6*m {
		t.Errorf("its SD is %.8f Mcal, over the grid %.8f", got, sd)
	}
}
