package office

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
)

// fanDays is how far back weighings are drawn beside what is expected of four weeks.
const fanDays = 112

// weighings is the body weight and the score over time, where there are two or more,
// and what the weighings tell.
func (s *office) weighings(f *flow.Flow, h yard.HorsePlan) {
	var weights, scores []draw.Point
	last := time.Time{}
	for _, w := range h.Horse.Weighings {
		last = w.Date
	}
	for _, w := range h.Horse.Weighings {
		days := last.Sub(w.Date).Hours() / 24
		if kg, ok := w.Kg.Get(); ok {
			weights = append(weights, draw.Point{Days: days, Value: kg, Label: s.weighingLabel(kg, w.Date)})
		}
		if v, ok := w.Score.Get(); ok {
			scores = append(scores, draw.Point{Days: days, Value: v, Label: s.Main.Figure(v, 1) + ", " + s.Main.Day(w.Date, false)})
		}
	}
	plot := func(title string, points []draw.Point) {
		if len(points) >= 2 {
			s.plot(f, title, draw.Trend(s.d.Set, f.W, 9, 1.9, points))
		}
	}
	if fan := s.fan(h, f.W); fan != nil {
		s.plot(f, s.Word("office.weights.ahead"), fan)
		s.say(f, draw.Regular, s.Word("office.weights.fan"))
	} else {
		plot(s.Word("office.weights"), weights)
	}
	if h.Evidence != nil {
		if said := s.Main.SaidAll(h.Evidence.Says); said != "" {
			s.say(f, draw.Regular, said)
		}
	}
	plot(s.Word("office.scores"), scores)
}

func (s *office) plot(f *flow.Flow, title string, g *draw.Group) {
	f.Gap(1.5)
	f.Keep(g.H + 6)
	s.say(f, draw.Bold, title)
	f.Put(g)
}

func (s *office) weighingLabel(kg float64, on time.Time) string {
	return s.Main.BodyWeight(kg) + " " + s.Main.Day(on, false)
}

// fan draws the weighings of the last weeks and the weight to be expected on this card;
// nil where nothing is expected.
func (s *office) fan(h yard.HorsePlan, w float64) *draw.Group {
	if h.Evidence == nil || len(h.Evidence.Ahead) < 2 {
		return nil
	}
	today := h.Evidence.Ahead[0].On
	day := func(t time.Time) float64 { return math.Round(t.Sub(today).Hours() / 24) }
	var measured []draw.Measured
	for _, x := range h.Horse.Weighings {
		kg, ok := x.Kg.Get()
		if at := day(x.Date); ok && at >= -fanDays && at <= 0 {
			odd := slices.ContainsFunc(h.Evidence.Odd, func(o yard.OddWeighing) bool { return o.Weighing.Date.Equal(x.Date) && o.Weighing.Kg == x.Kg })
			measured = append(measured, draw.Measured{Day: at, Value: kg, Label: s.weighingLabel(kg, x.Date), Apart: odd})
		}
	}
	var ahead []draw.Foretold
	for _, a := range h.Evidence.Ahead {
		ahead = append(ahead, draw.Foretold{Day: day(a.On), Low: a.WeightKg.Low, Mean: a.WeightKg.Mean, High: a.WeightKg.High, Label: s.weighingLabel(a.WeightKg.Mean, a.On)})
	}
	if len(measured) == 0 {
		return nil
	}
	return draw.Fan(s.d.Set, w, 16, 1.9, measured, ahead)
}

// signed is a figure with its sign.
func (s *office) signed(v float64, digits int) string {
	t := s.Main.Figure(math.Abs(v), digits)
	switch {
	case v < 0 && t != s.Main.Figure(0, digits):
		return "−" + t
	case v > 0:
		return "+" + t
	}
	return t
}
