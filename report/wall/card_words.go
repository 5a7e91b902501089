package wall

import (
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// closer are lines of running text with a little less between them.
func closer(cap float64, lines []*draw.Group) []*draw.Group {
	const less = 0.18
	for i, l := range lines {
		lines[i] = draw.Pad(l, 0, -less*cap/2, 0, -less*cap/2)
	}
	return lines
}

// noCard says that nothing was computed, why, and what to do until somebody who
// knows the horse has spoken.
func (s *cards) noCard(h yard.HorsePlan, w, k, z float64) []*draw.Group {
	d := s.d
	title := d.Number(draw.Bold, 9*k, w-4*k, draw.White, s.BothOf("status.no_card"))
	out := []*draw.Group{draw.Space(w, k), band(title, w, 2*k, 1*k)}
	say := func(f draw.Face, c float64, t string) {
		out = append(out, draw.Space(w, 1.2*k))
		out = append(out, d.Lines(f, c*k, w, draw.Black, t)...)
	}
	for i, t := range s.Languages() {
		if i > 0 && z < quarter { // what to do has to stand on the same card
			break
		}
		reasons := t.Reasons(h, "nocard.office")
		if len(reasons) == 0 {
			reasons = []string{t.Say("nocard.office")}
		}
		for _, why := range reasons {
			say(draw.Regular, 3.8-0.8*float64(i), t.Say("nocard.why", "reason", why))
		}
	}
	for i, t := range s.Languages() {
		face, c := draw.Bold, 5.0
		if i > 0 {
			face, c = draw.Regular, 4
		}
		say(face, c, t.Say("nocard.ask", "who", t.Ask(s.Plan.Week)))
		say(face, c, t.Say("nocard.hay"))
	}
	return out
}

// band is g on black over the full width.
func band(g *draw.Group, w, dx, dy float64) *draw.Group {
	b := draw.Space(w, g.H+2*dy)
	b.Draw(func(d *draw.Doc, x, y float64) { d.Rect(x, y, w, b.H+0.05, draw.Black) }) // no hairline to the band below
	return b.Add(dx, dy, g)
}

// banner is the hold: white on black, and in words.
func (s *cards) banner(h yard.HorsePlan, w, k, z float64) []*draw.Group {
	d := s.d
	// The word takes at most a third of the band: some languages have a long one.
	word := d.Number(draw.Bold, 7.5*k, 0.34*w, draw.White, s.Word("status.held"))
	if t := s.Also("status.held"); t != "" {
		word = draw.Stack(0, word, d.Fit(draw.Regular, max(3.4*k, footFloor), footFloor, max(word.W, 0.25*w), draw.White, t))
	}
	x := word.W + 6*k
	c := max(2.9*k, bannerFloor*min(1, z))
	var lines []*draw.Group
	for _, t := range s.Languages() {
		for _, why := range t.Reasons(h, "reason.held") {
			lines = append(lines, d.Lines(draw.Regular, c, w-x-2*k, draw.White, why)...)
		}
		lines = append(lines, d.Lines(draw.Bold, c, w-x-2*k, draw.White, t.Say("held.do", "who", t.AskFirst(s.Plan.Week)))...)
	}
	// The first block carries the word; further lines follow one by one, so that
	// a long reason may run on to the next card.
	n, first := 0, draw.Space(w-x, 0)
	for n < len(lines) && (n == 0 || first.H < word.H) {
		first.Add(0, first.H, lines[n])
		n++
	}
	top := draw.Space(w, max(first.H, word.H))
	top.Add(2*k, (top.H-word.H)/2, word)
	top.Add(x, (top.H-first.H)/2, first)
	out := []*draw.Group{draw.Space(w, k), band(top, w, 0, 0.6*k)}
	for _, l := range lines[n:] {
		out = append(out, band(draw.Pad(l, x, 0, 0, 0), w, 0, 0))
	}
	return append(out, band(draw.Space(w, 0), w, 0, 0.3*k), draw.Space(w, 0.5*k))
}

// changes lists what is different from last week, with an arrow each.
func (s *cards) changes(h yard.HorsePlan, w, k float64) []*draw.Group {
	c := max(2.9*k, wordsFloor)
	in := 1.6 * c
	out := []*draw.Group{draw.Space(w, 0.8*k)}
	say := func(mark *draw.Group, runs func(words.Language) []draw.Run) {
		lines := closer(c, s.d.Runs(c, w-in, draw.Black, runs(s.Main)...))
		if s.Beside != nil {
			lines = append(lines, closer(0.85*c, s.d.Runs(0.85*c, w-in, draw.Black, runs(*s.Beside)...))...)
		}
		for i, l := range lines {
			g := draw.Space(w, l.H)
			if i == 0 {
				g.Add(0, (l.H-mark.H)/2, mark)
			}
			out = append(out, g.Add(in, 0, l))
		}
	}
	ask := s.d.Line(draw.Bold, c, draw.Black, "?")
	for _, ch := range h.Changes {
		if !ch.FromKg.IsKnown() {
			continue
		}
		mark := ask
		if up := words.ChangeWay(ch); up != 0 {
			mark = draw.Arrow(up > 0, 1.2*c)
		}
		say(mark, func(t words.Language) []draw.Run { return s.changeText(t, ch) })
	}
	if s.notKnownBefore(s.Main, h.Changes) != nil {
		say(ask, func(t words.Language) []draw.Run { return s.notKnownBefore(t, h.Changes) })
	}
	return out
}
