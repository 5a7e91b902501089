package wall

import (
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// partOf is which of a horse's cards one is; nothing of the only one. The banner of a
// held card stands on the first only; the word stands on each.
func (s *cards) partOf(h yard.HorsePlan, n, all int) string {
	if all == 1 {
		return ""
	}
	return words.Join(", ", s.StatusWord(h.Status), words.Unbroken(s.Word("card.of", "n", strconv.Itoa(n), "all", strconv.Itoa(all))))
}

// leastAt is the least height of head and foot at scale z: less than footFloor only
// where names as long as nobody's would leave no room on the card for feeds.
func leastAt(z float64) float64 { return footFloor * min(1, z/0.64) }

// cardHead: the horse's name, what it weighs, and the week the card holds for; part
// is which of several cards it is, or empty. All is lower by tight, names down to
// nameFloor, where the rows need the room.
func (s *cards) cardHead(h yard.HorsePlan, w, z, tight float64, part string) *draw.Group {
	d, week, c := s.d, s.Plan.Week, z*tight
	rw := 0.37 * w
	name := s.cardName(h.Horse.Name, z, tight, w-rw-4*z)
	line := s.Word("weight.unknown")
	if kg, ok := h.WeightKg.Get(); ok {
		is := s.Main.Figure(kg, 0) + words.NoBreak + "kg"
		if week.Imperial {
			is += " (" + s.Main.Figure(kg*words.LbPerKg, 0) + words.NoBreak + "lb)"
		}
		line = words.Join(" ", s.Word("weight.is", "weight", is), s.BasisWord(h.WeightBasis))
	}
	fit := func(f draw.Face, cap, floor, w float64, ink draw.Ink, t string) *draw.Group {
		return fitTrim(d, f, max(cap*c, leastAt(z)), max(floor*c, leastAt(z)), w, ink, t)
	}
	until := fit(draw.Bold, 3.7, 0, rw-2*c, draw.Black, strings.ToUpper(s.Main.NotAfter(week)))
	if t := s.Second(func(t words.Language) string { return t.NotAfter(week) }); t != "" {
		// Beside it where the name leaves room for both, else below.
		also := fit(draw.Regular, 2.4, 0, rw-2*c, draw.Black, t)
		if beside := draw.Beside(2*c, until, also); beside.W+2*c <= w-name.W-4*z {
			until = beside
		} else {
			until = draw.Stack(0.8*c, until, also)
		}
	}
	right := draw.Stack(0.9*c,
		fit(draw.Bold, 3.7, 0, rw, draw.Black, s.Main.WeekSpan(week)),
		draw.Framed(0.5*z, c, until))
	// The last line: which of several cards, the weight, whose yard.
	about := words.Join(" · ", line, week.Yard)
	last := fit(draw.Regular, 2.3, 1.8, rw, draw.Black, about)
	if part != "" {
		t := draw.On(draw.Black, 0.7*c, fit(draw.Bold, 2.6, 0, 0.6*rw, draw.White, part))
		last = draw.Beside(1.5*c, t, fit(draw.Regular, 2.3, 1.8, rw-t.W-1.5*c, draw.Black, about))
	}
	right = draw.Stack(0.9*c, right, last)
	g := draw.Space(w, 0)
	g.Add(0, 0, name)
	g.Add(w-max(rw, right.W), 0, right)
	g.H += 0.9 * z
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+g.H, x+w, y+g.H, 0.9*z, draw.Black) })
}

// cardName is a horse's name: on one line as large as its width allows, between
// nameTop and nameFloor; else on as many lines of nameFloor as the head holds;
// else, which no horse's is, smaller.
func (s *cards) cardName(name string, z, tight, w float64) *draw.Group {
	shown, _ := draw.Printable(name)
	floor := nameFloor * z
	top := max(nameTop*z*tight, floor)
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

// cardFoot: whom to ring, what a new edition changed, and the general cautions; all of
// it lower by tight.
func (s *cards) cardFoot(h yard.HorsePlan, w, z, tight float64) *draw.Group {
	d, c := s.d, z*tight
	ringCap, cap := max(2.4*c, 1.37*leastAt(z)), max(1.75*c, leastAt(z))
	if s.Beside != nil { // twice the words: smaller, so that the amounts keep their room
		cap = max(1.5*c, leastAt(z))
		ringCap = max(2.2*c, 1.24*leastAt(z))
	}
	para := func(f draw.Face, cap float64, t string) *draw.Group {
		return d.Close(f, cap, w, draw.Black, t)
	}
	// Whom to ring is on one line where that takes little off its size.
	ring, _ := draw.Printable(s.ring())
	if full := d.Width(draw.Bold, ringCap, ring); full > w && full*0.8 < w {
		ringCap *= w / full * 0.999
	}
	rows := []*draw.Group{draw.Space(w, 0.5*c), para(draw.Bold, ringCap, ring)}
	if t := s.EditionOf(h); t != "" {
		rows = append(rows, para(draw.Bold, max(2*c, 1.1*leastAt(z)), t))
	}
	for i, t := range s.Languages() {
		// A quarter card has no room for all of them twice.
		rows = append(rows, para(draw.Regular, cap, t.Standing(i > 0 && z < quarter)))
	}
	g := draw.Stack(0, rows...)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.5*z, draw.Black) })
}

// ring is whom to ring.
func (s *cards) ring() string {
	if t := s.Also("ring", "who", ""); t != "" {
		head := strings.TrimRight(s.Word("ring", "who", ""), ": ")
		return head + " / " + s.Beside.Say("ring", "who", s.Main.Ask(s.Plan.Week))
	}
	return s.Word("ring", "who", s.Main.Ask(s.Plan.Week))
}
