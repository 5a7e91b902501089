package choose

import "slices"

// Weights of feeds rarely add up to the same gram in many ways. Once a plain goal
// is settled, the ways its feeds come to exactly that are listed, where they are
// few, and hold for the goals to come: no bound tells as much.

// Where the list gets longer, or is long to make, there is none.
const (
	mostWays   = 500
	mostLooked = 50_000
)

// waysTo lists the choices of a row's feeds at which it comes to exactly a value.
func (r *row) waysTo(value int64, ds []domain) [][]int {
	n := len(r.feeds)
	least, most := make([]int64, n+1), make([]int64, n+1) // by place: of that feed and those after
	for i := n - 1; i >= 0; i-- {
		a, b := r.part(r.feeds[i], ds[r.feeds[i]])
		least[i], most[i] = least[i+1]+a, most[i+1]+b
	}
	var ways [][]int
	looked, way := 0, make([]int, n)
	var look func(i int, left int64) bool
	look = func(i int, left int64) bool {
		if looked++; looked > mostLooked {
			return false
		}
		if left < least[i] || left > most[i] {
			return true
		}
		if i == n {
			ways = append(ways, slices.Clone(way))
			return len(ways) <= mostWays
		}
		j := r.feeds[i]
		for v := ds[j].lo; v <= ds[j].hi; v++ {
			way[i] = v
			if !look(i+1, left-r.Adds[j][v]) {
				return false
			}
		}
		return true
	}
	if !look(0, value-r.base) {
		return nil
	}
	return ways
}

// tightenTo narrows the feeds' domains to what the ways inside them span.
func tightenTo(ways [][]int, feeds []int, ds []domain) (ok bool, narrowed feedSet) {
	now := make([]domain, len(feeds))
	for _, way := range ways {
		inside := true
		for i, j := range feeds {
			inside = inside && ds[j].lo <= way[i] && way[i] <= ds[j].hi
		}
		if !inside {
			continue
		}
		for i, v := range way {
			if !ok {
				now[i] = domain{v, v}
			}
			now[i] = domain{min(now[i].lo, v), max(now[i].hi, v)}
		}
		ok = true
	}
	if !ok {
		return false, 0
	}
	for i, j := range feeds {
		if ds[j] != now[i] {
			ds[j] = now[i]
			narrowed |= setOf(j)
		}
	}
	return true, narrowed
}
