package office

import (
	"math"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// week: what is done each day, its energy, and the hard feed of that day.
func (s *office) week(f *flow.Flow, h yard.HorsePlan) {
	d := s.d
	f.Gap(2)
	need, supply, figs, labels := make([]float64, 7), make([]float64, 7), make([]string, 7), make([]string, 7)
	or := func(n yard.Num) float64 { return n.Or(math.NaN()) }
	widths := flow.Columns(f.W, 1, 1, 1, 1, 1, 1, 1)
	work, feed := make([]flow.Cell, 7), make([]flow.Cell, 7)
	kindWord := map[yard.DayKind]string{yard.WorkDay: "", yard.RestDay: s.Word("office.day.rest"), yard.EventDay: s.Word("office.day.event")}
	for i, day := range h.Days {
		labels[i] = words.Join(" ", s.Main.Weekday(s.Plan.Week, i), kindWord[day.Kind])
		need[i], supply[i] = or(day.EnergyNeed), or(day.Supply)
		figs[i] = s.Main.Known(day.EnergyNeed, 1, "") + " / " + s.Main.Known(day.Supply, 1, "")
		t := day.Work
		if t == "" {
			t = "–"
		}
		work[i] = flow.Whole(d, draw.Regular, 1.9, widths[i]-2*pad, t)
		feed[i] = flow.Cell{d.Set.Number(draw.Bold, body, widths[i]-2*pad, draw.Black, s.mass(day.HardFeedKg, 2))}
	}
	plot := draw.Pairs(d.Set, f.W, 9, 1.9, need, supply, figs, labels)
	f.Keep(plot.H + 16)
	s.say(f, draw.Bold, s.Word("office.days"))
	f.Put(plot)
	f.Put(flow.Row(widths, 0.5*pad, f.Room()-20, work...)...)
	f.Put(flow.Row(widths, 0.5*pad, 1e9, feed...)...)
}

// eventDays is the clock of each event day: the meals with what is fed at them,
// the hours without hard feed, the start.
func (s *office) eventDays(f *flow.Flow, h yard.HorsePlan) {
	for _, e := range h.Events {
		if e.Day < 0 || e.Day > 6 {
			continue
		}
		marks := []draw.Mark{{At: float64(e.Start), Label: words.Unbroken(s.Word("office.event.start", "at", words.Clock(e.Start))), Above: true, Kind: draw.Tick},
			{At: float64(e.NextHardFeed), Label: words.Unbroken(s.Word("office.event.again", "at", words.Clock(e.NextHardFeed))), Above: true, Kind: draw.Ring}}
		if e.LastHardFeed >= 0 {
			marks = append(marks, draw.Mark{At: float64(e.LastHardFeed), Label: words.Unbroken(s.Word("office.event.last", "at", words.Clock(e.LastHardFeed))), Above: true, Kind: draw.Ring})
		}
		first, last := min(e.LastHardFeed, e.Start), max(e.NextHardFeed, e.Start)
		var untimed []string
		for _, m := range words.MealsOf(s.Plan.Week, &h) {
			what := s.fedAt(m, yard.EventDay, int(e.Day))
			if m.Minute < 0 {
				if what != "" {
					untimed = append(untimed, s.Main.Name("meal.", m.Name)+": "+what)
				}
				continue
			}
			first, last = min(first, m.Minute), max(last, m.Minute)
			if what == "" {
				what = s.Word("office.event.nothing")
			}
			marks = append(marks, draw.Mark{At: float64(m.Minute), Label: s.Main.Name("meal.", m.Name) + words.NoBreak + words.Clock(m.Minute) + ": " + what, Kind: draw.Dot})
		}
		lo, hi := max(0, first-30), min(24*60, last+30)
		line := draw.NumberLine(s.d.Set, f.W-10, float64(lo), float64(hi), 1.9, marks, draw.Band{From: float64(max(lo, e.LastHardFeed)), To: float64(min(hi, e.NextHardFeed))})
		g := draw.Pad(line, 5, 0.3, 5, 0.3)
		f.Gap(1.5)
		f.Keep(g.H + 14)
		s.say(f, draw.Bold, s.Word("office.event", "date", s.Main.Date(s.Plan.Week, int(e.Day))))
		f.Put(g)
		after := "office.event.hatched"
		if e.End == e.Start {
			after = "office.event.hatched.no end"
		}
		text := s.Word(after)
		if len(untimed) > 0 {
			text += " " + words.Sentence(strings.Join(untimed, "; "))
		}
		s.say(f, draw.Regular, text+" "+s.Word("office.event.from", "source", s.Main.Source(e.Source)))
	}
}

// fedAt is what a meal gives on a day, in words; empty where it gives nothing.
func (s *office) fedAt(m words.Meal, kind yard.DayKind, day int) string {
	var parts []string
	for _, fd := range m.Feeds {
		for _, v := range words.ValidOn(fd.On(kind), day) {
			if a := s.AmountOf(*v); !a.None {
				parts = append(parts, fd.Feed+words.NoBreak+a.String())
			}
		}
	}
	return strings.Join(parts, ", ")
}

func (s *office) servingTable(f *flow.Flow, h yard.HorsePlan) {
	d, w := s.d, s.Plan.Week
	cols := words.Columns(h)
	shares, texts := []float64{0.8, 1.4}, []string{s.Word("office.head.meal"), s.Word("office.head.feed")}
	for _, c := range cols {
		head := s.Word(c.Head)
		if c.Short != "" { // of some days only
			head = words.Join(": ", head, s.Main.Says(w, c))
		}
		shares, texts = append(shares, 1.7), append(texts, head)
	}
	widths := flow.Columns(f.W, shares...)
	var rows []*draw.Group
	for _, m := range words.MealsOf(w, &h) {
		for i, mf := range m.Feeds {
			name := ""
			if i == 0 {
				name = s.Main.Name("meal.", m.Name)
			}
			cells := []flow.Cell{
				flow.Whole(d, draw.Bold, 2, widths[0]-2*pad, name),
				flow.Whole(d, draw.Regular, 2, widths[1]-2*pad, mf.Feed),
			}
			for j, col := range cols {
				var c flow.Cell
				stages := s.Stages(col, mf.On(col.Kind))
				if len(stages) == 0 {
					c = flow.Whole(d, draw.Regular, 2, widths[j+2]-2*pad, s.Word(col.Nothing()))
				}
				for _, st := range stages {
					t := st.Amount.String()
					if st.Amount.Weigh {
						t = s.Word("amount.weigh") + " " + t
					}
					if st.Amount.Aside != "" {
						t += ", " + st.Amount.Aside
					}
					if st.Serving.AdLib {
						t += " " + s.Word("office.ad lib", "kg", s.Main.Weight(float64(st.Serving.Kg)))
					}
					if st.Amount.Unweighed {
						t += ", " + s.Word("amount.unweighed")
					}
					c = append(c, flow.Whole(d, draw.Regular, 2, widths[j+2]-2*pad, words.Join(": ", s.Main.Days(w, st), t))...)
				}
				cells = append(cells, c)
			}
			rows = append(rows, flow.Row(widths, pad*0.4, f.Room()-20, cells...)...)
		}
	}
	f.Gap(2)
	f.Table(flow.Heading(s.d, widths, pad*0.4, 2, texts...), rows)
}
