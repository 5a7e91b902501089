package wall

import (
	"strings"

	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// marksBeside says that the measures of all amounts of a row, drawn, have room beside
// their numbers.
func (c *card) marksBeside(r words.Row, w float64, t sizes) bool {
	for day, e := range r.Days {
		if mark := c.scoopMark(e, t.mark); (day == 0 || r.Step(day)) && mark.W > 0 && c.number(e, t, w).W+markGap+mark.W > w {
			return false
		}
	}
	return true
}

// markGap is between a number and its measures, mm.
const markGap = 0.8

// dayCell is one amount, with its measures drawn beside it or below. Its unit stands in it
// only where the row's others have another.
func (c *card) dayCell(e words.Entry, l label, beside bool, w float64, t sizes) *draw.Group {
	if e.Unsaid || e.None || e.Serving == nil {
		return c.noAmount(e, w, t)
	}
	number := c.number(e, t, w)
	var below []*draw.Group
	if mark := c.scoopMark(e, t.mark); mark.W > 0 {
		if beside {
			number = draw.Beside(markGap, number, mark)
		} else if mark = c.scoopMark(e, 0.5*t.amount); mark.W <= w && !t.list {
			below = append(below, mark)
		}
	}
	if l.own(e) {
		below = append(below, fitTrim(c.d, draw.Bold, t.aside, least, w, draw.Black, shortUnit(e.Unit)))
		if e.Weigh {
			below = append(below, c.boxed("amount.weigh", t.tag, w))
		}
	}
	return centred(0.8*max(t.pad, 0.5), append([]*draw.Group{number}, below...)...)
}

// noAmount is a cell without a number: none, or nobody has said.
func (c *card) noAmount(e words.Entry, w float64, t sizes) *draw.Group {
	// Large enough not to be missed for the amounts beside it.
	key, size := "amount.none", max(t.aside, 0.6*t.amount)
	if e.Unsaid {
		key, size = "amount.unsaid", t.aside
	}
	lines := []*draw.Group{fitTrim(c.d, draw.Bold, size, least, w, draw.Black, c.Word(key))}
	if also := c.Also(key); also != "" {
		lines = append(lines, fitTrim(c.d, draw.Regular, least, least, w, draw.Black, also))
	}
	return centred(0.6, lines...)
}

// low is how small words may be that would be broken otherwise: on the list, which is read
// from closer by, a little smaller than all else.
func (t sizes) low() float64 {
	if t.list {
		return 0.8 * least
	}
	return least
}

// number is an amount's number: never broken, and smaller than its floor only where it
// has more figures than a yard feeds.
func (c *card) number(e words.Entry, t sizes, w float64) *draw.Group {
	shown, _ := draw.Printable(e.Number)
	if strings.IndexFunc(shown, func(r rune) bool { return r >= '0' && r <= '9' || r == '¼' || r == '½' || r == '¾' }) < 0 { // words, as ad lib
		if e.Serving.AdLib {
			if also := c.Second(func(l words.Language) string { return l.AmountOf(*e.Serving, false).Number }); also != "" && w < 1e6 {
				return draw.Stack(0.6, fitTrim(c.d, draw.Bold, t.amount, c.unbrokenCap(min(t.amount, 3.6), t.low(), w, shown), w, draw.Black, shown), fitTrim(c.d, draw.Regular, least, least, w, draw.Black, also))
			}
		}
		if w > 1e6 { // how wide it must be
			return draw.Space(0, 0)
		}
		return fitTrim(c.d, draw.Bold, t.amount, c.unbrokenCap(min(t.amount, 3.6), t.low(), w, shown), w, draw.Black, shown)
	}
	g := c.d.Set.Figures(draw.Bold, t.amount, t.fraction, shown)
	if g.W > w {
		by := w / g.W * 0.999
		g = c.d.Set.Figures(draw.Bold, t.amount*by, t.fraction*by, shown)
	}
	return g
}

// scoopMark draws the measures of an amount, h high; nothing of others.
func (c *card) scoopMark(e words.Entry, h float64) *draw.Group {
	if n, ok := e.Measures(); ok {
		return c.d.Set.Scoops(n, h)
	}
	return draw.Space(0, 0)
}

// amountOf is an amount with its unit, the measures drawn, and what they weigh.
func (c *card) amountOf(e words.Entry, room float64, t sizes) (_ *draw.Group, small bool) {
	var parts []*draw.Group
	if e.Unsaid || e.None || e.Serving == nil {
		parts = append(parts, c.noAmount(e, room, t))
	} else {
		if e.Weigh {
			parts = append(parts, c.boxed("amount.weigh", t.tag, room))
		}
		number := c.number(e, t, room)
		small = number.H < t.amount*0.99 && !e.Serving.AdLib
		parts = append(parts, number)
		if e.Unit != "" {
			unit := fitTrim(c.d, draw.Bold, t.unit, least, room, draw.Black, e.Unit)
			if also := c.Second(func(l words.Language) string { return l.AmountOf(*e.Serving, c.Plan.Week.Imperial).Unit }); also != "" {
				unit = draw.Stack(0.5, unit, fitTrim(c.d, draw.Regular, least, least, room, draw.Black, also))
			}
			parts = append(parts, unit)
		}
		if mark := c.scoopMark(e, 0.85*t.amount); mark.W > 0 && mark.W < 0.5*room {
			parts = append(parts, mark)
		}
		if e.Aside != "" && !e.Weigh { // about so many scoops is no help where the scale is asked for
			parts = append(parts, fitTrim(c.d, draw.Regular, t.aside, least, room, draw.Black, e.Aside))
		}
		if e.Unweighed {
			parts = append(parts, c.boxed("amount.unweighed", t.tag, room))
		}
	}
	lines := flowLines(room, t.gap, parts)
	return draw.Stack(0.5*t.gap, lines...), small || len(lines) > 1 // a weight on a line of its own is taken for an amount
}

// flowLines sets groups one after the other, on as many lines as w asks for.
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
