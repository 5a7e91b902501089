package choose

import "slices"

// How what a feed adds to a sum goes with its amount.
type shape uint8

const (
	nothing shape = iota // adds the same (or nothing) at every choice
	rising               // never less at a larger choice
	falling              // never more at a larger choice
	other
)

// row is a Row made ready for the search.
type row struct {
	Row
	shapes   []shape
	even     []bool // adds the same for each further choice: a straight line
	feeds    []int  // those whose shape is not nothing
	base     int64  // Const, and what feeds of no shape add
	of       feedSet
	min, max int64   // ends over the domains propagate last looked at
	widest   int64   // the most one feed changes it within the domains searched
	col      int     // of a band's slack in the linear program last built
	y        float64 // a band's multiplier
}

func newRow(r Row, feeds int) row {
	out := row{Row: r, shapes: make([]shape, feeds), even: make([]bool, feeds), base: r.Const}
	for j, adds := range r.Adds {
		if adds == nil {
			continue
		}
		up, down, even := false, false, true
		for v := 1; v < len(adds); v++ {
			up = up || adds[v] > adds[v-1]
			down = down || adds[v] < adds[v-1]
			even = even && adds[v]-adds[v-1] == adds[1]-adds[0]
		}
		out.even[j] = even
		switch {
		case up && down:
			out.shapes[j] = other
		case up:
			out.shapes[j] = rising
		case down:
			out.shapes[j] = falling
		default:
			out.base += adds[0]
			continue
		}
		out.feeds = append(out.feeds, j)
		out.of |= setOf(j)
	}
	return out
}

// feedSet holds feeds; those 64 apart count as one, which costs time only.
type feedSet uint64

func setOf(j int) feedSet { return 1 << (j % 64) }

// part is the least and the most one feed adds within its domain.
func (r *row) part(j int, d domain) (least, most int64) {
	adds := r.Adds[j]
	switch r.shapes[j] {
	case rising:
		return adds[d.lo], adds[d.hi]
	case falling:
		return adds[d.hi], adds[d.lo]
	}
	least, most = adds[d.lo], adds[d.lo]
	for _, v := range adds[d.lo+1 : d.hi+1] {
		least, most = min(least, v), max(most, v)
	}
	return least, most
}

// ends is the least and the most the whole sum can be.
func (r *row) ends(ds []domain) (least, most int64) {
	least, most = r.base, r.base
	for _, j := range r.feeds {
		a, b := r.part(j, ds[j])
		least += a
		most += b
	}
	return least, most
}

// domain is the choices still open to a feed, both ends included.
type domain struct{ lo, hi int }

func (d domain) single() bool { return d.lo == d.hi }

// aim is a goal made ready: its plain sum and its bands, and the most its raw
// value may come to (NoHigh: not limited yet).
type aim struct {
	plain row
	bands []row
	of    feedSet
	grain int64
	most  int64
	y     float64 // the multiplier of its total
	ways  []int   // of plain to most, once that is settled; nil: not listed
}

func newAim(g Goal, feeds int) *aim {
	a := &aim{plain: newRow(Row{g.Sum, NoLow, NoHigh}, feeds), grain: max(1, g.Grain), most: NoHigh}
	a.of = a.plain.of
	a.bands = make([]row, 0, len(g.Bands))
	for _, b := range g.Bands {
		r := newRow(b, feeds)
		a.bands = append(a.bands, r)
		a.of |= r.of
	}
	return a
}

// raw is the goal's value at single domains, not yet in grains.
func (a *aim) raw(choice []int) int64 {
	v := a.plain.Of(choice)
	for i := range a.bands {
		v += a.bands[i].Outside(choice)
	}
	return v
}

// search is one model being searched. rows and aims may be given up and set
// between searches; the buffers are kept.
type search struct {
	feeds []Feed
	rows  []row
	aims  []*aim // held goals, those with most set
	goal  *aim   // the one made least; nil: any ration will do

	best     []int // the best found, nil none
	equal    []int // another that is as good by the held goals and the one made least; nil: none found
	anyone   bool  // stop at the first found
	fixed    bool  // leave the best alone
	nodes    int
	limit    int // nodes at most; 0 none
	gaveUp   bool
	lp       *program   // the last solved
	programs []*program // by depth
	q, least []float64  // of a proof: by feed and choice, by feed
	x, y     []float64  // of a program: by column, by row
	place    []int      // of a program's columns, by feed
	slacks   []slack
	stack    [][]domain // by depth
	feasible []int
	in       [][]*row // by feed: the rows it has a shape in
	at       []domain // those the rows' ends are of
}

// run searches the domains and leaves the best in s.best.
func (s *search) run(ds []domain) {
	s.gaveUp = false
	s.index(ds)
	s.branch(s.level(0, ds), 0)
}

// index lists the rows by feed and takes all their ends.
func (s *search) index(ds []domain) {
	s.at = append(s.at[:0], ds...)
	if s.in == nil {
		s.in = make([][]*row, len(ds))
	}
	for j := range s.in {
		s.in[j] = s.in[j][:0]
	}
	add := func(r *row) {
		r.min, r.max, r.widest = r.base, r.base, 0
		for _, j := range r.feeds {
			a, b := r.part(j, ds[j])
			r.min += a
			r.max += b
			r.widest = max(r.widest, b-a)
			s.in[j] = append(s.in[j], r)
		}
	}
	for i := range s.rows {
		add(&s.rows[i])
	}
	for _, a := range append(s.aims, s.goal) {
		if a == nil {
			continue
		}
		add(&a.plain)
		for i := range a.bands {
			add(&a.bands[i])
		}
	}
}

// follow moves the rows' ends on to other domains.
func (s *search) follow(ds []domain) {
	for j, d := range ds {
		was := s.at[j]
		if d == was {
			continue
		}
		for _, r := range s.in[j] {
			a, b := r.part(j, was)
			a2, b2 := r.part(j, d)
			r.min += a2 - a
			r.max += b2 - b
		}
		s.at[j] = d
	}
}

func (s *search) done() bool { return s.anyone && s.best != nil || s.gaveUp }

// level is the domains' buffer at a depth.
func (s *search) level(depth int, from []domain) []domain {
	for len(s.stack) <= depth {
		s.stack = append(s.stack, make([]domain, len(s.feeds)))
	}
	copy(s.stack[depth], from)
	return s.stack[depth]
}

func (s *search) branch(ds []domain, depth int) {
	s.nodes++
	if s.limit > 0 && s.nodes > s.limit {
		s.gaveUp = true
		return
	}
	// What bounded the domains this is a part of may do for it; a program of its
	// own is solved where that leaves something, and again only where the place it
	// found was cut off.
	var by *proof
	if depth > 0 {
		by = &s.programs[depth-1].proof
	}
	for solved := false; ; {
		if !s.propagate(ds) {
			return
		}
		if settled(ds) {
			s.take(ds)
			return
		}
		if by != nil {
			more, ok := s.cut(ds, by)
			if !ok {
				return
			}
			if more {
				continue
			}
			if solved && s.inside(ds) {
				break
			}
		}
		by = s.bound(ds, depth, solved)
		solved = true
		if s.done() {
			return
		}
	}
	j, at := s.split(ds)
	left, right := ds[j], ds[j]
	left.hi, right.lo = at, at+1
	first, second := left, right
	if s.lp.near[j] > float64(at)+0.5 {
		first, second = right, left
	}
	for _, d := range [2]domain{first, second} {
		child := s.level(depth+1, ds)
		child[j] = d
		s.branch(child, depth+1)
		if s.done() {
			return
		}
	}
}

// inside says whether the place the program found is in the domains.
func (s *search) inside(ds []domain) bool {
	for j, d := range ds {
		if x := s.lp.near[j]; x < float64(d.lo) || x > float64(d.hi) {
			return false
		}
	}
	return true
}

func settled(ds []domain) bool {
	for _, d := range ds {
		if !d.single() {
			return false
		}
	}
	return true
}

// take keeps a ration at which every feed is settled and every limit was found
// kept by propagate.
func (s *search) take(ds []domain) {
	choice := make([]int, len(ds))
	for j, d := range ds {
		choice[j] = d.lo
	}
	s.keep(choice)
}

// keep takes a ration other than the best and at least as good.
func (s *search) keep(choice []int) {
	if s.best != nil && slices.Equal(choice, s.best) {
		return
	}
	s.equal, s.best = s.best, choice
	s.rank()
}

// rank puts the better of the two known rations first, forgets the other unless
// it is as good, and sets what a further one must come to: one as good where
// none is known yet, for that shows that the goal does not decide, else a better.
func (s *search) rank() {
	g := s.goal
	if g == nil || s.best == nil {
		return
	}
	least := grains(g.raw(s.best), g.grain)
	if s.equal != nil {
		other := grains(g.raw(s.equal), g.grain)
		if other < least {
			s.best, s.equal = s.equal, s.best
		}
		if other != least {
			s.equal = nil
		}
		least = min(least, other)
	}
	if s.equal != nil {
		least--
	}
	g.most = least * g.grain
}

// try keeps a choice if it keeps every limit and every held goal and is better
// than the best.
func (s *search) try(choice []int) {
	if s.fixed {
		return
	}
	for i := range s.rows {
		if s.rows[i].Outside(choice) > 0 {
			return
		}
	}
	for _, a := range s.aims {
		if a.raw(choice) > a.most {
			return
		}
	}
	if s.goal != nil && s.goal.most != NoHigh && s.goal.raw(choice) > s.goal.most {
		return
	}
	s.keep(slices.Clone(choice))
}

// propagate narrows the domains to what the limits, the held goals and the best
// found leave open; false: nothing is left. A row is looked at again only where
// a domain it depends on was narrowed.
func (s *search) propagate(ds []domain) bool {
	before, now := ^feedSet(0), feedSet(0) // narrowed in the last round and in this one
	s.follow(ds)
	for before != 0 {
		for i := range s.rows {
			r := &s.rows[i]
			if before != ^feedSet(0) && r.of&(before|now) == 0 {
				continue
			}
			ok, c := r.tighten(r.Low, r.High, ds)
			if !ok {
				return false
			}
			if c != 0 {
				s.follow(ds)
				now |= c
			}
		}
		for i := range len(s.aims) + 1 {
			a := s.goal
			if i < len(s.aims) {
				a = s.aims[i]
			}
			if a == nil || before != ^feedSet(0) && a.of&(before|now) == 0 {
				continue
			}
			ok, c := a.tighten(ds)
			if !ok {
				return false
			}
			if c != 0 {
				s.follow(ds)
				now |= c
			}
		}
		before, now = now, 0
	}
	return true
}

// tighten narrows the domains to those a row leaves open between two marks. Its
// ends are known, or wider than they are.
func (r *row) tighten(low, high int64, ds []domain) (ok bool, narrowed feedSet) {
	least, most := r.min, r.max
	if high != NoHigh && least > high || low != NoLow && most < low {
		return false, 0
	}
	// Where one feed's whole range fits, nothing is cut off.
	needHigh := high != NoHigh && most > high && r.widest > high-least
	needLow := low != NoLow && least < low && r.widest > most-low
	if !needHigh && !needLow {
		return true, 0
	}
	for _, j := range r.feeds {
		d := &ds[j]
		if d.single() {
			continue
		}
		a, b := r.part(j, *d)
		if (!needHigh || b-a <= high-least) && (!needLow || b-a <= most-low) {
			continue // every choice fits
		}
		adds := r.Adds[j]
		fits := func(v int64) bool {
			return (!needHigh || v <= high-(least-a)) && (!needLow || v >= low-(most-b))
		}
		was := *d
		for d.lo <= d.hi && !fits(adds[d.lo]) {
			d.lo++
		}
		for d.hi > d.lo && !fits(adds[d.hi]) {
			d.hi--
		}
		if d.lo > d.hi {
			return false, 0
		}
		if *d != was {
			narrowed |= setOf(j)
			a2, b2 := r.part(j, *d)
			least += a2 - a
			most += b2 - b
		}
	}
	return true, narrowed
}

// tighten narrows the domains to those that keep the goal at or under its most.
func (a *aim) tighten(ds []domain) (ok bool, narrowed feedSet) {
	total := a.plain.min
	for i := range a.bands {
		total += a.bands[i].least()
	}
	if a.most == NoHigh {
		return true, 0
	}
	room := a.most - total
	if room < 0 {
		return false, 0
	}
	if ok, narrowed = a.plain.tighten(a.plain.Low, a.plain.min+room, ds); !ok {
		return false, 0
	}
	for i := range a.bands {
		b := &a.bands[i]
		allowed := b.least() + room
		low, high := b.Low, b.High
		if low != NoLow {
			low -= allowed
		}
		if high != NoHigh {
			high += allowed
		}
		ok, c := b.tighten(low, high, ds)
		if !ok {
			return false, 0
		}
		narrowed |= c
	}
	if a.ways != nil {
		ok, c := tightenTo(a.ways, a.plain.feeds, ds)
		return ok, narrowed | c
	}
	return true, narrowed
}

// least is the least the row can lie outside its marks, by its ends.
func (r *row) least() int64 {
	switch {
	case r.Low != NoLow && r.max < r.Low:
		return r.Low - r.max
	case r.High != NoHigh && r.min > r.High:
		return r.min - r.High
	}
	return 0
}

// split chooses the feed to part and the last choice of its lower part. Steps in
// a goal come first, those of the first goal before others (a feed there or not, changed or not), because no straight
// line bounds them well; then the weightiest feed that lies on no whole choice (how
// far from one says little: choosing by that alone took many times the nodes); then
// the widest.
func (s *search) split(ds []domain) (feed, at int) {
	for _, a := range append(s.aims, s.goal) {
		if a == nil {
			continue
		}
		if j, v, ok := s.kink(&a.plain, ds); ok {
			return j, v
		}
	}
	best, most := -1, 0.0
	for j, d := range ds {
		if d.single() {
			continue
		}
		x := s.lp.near[j]
		low := float64(int(x))
		if w := s.lp.weight[j]; min(x-low, low+1-x) > 0.001 && w > most {
			best, most = j, w
		}
	}
	if best >= 0 {
		return best, min(max(int(s.lp.near[best]), ds[best].lo), ds[best].hi-1)
	}
	for j, d := range ds {
		if best < 0 || d.hi-d.lo > ds[best].hi-ds[best].lo {
			best = j
		}
	}
	d := ds[best]
	// Cut the whole choice it lies on off, from the far side first.
	at = int(s.lp.near[best] + 0.5)
	if at >= d.hi {
		at = d.hi - 1
	}
	return best, max(at, d.lo)
}

// kink finds the feed with the weightiest step over what is open, and the choice
// before that step.
func (s *search) kink(r *row, ds []domain) (feed, at int, ok bool) {
	worst := -1.0
	for _, j := range r.feeds {
		if v, by, is := r.step(j, ds[j]); is {
			if w := float64(by) * s.lp.weight[j]; w > worst {
				feed, at, worst, ok = j, v, w, true
			}
		}
	}
	return feed, at, ok
}

// step finds a feed's step of over half of all it adds over a domain, and the
// choice before it.
func (r *row) step(j int, d domain) (at int, by int64, ok bool) {
	if d.hi-d.lo < 2 || r.even[j] { // two choices lie on a line
		return 0, 0, false
	}
	adds := r.Adds[j]
	least, most := adds[d.lo], adds[d.lo]
	at, by = d.lo, -1
	for v := d.lo; v < d.hi; v++ {
		least, most = min(least, adds[v+1]), max(most, adds[v+1])
		if up := adds[v+1] - adds[v]; max(up, -up) > by {
			at, by = v, max(up, -up)
		}
	}
	return at, by, by*2 > most-least
}
