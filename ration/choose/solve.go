package choose

import (
	"slices"
)

// Answer is the best ration of a model.
type Answer struct {
	Choice []int // by feed, as the model has them
	// Values are the goals' in grains, each proven the least there is among the
	// rations that are best by all goals before it.
	Values []int64
	// Decided is the first goal after which only this ration was left; the number
	// of goals where a tie was broken by name.
	Decided int
	// Proven is false only where the search was ended at [MostNodes]: the ration
	// keeps every limit, but a better one may exist.
	Proven bool
	Nodes  int // of the search, all goals
	// Clash is nil where every limit is kept. Otherwise no ration keeps them all,
	// and Choice is the one that breaks the least important ones least.
	Clash *Clash
}

// Clash is a set of limits no ration can keep together.
type Clash struct {
	Limits []int // in the model's order; without any one of them the others can be kept together
	// Smallest says that no smaller set of the limits clashes; false: only that
	// none can be left out of this one.
	Smallest bool
	Broken   []int // the limits given up, the least important first
	By       []int64
}

// MostNodes is where a search for one goal is ended. Rations of a yard take
// tens to a few thousand.
const MostNodes = 1 << 20

// Solve finds the best ration. Where several are equal by every goal it is the
// one with the least of the feed first by name, then of the second, and so on.
// The error is for a malformed model, see [Model.Check]; one without any ration
// that keeps its limits is not an error but an answer with a clash.
func Solve(m Model) (Answer, error) { return best(m, true) }

// SolveWithin is [Solve] without a look for what clashes: a model without any
// ration that keeps its limits has an answer without a Choice.
func SolveWithin(m Model) (Answer, error) { return best(m, false) }

func best(m Model, mayClash bool) (Answer, error) {
	if err := m.Check(); err != nil {
		return Answer{}, err
	}
	sorted, place := m.sorted()
	a := solve(sorted)
	if a.Choice == nil && a.Proven && mayClash {
		a = relax(sorted, a.Nodes)
	}
	if a.Choice != nil {
		choice := make([]int, len(place))
		for k, i := range place {
			choice[i] = a.Choice[k]
		}
		a.Choice = choice
	}
	return a, nil
}

func newSearch(m Model, limits []Limit) (*search, []domain) {
	s := &search{feeds: m.Feeds, limit: MostNodes, aims: make([]*aim, 0, len(m.Goals)+len(m.Feeds)+1)}
	rows := 0
	for _, l := range limits {
		rows += len(l.Rows)
	}
	s.rows = make([]row, 0, rows)
	for _, l := range limits {
		for _, r := range l.Rows {
			s.rows = append(s.rows, newRow(r, len(m.Feeds)))
		}
	}
	ds := make([]domain, len(m.Feeds))
	for j, f := range m.Feeds {
		ds[j].hi = f.Choices - 1
	}
	return s, ds
}

// solve takes the goals in order. Choice is nil where no ration keeps every
// limit.
func solve(m Model) Answer {
	s, ds := newSearch(m, m.Limits)
	a := Answer{Decided: len(m.Goals), Proven: true}
	if len(m.Goals) == 0 && !s.any(ds) {
		a.Nodes, a.Proven = s.nodes, !s.gaveUp
		return a
	}
	// only says whether the best is all there is left, once a goal is settled.
	only := false
	stage := func(g *aim) bool {
		s.limit = s.nodes + MostNodes
		s.goal = g
		s.rank()
		s.run(ds)
		a.Proven = a.Proven && !s.gaveUp
		if s.best == nil {
			s.goal = nil
			return false
		}
		only = s.equal == nil && !s.gaveUp
		g.most = grains(g.raw(s.best), g.grain) * g.grain
		if len(g.bands) == 0 && !s.gaveUp {
			g.plain.Low = g.most - g.grain + 1 // proven
		}
		if !only {
			s.narrow(ds)
			if g.plain.Low == g.most {
				g.ways = g.plain.waysTo(g.most, ds)
			}
		}
		s.goal = nil
		s.aims = append(s.aims, g)
		return true
	}
	for k, goal := range m.Goals {
		if !stage(newAim(goal, len(m.Feeds))) {
			a.Nodes = s.nodes
			return a
		}
		if only {
			a.Decided = k
			break
		}
	}
	for j := 0; j < len(m.Feeds) && !only; j++ {
		if !ds[j].single() {
			stage(newAim(Goal{Sum: place(j, m.Feeds)}, len(m.Feeds)))
		}
	}
	for _, goal := range m.Goals {
		a.Values = append(a.Values, goal.Value(s.best))
	}
	a.Choice, a.Nodes = s.best, s.nodes
	return a
}

// narrow cuts off what cannot be as good as the best by the goal just settled,
// and drops rows that nothing left can break.
func (s *search) narrow(ds []domain) {
	s.fixed = true
	for more := true; more && s.propagate(ds); {
		more, _ = s.cut(ds, s.bound(ds, 0, false))
	}
	s.fixed = false
	idle := func(r row) bool {
		least, most := r.ends(ds)
		return (r.Low == NoLow || least >= r.Low) && (r.High == NoHigh || most <= r.High)
	}
	s.rows = slices.DeleteFunc(s.rows, idle)
	for _, a := range append(s.aims, s.goal) {
		a.bands = slices.DeleteFunc(a.bands, idle)
	}
}

// place is the number of one feed's choice, for breaking ties.
func place(j int, feeds []Feed) Sum {
	adds := make([][]int64, len(feeds))
	adds[j] = make([]int64, feeds[j].Choices)
	for v := range adds[j] {
		adds[j][v] = int64(v)
	}
	return Sum{Adds: adds}
}

// any finds any ration that keeps the limits.
func (s *search) any(ds []domain) bool {
	s.anyone, s.limit = true, s.nodes+MostNodes
	s.run(ds)
	s.anyone = false
	return s.best != nil
}

// relax finds which limits clash and the ration that breaks the least important
// of them least.
func relax(m Model, nodes int) Answer {
	all := make([]int, len(m.Limits))
	for i := range all {
		all[i] = i
	}
	clash := &Clash{}
	proven := true
	feasible := func(which []int) bool {
		limits := make([]Limit, len(which))
		for k, i := range which {
			limits[k] = m.Limits[i]
		}
		s, ds := newSearch(m, limits)
		ok := s.any(ds)
		nodes += s.nodes
		proven = proven && !s.gaveUp
		return ok || s.gaveUp // given up: not known to clash
	}
	clash.Limits = irreducible(all, feasible)
	clash.Limits, clash.Smallest = smaller(all, clash.Limits, feasible)

	// Give up the least important limit of a clash until what is left can be kept.
	left, next := all, clash.Limits
	for {
		worst := next[len(next)-1]
		left = slices.DeleteFunc(slices.Clone(left), func(i int) bool { return i == worst })
		clash.Broken = append(clash.Broken, worst)
		if len(left) == 0 || feasible(left) {
			break
		}
		next = irreducible(left, feasible)
	}
	eased := Model{Feeds: m.Feeds}
	for _, i := range left {
		eased.Limits = append(eased.Limits, m.Limits[i])
	}
	// The more important of those given up is broken least.
	slices.Sort(clash.Broken)
	for _, i := range clash.Broken {
		eased.Goals = append(eased.Goals, Goal{Name: m.Limits[i].Name, Bands: m.Limits[i].Rows})
	}
	eased.Goals = append(eased.Goals, m.Goals...)
	a := solve(eased)
	given := len(clash.Broken)
	if a.Choice != nil {
		clash.By, a.Values = slices.Clone(a.Values[:given]), a.Values[given:]
		slices.Reverse(clash.By)
	}
	slices.Reverse(clash.Broken)
	a.Clash, a.Nodes = clash, a.Nodes+nodes
	a.Proven = a.Proven && proven
	a.Decided = max(0, a.Decided-given)
	return a
}

// irreducible drops limits one by one, the least important last, as long as the
// rest still clash.
func irreducible(from []int, feasible func([]int) bool) []int {
	set := slices.Clone(from)
	for k := 0; k < len(set); {
		without := slices.Delete(slices.Clone(set), k, k+1)
		if feasible(without) {
			k++
		} else {
			set = without
		}
	}
	return set
}

// mostSubsets is how many smaller sets of limits are tried at most.
const mostSubsets = 4000

// smaller looks for a set that clashes with fewer limits than the one known, the
// smallest first.
func smaller(all, known []int, feasible func([]int) bool) (set []int, smallest bool) {
	tried := 0
	for size := 0; size < len(known); size++ {
		pick := make([]int, size)
		for i := range pick {
			pick[i] = i
		}
		for more := true; more; more = nextPick(pick, len(all)) {
			if tried++; tried > mostSubsets {
				return known, false
			}
			set := make([]int, size)
			for k, i := range pick {
				set[k] = all[i]
			}
			if !feasible(set) {
				return set, true
			}
		}
	}
	return known, true
}

// nextPick is the next way to pick len(pick) of n, in order; false after the last.
func nextPick(pick []int, n int) bool {
	for i := len(pick) - 1; i >= 0; i-- {
		if pick[i] < n-len(pick)+i {
			pick[i]++
			for k := i + 1; k < len(pick); k++ {
				pick[k] = pick[k-1] + 1
			}
			return true
		}
	}
	return false
}
