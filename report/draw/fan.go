package draw

import "math"

// Measured is one measurement of a [Fan].
type Measured struct {
	Day   float64 // before today: below 0
	Value float64
	Label string
	Apart bool // does not fit the others: a ring, not a dot
}

// Foretold is what is expected of a day, and its range.
type Foretold struct {
	Day             float64 // from today
	Low, Mean, High float64
	Label           string
}

// Fan is a plot of measurements up to today and of what is expected after: the mean
// dashed, its range grey between two lines that widens. Labels that would cover another
// are left out; those of the end and of the last measurement go first.
func Fan(set *Typesetter, w, h, capMM float64, measured []Measured, ahead []Foretold) *Group {
	line := capMM * Leading
	g := Space(w, h+2*line+1.5)
	if len(measured) == 0 || len(ahead) == 0 {
		return g
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	from, to := 0.0, 0.0
	for _, m := range measured {
		lo, hi, from = min(lo, m.Value), max(hi, m.Value), min(from, m.Day)
	}
	for _, a := range ahead {
		lo, hi, to = min(lo, a.Low), max(hi, a.High), max(to, a.Day)
	}
	margin := max((hi-lo)*0.08, 1e-9)
	lo, hi = lo-margin, hi+margin
	const side = 12 // room for half a label at each end
	x := func(day float64) float64 { return side + (w-2*side)*unit((day-from)/max(to-from, 1e-9)) }
	y := func(v float64) float64 { return line + 0.5 + h*(1-unit((v-lo)/(hi-lo))) }
	g.Draw(func(d *Doc, x0, y0 float64) {
		var edge []float64
		for _, a := range ahead {
			edge = append(edge, x0+x(a.Day), y0+y(a.High))
		}
		for i := len(ahead) - 1; i >= 0; i-- {
			edge = append(edge, x0+x(ahead[i].Day), y0+y(ahead[i].Low))
		}
		if len(ahead) > 1 {
			d.on.fill(Light)
			d.on.poly("F", edge...)
		}
		d.LineTo(x0, y0+line+0.5+h, x0+w, y0+line+0.5+h, 0.2, Mid)
		for i := 1; i < len(ahead); i++ {
			a, b := ahead[i-1], ahead[i]
			d.LineTo(x0+x(a.Day), y0+y(a.High), x0+x(b.Day), y0+y(b.High), 0.25, Black)
			d.LineTo(x0+x(a.Day), y0+y(a.Low), x0+x(b.Day), y0+y(b.Low), 0.25, Black)
			const dashes = 3.0
			along := func(from, to, part float64) float64 { return from + (to-from)*part/dashes }
			for k := range int(dashes) {
				start, stop := float64(k), float64(k)+0.5
				d.LineTo(x0+along(x(a.Day), x(b.Day), start), y0+along(y(a.Mean), y(b.Mean), start), x0+along(x(a.Day), x(b.Day), stop), y0+along(y(a.Mean), y(b.Mean), stop), 0.3, Black)
			}
		}
		for _, m := range measured {
			if m.Apart {
				d.on.fill(White)
				d.on.stroke(Black, 0.3)
				d.on.circle(x0+x(m.Day), y0+y(m.Value), 0.8, "FD")
				continue
			}
			d.on.fill(Black)
			d.on.circle(x0+x(m.Day), y0+y(m.Value), 0.8, "F")
		}
	})
	var taken []box
	for i := 1; i < len(ahead); i++ {
		a, b := ahead[i-1], ahead[i]
		taken = append(taken, box{x(a.Day), x(b.Day), y(max(a.High, b.High)), y(min(a.Low, b.Low))})
	}
	end, last := ahead[len(ahead)-1], measured[len(measured)-1]
	taken = writeLabels(set, g, w, capMM, 2*side, []label{{x(end.Day), y(end.High), end.Label}, {x(last.Day), y(last.Value), last.Label}}, taken...)
	var labels []label
	for _, m := range measured {
		taken = append(taken, box{x(m.Day) - 0.8, x(m.Day) + 0.8, y(m.Value) - 0.8, y(m.Value) + 0.8})
		labels = append(labels, label{x(m.Day), y(m.Value), m.Label})
	}
	writeLabels(set, g, w, capMM, 2*side, labels[:len(labels)-1], taken...)
	return g
}
