package choose

import (
	"math"
	"slices"
)

// largestOf is the largest of some numbers, whatever their signs.
func largestOf(xs []float64) float64 {
	big := 0.0
	for _, v := range xs {
		big = max(big, math.Abs(v))
	}
	return big
}

// start puts every column at the end that costs least.
func (p *program) start() {
	n, m := p.n, p.m
	p.nonb, p.basic = slices.Grow(p.nonb[:0], n)[:n], slices.Grow(p.basic[:0], m)[:m]
	p.atHigh = slices.Grow(p.atHigh[:0], n)[:n]
	p.value = grow(p.value, m)
	for k := range n {
		p.nonb[k] = k
		p.atHigh[k] = p.cost[k] < 0
	}
	for i := range m {
		p.basic[i] = n + i
		for k := range n {
			if p.atHigh[k] {
				p.value[i] += p.a[i*n+k]
			}
		}
	}
}

// addRow takes a row in unless what is open cannot break it.
func (p *program) addRow(r *row, low, high int64) {
	if (low == NoLow || r.min >= low) && (high == NoHigh || r.max <= high) {
		return
	}
	p.tags = append(p.tags, tag{r: r, low: low, high: high})
}

const (
	tolerance = 1e-9
	pivotMin  = 1e-7
)

// solve runs the dual simplex method. solved: an optimum was reached; else bad
// is the row that cannot be kept, or −1 where it gave up.
func (p *program) solve() (solved bool, bad int) {
	n, m := p.n, p.m
	for range 20 * (n + m + 5) {
		r, worst, up := -1, tolerance, false
		for i, v := range p.value {
			b := p.basic[i]
			if off := p.lo[b] - v; off > worst {
				r, worst, up = i, off, true
			}
			if off := v - p.hi[b]; off > worst {
				r, worst, up = i, off, false
			}
		}
		if r < 0 {
			return true, -1
		}
		// The column that enters is the one whose cost turns first, unless going
		// all its way leaves the row still out: then it goes, and the next one.
		line := p.a[r*n : (r+1)*n]
		p.passed = p.passed[:0]
		in := -1
		for out := worst; out > tolerance; {
			if in >= 0 {
				p.passed = append(p.passed, in)
			}
			in = -1
			ratio, size := math.Inf(1), 0.0
			for k, alpha := range line {
				v := p.nonb[k]
				if p.lo[v] == p.hi[v] || math.Abs(alpha) < pivotMin || (alpha > 0) != (up != p.atHigh[k]) || slices.Contains(p.passed, k) {
					continue
				}
				q := math.Abs(p.cost[k]) / math.Abs(alpha)
				if q < ratio-1e-12 || q <= ratio+1e-12 && math.Abs(alpha) > size {
					in, ratio, size = k, min(q, ratio), math.Abs(alpha)
				}
			}
			if in < 0 {
				return false, r
			}
			out -= size * (p.hi[p.nonb[in]] - p.lo[p.nonb[in]])
		}
		for _, k := range p.passed {
			by := p.hi[p.nonb[k]] - p.lo[p.nonb[k]]
			if p.atHigh[k] {
				by = -by
			}
			p.atHigh[k] = !p.atHigh[k]
			for i := range m {
				p.value[i] += p.a[i*n+k] * by
			}
		}
		p.pivot(r, in, up)
	}
	return false, -1
}

// pivot exchanges basic row r, going to its low mark if up, with column in.
func (p *program) pivot(r, in int, up bool) {
	n := p.n
	line := p.a[r*n : (r+1)*n]
	alpha := line[in]
	out, enter := p.basic[r], p.nonb[in]
	target := p.hi[out]
	if up {
		target = p.lo[out]
	}
	t := (target - p.value[r]) / alpha
	at := p.lo[enter]
	if p.atHigh[in] {
		at = p.hi[enter]
	}
	for i := range p.m {
		if i != r {
			p.value[i] += p.a[i*n+in] * t
		}
	}
	p.value[r] = at + t
	inv := 1 / alpha
	for k := range line {
		line[k] *= -inv
	}
	line[in] = inv
	for i := range p.m {
		if i == r {
			continue
		}
		other := p.a[i*n : (i+1)*n]
		f := other[in]
		if f == 0 {
			continue
		}
		other[in] = 0
		for k, v := range line {
			other[k] += f * v
		}
	}
	if f := p.cost[in]; f != 0 {
		p.cost[in] = 0
		for k, v := range line {
			p.cost[k] += f * v
		}
	}
	p.basic[r], p.nonb[in] = enter, out
	p.atHigh[in] = !up
}

// columns is where the program puts each column, 0 to 1.
func (p *program) columns(s *search) []float64 {
	s.x = grow(s.x, p.n)
	x := s.x
	for k, v := range p.nonb {
		if v >= p.n {
			continue
		}
		x[v] = p.lo[v]
		if p.atHigh[k] {
			x[v] = p.hi[v]
		}
	}
	for i, v := range p.basic {
		if v < p.n {
			x[v] = p.value[i]
		}
	}
	return x
}

// multipliers are the program's, by row, scaled back; those of a proof that
// nothing is left where it was not solved.
func (p *program) multipliers(s *search, solved bool, bad int) (y []float64, goal float64) {
	s.y = grow(s.y, p.m)
	y = s.y
	if solved {
		for k, v := range p.nonb {
			if v >= p.n {
				y[v-p.n] = p.cost[k] * p.costBy / p.scale[v-p.n]
			}
		}
		return y, 1
	}
	if bad < 0 {
		return y, 1
	}
	b, sign := p.basic[bad], -1.0
	if p.value[bad] < p.lo[b] {
		sign = 1
	}
	if b >= p.n {
		y[b-p.n] = sign / p.scale[b-p.n]
	}
	for k, v := range p.nonb {
		if v >= p.n {
			y[v-p.n] = -sign * p.a[bad*p.n+k] / p.scale[v-p.n]
		}
	}
	return y, 0
}
