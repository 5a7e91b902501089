package report

import (
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// weeksAhead is a table of the weeks to come whose work is written down: what
// each asks for, and how far the climb has come by then.
func (s *sheet) weeksAhead(f *flow, h yard.HorsePlan) {
	if len(h.Step.Ahead) == 0 {
		return
	}
	d := s.d
	widths := columns(f.w, 1.3, 1.6, 1, 1, 1, 1, 1.1)
	var rows []*draw.Group
	for _, a := range h.Step.Ahead {
		num := func(i int, t string) cell {
			return cell{d.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, t)}
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
			cost = figure(a.ShortMcal, 1) + nb + "Mcal," + nb + figure(a.WeightKg, 1) + nb + "kg"
		}
		rows = append(rows, row(widths, 0.3*pad, 1e9,
			d.Lines(draw.Regular, 2, widths[0]-2*pad, draw.Black, a.Beginning.Format("2 Jan 2006")),
			d.Lines(draw.Regular, 2, widths[1]-2*pad, draw.Black, work),
			num(2, figure(a.NeedMcal, 1)), num(3, known(a.SupplyMcal, 1, "")), num(4, figure(a.TargetKg, 2)), num(5, figure(a.CardKg, 2)), num(6, cost))...)
	}
	f.gap(1.5)
	f.keep(12)
	s.say(f, draw.Bold, "Weeks to come, by the work written down for them; body weight, grass and temperature as this week")
	f.table(s.heading(widths, 0.3*pad, 1.9, "Week beginning", "Work", "Need, Mcal DE a day", "Reached by then", "Hard feed asked for, kg", "Hard feed reached, kg", "Short a day; weight it would cost in the week"), rows)
}
