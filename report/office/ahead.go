package office

import (
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

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
			cost = words.Figure(a.ShortMcal, 1) + words.NoBreak + "Mcal," + words.NoBreak + words.Figure(a.WeightKg, 1) + words.NoBreak + "kg"
		}
		rows = append(rows, flow.Row(widths, 0.3*pad, 1e9,
			d.Lines(draw.Regular, 2, widths[0]-2*pad, draw.Black, a.Beginning.Format("2 Jan 2006")),
			d.Lines(draw.Regular, 2, widths[1]-2*pad, draw.Black, work),
			num(2, words.Figure(a.NeedMcal, 1)), num(3, words.Known(a.SupplyMcal, 1, "")), num(4, words.Figure(a.TargetKg, 2)), num(5, words.Figure(a.CardKg, 2)), num(6, cost))...)
	}
	f.Gap(1.5)
	f.Keep(12)
	s.say(f, draw.Bold, "Weeks to come, by the work written down for them; body weight, grass and temperature as this week")
	f.Table(flow.Heading(s.d, widths, 0.3*pad, 1.9, "Week beginning", "Work", "Need, Mcal DE a day", "Reached by then", "Hard feed asked for, kg", "Hard feed reached, kg", "Short a day; weight it would cost in the week"), rows)
}
