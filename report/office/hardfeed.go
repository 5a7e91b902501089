package office

import (
	"fmt"
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
	verdict := map[yard.Verdict]string{
		yard.StepWithin: "within the marks", yard.StepWarn: "over the warn mark", yard.StepStop: "over the stop mark",
		yard.StepUnknown: "step unknown: what was fed last week is not known", yard.StepOverridden: "over the stop mark, overridden",
	}[st.Verdict]
	s.say(f, draw.Bold, words.Join(": ", "Hard feed, "+s.massUnit()+" as fed a work day", verdict))
	if o := h.Horse.Override; o.Asked {
		s.say(f, draw.Regular, fmt.Sprintf("Override asked for by %s: %s (%s).", s.Main.OrNotSaid(o.Who), s.Main.OrNotSaid(o.Reason), words.Where(o.Cell)))
	}
	var marks []draw.Mark
	hi := 0.0
	mark := func(n yard.Num, word string, above bool, k draw.MarkKind) {
		if v, ok := n.Get(); ok && !math.IsInf(v, 0) && !math.IsNaN(v) {
			v *= s.perKg()
			hi = max(hi, v)
			for i, m := range marks { // one label where two amounts are the same
				if was, at, found := strings.Cut(m.Label, words.NoBreak); found && at == words.Figure(v, 2) && m.Above == above {
					marks[i].Label = was + ", " + word + words.NoBreak + at
					if k == draw.Dot {
						marks[i].Kind = k
					}
					return
				}
			}
			marks = append(marks, draw.Mark{At: v, Label: word + words.NoBreak + words.Figure(v, 2), Above: above, Kind: k})
		}
	}
	mark(hf.Now, "now", false, draw.Ring)
	mark(hf.Card, "card", false, draw.Dot)
	mark(hf.Target, "target", false, draw.Ring)
	mark(hf.Planned, "planned", false, draw.Ring)
	if now, ok := hf.Now.Get(); ok {
		if v, ok := st.WarnKg.Get(); ok {
			mark(yard.Known(now+v), "warn above", true, draw.Tick)
		}
		if v, ok := st.StopKg.Get(); ok {
			mark(yard.Known(now+v), "stop above", true, draw.Tick)
		}
	} else {
		s.say(f, draw.Regular, "What was fed last week is not known, so no step can be measured.")
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
		g := draw.Pad(d.NumberLine(w, 0, hi*1.08, 2, marks), 5, 0.5, 5, 0.5)
		if path != nil {
			g = draw.Beside(4, g, path)
		}
		f.Put(g)
	}
	if weeks != nil {
		f.Put(weeks)
		s.say(f, draw.Regular, "Outlined: the cards of past weeks, by their first day; no bar: no record. Black: now. Grey: to come. Marks: for this week's rise.")
	} else if len(st.PathKg) == 1 { // more are drawn
		var parts []string
		for i, v := range st.PathKg {
			parts = append(parts, fmt.Sprintf("week%s%d:%s%s", words.NoBreak, i+1, words.NoBreak, s.Main.Weight(v)))
		}
		s.say(f, draw.Regular, "Path: "+strings.Join(parts, ", ")+".")
	}
	rise := "Rise against now "
	if weeks != nil {
		amounts := "Card " + s.mass(hf.Card, 2) + ", target " + s.mass(hf.Target, 2)
		if hf.Planned.IsKnown() {
			amounts += ", planned " + s.mass(hf.Planned, 2)
		}
		rise = amounts + "; rise against now "
	}
	s.say(f, draw.Regular, words.Join("; ",
		rise+s.mass(st.RiseKg, 2),
		"warn and stop marks for a week "+s.mass(st.WarnKg, 2)+" and "+s.mass(st.StopKg, 2),
		"for a day "+s.mass(st.DayWarnKg, 2)+" and "+s.mass(st.DayStopKg, 2))+".")
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
		week := draw.StepWeek{Value: math.NaN(), Figure: "unknown", Fill: fill}
		if kg, ok := v.Get(); ok {
			kg *= s.perKg()
			week.Value, week.Figure = kg, words.Figure(kg, 2)
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
		label := [2]string{strconv.Itoa(day.Day()), day.Format("Jan")}
		if kg, ok := past[ago]; ok {
			add(yard.Known(kg), draw.White, label[:]...)
			continue
		}
		all = append(all, draw.StepWeek{Gap: true, Label: label})
	}
	var marks []draw.StepMark
	if now, ok := h.HardFeed.Now.Get(); ok {
		if v, ok := h.Step.WarnKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: (now + v) * s.perKg(), Label: "warn above" + words.NoBreak + words.Figure((now+v)*s.perKg(), 2), From: len(all), Below: true})
		}
		if v, ok := h.Step.StopKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: (now + v) * s.perKg(), Label: "stop above" + words.NoBreak + words.Figure((now+v)*s.perKg(), 2), From: len(all)})
		}
	}
	add(h.HardFeed.Now, draw.Black, "now")
	ahead := h.Step.PathKg
	if len(ahead) == 0 {
		add(h.HardFeed.Card, draw.Mid, "this", "week")
	}
	for i, v := range ahead {
		if last := len(ahead) - 1; i < maxAhead-1 || i == last {
			label := []string{"week", strconv.Itoa(i + 1)}
			if i == last && h.Step.WeeksToTarget.IsKnown() {
				label[0] = "target,"
				label[1] = "week" + words.NoBreak + label[1]
			}
			add(yard.Known(v), draw.Mid, label...)
		}
	}
	return s.d.Steps(w, 11, 1.9, all, marks)
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
		t := words.Figure(v, 2)
		if !known {
			v, t = math.NaN(), "unknown"
		}
		values, figures, labels = append(values, v), append(figures, t), append(labels, label)
	}
	now, ok := h.HardFeed.Now.Get()
	add(now, ok, "now")
	for i, v := range h.Step.PathKg { // more could not be read; all stand in the record
		if i < maxPath-1 || i == len(h.Step.PathKg)-1 {
			add(v, true, fmt.Sprintf("week%s%d", words.NoBreak, i+1))
		}
	}
	return s.d.Columns(w, 7, 1.9, values, figures, labels)
}

// weeksAhead is a table of the weeks to come whose work is written down: what
// each asks for, and how far the climb has come by then.
func (s *office) weeksAhead(f *flow.Flow, h yard.HorsePlan) {
	if len(h.Step.Ahead) == 0 {
		return
	}
	d := s.d
	widths := flow.Columns(f.W, 1.3, 1.6, 1, 1, 1, 1, 1.1)
	var rows []*draw.Group
	for _, a := range h.Step.Ahead {
		num := func(i int, t string) flow.Cell {
			return flow.Cell{d.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, t)}
		}
		work := "as written down"
		switch {
		case !a.Planned:
			work = "not written down: taken as the week before"
		case a.AtLeast:
			work = "partly unknown: at least"
		}
		cost := "–"
		if a.ShortMcal > 0 {
			cost = words.Figure(a.ShortMcal, 1) + words.NoBreak + "Mcal," + words.NoBreak + words.Figure(a.WeightKg*s.perKg(), 1) + words.NoBreak + s.massUnit()
		}
		rows = append(rows, flow.Row(widths, 0.3*pad, 1e9,
			d.Lines(draw.Regular, 2, widths[0]-2*pad, draw.Black, a.Beginning.Format("2 Jan 2006")),
			d.Lines(draw.Regular, 2, widths[1]-2*pad, draw.Black, work),
			num(2, words.Figure(a.NeedMcal, 1)), num(3, words.Known(a.SupplyMcal, 1, "")), num(4, words.Figure(a.TargetKg*s.perKg(), 2)), num(5, words.Figure(a.CardKg*s.perKg(), 2)), num(6, cost))...)
	}
	f.Gap(1.5)
	f.Keep(12)
	s.say(f, draw.Bold, "Weeks to come, by the work written down for them; body weight, grass and temperature as this week")
	f.Table(flow.Heading(s.d, widths, 0.3*pad, 1.9, "Week beginning", "Work", "Need, Mcal DE a day", "Reached by then", "Hard feed asked for, "+s.massUnit(), "Hard feed reached, "+s.massUnit(), "Short a day; weight it would cost in the week"), rows)
}
