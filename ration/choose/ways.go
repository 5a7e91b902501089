package choose

// Weights of feeds rarely add up to the same gram in many ways. Once a plain goal
// is settled, the ways its feeds come to exactly that are listed, where they are
// few, and hold for the goals to come: no bound tells as much.

// Where the list gets longer, or is long to make, there is none.
const (
	mostWays   = 200
	mostLooked = 50_000
)

// waysTo lists the choices of a row's feeds at which it comes to exactly a value,
// one after the other.
func (r *row) waysTo(value int64, ds []domain) []int {
	n := len(r.feeds)
	// By place, of that feed and those after it: the least and the most they add, and
	// what the difference of any two of their sums is a multiple of.
	least, most, step := make([]int64, n+1), make([]int64, n+1), make([]int64, n+1)
	for i := n - 1; i >= 0; i-- {
		j := r.feeds[i]
		a, b := r.part(j, ds[j])
		least[i], most[i], step[i] = least[i+1]+a, most[i+1]+b, step[i+1]
		for _, v := range r.Adds[j][ds[j].lo : ds[j].hi+1] {
			step[i] = gcd(step[i], v-a)
		}
	}
	var ways []int
	looked, way := 0, make([]int, n)
	var look func(i int, left int64) bool
	look = func(i int, left int64) bool {
		if looked++; looked > mostLooked {
			return false
		}
		if left < least[i] || left > most[i] || step[i] > 1 && (left-least[i])%step[i] != 0 {
			return true
		}
		if i == n {
			ways = append(ways, way...)
			return len(ways) <= mostWays*n
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
func tightenTo(ways []int, feeds []int, ds []domain) (ok bool, narrowed feedSet) {
	now := make([]domain, len(feeds))
	for ; len(ways) > 0; ways = ways[len(feeds):] {
		way := ways[:len(feeds)]
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

// gcd is the greatest common divisor.
func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}
