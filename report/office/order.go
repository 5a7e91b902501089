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
	s.title(f, 4.5, s.Word("office.order"), true)
	if len(s.Plan.Feeds) == 0 {
		s.say(f, draw.Regular, s.Word("office.order.none"))
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
			kg, estimated = s.Word("amount.about", "amount", kg)+" *", true
		}
		unit := n.Feed.PackName
		if unit == "" {
			unit = s.Word("office.order.pack")
		}
		packs := s.Word("unknown")
		if v, ok := n.Packs.Get(); ok {
			packs = s.Main.Figure(v, 1) + words.NoBreak + s.Main.Plural(v, unit)
		}
		stock := s.Word("unknown")
		if v, ok := n.StockDays.Get(); ok {
			stock = s.Word("office.order.days", "n", s.Main.Figure(v, 0))
		}
		text := func(i int, t string) flow.Cell {
			return flow.Cell{d.Set.Number(draw.Regular, body, widths[i]-2*pad, draw.Black, t)}
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20,
			flow.Whole(d, draw.Bold, body, widths[0]-2*pad, n.Feed.Name),
			text(1, kg), text(2, packs), text(3, s.Main.Known(n.Cost, 2, "")), text(4, stock))...)
	}
	f.Table(flow.Heading(s.d, widths, pad, body, s.Word("office.head.feed"), s.Word("office.order.week"), s.Word("office.order.packs"), s.Word("office.order.cost"), s.Word("office.order.lasts")), rows)
	if estimated {
		s.say(f, draw.Regular, s.Word("office.order.estimated"))
	}
}

func (s *office) sources(f *flow.Flow) {
	s.title(f, 4.5, s.Word("office.sources"), true)
	model := s.Main.OrNotSaid(s.Plan.WorkModel)
	if key := "working.model." + s.Plan.WorkModel; s.Main.Has(key) {
		model = s.Word(key)
	}
	s.say(f, draw.Regular, s.Word("office.sources.standard", "needs", s.Main.OrNotSaid(s.Plan.Standard), "work", model))
	var rows []*draw.Group
	widths := flow.Columns(f.W, 1.4, 4.2, 2)
	for _, n := range s.Plan.Feeds {
		scoop := ""
		switch {
		case n.Unweighed:
			scoop = words.Join(": ", s.Word("amount.unweighed"), s.Main.Source(n.DensityFrom))
		case n.MeasureKg.IsKnown() && n.Feed.MeasureWeighed.IsZero():
			scoop = s.Word("office.measure.undated", "kg", s.mass(n.MeasureKg, 3))
		case n.MeasureKg.IsKnown():
			scoop = s.Word("office.measure.weighed", "kg", s.mass(n.MeasureKg, 3), "date", s.Main.Day(n.Feed.MeasureWeighed, true))
		}
		var cells []flow.Cell
		for i, t := range []string{n.Feed.Name, s.Main.OrNotSaid(s.Main.Source(n.CompFrom)), scoop} {
			cells = append(cells, flow.Whole(s.d, draw.Regular, 2, widths[i]-2*pad, t))
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20, cells...)...)
	}
	f.Gap(1)
	f.Table(flow.Heading(s.d, widths, pad, 2, s.Word("office.head.feed"), s.Word("office.head.composition"), s.Word("office.head.measure")), rows)
	var from []string
	for _, h := range s.Plan.Horses {
		for _, n := range h.Nutrients {
			for _, t := range []string{n.Source, n.LimitSource} {
				t = s.Main.Source(t)
				if t != "" && !slices.Contains(from, t) {
					from = append(from, t)
				}
			}
		}
	}
	f.Gap(2)
	if len(from) > 0 {
		s.say(f, draw.Regular, s.Word("office.sources.nutrients", "from", strings.Join(from, "; ")))
	}
	f.Gap(2)
	for _, key := range s.Main.Keys("office.foot.") {
		s.say(f, draw.Bold, s.Word(key))
	}
}
