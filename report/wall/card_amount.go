package wall

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// cellParts are what one amount is drawn of, before its place is known: the days
// it holds for, the drawing or the word before the number, the number, beside it
// its unit over its weight, and a word of warning.
type cellParts struct {
	days, lead, number, side, warn *draw.Group
	whole                          bool // all of it is in number
}

// inOrder are those parts there are.
func (c cellParts) inOrder() []*draw.Group {
	out := make([]*draw.Group, 0, 5)
	for _, g := range [...]*draw.Group{c.days, c.lead, c.number, c.side, c.warn} {
		if g != nil {
			out = append(out, g)
		}
	}
	return out
}

// parted says whether a part of it is wider than w, or the number and what stands
// beside it are.
func (c cellParts) parted(w, gap float64) bool {
	return c.side != nil && c.number.W+gap+c.side.W > w ||
		slices.ContainsFunc(c.inOrder(), func(g *draw.Group) bool { return g.W > w })
}

// inPieces are the parts there are: all but the days together, or those before the
// number together and the number with its unit, as far as they fit w.
func (c cellParts) inPieces(w, gap float64) []*draw.Group {
	pieces := [][2]*draw.Group{{c.days, c.lead}, {c.number, c.side}, {c.warn, nil}}
	if c.days != nil && c.lead != nil && c.side != nil && c.lead.W+c.number.W+c.side.W+2*gap <= w {
		pieces = [][2]*draw.Group{{c.days, nil}, {draw.Beside(gap, c.lead, c.number), c.side}, {c.warn, nil}}
	}
	var out []*draw.Group
	for _, two := range pieces {
		switch a, b := two[0], two[1]; {
		case a != nil && b != nil && a.W+gap+b.W <= w:
			out = append(out, draw.Beside(gap, a, b))
		default:
			for _, g := range two {
				if g != nil {
					out = append(out, g)
				}
			}
		}
	}
	return out
}

// flowing sets groups one after the other, on as many lines as w asks for.
func flowing(w, gap, between float64, gs []*draw.Group) *draw.Group {
	lines := flowLines(w, gap, gs)
	return draw.Stack(between, lines...)
}

func flowLines(w, gap float64, gs []*draw.Group) []*draw.Group {
	var out []*draw.Group
	for i := 0; i < len(gs); {
		wide, j := gs[i].W, i+1
		for j < len(gs) && wide+gap+gs[j].W <= w {
			wide += gap + gs[j].W
			j++
		}
		if j == i+1 {
			out = append(out, gs[i])
		} else {
			out = append(out, draw.Beside(gap, gs[i:j]...))
		}
		i = j
	}
	return out
}

// inLine says whether flowLines sets them all on one.
func inLine(w, gap float64, gs []*draw.Group) bool {
	wide := gs[0].W
	for _, g := range gs[1:] {
		if wide+gap+g.W > w {
			return false
		}
		wide += gap + g.W
	}
	return true
}

// stackOf puts lines under each other; one alone is itself.
func stackOf(gap float64, lines []*draw.Group) *draw.Group {
	if len(lines) == 1 {
		return lines[0]
	}
	return draw.Stack(gap, lines...)
}

// stacked sets a cell's amounts: each on one line where it fits, as many on a line
// as fit. It says how many do not fit on one.
func stacked(cs []cellParts, w float64, t sizes) (_ *draw.Group, broken int) {
	amounts := make([]*draw.Group, 0, len(cs))
	for _, c := range cs {
		ls := flowLines(w, t.gap(), c.inOrder())
		if len(ls) > 1 { // then before the number, which keeps its unit where it can
			broken++
			ls = flowLines(w, t.gap(), c.inPieces(w, t.gap()))
		}
		amounts = append(amounts, stackOf(t.line, ls))
	}
	return stackOf(t.line, flowLines(w, 2*t.gap(), amounts)), broken
}

// cellsOf are the amounts of one feed in one column, one after the other, each with
// the days it holds for where they are not all the column's.
func (s *cards) cellsOf(col words.Column, stages []words.Stage, w float64, t sizes) []cellParts {
	if len(stages) == 0 {
		return []cellParts{{number: fitTrim(s.d, draw.Regular, t.at(3.6, 3), t.at(2.4, 2.4), w, draw.Black, s.BothOf(col.Nothing()))}}
	}
	var out []cellParts
	for _, st := range stages {
		c := s.amountParts(st, w, t)
		if days := s.Main.Days(s.Plan.Week, st); days != "" {
			chip := fitTrim(s.d, draw.Bold, t.days, t.at(2.3, 2.3), w-0.44*t.days, draw.White, days)
			also := s.Second(func(l words.Language) string { return l.Days(s.Plan.Week, st) })
			if also != "" {
				chip = draw.Stack(0.25*t.days, chip, fitTrim(s.d, draw.Regular, max(0.8*t.days, t.least), t.at(2, 1.9), w-0.44*t.days, draw.White, also))
			}
			c.days = draw.On(draw.Black, 0.22*t.days, chip)
			if st.Amount.Weigh && c.side != nil && also == "" {
				c = s.weighedOn(c, st, w, t)
			}
		}
		out = append(out, c)
	}
	return out
}

// weighedOn is an amount for the scale on some days of a column in as little width
// as can be: about how much it is in measures stands under the days, not under the
// unit. Where even that is too wide the parts stay as they are.
func (s *cards) weighedOn(c cellParts, st words.Stage, w float64, t sizes) cellParts {
	if st.Amount.Aside == "" {
		return c
	}
	before := draw.Beside(0.8*t.gap(), c.days, c.lead)
	aside := s.d.Trim(draw.Regular, t.aside, draw.Black, st.Amount.Aside)
	unit := s.d.Trim(draw.Bold, t.unit, draw.Black, st.Amount.Unit)
	x := max(before.W, aside.W) + t.gap()
	g := draw.Space(x+c.number.W+t.gap()+unit.W, before.H+0.15*t.aside+aside.H)
	if g.W > w {
		return c
	}
	g.Add(0, 0, before)
	top := (before.H + 1.15*t.aside - t.amount) / 2
	g.Add(x, top, c.number)
	g.Add(x+c.number.W+t.gap(), top+t.amount-t.unit, unit)
	g.Add(0, before.H+0.15*t.aside, aside)
	return cellParts{number: g, whole: true}
}

// amountParts are an amount's, none wider than w: the drawing, the number, its unit
// over its weight; in place of the drawing WEIGH, where the scale must be used. A
// number is never broken: one of more signs than a yard feeds is smaller.
func (s *cards) amountParts(st words.Stage, w float64, t sizes) cellParts {
	d, a := s.d, st.Amount
	cap := t.amount
	if a.None {
		cap = t.at(3.6, 3)
	}
	var c cellParts
	if full := d.Width(draw.Bold, cap, a.Number); full > w {
		cap *= w / full * 0.999
	}
	c.number = d.Trim(draw.Bold, cap, draw.Black, a.Number)
	hang := c.number.H - cap // a decimal comma's, or words'
	if a.Aside == "" && (a.None || st.Serving.AdLib) {
		a.Aside = s.Second(func(l words.Language) string { return l.AmountOf(*st.Serving, false).Number })
	}
	unit, aside := draw.Space(0, 0), draw.Space(0, 0)
	if a.Unit != "" {
		unit = fitTrim(d, draw.Bold, t.unit, t.at(2.4, 2.4), w, draw.Black, a.Unit)
	}
	if a.Aside != "" {
		aside = fitTrim(d, draw.Regular, t.aside, t.at(2, 2), w, draw.Black, a.Aside)
	}
	switch {
	case a.Unit != "" && a.Aside != "":
		c.side = draw.Stack(max(0.02*t.unit, 1.12*t.unit-unit.H), unit, aside)
	case a.Unit != "":
		// On the number's feet, or as much higher as the letters that hang below need.
		below := max(hang, t.hang())
		top := max(0, t.amount-t.unit-max(0, unit.H-t.unit-below))
		c.number = draw.Pad(c.number, 0, 0, 0, below-hang)
		c.side = draw.Pad(unit, 0, top, 0, max(0, t.amount+below-top-unit.H))
	case a.Aside != "":
		c.side = aside
	}
	if wide := c.number.W + t.gap() + unit.W; a.Unit != "" && a.Aside != "" && wide <= w && c.parted(w, t.gap()) {
		// The unit does not part from the number; the weight stands under both.
		c.number = draw.Space(wide, c.number.H).Add(0, 0, c.number).Add(c.number.W+t.gap(), max(0, t.amount-t.unit), unit)
		c.side = aside
	}
	if a.Weigh {
		c.lead = s.boxed("amount.weigh", t.at(2.7, 2.3), w)
	} else if mark := markOf(*st.Serving, a, 1.1*t.amount); mark.W > 0 && mark.W <= w {
		c.lead = mark
	}
	if a.Unweighed {
		c.warn = s.boxed("amount.unweighed", t.at(2.3, 2), w)
	}
	return c
}

// markOf is the drawing of an amount, h high: scoops as scoops, hay as a bale.
func markOf(sv yard.Serving, a words.Amount, h float64) *draw.Group {
	n, ok := sv.Measures.Get()
	switch {
	case a.None || a.Weigh:
	case sv.Grazed.IsKnown(): // nothing is carried to it
	case sv.Class == yard.Forage:
		return draw.Bale(0.85 * h)
	case sv.Class == yard.Oil:
		return draw.Drop(h)
	case sv.Class == yard.Salt && sv.Kg > 0:
		return draw.Shaker(h)
	case ok && sv.Measure != "" && !math.IsNaN(n):
		return draw.Scoops(n, h*0.85)
	}
	return draw.Space(0, 0)
}
