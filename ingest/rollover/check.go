package rollover

import (
	"fmt"
	"hardfeed/ingest"
	"hardfeed/ration/yard"
	"math"
	"slices"
)

// check reads what was written and names the horses that are not as they should be, those
// whose plan is read differently from what was meant, and those whose hours at grass of the
// week before are.
func (m *mover) check(data []byte) (bad, unplanned, misread []string, err error) {
	next, err := ingest.Read(m.name, data, m.opt.Read)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("read again: %w", err)
	}
	if b := m.src.Week.Beginning; !b.IsZero() && !next.Beginning.Equal(b.AddDate(0, 0, oneWeek)) {
		return nil, nil, nil, m.refuse("part.next.refused.week", yard.Arg{Name: "week", Value: yard.Date{Date: next.Beginning, Year: true}})
	}
	if !slices.EqualFunc(m.src.Week.Horses, next.Horses, func(a, b yard.Horse) bool { return a.Name == b.Name }) {
		return nil, nil, nil, m.refuse("part.next.refused.horses")
	}
	for i, h := range m.src.Week.Horses {
		n := next.Horses[i]
		if m.carried[h.Name] && !m.noCarry[h.Name] && n.GrassBefore != h.GrassHours {
			misread = append(misread, h.Name)
		}
		switch {
		case h.WeightKg != n.WeightKg, len(h.NoCard) == 0 && len(n.NoCard) > 0 && m.how[h.Name] < notAtAll,
			!m.workKept(h, n):
			bad = append(bad, h.Name)
			if m.how[h.Name] == notAtAll {
				return nil, nil, nil, m.refuse("part.next.refused.horse", yard.Named("horse", yard.HorseName, h.Name))
			}
		}
	}
	now, planned := map[string]fed{}, map[string]fed{}
	for _, l := range next.Lines {
		if !m.sum(now, l, l.Now) {
			bad = append(bad, l.Horse)
		}
		m.sum(planned, l, l.Planned)
	}
	for _, h := range m.src.Week.Horses {
		if want, ok := m.ends[h.Name]; ok && m.how[h.Name] < notAtAll && !m.same(h.Name, want, now[h.Name]) {
			bad = append(bad, h.Name)
		}
		if want, ok := m.planned[h.Name]; ok && !m.same(h.Name, want, planned[h.Name]) {
			unplanned = append(unplanned, h.Name)
		}
	}
	slices.Sort(bad)
	return slices.DeleteFunc(slices.Compact(bad), func(h string) bool { return m.how[h] == notAtAll }), unplanned, misread, nil
}

// sum adds an amount of a line to what its horse is fed; false where one is given that
// is not known.
func (m *mover) sum(all map[string]fed, l yard.Line, a yard.Amount) bool {
	kg, ok := a.Kg.Get()
	if n, counted := a.Measures.Get(); !ok && counted && m.measure[l.Feed] > 0 {
		kg, ok = n*m.measure[l.Feed], true
	}
	if !ok || a.AdLib {
		return !a.Given || a.AdLib
	}
	if all[l.Horse] == nil {
		all[l.Horse] = fed{}
	}
	if all[l.Horse][l.Feed] == nil {
		all[l.Horse][l.Feed] = map[string]float64{}
	}
	all[l.Horse][l.Feed][l.Meal] += kg
	return true
}

// same says whether a horse is fed the same of every feed that is served by amount.
func (m *mover) same(horse string, want, got fed) bool {
	return !slices.ContainsFunc(m.src.Week.Feeds, func(f yard.Feed) bool {
		return math.Abs(want.day(f.Name)-got.day(f.Name)) > 0.01 && !m.adLib(horse, f.Name)
	})
}

// workKept says whether next week's work is what it should be: that which she wrote for
// it, else this week's as a beginning.
func (m *mover) workKept(h, next yard.Horse) bool {
	for _, l := range h.Later {
		if l.Beginning.Equal(m.src.Week.Beginning.AddDate(0, 0, oneWeek)) {
			was, is := minutes(l.Work), minutes(next.Work)
			for d := range was { // a day that she left open may have got this week's
				if was[d] >= 0 && was[d] != is[d] {
					return false
				}
			}
			return true
		}
	}
	return m.opt.ClearWork || len(h.Later) > 0 || minutes(h.Work) == minutes(next.Work)
}

// minutes is a week's work, to be compared; days that are not known count as below none.
func minutes(work [7]yard.Day) (out [7]float64) {
	for i, d := range work {
		if d.Unknown {
			out[i] = -1
			continue
		}
		for _, s := range d.Sessions {
			out[i] += s.Total()
		}
	}
	return out
}

// adLib says whether a horse has a feed as much as it eats.
func (m *mover) adLib(horse, feed string) bool {
	return slices.ContainsFunc(m.src.Week.Lines, func(l yard.Line) bool {
		return l.Horse == horse && l.Feed == feed && (l.Now.AdLib || l.Planned.AdLib)
	})
}
