package evidence

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
)

const (
	// oddSDs is how many SDs of their difference two weighings must lie apart, beyond
	// what a horse can change in the time, before one of them is odd. Ours: by
	// chance one latest weighing in 2,000 at most, and far fewer with two neighbours.
	oddSDs = 3.5
	// mostChange is what a horse can lose or gain in a week, fraction: the fastest
	// loss allowed (CO-01).
	mostChange = 0.01
	// thirdOfNormal is what a third of |z| lie under.
	thirdOfNormal = 0.4307
)

// setAsideOdd parts used into what fits and what does not, and finds how far this
// horse's readings scatter. A weighing is odd if it is unlike the one before and
// the one after it, by the same way of weighing and to the same side: a fall that
// lasts is like the weighing after it, and stays. The latest has none after it: it is set aside too,
// but told apart, and a fall stays one until the next weighing.
func (p *history) setAsideOdd() {
	byWay := map[yard.WeightBasis][]weighed{}
	var ways []yard.WeightBasis
	var rest []weighed
	for _, w := range p.used {
		if byWay[w.Basis] == nil {
			ways = append(ways, w.Basis)
		}
		byWay[w.Basis] = append(byWay[w.Basis], w)
	}
	p.scatter = p.roughScatter(byWay)
	for _, way := range ways {
		ws := byWay[way]
		latestGone := false // what is then the last has been compared with a later one
		for {
			k, expected := p.oddest(ws, !latestGone)
			if k < 0 {
				break
			}
			o := yard.OddWeighing{Weighing: ws[k].Weighing, ExpectedKg: expected, OffKg: ws[k].kg - expected, Latest: k == len(ws)-1 && !latestGone}
			p.odd = append(p.odd, o)
			// Where the first stands against the rest, too, nothing says which is right.
			fallen := o.Latest && o.OffKg < 0 || k == 0 && !o.Latest && o.OffKg > 0
			p.fall = p.fall || fallen && ws[k].day >= p.today-recentDays
			ws = slices.Delete(slices.Clone(ws), k, k+1)
			latestGone = latestGone || o.Latest
		}
		byWay[way] = ws
		rest = append(rest, ws...)
	}
	p.scatter = p.ownScatter(byWay)
	slices.SortStableFunc(rest, compareWeighed)
	slices.SortStableFunc(p.odd, func(a, b yard.OddWeighing) int { return a.Weighing.Date.Compare(b.Weighing.Date) })
	p.used = rest
}

// apart is how many SDs two weighings lie apart beyond what a horse can change.
func (p *history) apart(a, b weighed) float64 {
	sd := p.scatter * p.differenceSD(a, b)
	weeks := math.Abs(float64(a.day-b.day)) / 7
	gutFill := math.Abs(p.gutChange(a, b))
	return (math.Abs(a.kg-b.kg) - weeks*mostChange*p.BodyKg - gutFill) / sd
}

// differenceSD is the SD of the difference of two weighings by what Ways says, kg.
func (p *history) differenceSD(a, b weighed) float64 {
	gut := p.as.Gut * p.BodyKg
	return math.Sqrt(a.sd*a.sd + b.sd*b.sd + 2*gut*gut)
}

// gutChange is the gut fill between two weighings that the forage explains, kg.
func (p *history) gutChange(a, b weighed) float64 {
	x, ok1 := p.forageBefore(a.day)
	y, ok2 := p.forageBefore(b.day)
	if !ok1 || !ok2 {
		return 0
	}
	return p.as.GutKgPerMcal * (x - y)
}

// oddest is the weighing that fits least, -1 for none, and what was expected. The
// last is looked at only where it is the latest.
func (p *history) oddest(ws []weighed, latest bool) (at int, expectedKg float64) {
	n := len(ws)
	worst := oddSDs
	at = -1
	take := func(k int, z, expected float64) {
		if z > worst {
			worst, at, expectedKg = z, k, expected
		}
	}
	if n < 3 {
		if n == 2 && latest {
			take(1, p.apart(ws[0], ws[1]), ws[0].kg)
		}
		return at, expectedKg
	}
	for k := 1; k < n-1; k++ {
		w, before, after := ws[k], ws[k-1], ws[k+1]
		if (w.kg > before.kg) == (w.kg > after.kg) { // else it is a step of a fall or a rise
			take(k, min(p.apart(w, before), p.apart(w, after)), between(before, after, w.day))
		}
	}
	// The ends, where the two next to them agree.
	if p.apart(ws[1], ws[2]) < oddSDs {
		take(0, p.apart(ws[0], ws[1]), ws[1].kg)
	}
	if latest && p.apart(ws[n-2], ws[n-3]) < oddSDs {
		take(n-1, p.apart(ws[n-1], ws[n-2]), ws[n-2].kg)
	}
	return at, expectedKg
}

// between is the weight on a day on the line through two weighings.
func between(a, b weighed, day int) float64 {
	if a.day == b.day {
		return (a.kg + b.kg) / 2
	}
	return a.kg + (b.kg-a.kg)*float64(day-a.day)/float64(b.day-a.day)
}

// roughScatter is how far this horse's readings scatter against what Ways says, by
// the step that a third of the steps between neighbours lie under: slips make long
// steps, and so count for nothing.
func (p *history) roughScatter(byWay map[yard.WeightBasis][]weighed) float64 {
	var zs []float64
	for _, ws := range byWay {
		for k := 1; k < len(ws); k++ {
			zs = append(zs, math.Abs(ws[k].kg-ws[k-1].kg)/p.differenceSD(ws[k], ws[k-1]))
		}
	}
	if len(zs) < 4 { // one slip makes two long steps
		return 1
	}
	slices.Sort(zs)
	third := zs[(len(zs)-1)/3] / thirdOfNormal
	return p.drawn(third*third*float64(len(zs)), len(zs))
}

// ownScatter is the same by the mean square about the line through the neighbours,
// of weighings that fit. It is drawn towards 1 and never under it: a figure copied
// down scatters not at all, and is no better for it.
func (p *history) ownScatter(byWay map[yard.WeightBasis][]weighed) float64 {
	var zs []float64
	gut := p.as.Gut * p.BodyKg
	for _, ws := range byWay {
		for k := 1; k < len(ws)-1; k++ {
			a, b := 0.5, 0.5
			if days := ws[k+1].day - ws[k-1].day; days > 0 {
				b = float64(ws[k].day-ws[k-1].day) / float64(days)
				a = 1 - b
			}
			variance := func(w weighed) float64 { return w.sd*w.sd + gut*gut }
			sd := math.Sqrt(variance(ws[k]) + a*a*variance(ws[k-1]) + b*b*variance(ws[k+1]))
			zs = append(zs, math.Abs(ws[k].kg-between(ws[k-1], ws[k+1], ws[k].day))/sd)
		}
	}
	slices.Sort(zs) // the ways come in no order; a sum of floats must
	sum := 0.0
	for _, z := range zs {
		sum += z * z
	}
	return p.drawn(sum, len(zs))
}

func (p *history) drawn(squares float64, n int) float64 {
	if math.IsInf(p.as.ScatterCounts, 1) {
		return 1
	}
	return math.Sqrt(max(1, (p.as.ScatterCounts+squares)/(p.as.ScatterCounts+float64(n))))
}
