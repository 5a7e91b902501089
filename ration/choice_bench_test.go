package ration

import (
	"slices"
	"testing"
	"time"

	"hardfeed/ingest"
	"hardfeed/ration/choose"
	"hardfeed/ration/yard"
	"hardfeed/templates"
)

// demoModels are the models of the demo yard's horses, each as if nothing were
// planned for it: on the feeds it has rows for, and on all in the room.
func demoModels(tb testing.TB) []choose.Model {
	data, err := templates.Demo()
	if err != nil {
		tb.Fatal(err)
	}
	w, err := ingest.Read("demo.xlsx", data, ingest.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	var models []choose.Model
	for _, rows := range []bool{true, false} {
		for _, h := range w.Horses {
			var lines []yard.Line
			for _, l := range w.Lines {
				if rows && fold(l.Horse) == fold(h.Name) {
					l.Planned = yard.Amount{}
					lines = append(lines, l)
				}
			}
			room := newRoom(w, DefaultRules())
			c, reasons := newHorseWeek(h, lines, room, w, DefaultRules(), nil, nil)
			if len(reasons) > 0 {
				tb.Fatal(h.Name, reasons)
			}
			c.facts.readWeighings()
			offer(c, room)
			base := c.dish.asWritten()
			for _, cut := range []bool{false, true} {
				m := c.chooser().newModel(base, c.chooser().options(base), cut)
				m.limits()
				m.stock()
				m.goals()
				models = append(models, m.model)
			}
		}
	}
	return models
}

// BenchmarkDemoChoice chooses for the demo yard's horses and reports the middle
// and the worst time of one proven choice.
func BenchmarkDemoChoice(b *testing.B) {
	models := demoModels(b)
	var times []time.Duration
	for b.Loop() {
		for _, m := range models {
			start := time.Now()
			a, err := choose.Solve(m)
			if err != nil || !a.Proven || a.Choice == nil {
				b.Fatal(err, a)
			}
			times = append(times, time.Since(start))
		}
	}
	slices.Sort(times)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(times[len(times)/2]), "median-ms")
	b.ReportMetric(ms(times[len(times)-1]), "worst-ms")
	b.ReportMetric(float64(len(models)), "models")
}
