package choose

import (
	"os/exec"
	"slices"
	"testing"
	"time"
)

// BenchmarkFullModels solves the models of full size the reference solvers are
// compared on, one after the other, and reports the middle and the worst time.
func BenchmarkFullModels(b *testing.B) {
	var models []Model
	for n := range fullModels {
		models = append(models, fullModel(uint64(n)+1))
	}
	for b.Loop() {
		report(b, models)
	}
}

func report(b *testing.B, models []Model) {
	var times []time.Duration
	nodes := 0
	for _, m := range models {
		start := time.Now()
		a := answer(b, m)
		times = append(times, time.Since(start))
		nodes += a.Nodes
	}
	slices.Sort(times)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(times[len(times)/2]), "median-ms")
	b.ReportMetric(ms(times[len(times)*9/10]), "p90-ms")
	b.ReportMetric(ms(times[len(times)-1]), "worst-ms")
	b.ReportMetric(float64(nodes)/float64(len(models)), "nodes/model")
}

// BenchmarkAgainstGLPK has glpsol solve the same models goal by goal and
// reports how many times as long it takes, its start-up taken off.
func BenchmarkAgainstGLPK(b *testing.B) {
	if _, err := exec.LookPath("glpsol"); err != nil {
		b.Fatal("needs glpsol (Debian: glpk-utils)")
	}
	for b.Loop() {
		var ours, theirs []float64
		one := Sum{Adds: [][]int64{{0, 1}}}
		empty := Model{Feeds: []Feed{{"hay", 2}}, Limits: []Limit{{"some", []Row{{one, 1, NoHigh}}}}, Goals: []Goal{{Name: "least", Sum: one}}}
		startup := time.Hour
		for range 20 {
			start := time.Now()
			if _, err := solveWith("glpsol", empty, b.TempDir()); err != nil {
				b.Fatal(err)
			}
			startup = min(startup, time.Since(start))
		}
		for n := range fullModels {
			m := fullModel(uint64(n) + 1)
			start := time.Now()
			answer(b, m)
			ours = append(ours, time.Since(start).Seconds())
			start = time.Now()
			held, err := solveWith("glpsol", m, b.TempDir())
			if err != nil {
				b.Fatal(err)
			}
			runs := max(1, len(held))
			theirs = append(theirs, (time.Since(start) - time.Duration(runs)*startup).Seconds())
		}
		sum := func(xs []float64) (s float64) {
			for _, x := range xs {
				s += x
			}
			return s
		}
		b.ReportMetric(sum(theirs)/sum(ours), "times-as-long-in-all")
		slices.Sort(ours)
		slices.Sort(theirs)
		mid := len(ours) / 2
		b.ReportMetric(ours[mid]*1000, "ours-median-ms")
		b.ReportMetric(theirs[mid]*1000, "glpsol-median-ms")
		b.ReportMetric(theirs[mid]/ours[mid], "times-as-long")
	}
}
