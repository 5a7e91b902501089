package office

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

func (s *office) hardFeed(f *flow.Flow, h yard.HorsePlan) {
	d, st, hf := s.d, h.Step, h.HardFeed
	f.Gap(2.5)
	f.Keep(32)
	title := s.Word("office.hard feed", "unit", s.massUnit())
	if key := "office.step." + string(st.Verdict); s.Main.Has(key) {
		title += " " + s.Word(key)
	}
	s.say(f, draw.Bold, title)
	if o := h.Horse.Override; o.Asked {
		s.say(f, draw.Regular, s.Word("office.override", "who", s.Main.OrNotSaid(o.Who), "reason", s.Main.OrNotSaid(o.Reason), "where", words.Where(o.Cell)))
	}
	var marks []draw.Mark
	hi := 0.0
	mark := func(n yard.Num, word string, above bool, k draw.MarkKind) {
		if v, ok := n.Get(); ok && !math.IsInf(v, 0) && !math.IsNaN(v) {
			v *= s.perKg()
			hi = max(hi, v)
			for i, m := range marks { // one label where two amounts are the same
				if was, at, found := strings.Cut(m.Label, words.NoBreak); found && at == s.Main.Figure(v, 2) && m.Above == above {
					marks[i].Label = was + ", " + word + words.NoBreak + at
					if k == draw.Dot {
						marks[i].Kind = k
					}
					return
				}
			}
			marks = append(marks, draw.Mark{At: v, Label: word + words.NoBreak + s.Main.Figure(v, 2), Above: above, Kind: k})
		}
	}
	mark(hf.Now, s.Word("office.now"), false, draw.Ring)
	mark(hf.Card, s.Word("office.card"), false, draw.Dot)
	mark(hf.Target, s.Word("office.target"), false, draw.Ring)
	mark(hf.Planned, s.Word("office.planned mark"), false, draw.Ring)
	if now, ok := hf.Now.Get(); ok {
		if v, ok := st.WarnKg.Get(); ok {
			mark(yard.Known(now+v), s.Word("office.usual limit"), true, draw.Tick)
		}
		if v, ok := st.StopKg.Get(); ok {
			mark(yard.Known(now+v), s.Word("office.top limit"), true, draw.Tick)
		}
	}
	var path, weeks *draw.Group
	if slices.ContainsFunc(h.Horse.Past, func(p yard.PastWeek) bool { return p.HardKg.IsKnown() }) {
		weeks = s.weeks(h, f.W)
	} else {
		path = s.path(h, 0.36*f.W)
	}
	if len(marks) > 0 && weeks == nil { // the weeks have them all, but for what is planned
		w := f.W - 10
		if path != nil {
			w -= path.W + 4
		}
		g := draw.Pad(draw.NumberLine(d.Set, w, 0, hi*1.08, 2, marks), 5, 0.5, 5, 0.5)
		if path != nil {
			g = draw.Beside(4, g, path)
		}
		f.Put(g)
	}
	if weeks != nil {
		f.Put(weeks)
		s.say(f, draw.Regular, s.Word("office.weeks"))
	} else if len(st.PathKg) == 1 { // more are drawn
		var parts []string
		for i, v := range st.PathKg {
			parts = append(parts, words.Unbroken(s.Word("office.week.amount", "n", strconv.Itoa(i+1), "amount", s.Main.Weight(v))))
		}
		s.say(f, draw.Regular, s.Word("office.path", "weeks", strings.Join(parts, ", ")))
	}
	text := ""
	if weeks != nil {
		text = s.Word("office.amounts", "card", s.mass(hf.Card, 2), "target", s.mass(hf.Target, 2)) + " "
		if hf.Planned.IsKnown() {
			text += s.Word("office.amounts.planned", "planned", s.mass(hf.Planned, 2)) + " "
		}
	}
	key, by := "office.rise", st.RiseKg
	if kg, ok := by.Get(); ok && kg < 0 {
		key, by = "office.fall", yard.Known(-kg)
	}
	s.say(f, draw.Regular, text+s.Word(key, "rise", s.mass(by, 2), "fall", s.mass(by, 2), "usual", s.mass(st.WarnKg, 2), "top", s.mass(st.StopKg, 2),
		"day usual", s.mass(st.DayWarnKg, 2), "day top", s.mass(st.DayStopKg, 2)))
	s.weeksAhead(f, h)
}

// How many weeks past and to come are drawn; the last to come always is.
const maxPast, maxAhead = 12, 8

// weeks draws hard feed over the weeks: what past cards had, what is fed now, and
// the path to the target, against this week's marks. Weeks without a record keep
// their place, empty.
func (s *office) weeks(h yard.HorsePlan, w float64) *draw.Group {
	var all []draw.StepWeek
	add := func(v yard.Num, fill draw.Ink, label ...string) {
		week := draw.StepWeek{Value: math.NaN(), Figure: s.Word("unknown"), Fill: fill}
		if kg, ok := v.Get(); ok {
			kg *= s.perKg()
			week.Value, week.Figure = kg, s.Main.Figure(kg, 2)
		}
		copy(week.Label[:], label)
		all = append(all, week)
	}
	past := map[int]float64{} // by how many weeks ago
	first := 0
	for _, p := range h.Horse.Past {
		days := int(math.Round(s.Plan.Week.Beginning.Sub(p.Beginning).Hours() / 24))
		kg, known := p.HardKg.Get()
		if ago := days / 7; known && days%7 == 0 && ago > 0 && ago <= maxPast {
			past[ago], first = kg, max(first, ago)
		}
	}
	for ago := first; ago > 0; ago-- {
		day := s.Plan.Week.Beginning.AddDate(0, 0, -7*ago)
		label := [2]string{strconv.Itoa(day.Day()), s.Word("month." + strconv.Itoa(int(day.Month())))}
		if kg, ok := past[ago]; ok {
			add(yard.Known(kg), draw.White, label[:]...)
			continue
		}
		all = append(all, draw.StepWeek{Gap: true, Label: label})
	}
	var marks []draw.StepMark
	if now, ok := h.HardFeed.Now.Get(); ok {
		if v, ok := h.Step.WarnKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: (now + v) * s.perKg(), Label: s.Word("office.usual limit") + words.NoBreak + s.Main.Figure((now+v)*s.perKg(), 2), From: len(all), Below: true})
		}
		if v, ok := h.Step.StopKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: (now + v) * s.perKg(), Label: s.Word("office.top limit") + words.NoBreak + s.Main.Figure((now+v)*s.perKg(), 2), From: len(all)})
		}
	}
	add(h.HardFeed.Now, draw.Black, s.Word("office.now"))
	ahead := h.Step.PathKg
	if len(ahead) == 0 {
		add(h.HardFeed.Card, draw.Mid, s.Word("office.card"))
	}
	for i, v := range ahead {
		if last := len(ahead) - 1; i < maxAhead-1 || i == last {
			label := []string{s.Word("office.week"), strconv.Itoa(i + 1)}
			if i == last && h.Step.WeeksToTarget.IsKnown() {
				label[0], label[1] = s.Word("office.target")+",", label[0]+words.NoBreak+label[1]
			}
			add(yard.Known(v), draw.Mid, label...)
		}
	}
	return draw.Steps(s.d.Set, w, 11, 1.9, all, marks)
}

// maxPath is how many weeks to come [sheet.path] draws; the last always is.
const maxPath = 6

// path draws the weeks to the target where there is more than one, now first;
// nil where there is not.
func (s *office) path(h yard.HorsePlan, w float64) *draw.Group {
	if len(h.Step.PathKg) < 2 {
		return nil
	}
	var values []float64
	var figures, labels []string
	add := func(v float64, known bool, label string) {
		v *= s.perKg()
		t := s.Main.Figure(v, 2)
		if !known {
			v, t = math.NaN(), s.Word("unknown")
		}
		values, figures, labels = append(values, v), append(figures, t), append(labels, label)
	}
	now, ok := h.HardFeed.Now.Get()
	add(now, ok, s.Word("office.now"))
	for i, v := range h.Step.PathKg { // more could not be read; all are in the record
		if i < maxPath-1 || i == len(h.Step.PathKg)-1 {
			add(v, true, s.Word("office.week")+words.NoBreak+strconv.Itoa(i+1))
		}
	}
	return draw.Columns(s.d.Set, w, 7, 1.9, values, figures, labels)
}

// weeksAhead is a table of the weeks to come whose work is written down: what
// each asks for, and how far the rise has come by then.
func (s *office) weeksAhead(f *flow.Flow, h yard.HorsePlan) {
	if len(h.Step.Ahead) == 0 {
		return
	}
	d := s.d
	widths := flow.Columns(f.W, 1.3, 1.6, 1, 1, 1, 1, 1.1)
	var rows []*draw.Group
	for _, a := range h.Step.Ahead {
		num := func(i int, t string) flow.Cell {
			return flow.Cell{d.Set.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, t)}
		}
		work := s.Word("office.ahead.written")
		switch {
		case !a.Planned:
			work = s.Word("office.ahead.as before")
		case a.AtLeast:
			work = s.Word("office.ahead.at least")
		}
		cost := "–"
		if a.ShortMcal > 0 {
			cost = s.Main.Figure(a.ShortMcal, 1) + words.NoBreak + "Mcal," + words.NoBreak + s.Main.Figure(a.WeightKg*s.perKg(), 1) + words.NoBreak + s.massUnit()
		}
		rows = append(rows, flow.Row(widths, 0.3*pad, 1e9,
			flow.Whole(d, draw.Regular, 2, widths[0]-2*pad, s.Main.Day(a.Beginning, true)),
			flow.Whole(d, draw.Regular, 2, widths[1]-2*pad, work),
			num(2, s.Main.Figure(a.NeedMcal, 1)), num(3, s.Main.Known(a.SupplyMcal, 1, "")), num(4, s.Main.Figure(a.TargetKg*s.perKg(), 2)), num(5, s.Main.Figure(a.CardKg*s.perKg(), 2)), num(6, cost))...)
	}
	f.Gap(1.5)
	f.Keep(12)
	s.say(f, draw.Bold, s.Word("office.ahead"))
	f.Table(flow.Heading(s.d, widths, 0.3*pad, 1.9, s.Word("office.ahead.week"), s.Word("office.energy.work"), s.Word("office.ahead.need"), s.Word("office.ahead.supply"), s.Word("office.ahead.asked", "unit", s.massUnit()), s.Word("office.ahead.reached", "unit", s.massUnit()), s.Word("office.ahead.short")), rows)
}
