package office

import (
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

func (s *office) orderList(f *flow.Flow) {
	d := s.d
	f.End()
	s.title(f, 4.5, "Order list", true)
	if len(s.Plan.Feeds) == 0 {
		s.say(f, draw.Regular, "No feed is listed.")
		return
	}
	widths := flow.Columns(f.W, 2.2, 1.2, 1.3, 1, 1.2)
	var rows []*draw.Group
	estimated := false
	for _, n := range s.Plan.Feeds {
		if n.Grazed {
			continue
		}
		kg := s.mass(yard.Known(n.KgWeek), 1)
		if n.Estimated {
			kg, estimated = "about "+kg+" *", true
		}
		unit := n.Feed.PackName
		if unit == "" {
			unit = "pack"
		}
		packs := "unknown"
		if v, ok := n.Packs.Get(); ok {
			packs = words.Figure(v, 1) + words.NoBreak + words.English().Plural(v, unit)
		}
		stock := words.Known(n.StockDays, 0, "days")
		text := func(i int, t string) flow.Cell {
			return flow.Cell{d.Number(draw.Regular, body, widths[i]-2*pad, draw.Black, t)}
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20,
			d.Lines(draw.Bold, body, widths[0]-2*pad, draw.Black, n.Feed.Name),
			text(1, kg), text(2, packs), text(3, words.Known(n.Cost, 2, "")), text(4, stock))...)
	}
	f.Table(flow.Heading(s.d, widths, pad, body, "Feed", "Week", "Packs", "Cost", "Stock lasts"), rows)
	if estimated {
		s.say(f, draw.Regular, "* some of it is fed ad lib: eaten, not served, so its weight is an estimate.")
	}
}

func (s *office) sources(f *flow.Flow) {
	s.title(f, 4.5, "Sources and assumptions", true)
	s.say(f, draw.Regular, "Needs: "+s.Main.OrNotSaid(s.Plan.Standard)+". Work: "+s.Main.OrNotSaid(s.Plan.WorkModel)+".")
	var rows []*draw.Group
	widths := flow.Columns(f.W, 1.4, 4.2, 2)
	for _, n := range s.Plan.Feeds {
		scoop := ""
		switch {
		case n.Unweighed:
			scoop = words.Join(": ", "UNWEIGHED", n.DensityFrom)
		case n.MeasureKg.IsKnown() && n.Feed.MeasureWeighed.IsZero():
			scoop = s.mass(n.MeasureKg, 3) + " from the feeds sheet, no date of weighing"
		case n.MeasureKg.IsKnown():
			scoop = s.mass(n.MeasureKg, 3) + " weighed on " + n.Feed.MeasureWeighed.Format("2 Jan 2006")
		}
		var cells []flow.Cell
		for i, t := range []string{n.Feed.Name, s.Main.OrNotSaid(n.CompFrom), scoop} {
			cells = append(cells, s.d.Lines(draw.Regular, 2, widths[i]-2*pad, draw.Black, t))
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20, cells...)...)
	}
	f.Gap(1)
	f.Table(flow.Heading(s.d, widths, pad, 2, "Feed", "Composition from", "One level measure"), rows)
	var from []string
	for _, h := range s.Plan.Horses {
		for _, n := range h.Nutrients {
			for _, t := range []string{n.Source, n.LimitSource} {
				if t != "" && !slices.Contains(from, t) {
					from = append(from, t)
				}
			}
		}
	}
	f.Gap(2)
	if len(from) > 0 {
		s.say(f, draw.Regular, "Nutrient needs and limits: "+strings.Join(from, "; ")+".")
	}
	f.Gap(2)
	for _, t := range reportFoot {
		s.say(f, draw.Bold, t)
	}
}

var reportFoot = []string{
	"Limits come from published guidance, their row ids are given; they do not replace a vet or a qualified nutritionist.",
	"Competition rules and feed law differ by place: check yours.",
	"A total with an unknown part is printed as \"at least\"; no shortfall is claimed from it.",
}
