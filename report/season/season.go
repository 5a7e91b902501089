// Package season is season.pdf: a page a horse over the weeks of the record and the weeks
// that are written down, for whoever plans the season.
package season

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

const (
	margin = 12.0
	body   = 2.2 // cap height of running text, mm: 9 point
	figure = 1.9 // and of a chart's figures
)

// season is season.pdf on its way.
type season struct {
	*words.Sheet
	d *draw.Doc
}

// Document is season.pdf.
func Document() *flow.Document {
	return &flow.Document{Title: func(s *words.Sheet) string { return s.Word("office.season.title") }, Alone: true, Draw: drawSeason}
}

func drawSeason(sheet *words.Sheet, d *draw.Doc) error {
	s := &season{sheet, d}
	f := &flow.Flow{D: d, X: margin, W: d.PageW - 2*margin, Top: margin, Foot: d.PageH - margin - 6}
	for i, h := range s.Plan.Horses {
		d.Drawing = h.Horse.Name
		if i > 0 {
			f.End()
		}
		s.page(f, h)
	}
	if len(s.Plan.Horses) == 0 {
		s.say(f, draw.Regular, s.Word("office.season.nothing"))
	}
	d.Drawing = ""
	f.End()
	flow.PageFeet(s.Sheet, d, margin, f.W, words.Join(", ", s.Word("office.season.title"), s.Plan.Week.Yard, s.Main.WeekSpan(s.Plan.Week), s.EditionWord(), words.Join(" ", "hardfeed", s.Meta.Version)))
	return nil
}

func (s *season) say(f *flow.Flow, face draw.Face, text string) {
	f.Put(s.d.Set.Lines(face, body, f.W, draw.Black, text)...)
}

// week is one place of a horse's charts. What is not known is unknown; a past week
// without a record has nothing.
type week struct {
	begins     time.Time // zero in an undated yard
	ago        int       // 0: this week; under 0: to come
	recorded   bool
	minutes    yard.Num // of work; unknown in part is unknown
	hardKg     yard.Num // hard feed a work day, once the week's steps are done
	warn, stop yard.Num // what it could go up to: warned above, reduced above
	unknown    bool     // part of the work written down for a week to come is not known
}

// event is a competition or outing.
type event struct {
	date time.Time
	text string
}

// page is a horse's.
func (s *season) page(f *flow.Flow, h yard.HorsePlan) {
	name := s.d.Set.Fit(draw.Bold, 6, 3, f.W, draw.Black, h.Horse.Name)
	f.Put(draw.Space(0, 0).Add(0, 0, name).Draw(func(d *draw.Doc, _, _ float64) { d.Mark(h.Horse.Name, false) }))
	weeks := s.weeks(h)
	first, last := weeks[0], weeks[len(weeks)-1]
	if first.begins.IsZero() {
		s.say(f, draw.Regular, s.Word("office.season.undated"))
	} else {
		s.say(f, draw.Regular, s.Word("office.season.span", "from", s.Main.Day(first.begins, true), "to", s.Main.Day(last.begins.AddDate(0, 0, 6), true)))
	}
	if !slices.ContainsFunc(weeks, func(w week) bool { return w.ago > 0 && w.recorded }) {
		s.say(f, draw.Regular, s.Word("office.season.no record"))
	}
	all := events(s.Plan.Week, h)
	var flags []float64
	for _, e := range all {
		flags = append(flags, since(first.begins, e.date)+0.5/7)
	}
	below := s.dates(weeks, f.W)
	chart := func(title string, high float64, p draw.WeekPanel) {
		p.Weeks, p.Below, p.Flags = len(weeks), below, flags
		g := draw.WeekChart(s.d.Set, f.W, high, figure, p)
		f.Gap(2.5)
		f.Keep(g.H + 6)
		s.say(f, draw.Bold, title)
		f.Put(g)
	}
	whole := func(v float64) string { return s.Main.Figure(v, 0) }
	chart(s.Word("office.season.work"), 40, draw.WeekPanel{FromZero: true, Scale: whole, Bars: bars(weeks, func(w week) yard.Num { return w.minutes })})
	unit := "kg"
	if s.Plan.Week.Imperial {
		unit = "lb"
	}
	chart(s.Word("office.season.hard", "unit", unit), 52, draw.WeekPanel{FromZero: true, Scale: func(v float64) string { return s.Main.Figure(v, 2) },
		Bars: bars(weeks, func(w week) yard.Num { return s.inUnits(w.hardKg) }), Marks: s.marks(weeks)})
	if weight := s.weight(h, first.begins); len(weight.Points)+len(weight.Fan) > 0 {
		weight.Scale = whole
		chart(s.Word("office.season.weight", "unit", unit), 56, weight)
		if len(weight.Fan) > 1 {
			s.say(f, draw.Regular, s.Word("office.season.fan"))
		}
		if slices.ContainsFunc(weight.Points, func(p draw.WeekPoint) bool { return p.Open }) {
			s.say(f, draw.Regular, s.Word("office.season.odd"))
		}
	} else {
		f.Gap(2.5)
		s.say(f, draw.Regular, s.Word("office.season.unweighed"))
	}
	s.eventList(f, all)
	f.Gap(2.5)
	s.say(f, draw.Regular, s.Word("office.season.key"))
	s.say(f, draw.Regular, s.Word("office.season.marks"))
}

func (s *season) eventList(f *flow.Flow, all []event) {
	if len(all) == 0 {
		return
	}
	f.Gap(2.5)
	s.say(f, draw.Bold, s.Word("office.season.events"))
	var said []string
	for _, e := range all {
		text, _ := draw.Printable(strings.Join(strings.Fields(e.text), " "))
		said = append(said, strings.ReplaceAll(s.Main.Day(e.date, false), " ", words.NoBreak)+": "+cmp.Or(text, s.Word("office.season.event")))
	}
	s.say(f, draw.Regular, strings.Join(said, "; ")+".")
}

// weeks are the places of a horse's charts, oldest first: from the first record or
// weighing of the last half-year to the last week that is written down or foretold.
func (s *season) weeks(h yard.HorsePlan) []week {
	begins := s.Plan.Week.Beginning
	now := week{begins: begins, minutes: yard.Known(h.WorkMinutes), hardKg: h.HardFeed.Card, recorded: true}
	if h.WorkAtLeast || !h.Horse.WorkGiven {
		now.minutes = yard.Num{}
	}
	now.warn, now.stop = above(h.HardFeed.Now, h.Step.WarnKg), above(h.HardFeed.Now, h.Step.StopKg)
	if begins.IsZero() {
		return []week{now}
	}
	past := map[int]yard.PastWeek{}
	first, last := 0, 0
	for _, p := range h.Horse.Past {
		ago := -place(begins, p.Beginning)
		past[ago], first = p, max(first, ago)
	}
	for _, w := range h.Horse.Weighings {
		if ago := -place(begins, w.Date); ago <= yard.MostPastWeeks {
			first = max(first, ago)
		}
	}
	later := map[int]yard.WorkWeek{}
	for _, l := range h.Horse.Later {
		ahead := place(begins, l.Beginning)
		later[ahead], last = l, max(last, ahead)
	}
	path := map[int]yard.Num{}
	for i, kg := range h.Step.PathKg {
		path[i], last = yard.Known(kg), max(last, i)
	}
	for _, a := range h.Step.Ahead {
		ahead := place(begins, a.Beginning)
		path[ahead], last = yard.Known(a.CardKg), max(last, ahead)
	}
	if h.Evidence != nil {
		for _, a := range h.Evidence.Ahead {
			last = max(last, place(begins, a.On.AddDate(0, 0, -1)))
		}
	}
	last = min(last, yard.MostWeeksAhead)
	var out []week
	for ago := first; ago > 0; ago-- {
		w := week{begins: begins.AddDate(0, 0, -7*ago), ago: ago}
		if p, ok := past[ago]; ok {
			w.recorded, w.minutes, w.hardKg = true, p.WorkMinutes(), p.HardKg
			w.warn, w.stop = above(p.FromKg, p.WarnKg), above(p.FromKg, p.StopKg)
		}
		out = append(out, w)
	}
	out = append(out, now)
	for i := 1; i <= last; i++ {
		w := week{begins: begins.AddDate(0, 0, 7*i), ago: -i, hardKg: path[i]}
		if l, ok := later[i]; ok {
			w.minutes = minutesOf(l.Work)
			w.unknown = !w.minutes.IsKnown()
		}
		out = append(out, w)
	}
	return out
}

func above(from, rise yard.Num) yard.Num {
	a, ok := from.Get()
	b, ok2 := rise.Get()
	if !ok || !ok2 {
		return yard.Num{}
	}
	return yard.Known(a + b)
}

// minutesOf is a week's work; unknown where a day's is.
func minutesOf(days [7]yard.Day) yard.Num {
	t := 0.0
	for _, d := range days {
		if d.Unknown {
			return yard.Num{}
		}
		for _, x := range d.Sessions {
			t += x.Total()
		}
	}
	return yard.Known(t)
}

// since is how many weeks a day lies after the first.
func since(first, day time.Time) float64 { return math.Round(day.Sub(first).Hours()/24) / 7 }

// place is the week a day lies in, counted from the one that begins at begins.
func place(begins, day time.Time) int { return int(math.Floor(since(begins, day) + 1e-9)) }

// bars are outlined for past weeks, black for this one and grey for those to come. Of a
// past week without a record, and of an amount to come that is not worked out, there is none.
func bars(weeks []week, of func(week) yard.Num) (out []draw.WeekBar) {
	for i, w := range weeks {
		v, known := of(w).Get()
		b := draw.WeekBar{Week: i, Value: v, Fill: draw.Black}
		switch {
		case w.ago > 0 && !w.recorded, w.ago < 0 && !known && !w.unknown:
			continue
		case w.ago > 0:
			b.Fill = draw.White
		case w.ago < 0:
			b.Fill = draw.Mid
		}
		if !known {
			b.Value = math.NaN()
		}
		out = append(out, b)
	}
	return out
}

func (s *season) marks(weeks []week) (out []draw.WeekMark) {
	for i, w := range weeks {
		for _, m := range []struct {
			at    yard.Num
			heavy bool
		}{{w.warn, false}, {w.stop, true}} {
			if v, ok := s.inUnits(m.at).Get(); ok {
				out = append(out, draw.WeekMark{Week: i, Value: v, Heavy: m.heavy})
			}
		}
	}
	return out
}

// inUnits is a weight in the yard's units.
func (s *season) inUnits(kg yard.Num) yard.Num {
	v, ok := kg.Get()
	if ok && s.Plan.Week.Imperial {
		return yard.Known(v * words.LbPerKg)
	}
	return kg
}

// weight is the weighings, and what is expected on this card.
func (s *season) weight(h yard.HorsePlan, first time.Time) (p draw.WeekPanel) {
	if first.IsZero() {
		return p
	}
	in := func(kg float64) float64 { return s.inUnits(yard.Known(kg)).Or(kg) }
	for _, w := range h.Horse.Weighings {
		kg, ok := w.Kg.Get()
		if at := since(first, w.Date); ok && at >= 0 {
			odd := h.Evidence != nil && slices.ContainsFunc(h.Evidence.Odd, func(o yard.OddWeighing) bool { return o.Weighing.Date.Equal(w.Date) && o.Weighing.Kg == w.Kg })
			p.Points = append(p.Points, draw.WeekPoint{At: at, Value: in(kg), Open: odd})
		}
	}
	// The weights that past cards went by, where no weighing is kept any more.
	if len(h.Horse.Weighings) < 2 {
		p.Points = nil
		for _, w := range h.Horse.Past {
			if kg, ok := w.WeightKg.Get(); ok {
				p.Points = append(p.Points, draw.WeekPoint{At: since(first, w.Beginning) + 0.5, Value: in(kg)})
			}
		}
		if kg, ok := h.WeightKg.Get(); ok {
			p.Points = append(p.Points, draw.WeekPoint{At: since(first, s.Plan.Week.Beginning) + 0.5, Value: in(kg)})
		}
	}
	slices.SortStableFunc(p.Points, func(a, b draw.WeekPoint) int { return cmp.Compare(a.At, b.At) })
	if h.Evidence != nil {
		for _, a := range h.Evidence.Ahead {
			p.Fan = append(p.Fan, draw.WeekRange{At: since(first, a.On), Low: in(a.WeightKg.Low), Mean: in(a.WeightKg.Mean), High: in(a.WeightKg.High)})
		}
	}
	return p
}

// events are those of the record, of this week and of the weeks written down, in order.
func events(w yard.Week, h yard.HorsePlan) (out []event) {
	if w.Beginning.IsZero() {
		return nil
	}
	for _, p := range h.Horse.Past {
		for _, e := range p.Events {
			out = append(out, event{e.Date, e.Text})
		}
	}
	add := func(begins time.Time, days [7]yard.Day) {
		for i, d := range days {
			if d.Event {
				out = append(out, event{begins.AddDate(0, 0, i), d.Text})
			}
		}
	}
	add(w.Beginning, h.Horse.Work)
	for _, l := range h.Horse.Later {
		add(l.Beginning, l.Work)
	}
	return out
}

// dates are what is under the weeks: as many of their first days as there is room
// for, this week's always.
func (s *season) dates(weeks []week, w float64) []string {
	out := make([]string, len(weeks))
	now := slices.IndexFunc(weeks, func(x week) bool { return x.ago == 0 })
	every := max(1, int(math.Ceil(13*float64(len(weeks))/w)))
	for i, x := range weeks {
		if (i-now)%every == 0 && !x.begins.IsZero() {
			out[i] = s.Word("office.season.date", "day", s.Main.Figure(float64(x.begins.Day()), 0), "month", s.Word("month."+s.Main.Figure(float64(x.begins.Month()), 0)))
		}
	}
	return out
}
