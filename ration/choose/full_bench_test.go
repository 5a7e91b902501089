package choose

import (
	"os"
	"slices"
	"testing"
	"time"
)

func TestFullTimes(t *testing.T) {
	var ts []time.Duration
	var nodes []int
	clash := 0
	for seed := uint64(1); seed <= 300; seed++ {
		m := fullModel(seed)
		st := time.Now()
		a, err := Solve(m)
		if err != nil {
			t.Fatal(seed, err)
		}
		d := time.Since(st)
		ts = append(ts, d)
		nodes = append(nodes, a.Nodes)
		if a.Clash != nil {
			clash++
		}
		if os.Getenv("V") != "" && d > 50*time.Millisecond {
			t.Log(seed, d, a.Nodes, a.Values, a.Decided, a.Proven, a.Clash)
		}
	}
	slices.Sort(ts)
	slices.Sort(nodes)
	t.Log("median", ts[150], "p90", ts[270], "max", ts[299], "clash", clash, "nodes", nodes[150], nodes[270], nodes[299])
}
