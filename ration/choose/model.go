package choose

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Model is one ration to choose.
type Model struct {
	Feeds  []Feed
	Limits []Limit // the most important first
	Goals  []Goal  // in strict order: a later one counts only among equals by all earlier ones
}

// Feed is something that can be dished out in Choices different amounts,
// numbered 0 to Choices−1. Names are different: ties are broken by them.
type Feed struct {
	Name    string
	Choices int
}

// Sum is a constant and what each feed adds at each choice. Adds[feed] is nil
// where the feed adds nothing, else as long as the feed has choices.
type Sum struct {
	Const int64
	Adds  [][]int64
}

// NoLow and NoHigh stand where a sum is not limited on that side.
const (
	NoLow  = math.MinInt64
	NoHigh = math.MaxInt64
)

// Row keeps a sum between two values, both included, the low one not over the high.
type Row struct {
	Sum
	Low, High int64
}

// Limit is what a ration must keep: all its rows. A limit may have several
// (starch in each meal), but it is one in the eyes of whoever reads its name.
type Limit struct {
	Name string
	Rows []Row
}

// Goal is made as small as can be: its sum, and what the sums of its bands lie
// outside their bands, all added. Grain, where over 1, is how finely the
// goal is counted: it is rounded up to whole grains, and rations of equal grains
// are equal.
type Goal struct {
	Name  string
	Sum   Sum
	Bands []Row
	Grain int64
}

// largest is how large a sum may get: whole numbers up to it are exact in
// floating point, and a goal's many sums still fit.
const largest = 1 << 50

// Check says what is wrong with a model: sizes that do not match, a name that
// comes twice, numbers too large to be added exactly.
func (m Model) Check() error {
	names := map[string]bool{}
	for _, f := range m.Feeds {
		if f.Choices < 1 {
			return fmt.Errorf("choose: %q: no amounts", f.Name)
		}
		if names[f.Name] {
			return fmt.Errorf("choose: %q stands twice", f.Name)
		}
		names[f.Name] = true
	}
	for _, l := range m.Limits {
		for _, r := range l.Rows {
			if _, err := m.checkRow(r); err != nil {
				return fmt.Errorf("choose: limit %q: %w", l.Name, err)
			}
		}
	}
	for _, g := range m.Goals {
		most, err := m.checkRow(Row{Sum: g.Sum, Low: NoLow, High: NoHigh})
		for _, b := range g.Bands {
			var one int64
			if err == nil {
				one, err = m.checkRow(b)
			}
			for _, mark := range []int64{b.Low, b.High} {
				if mark != NoLow && mark != NoHigh {
					one += max(mark, -mark)
				}
			}
			most += one // each at most 3 × 2^50: some hundred bands fit
			if err == nil && most > 256*largest {
				err = fmt.Errorf("its bands: too large")
			}
		}
		if err == nil && g.Grain < 0 {
			err = fmt.Errorf("its grain is negative")
		}
		if err != nil {
			return fmt.Errorf("choose: goal %q: %w", g.Name, err)
		}
	}
	return nil
}

// checkRow returns how far from 0 the row's sum can get.
func (m Model) checkRow(r Row) (most int64, err error) {
	if len(r.Adds) != 0 && len(r.Adds) != len(m.Feeds) {
		return 0, fmt.Errorf("feeds: %d, not %d", len(r.Adds), len(m.Feeds))
	}
	for _, mark := range []int64{r.Low, r.High} {
		if mark != NoLow && mark != NoHigh && (mark > largest || mark < -largest) {
			return 0, fmt.Errorf("mark %d: too large", mark)
		}
	}
	if r.Low != NoLow && r.High != NoHigh && r.Low > r.High {
		return 0, fmt.Errorf("low mark %d over %d", r.Low, r.High)
	}
	if most = max(r.Const, -r.Const); most < 0 || most > largest {
		return 0, fmt.Errorf("constant %d: too large", r.Const)
	}
	for j, adds := range r.Adds {
		if adds == nil {
			continue
		}
		if len(adds) != m.Feeds[j].Choices {
			return 0, fmt.Errorf("%q: %d amounts, not %d", m.Feeds[j].Name, m.Feeds[j].Choices, len(adds))
		}
		worst := int64(0)
		for _, v := range adds {
			if v > largest || v < -largest {
				return 0, fmt.Errorf("%q: %d: too large", m.Feeds[j].Name, v)
			}
			worst = max(worst, v, -v)
		}
		if most += worst; most > largest {
			return 0, fmt.Errorf("adds up over %d", int64(largest))
		}
	}
	return most, nil
}

// Of is the sum at a choice of each feed.
func (s Sum) Of(choice []int) int64 {
	v := s.Const
	for j, adds := range s.Adds {
		if adds != nil {
			v += adds[choice[j]]
		}
	}
	return v
}

// Outside is how far the row's sum lies outside its marks at a choice; 0 inside.
func (r Row) Outside(choice []int) int64 {
	return outside(r.Of(choice), r.Low, r.High)
}

func outside(v, low, high int64) int64 {
	switch {
	case low != NoLow && v < low:
		return low - v
	case high != NoHigh && v > high:
		return v - high
	}
	return 0
}

// Outside is how far a limit is broken at a choice, its rows added; 0: kept.
func (l Limit) Outside(choice []int) int64 {
	sum := int64(0)
	for _, r := range l.Rows {
		sum += r.Outside(choice)
	}
	return sum
}

// Value is the goal in whole grains at a choice.
func (g Goal) Value(choice []int) int64 {
	raw := g.Sum.Of(choice)
	for _, b := range g.Bands {
		raw += b.Outside(choice)
	}
	return grains(raw, g.Grain)
}

// grains is raw divided by grain, rounded up.
func grains(raw, grain int64) int64 {
	if grain <= 1 {
		return raw
	}
	q := raw / grain
	if raw%grain > 0 {
		q++
	}
	return q
}

// sorted returns the model with its feeds in the order of their names, and for
// each the place it had.
func (m Model) sorted() (Model, []int) {
	at := make([]int, len(m.Feeds))
	for i := range at {
		at[i] = i
	}
	if slices.IsSortedFunc(m.Feeds, func(a, b Feed) int { return strings.Compare(a.Name, b.Name) }) {
		return m, at
	}
	slices.SortFunc(at, func(a, b int) int {
		if m.Feeds[a].Name < m.Feeds[b].Name {
			return -1
		}
		return 1
	})
	feeds := make([]Feed, len(at))
	for k, i := range at {
		feeds[k] = m.Feeds[i]
	}
	sum := func(s Sum) Sum {
		if len(s.Adds) == 0 {
			return Sum{s.Const, nil}
		}
		adds := make([][]int64, len(at))
		for k, i := range at {
			adds[k] = s.Adds[i]
		}
		return Sum{s.Const, adds}
	}
	rows := func(rs []Row) []Row {
		out := make([]Row, len(rs))
		for i, r := range rs {
			out[i] = Row{sum(r.Sum), r.Low, r.High}
		}
		return out
	}
	out := Model{Feeds: feeds, Limits: make([]Limit, len(m.Limits)), Goals: make([]Goal, len(m.Goals))}
	for i, l := range m.Limits {
		out.Limits[i] = Limit{l.Name, rows(l.Rows)}
	}
	for i, g := range m.Goals {
		out.Goals[i] = Goal{g.Name, sum(g.Sum), rows(g.Bands), g.Grain}
	}
	return out, at
}
