package choose

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// thousands checks a property over some two thousand cases, twenty times what
// rapid takes by itself.
func thousands(t *testing.T, prop func(*rapid.T)) {
	for range 20 {
		rapid.Check(t, prop)
	}
}

// everyRation goes through all rations of a model.
func everyRation(m Model, see func(choice []int)) {
	choice := make([]int, len(m.Feeds))
	for {
		see(choice)
		j := 0
		for ; j < len(choice); j++ {
			if choice[j]++; choice[j] < m.Feeds[j].Choices {
				break
			}
			choice[j] = 0
		}
		if j == len(choice) {
			return
		}
	}
}

func keeps(m Model, choice []int) bool {
	return !slices.ContainsFunc(m.Limits, func(l Limit) bool { return l.Outside(choice) > 0 })
}

func values(m Model, choice []int) []int64 {
	var out []int64
	for _, g := range m.Goals {
		out = append(out, g.Value(choice))
	}
	return out
}

// byName is the choice with the feeds in the order of their names.
func byName(m Model, choice []int) []int {
	_, place := m.sorted()
	out := make([]int, len(place))
	for k, i := range place {
		out[k] = choice[i]
	}
	return out
}

// bruteForce is the best ration by looking at all of them; nil: none keeps the
// limits.
func bruteForce(m Model) (best []int) {
	var bestValues []int64
	everyRation(m, func(choice []int) {
		if !keeps(m, choice) {
			return
		}
		v := values(m, choice)
		c := slices.Compare(v, bestValues)
		if best == nil || c < 0 || c == 0 && slices.Compare(byName(m, choice), byName(m, best)) < 0 {
			best, bestValues = slices.Clone(choice), v
		}
	})
	return best
}

// anySum draws a sum with lines, steps and holes.
func anySum(t *rapid.T, feeds []Feed, label string) Sum {
	s := Sum{Const: rapid.Int64Range(-20, 20).Draw(t, label+" constant"), Adds: make([][]int64, len(feeds))}
	for j, f := range feeds {
		kind := rapid.IntRange(0, 5).Draw(t, label+" kind")
		if kind == 0 {
			continue
		}
		adds := make([]int64, f.Choices)
		slope := rapid.Int64Range(-9, 9).Draw(t, label+" slope")
		base := rapid.Int64Range(-5, 5).Draw(t, label+" base")
		step := rapid.IntRange(0, f.Choices-1).Draw(t, label+" step at")
		for v := range adds {
			switch kind {
			case 1, 2:
				adds[v] = slope * int64(v)
			case 3: // there at all, or from a mark on
				if v > step {
					adds[v] = slope
				}
			case 4: // other than now
				if v != step {
					adds[v] = 1
				}
			case 5:
				adds[v] = base + rapid.Int64Range(-9, 9).Draw(t, label+" value")
			}
		}
		s.Adds[j] = adds
	}
	return s
}

func anyMarks(t *rapid.T, label string) (low, high int64) {
	low, high = NoLow, NoHigh
	k := rapid.IntRange(0, 2).Draw(t, label+" marks")
	if k != 0 {
		low = rapid.Int64Range(-40, 60).Draw(t, label+" low")
	}
	if k != 1 {
		high = rapid.Int64Range(-20, 90).Draw(t, label+" high")
		if k == 2 {
			high = low + rapid.Int64Range(0, 30).Draw(t, label+" width")
		}
	}
	return low, high
}

// anyModel draws a small model of any kind.
func anyModel(t *rapid.T) Model {
	var m Model
	for j := range rapid.IntRange(1, 4).Draw(t, "feeds") {
		m.Feeds = append(m.Feeds, Feed{string(rune('e' - j)), rapid.IntRange(1, 7).Draw(t, "choices")})
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "limits") {
		l := Limit{Name: string(rune('A' + i))}
		for range rapid.IntRange(1, 2).Draw(t, "rows") {
			low, high := anyMarks(t, "limit")
			l.Rows = append(l.Rows, Row{anySum(t, m.Feeds, "limit"), low, high})
		}
		m.Limits = append(m.Limits, l)
	}
	for i := range rapid.IntRange(0, 5).Draw(t, "goals") {
		g := Goal{Name: string(rune('a' + i)), Grain: rapid.SampledFrom([]int64{0, 1, 1, 3, 10}).Draw(t, "grain")}
		if rapid.Bool().Draw(t, "plain") {
			g.Sum = anySum(t, m.Feeds, "goal")
		}
		for range rapid.IntRange(0, 3).Draw(t, "bands") {
			low, high := anyMarks(t, "band")
			g.Bands = append(g.Bands, Row{anySum(t, m.Feeds, "band"), low, high})
		}
		m.Goals = append(m.Goals, g)
	}
	return m
}

func answer(t interface{ Fatal(...any) }, m Model) Answer {
	a, err := Solve(m)
	if err != nil {
		t.Fatal(err)
	}
	if !a.Proven {
		t.Fatal("not proven")
	}
	return a
}

func TestTheChoiceIsTheBestOfAllRations(t *testing.T) {
	thousands(t, func(t *rapid.T) {
		m := anyModel(t)
		want, got := bruteForce(m), answer(t, m)
		if want == nil {
			if got.Clash == nil {
				t.Fatalf("no ration keeps the limits, yet %v is given", got.Choice)
			}
			return
		}
		if got.Clash != nil {
			t.Fatalf("%v keeps every limit, yet they are said to clash: %+v", want, got.Clash)
		}
		if !slices.Equal(got.Choice, want) {
			t.Fatalf("chose %v (%v), the best of all is %v (%v)", got.Choice, values(m, got.Choice), want, values(m, want))
		}
		if v := values(m, want); !slices.Equal(got.Values, v) {
			t.Fatalf("values %v, they are %v", got.Values, v)
		}
		// The goal said to have decided is the first after which one ration is left.
		equal := make([]int, len(m.Goals)+1)
		everyRation(m, func(choice []int) {
			if !keeps(m, choice) {
				return
			}
			v := values(m, choice)
			for k := range m.Goals {
				if slices.Equal(v[:k+1], got.Values[:k+1]) {
					equal[k]++
				}
			}
		})
		for k := range m.Goals {
			if one := equal[k] == 1; one != (got.Decided <= k) {
				t.Fatalf("after goal %d there are %d rations left; decided by %d", k, equal[k], got.Decided)
			}
		}
	})
}

func TestAClashIsSmallestAndTheRationBreaksTheLeastImportantLeast(t *testing.T) {
	clashes := 0
	thousands(t, func(t *rapid.T) {
		m := anyModel(t)
		got := answer(t, m)
		if got.Clash == nil {
			return
		}
		clashes++
		feasible := func(which []int) bool {
			ok := false
			everyRation(m, func(choice []int) {
				ok = ok || !slices.ContainsFunc(which, func(i int) bool { return m.Limits[i].Outside(choice) > 0 })
			})
			return ok
		}
		if feasible(got.Clash.Limits) {
			t.Fatalf("limits %v can be kept together", got.Clash.Limits)
		}
		if !got.Clash.Smallest {
			t.Fatal("with four limits the smallest set is found")
		}
		for set := range 1 << len(m.Limits) {
			var which []int
			for i := range m.Limits {
				if set&(1<<i) != 0 {
					which = append(which, i)
				}
			}
			if len(which) < len(got.Clash.Limits) && !feasible(which) {
				t.Fatalf("%v clash already, said: %v", which, got.Clash.Limits)
			}
		}
		// Limits that are not given up are kept; those given up are broken least,
		// the more important first; only then do the goals count.
		key := func(choice []int) []int64 {
			var k []int64
			for n := len(got.Clash.Broken) - 1; n >= 0; n-- {
				k = append(k, m.Limits[got.Clash.Broken[n]].Outside(choice))
			}
			return append(k, values(m, choice)...)
		}
		given := func(i int) bool { return slices.Contains(got.Clash.Broken, i) }
		var best []int
		everyRation(m, func(choice []int) {
			for i, l := range m.Limits {
				if !given(i) && l.Outside(choice) > 0 {
					return
				}
			}
			c := 0
			if best != nil {
				c = slices.Compare(key(choice), key(best))
			}
			if best == nil || c < 0 || c == 0 && slices.Compare(byName(m, choice), byName(m, best)) < 0 {
				best = slices.Clone(choice)
			}
		})
		if !slices.Equal(best, got.Choice) {
			t.Fatalf("chose %v, the best is %v; given up %v", got.Choice, best, got.Clash.Broken)
		}
		for n, i := range got.Clash.Broken {
			if got.Clash.By[n] != m.Limits[i].Outside(got.Choice) {
				t.Fatalf("limit %d is broken by %d, said %d", i, m.Limits[i].Outside(got.Choice), got.Clash.By[n])
			}
		}
		// The first given up is the least important of the clash.
		if last := got.Clash.Limits[len(got.Clash.Limits)-1]; !given(last) {
			t.Fatalf("limit %d of the clash %v is not given up: %v", last, got.Clash.Limits, got.Clash.Broken)
		}
	})
	if clashes == 0 {
		t.Error("no model clashed: nothing was tested")
	}
}

func TestTheOrderOfFeedsDoesNotMatter(t *testing.T) {
	thousands(t, func(t *rapid.T) {
		m := anyModel(t)
		place := rapid.Permutation(func() []int {
			p := make([]int, len(m.Feeds))
			for i := range p {
				p[i] = i
			}
			return p
		}()).Draw(t, "order")
		sum := func(s Sum) Sum {
			out := Sum{Const: s.Const}
			for _, i := range place {
				if len(s.Adds) > 0 {
					out.Adds = append(out.Adds, s.Adds[i])
				}
			}
			return out
		}
		rows := func(rs []Row) (out []Row) {
			for _, r := range rs {
				out = append(out, Row{sum(r.Sum), r.Low, r.High})
			}
			return out
		}
		var turned Model
		for _, i := range place {
			turned.Feeds = append(turned.Feeds, m.Feeds[i])
		}
		for _, l := range m.Limits {
			turned.Limits = append(turned.Limits, Limit{l.Name, rows(l.Rows)})
		}
		for _, g := range m.Goals {
			turned.Goals = append(turned.Goals, Goal{g.Name, sum(g.Sum), rows(g.Bands), g.Grain})
		}
		a, b := answer(t, m), answer(t, turned)
		for k, i := range place {
			if a.Choice[i] != b.Choice[k] {
				t.Fatalf("%v, and with the feeds in order %v: %v", a.Choice, place, b.Choice)
			}
		}
		again := answer(t, m)
		if !slices.Equal(a.Choice, again.Choice) || a.Nodes != again.Nodes {
			t.Fatal("the same model gave two answers")
		}
	})
}

func TestTighteningALimitNeverImprovesAGoal(t *testing.T) {
	thousands(t, func(t *rapid.T) {
		m := anyModel(t)
		if len(m.Limits) == 0 {
			return
		}
		a := answer(t, m)
		if a.Clash != nil {
			return
		}
		r := &m.Limits[0].Rows[0]
		by := rapid.Int64Range(0, 10).Draw(t, "tightened by")
		if r.Low != NoLow {
			r.Low += by
		}
		if r.High != NoHigh {
			r.High -= by
		}
		if r.Low != NoLow && r.High != NoHigh && r.Low > r.High {
			return // nothing is left between them
		}
		if b := answer(t, m); b.Clash == nil && slices.Compare(b.Values, a.Values) < 0 {
			t.Fatalf("%v before, %v after", a.Values, b.Values)
		}
	})
}
