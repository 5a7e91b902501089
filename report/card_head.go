package report

import (
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// partOf is which of a horse's cards one is; nothing of the only one. The banner of a held card stands on the
// first only; the word stands on each.
func (s *sheet) partOf(h yard.HorsePlan, n, all int) string {
	if all == 1 {
		return ""
	}
	return join(", ", s.statusWord(h.Status), unbroken(s.word("card.of", "n", strconv.Itoa(n), "all", strconv.Itoa(all))))
}

// leastAt is the least height of head and foot at scale z: less than footFloor only
// where names as long as nobody's would leave no room on the card for feeds.
func leastAt(z float64) float64 { return footFloor * min(1, z/0.64) }

// cardHead: the horse's name, what it weighs, and the week the card holds for; part
// is which of several cards it is, or empty.
func (s *sheet) cardHead(h yard.HorsePlan, w, z float64, part string) *draw.Group {
	d, week := s.d, s.p.Week
	rw := 0.37 * w
	line := s.word("weight.unknown")
	if kg, ok := h.WeightKg.Get(); ok {
		is := s.main.figure(kg, 0) + nb + "kg"
		if week.Imperial {
			is += " (" + s.main.figure(kg*lbPerKg, 0) + nb + "lb)"
		}
		line = join(" ", s.word("weight.is", "weight", is), s.basisWord(h.WeightBasis))
	}
	until := fitTrim(d, draw.Bold, 3.7*z, leastAt(z), rw-2*z, draw.Black, strings.ToUpper(s.main.notAfter(week)))
	if t := s.second(func(t tongue) string { return t.notAfter(week) }); t != "" {
		until = draw.Stack(0.8*z, until, fitTrim(d, draw.Regular, 2.4*z, leastAt(z), rw-2*z, draw.Black, t))
	}
	right := draw.Stack(0.9*z,
		fitTrim(d, draw.Bold, 3.7*z, leastAt(z), rw, draw.Black, s.main.weekSpan(week)),
		draw.Framed(0.5*z, 1*z, until))
	// The last line: which of several cards, the weight, whose yard.
	about := join(" · ", line, week.Yard)
	small := max(1.8*z, leastAt(z))
	last := fitTrim(d, draw.Regular, 2.3*z, small, rw, draw.Black, about)
	if part != "" {
		t := draw.On(draw.Black, 0.7*z, fitTrim(d, draw.Bold, 2.6*z, leastAt(z), 0.6*rw, draw.White, part))
		last = draw.Beside(1.5*z, t, fitTrim(d, draw.Regular, 2.3*z, small, rw-t.W-1.5*z, draw.Black, about))
	}
	name := s.cardName(h.Horse.Name, z, w-rw-4*z)
	g := draw.Space(w, 0)
	g.Add(0, 0, name)
	g.Add(w-rw, 0, right)
	g.Add(w-rw, right.H+0.9*z, last)
	g.H += 0.9 * z
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+g.H, x+w, y+g.H, 0.9*z, draw.Black) })
}

// cardName is a horse's name: on one line as large as its width allows, between
// nameTop and nameFloor; else on as many lines of nameFloor as the head holds;
// else, which no horse's is, smaller.
func (s *sheet) cardName(name string, z, w float64) *draw.Group {
	shown, _ := draw.Printable(name)
	top, floor := nameTop*z, nameFloor*z
	if c := min(top, floor*w/max(1e-9, s.d.Width(draw.Bold, floor, shown))*0.999); c >= floor {
		return s.d.Trim(draw.Bold, c, draw.Black, shown)
	}
	for c := floor; ; c *= 0.93 {
		g := s.d.Close(draw.Bold, c, w, draw.Black, shown)
		if g.H <= 34*z || c < wordsFloor*min(1, z) {
			return g
		}
	}
}

// fitTrim is t on one line without room round it, between floor and cap; where even
// the floor is too wide, wrapped at the floor.
func fitTrim(d *draw.Doc, f draw.Face, cap, floor, w float64, ink draw.Ink, t string) *draw.Group {
	t, _ = draw.Printable(t)
	if full := d.Width(f, cap, t); full > w {
		if cap *= w / full * 0.999; cap < floor {
			return d.Close(f, floor, w, ink, t)
		}
	}
	return d.Trim(f, cap, ink, t)
}

// cardFoot: whom to ring, what a new edition changed, and the general cautions.
func (s *sheet) cardFoot(h yard.HorsePlan, w, z float64) *draw.Group {
	d := s.d
	ringCap, cap := max(2.4*z, 1.37*leastAt(z)), max(1.75*z, leastAt(z))
	if s.beside != nil { // twice the words: smaller, so that the amounts keep their room
		cap = max(1.5*z, leastAt(z))
		ringCap = max(2.2*z, 1.24*leastAt(z))
	}
	para := func(f draw.Face, cap float64, t string) *draw.Group {
		return d.Close(f, cap, w, draw.Black, t)
	}
	// Whom to ring is on one line where that takes little off its size.
	ring, _ := draw.Printable(s.ring())
	if full := d.Width(draw.Bold, ringCap, ring); full > w && full*0.8 < w {
		ringCap *= w / full * 0.999
	}
	rows := []*draw.Group{draw.Space(w, 0.5*z), para(draw.Bold, ringCap, ring)}
	if t := s.editionOf(h); t != "" {
		rows = append(rows, para(draw.Bold, max(2*z, 1.1*leastAt(z)), t))
	}
	for i, t := range s.tongues() {
		// A quarter card has no room for all of them twice.
		rows = append(rows, para(draw.Regular, cap, t.standing(i > 0 && z < quarter)))
	}
	g := draw.Stack(0, rows...)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.5*z, draw.Black) })
}

// ring is whom to ring.
func (s *sheet) ring() string {
	if t := s.also("ring", "who", ""); t != "" {
		head := strings.TrimRight(s.word("ring", "who", ""), ": ")
		return head + " / " + s.beside.Say("ring", "who", s.main.ask(s.p.Week))
	}
	return s.word("ring", "who", s.main.ask(s.p.Week))
}
