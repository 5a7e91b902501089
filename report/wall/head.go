package wall

import (
	"strings"

	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// cardHead: the horse's name, what it weighs, and the week the card holds for; part is
// which of several cards it is, or empty.
func (c *card) cardHead(w, z float64, part string) *draw.Group {
	d, week, small := c.d, c.Plan.Week, least*min(1, z/0.69)
	rw := 0.37 * w
	for _, t := range []string{c.Main.WeekSpan(week), strings.ToUpper(c.Main.NotAfter(week)) + "M"} { // never broken
		rw = min(0.6*w, max(rw, d.Set.Width(draw.Bold, small, t)+2*z))
	}
	line := c.Word("weight.unknown")
	if kg, ok := c.horse.WeightKg.Get(); ok {
		line = words.Join(" ", c.Word("weight.is", "weight", c.Main.BodyWeight(kg)), c.BasisWord(c.horse.WeightBasis))
	}
	fit := func(f draw.Face, cap, w float64, ink draw.Ink, t string) *draw.Group {
		return fitTrim(d, f, max(cap*z, small), small, w, ink, t)
	}
	name := c.cardName(z, w-rw-4*z)
	until := fit(draw.Bold, 3.7, rw-2*z, draw.Black, strings.ToUpper(c.Main.NotAfter(week)))
	if t := c.Second(func(t words.Language) string { return t.NotAfter(week) }); t != "" {
		until = draw.Stack(0.8*z, until, fit(draw.Regular, 2.4, rw-2*z, draw.Black, t))
	}
	right := draw.Stack(0.9*z,
		fit(draw.Bold, 3.7, rw, draw.Black, c.Main.WeekSpan(week)),
		draw.Framed(0.5*z, z, until))
	const then = words.NoBreak + "· " // no line begins with it
	about := words.Join(then, line, words.Unbroken(week.Yard))
	if c.far { // a page of this size is looked at from farther off, and its type is not that large
		about = words.Join(then, about, strings.ReplaceAll(c.Word("card.distance"), "1 m", "1"+words.NoBreak+"m"))
	}
	last := fit(draw.Regular, 2.4, rw, draw.Black, about)
	if part != "" {
		tag := draw.On(draw.Black, 0.7*z, fit(draw.Bold, 3, 0.6*rw, draw.White, part))
		last = draw.Beside(1.5*z, tag, fit(draw.Regular, 2.4, rw-tag.W-1.5*z, draw.Black, about))
	}
	right = draw.Stack(0.9*z, right, last)
	g := draw.Space(w, 0)
	g.Add(0, 0, name)
	g.Add(w-max(rw, right.W), 0, right)
	g.H += 0.9 * z
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+g.H, x+w, y+g.H, 0.9*z, draw.Black) })
}

// cardName is a horse's name: on one line as large as its width allows, between
// nameTop and nameFloor; else on as many lines of nameFloor as the head holds;
// else, which no horse's is, smaller.
func (c *card) cardName(z, w float64) *draw.Group {
	shown, _ := draw.Printable(c.horse.Horse.Name)
	floor := nameFloor * z
	top := nameTop * z
	if cap := min(top, floor*w/max(1e-9, c.d.Set.Width(draw.Bold, floor, shown))*0.999); cap >= floor {
		return c.d.Set.Trim(draw.Bold, cap, draw.Black, shown)
	}
	for cap := floor; ; cap *= 0.93 {
		g := c.d.Set.Close(draw.Bold, cap, w, draw.Black, shown)
		if g.H <= 36*z || cap < least*min(1, z) {
			return g
		}
	}
}

// cardFoot is whom to ring, and when: two lines. The general warnings stand on the first
// page and behind the scoop weights.
func (c *card) cardFoot(w, z float64) *draw.Group {
	d := c.d
	cap := max(least*min(1, z/0.69), 2.4*z)
	line := func(f draw.Face, t string) *draw.Group {
		t, _ = draw.Printable(t)
		if full := d.Set.Width(f, cap, t); full > w && full*0.92 < w {
			return d.Set.Close(f, max(least*min(1, z/0.69), cap*w/full*0.999), w, draw.Black, t)
		}
		return d.Set.Close(f, cap, w, draw.Black, t)
	}
	rows := []*draw.Group{draw.Space(w, 0.5*z), line(draw.Bold, c.ring())}
	for _, t := range c.Languages() {
		rows = append(rows, line(draw.Regular, words.Join(" ", append([]string{t.Say("card.foot")}, t.Awaiting()...)...)))
	}
	g := draw.Stack(0, rows...)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.5*z, draw.Black) })
}

// ring is whom to ring.
func (s *paper) ring() string {
	if t := s.Also("ring", "who", ""); t != "" {
		head := strings.TrimRight(s.Word("ring", "who", ""), ": ")
		return head + " / " + s.Beside.Say("ring", "who", s.Main.Ask(s.Plan.Week))
	}
	return s.Word("ring", "who", s.Main.Ask(s.Plan.Week))
}
