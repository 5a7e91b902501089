package choose

import (
	"math"
	"slices"
)

// program is the linear program of a node: the tables of every row as straight
// lines over what is open, the goals' bands as slack columns. It is solved by
// the dual simplex method with bounded variables in a dense dictionary; all it
// is asked for is good multipliers and a place to look (near).
type program struct {
	near   []float64 // by feed: where the program would put the choice
	weight []float64 // by feed: how much one choice more moves the rows, each as a share of what is open

	cols   []int // feed of each feed column
	nFeeds int   // feed columns; slack columns follow
	n, m   int
	a      []float64 // m × n dictionary
	cost   []float64
	lo, hi []float64 // by variable: columns, then rows
	nonb   []int     // variable of each column
	basic  []int     // variable of each row
	atHigh []bool    // by column
	value  []float64 // of the basic variables
	scale  []float64 // by row: what it was divided by
	tags   []tag     // by row
	costBy float64
	passed []int    // columns
	from   []domain // what it was built for
	steps  feedSet  // of the feeds with a step in a goal there
	bent   feedSet  // on no straight line in some row
	solved bool
	proof  proof
}

// tag says what a program row stands for.
type tag struct {
	r    *row
	of   *aim // the goal whose band it is, or whose total it is; nil: a limit
	cap  bool // the goal's total
	low  int64
	high int64
}

// factor is a row times a multiplier: y ≥ 0 stands for y·(low − sum), y < 0 for
// |y|·(sum − high).
type factor struct {
	r *row
	y float64
}

// room is an empty slice with room for n, in the same place where that will do.
func room[T any](xs []T, n int) []T {
	if cap(xs) < n {
		return make([]T, 0, n+n/2)
	}
	return xs[:0]
}

// grow is a slice of n zeros, in the same place where that will do.
func grow(xs []float64, n int) []float64 {
	xs = room(xs, n)[:n]
	clear(xs)
	return xs
}

// bandState says how a band lies over what is open.
type bandState uint8

const (
	inside bandState = iota // never outside
	short                   // always under its low mark
	above                   // always over its high mark
	open
)

func (r *row) state() (bandState, int64) {
	least, most := r.min, r.max
	switch {
	case (r.Low == NoLow || least >= r.Low) && (r.High == NoHigh || most <= r.High):
		return inside, 0
	case r.Low != NoLow && most <= r.Low:
		return short, r.Low - least
	case r.High != NoHigh && least >= r.High:
		return above, most - r.High
	}
	worst := int64(0)
	if r.Low != NoLow {
		worst = max(worst, r.Low-least)
	}
	if r.High != NoHigh {
		worst = max(worst, most-r.High)
	}
	return open, worst
}

// bound solves a linear program over the domains for a place to look and a proof:
// that of the level above, or this level's own if again, where it will do.
func (s *search) bound(ds []domain, depth int, again bool) *proof {
	for len(s.programs) <= depth {
		s.programs = append(s.programs, &program{})
	}
	p := s.programs[depth]
	s.lp = p
	switch {
	case again && p.serves(ds):
		p.narrow(ds)
	case !again && depth > 0 && s.programs[depth-1].serves(ds):
		p.copy(s.programs[depth-1])
		p.narrow(ds)
	default:
		p.build(s, ds)
	}
	solved, bad := p.solve()
	p.solved = solved
	if cap(p.near) < len(ds) {
		p.near = make([]float64, len(ds))
	}
	p.near = p.near[:len(ds)]
	for j, d := range ds {
		p.near[j] = float64(d.lo)
	}
	x := p.columns(s)
	for k := range p.nFeeds {
		d, from := ds[p.cols[k]], p.from[p.cols[k]]
		at := float64(from.lo) + x[k]*float64(from.hi-from.lo)
		if math.IsNaN(at) {
			at, solved = float64(d.lo), false
		}
		p.near[p.cols[k]] = min(max(at, float64(d.lo)), float64(d.hi))
	}
	if solved {
		s.try(s.round())
	}
	y, goal := p.multipliers(s, solved, bad)
	return s.weigh(y, goal)
}

// round is the whole choices nearest the program's.
func (s *search) round() []int {
	if cap(s.feasible) < len(s.lp.near) {
		s.feasible = make([]int, len(s.lp.near))
	}
	s.feasible = s.feasible[:len(s.lp.near)]
	for j, x := range s.lp.near {
		s.feasible[j] = int(x + 0.5)
	}
	return s.feasible
}

// serves says whether the program does for a part of the domains it was built
// for: it was solved, and no feed with a step in a goal was narrowed, for its
// line there would be another.
func (p *program) serves(ds []domain) bool {
	for j, d := range ds {
		from := p.from[j]
		if d == from || d.single() && (d.lo == from.lo || d.hi == from.hi) {
			continue // every line meets its ends
		}
		if p.steps&setOf(j) != 0 || p.bent&setOf(j) != 0 && 2*(d.hi-d.lo) < from.hi-from.lo {
			return false
		}
	}
	return p.solved
}

// copy takes over another program as it was solved.
func (p *program) copy(q *program) {
	p.cols, p.nFeeds, p.n, p.m = append(p.cols[:0], q.cols...), q.nFeeds, q.n, q.m
	p.a, p.cost = append(room(p.a, len(q.a)), q.a...), append(p.cost[:0], q.cost...)
	p.lo, p.hi = append(p.lo[:0], q.lo...), append(p.hi[:0], q.hi...)
	p.nonb, p.basic = append(p.nonb[:0], q.nonb...), append(p.basic[:0], q.basic...)
	p.atHigh, p.value = append(p.atHigh[:0], q.atHigh...), append(p.value[:0], q.value...)
	p.scale, p.tags, p.costBy = append(p.scale[:0], q.scale...), append(room(p.tags, len(q.tags)), q.tags...), q.costBy
	p.weight, p.from, p.steps = append(p.weight[:0], q.weight...), append(p.from[:0], q.from...), q.steps
	p.bent = q.bent
}

// narrow sets the feeds' columns to narrower domains.
func (p *program) narrow(ds []domain) {
	marks := func(v int) (lo, hi float64) {
		d, from := ds[p.cols[v]], p.from[p.cols[v]]
		wide := float64(from.hi - from.lo)
		return float64(d.lo-from.lo) / wide, float64(d.hi-from.lo) / wide
	}
	for k, v := range p.nonb {
		if v >= p.nFeeds {
			continue
		}
		lo, hi := marks(v)
		by := lo - p.lo[v]
		if p.atHigh[k] {
			by = hi - p.hi[v]
		}
		if by != 0 {
			for i := range p.m {
				p.value[i] += p.a[i*p.n+k] * by
			}
		}
	}
	for v := range p.nFeeds {
		p.lo[v], p.hi[v] = marks(v)
	}
}

// slack is the column of a band that may lie outside its marks, and how far.
type slack struct {
	r     *row
	of    *aim
	worst float64
}

// build sets the program up for what is open: its columns, what its rows are of,
// and the rows' and the goal's numbers.
func (p *program) build(s *search, ds []domain) {
	p.openFeeds(s, ds)
	bands := p.openRows(s)
	p.m = len(p.tags)
	p.a = grow(p.a, p.n*p.m)
	p.cost = grow(p.cost, p.n)
	p.lo, p.hi = grow(p.lo, p.n+p.m), grow(p.hi, p.n+p.m)
	p.scale = grow(p.scale, p.m)
	for k := range p.n {
		p.hi[k] = 1
	}
	p.weight = grow(p.weight, len(ds))
	for i := range p.tags {
		p.fillRow(s, ds, i, i >= bands)
	}
	p.fillCost(s, ds)
	p.start()
}

// openFeeds gives each feed that is open its column, and notes the feeds with a
// step in a goal.
func (p *program) openFeeds(s *search, ds []domain) {
	p.from, p.steps, p.bent = append(p.from[:0], ds...), 0, 0
	for _, a := range s.aims {
		p.noteSteps(a, ds)
	}
	if s.goal != nil {
		p.noteSteps(s.goal, ds)
	}
	p.cols = p.cols[:0]
	s.place = slices.Grow(s.place[:0], len(ds))[:len(ds)]
	for j, d := range ds {
		s.place[j] = -1
		if !d.single() {
			s.place[j] = len(p.cols)
			p.cols = append(p.cols, j)
		}
	}
	p.nFeeds = len(p.cols)
}

func (p *program) noteSteps(a *aim, ds []domain) {
	for _, j := range a.plain.feeds {
		if _, _, ok := a.plain.step(j, ds[j]); ok {
			p.steps |= setOf(j)
		}
	}
}

// lone says whether an aim is one band and nothing beside it.
func (a *aim) lone() bool { return len(a.plain.feeds) == 0 && len(a.bands) == 1 }

// openRows lists the rows: limits and lone bands first, then the open bands of the
// aims, each with a column of its own, then the aims that are held. bands is where
// those of the bands begin.
func (p *program) openRows(s *search) (bands int) {
	p.tags, s.slacks = p.tags[:0], s.slacks[:0]
	for i := range s.rows {
		p.addRow(&s.rows[i], s.rows[i].Low, s.rows[i].High)
	}
	for _, a := range s.aims {
		switch {
		case a.most == NoHigh:
		case a.lone(): // needs no column
			p.addLone(a)
		default:
			s.openBands(a)
		}
	}
	if s.goal != nil {
		s.openBands(s.goal)
	}
	bands = len(p.tags)
	p.n = p.nFeeds + len(s.slacks)
	for _, c := range s.slacks {
		if c.r.Low != NoLow {
			p.tags = append(p.tags, tag{r: c.r, of: c.of, low: c.r.Low, high: NoHigh})
		}
		if c.r.High != NoHigh {
			p.tags = append(p.tags, tag{r: c.r, of: c.of, low: NoLow, high: c.r.High})
		}
	}
	for _, a := range s.aims {
		if a.most != NoHigh && !a.lone() {
			p.tags = append(p.tags, tag{r: &a.plain, of: a, cap: true, low: a.plain.Low, high: a.most})
		}
	}
	return bands
}

// addLone holds an aim of one band: the band may be missed by what is left.
func (p *program) addLone(a *aim) {
	b := &a.bands[0]
	low, high := b.Low, b.High
	room := a.most - a.plain.base
	if low != NoLow {
		low -= room
	}
	if high != NoHigh {
		high += room
	}
	p.addRow(b, low, high)
}

// openBands gives each band of an aim that is open a column.
func (s *search) openBands(a *aim) {
	for i := range a.bands {
		if st, worst := a.bands[i].state(); st == open {
			a.bands[i].col = len(s.slacks)
			s.slacks = append(s.slacks, slack{&a.bands[i], a, float64(worst)})
		}
	}
}

// line writes a row as a line in the columns, times over.
func (p *program) line(s *search, ds []domain, r *row, to []float64, times float64) (base float64) {
	base = float64(r.base)
	for _, j := range r.feeds {
		d := ds[j]
		base += float64(r.Adds[j][d.lo])
		if k := s.place[j]; k >= 0 {
			if !r.even[j] {
				p.bent |= setOf(j)
			}
			to[k] += times * float64(r.Adds[j][d.hi]-r.Adds[j][d.lo])
		}
	}
	return base * times
}

// total writes a goal's whole value as a line in the columns.
func (p *program) total(s *search, ds []domain, a *aim, to []float64) (base float64) {
	base = p.line(s, ds, &a.plain, to, 1)
	for i := range a.bands {
		b := &a.bands[i]
		switch st, _ := b.state(); st {
		case short:
			base += float64(b.Low) + p.line(s, ds, b, to, -1)
		case above:
			base += p.line(s, ds, b, to, 1) - float64(b.High)
		case open:
			to[p.nFeeds+b.col] += s.slacks[b.col].worst
		}
	}
	return base
}

// fillRow writes a row's numbers, by its largest; band: it is of a band with a
// column of its own.
func (p *program) fillRow(s *search, ds []domain, i int, band bool) {
	t := &p.tags[i]
	to := p.a[i*p.n : (i+1)*p.n]
	var base float64
	if t.cap {
		base = p.total(s, ds, t.of, to)
	} else {
		base = p.line(s, ds, t.r, to, 1)
	}
	if band && !t.cap {
		w := s.slacks[t.r.col].worst
		if t.low == NoLow {
			w = -w
		}
		to[p.nFeeds+t.r.col] = w
	}
	big := largestOf(to)
	if big == 0 {
		big = 1
	}
	p.scale[i] = big
	for k := range to {
		to[k] /= big
	}
	for k, j := range p.cols {
		p.weight[j] += math.Abs(to[k]) / float64(ds[j].hi-ds[j].lo)
	}
	p.lo[p.n+i], p.hi[p.n+i] = math.Inf(-1), math.Inf(1)
	if t.low != NoLow {
		p.lo[p.n+i] = (float64(t.low) - base) / big
	}
	if t.high != NoHigh {
		p.hi[p.n+i] = (float64(t.high) - base) / big
	}
}

// fillCost writes the goal that is worked on, by its largest number.
func (p *program) fillCost(s *search, ds []domain) {
	p.costBy = 1
	if s.goal == nil {
		return
	}
	p.total(s, ds, s.goal, p.cost)
	if big := largestOf(p.cost); big > 0 {
		p.costBy = big
		for k := range p.cost {
			p.cost[k] /= big
		}
	}
}

// proof is a sum of rows times factors that is at most 0 at every ration that
// keeps the limits, the held goals and what the goal must come to. It is one
// whatever the factors are, and wherever the domains lie.
type proof struct {
	factors        []factor
	constant, size float64 // without the goal's most; size: of what was added up
	goal           float64 // factor of the goal
}

// weigh makes the proof the multipliers give.
func (s *search) weigh(y []float64, goal float64) *proof {
	if s.goal == nil || s.goal.most == NoHigh {
		goal = 0
	}
	p := s.lp
	p.proof = proof{factors: p.proof.factors[:0], goal: goal}
	for _, a := range s.aims {
		a.y = 0
	}
	add := func(v float64) {
		p.proof.constant += v
		p.proof.size += math.Abs(v)
	}
	take := func(r *row, f, low, high float64) {
		switch {
		case f > 0 && !math.IsInf(low, 0):
			add(f * low)
			p.proof.factors = append(p.proof.factors, factor{r, -f})
		case f < 0 && !math.IsInf(high, 0):
			add(f * high)
			p.proof.factors = append(p.proof.factors, factor{r, -f})
		}
	}
	mark := func(v int64) float64 {
		switch v {
		case NoLow:
			return math.Inf(-1)
		case NoHigh:
			return math.Inf(1)
		}
		return float64(v)
	}
	for _, t := range p.tags {
		t.r.y = 0
	}
	for i, t := range p.tags {
		switch {
		case t.cap && y[i] > 0:
			take(t.r, y[i], mark(t.low), math.Inf(1))
		case t.cap:
			t.of.y = max(0, -y[i])
		case t.of != nil:
			t.r.y += y[i]
		case y[i] != 0:
			take(t.r, y[i], mark(t.low), mark(t.high))
		}
	}
	aim := func(a *aim, lambda float64) {
		if lambda == 0 {
			return
		}
		if len(a.plain.feeds) > 0 || a.plain.base != 0 {
			p.proof.factors = append(p.proof.factors, factor{&a.plain, lambda})
		}
		for i := range a.bands {
			b := &a.bands[i]
			f := 0.0
			switch st, _ := b.state(); st {
			case short:
				f = lambda
			case above:
				f = -lambda
			case open:
				f = min(max(b.y, -lambda), lambda)
			}
			take(b, f, mark(b.Low), mark(b.High))
		}
	}
	if goal > 0 {
		aim(s.goal, goal)
	}
	for _, a := range s.aims {
		if a.y > 0 {
			aim(a, a.y)
			add(-a.y * float64(a.most))
		}
	}
	for _, f := range p.proof.factors {
		add(f.y * float64(f.r.base))
	}
	return &p.proof
}

// cut evaluates a proof, for certain, within domains: ok is false where nothing
// is left of them, and choices that cannot lead to anything are cut off.
func (s *search) cut(ds []domain, by *proof) (more, ok bool) {
	if len(by.factors) == 0 {
		return false, true
	}
	sum, size := by.constant, by.size
	if by.goal > 0 {
		sum -= by.goal * float64(s.goal.most)
		size += by.goal * math.Abs(float64(s.goal.most))
	}
	// What remains is the constant and for each feed the least it adds; over 0 means
	// that nothing better is left.
	s.least = grow(s.least, len(ds))
	least := s.least
	widest := 0
	for _, d := range ds {
		widest = max(widest, d.hi-d.lo+1)
	}
	s.q = grow(s.q, widest*len(ds))
	for j, d := range ds {
		q := s.q[j*widest : j*widest+d.hi-d.lo+1]
		worst := 0.0
		first, rise := 0.0, 0.0 // of the rows that are straight lines
		for _, f := range by.factors {
			if f.r.shapes[j] == nothing {
				continue
			}
			adds := f.r.Adds[j][d.lo : d.hi+1]
			worst += math.Abs(f.y) * max(math.Abs(float64(adds[0])), math.Abs(float64(adds[len(adds)-1])), f.r.size(j))
			if f.r.even[j] {
				first += f.y * float64(adds[0])
				rise += f.y * float64(f.r.Adds[j][1]-f.r.Adds[j][0])
				continue
			}
			for v := range q {
				q[v] += f.y * float64(adds[v])
			}
		}
		size += 3 * worst // a line's rise is at most twice its ends
		for v := range q {
			q[v] += first + rise*float64(v)
		}
		least[j] = q[0]
		for _, v := range q {
			least[j] = min(least[j], v)
		}
		sum += least[j]
	}
	// Rounding: every product and sum is off by at most 2^-53 of its size; there
	// are fewer than terms of them in a row.
	terms := float64(len(by.factors)*4 + len(ds) + 16)
	off := size * terms * 0x1p-52
	if math.IsNaN(sum) || math.IsInf(sum, 0) || math.IsNaN(off) || math.IsInf(off, 0) {
		return false, true
	}
	if sum > off {
		return false, false
	}
	for j := range ds {
		d := &ds[j]
		if d.single() {
			continue
		}
		q := s.q[j*widest:]
		rest, first := sum-least[j], d.lo
		for d.lo < d.hi && rest+q[d.lo-first] > off {
			d.lo++
			more = true
		}
		for d.hi > d.lo && rest+q[d.hi-first] > off {
			d.hi--
			more = true
		}
	}
	return more, true
}

// size is the largest a feed adds, either way.
func (r *row) size(j int) float64 {
	if r.shapes[j] != other {
		return 0 // its ends are the largest
	}
	big := 0.0
	for _, v := range r.Adds[j] {
		big = max(big, math.Abs(float64(v)))
	}
	return big
}
