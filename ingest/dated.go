package ingest

import (
	"math"
	"slices"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// datedRations are the lines of a rations sheet that keeps the weeks below each other,
// each row with its week: what was fed in the weeks before is history, what was fed in
// the last of them is fed now, and what is under the week itself is its plan.
type datedRations struct {
	log     *log
	t       *table
	base    time.Time               // the first day of the week that is planned
	at      map[int]time.Time       // the day that a row is dated by; zero: it has none that can be read
	current bool                    // rows of the week itself say what is fed now
	row     int                     // the one that is being read
	misread map[horseWeek]xlsx.Cell // an amount that could not be read

	lines map[string][]datedLine // by horse
	order []string
}

type horseWeek struct {
	horse string
	weeks int // after the one that is planned
}

type datedLine struct {
	yard.Line
	day time.Time
}

// datedRationsOf finds out whether a table keeps several weeks: the same feed of a horse
// is there under different days. A date beside each row alone may be anything.
func datedRationsOf(t *table, walk walker, week time.Time) *datedRations {
	if !t.has("week") {
		return nil
	}
	d := &datedRations{log: walk.log, t: t, base: week, at: map[int]time.Time{}, misread: map[horseWeek]xlsx.Cell{}, lines: map[string][]datedLine{}}
	type who struct{ horse, feed, meal string }
	said := map[who]string{} // the week, as it is written
	several := false
	var latest time.Time
	var above xlsx.Cell
	walk.rows(t, "horse", func(rw xlsx.Row) {
		c := t.cell(rw, "week")
		if c.Kind == xlsx.Empty {
			if m, ok := t.sheet.Merged(rw.N, columnOfKey(t, "week")); ok && m.Row1 <= above.Row && above.Row > 0 {
				c = above
			}
		} else {
			above = c
		}
		day := weekDay(c)
		d.at[rw.N] = day
		if blank(c) {
			return
		}
		k := who{plainName(t.cell(rw, "horse").Shown), fold(t.cell(rw, "feed").Shown), fold(t.cell(rw, "meal").Shown)}
		first, seen := said[k]
		several = several || seen && first != c.Shown
		said[k] = c.Shown
		if day.After(latest) {
			latest = day
		}
	}, func(xlsx.Cell) {})
	if !several {
		return nil
	}
	if d.base.IsZero() {
		d.base = latest // the latest week there is
	}
	if _, ok := t.col("planned"); ok {
		walk.rows(t, "horse", func(rw xlsx.Row) {
			d.current = d.current || d.weeksOn(d.at[rw.N]) == 0 && !d.at[rw.N].IsZero() && !blank(t.cell(rw, "now"))
		}, func(xlsx.Cell) {})
	} else {
		d.current = week.IsZero()
	}
	return d
}

func columnOfKey(t *table, key string) int {
	c, _ := t.col(key)
	return c.col
}

// weekDay is a day of the week that a cell says; zero: none that can be read.
func weekDay(c xlsx.Cell) time.Time {
	if blank(c) {
		return time.Time{}
	}
	if day, err := dateOf(c); err == nil {
		return day
	}
	if c.Kind == xlsx.Text {
		if day, ok := weekInWords(c.Shown); ok {
			return day
		}
	}
	return time.Time{}
}

// weeksOn is how many weeks after the one that is planned a day lies.
func (d *datedRations) weeksOn(day time.Time) int {
	return int(math.Floor(day.Sub(d.base).Hours() / 24 / 7))
}

// begin takes up a row; false where nothing of it is read. h is nil for a name that is none
// of this week's horses.
func (d *datedRations) begin(rw xlsx.Row, h *yard.Horse) bool {
	d.row = rw.N
	day := d.at[rw.N]
	switch n := d.weeksOn(day); {
	case day.IsZero() && h != nil:
		c := d.t.cell(rw, "week")
		if c.Kind == xlsx.Empty {
			c = d.t.cell(rw, "horse")
		}
		d.log.find("ration-undated", yard.Stop, h.Name, d.t.sheet.place(c), yard.Say("finding.ration-undated", yard.Said("line", d.t.line(rw)), yard.Named("horse", yard.HorseName, h.Name)))
		h.NoCard = append(h.NoCard, yard.Say("why.ration-undated", yard.Said("line", d.t.line(rw))))
		return false
	case h == nil:
		return !day.IsZero() && (n == 0 || n == -1) // which is said; of older weeks it may have left
	case n < -yard.MostPastWeeks:
		return false
	case n > 0:
		d.log.once("rations ahead "+d.t.sheet.Name, "ration-ahead", yard.Note, d.t.sheet.place(d.t.cell(rw, "week")), yard.Say("finding.ration-ahead", yard.Arg{Name: "week", Value: yard.Date{Date: day, Year: true}}))
		return false
	}
	return true
}

// past says whether the row that is being read is of a week that is over, and neither
// what is fed now nor what is planned rests on it.
func (d *datedRations) past() bool {
	n := d.weeksOn(d.at[d.row])
	return n < -1 || n == -1 && d.current
}

// unread notes that an amount of a week that is over could not be read.
func (d *datedRations) unread(horse string, c xlsx.Cell) {
	d.misread[horseWeek{horse, d.weeksOn(d.at[d.row])}] = c
}

func (d *datedRations) add(l yard.Line) {
	if d.lines[l.Horse] == nil {
		d.order = append(d.order, l.Horse)
	}
	d.lines[l.Horse] = append(d.lines[l.Horse], datedLine{l, d.at[d.row]})
}

// finish gives each horse its past weeks, and its lines to those of the week.
func (d *datedRations) finish(horses *horseList, feeds *feedRoom, lines *rationLines) {
	for _, name := range d.order {
		h := horses.called(name)
		weeks := map[int][]datedLine{}
		for _, l := range d.lines[name] {
			n := d.weeksOn(l.day)
			weeks[n] = append(weeks[n], l)
		}
		now, isPlan := weeks[-1], weeks[0]
		if d.current {
			now = nil
		}
		d.giveLines(h, lines, latestOf(now), isPlan)
		if len(now) > 0 {
			d.sayLeftOut(h, weeks, now)
		}
		for n := -yard.MostPastWeeks; n < 0; n++ {
			if len(weeks[n]) > 0 {
				d.givePast(h, feeds, n, weeks[n])
			}
		}
	}
}

// latestOf are the lines of the last day among them.
func latestOf(lines []datedLine) []datedLine {
	var last time.Time
	for _, l := range lines {
		if l.day.After(last) {
			last = l.day
		}
	}
	return slices.DeleteFunc(slices.Clone(lines), func(l datedLine) bool { return !l.day.Equal(last) })
}

// giveLines joins what was fed last and what is planned, feed by feed. A column that is
// not headed as planned holds what was fed; under the week itself it is the plan.
func (d *datedRations) giveLines(h *yard.Horse, week *rationLines, now, plan []datedLine) {
	_, hasPlanned := d.t.col("planned")
	hasPlanned = hasPlanned || slices.ContainsFunc(d.t.cols, func(c column) bool { return c.planned })
	type feedMeal struct{ feed, meal string }
	at := map[feedMeal]int{}
	var lines []yard.Line
	put := func(l yard.Line) {
		k := feedMeal{fold(l.Feed), fold(l.Meal)}
		if i, ok := at[k]; ok && !(lines[i].Now.Given && l.Now.Given) && !(lines[i].Planned.Given && l.Planned.Given) {
			if l.Now.Given {
				lines[i].Now = l.Now
			}
			if l.Planned.Given {
				lines[i].Planned = l.Planned
			}
			return
		}
		at[k] = len(lines)
		lines = append(lines, l)
	}
	for _, l := range now {
		week.history[l.Now.Cell], week.history[l.Planned.Cell] = true, true
		if l.Planned.Given { // what its card said for that week
			l.Now = l.Planned
		}
		l.Planned = yard.Amount{}
		put(l.Line)
	}
	for _, l := range plan {
		if !d.current {
			if !hasPlanned {
				l.Planned = l.Now
				week.willBeNow[l.Now.Cell] = true
			}
			l.Now = yard.Amount{}
		}
		put(l.Line)
	}
	for _, l := range lines {
		week.add(d.t.sheet.Name, h, l)
	}
}

// sayLeftOut names the feeds of the week before that are not among those fed last: they
// may have been stopped, or a list of changes only may have been kept.
func (d *datedRations) sayLeftOut(h *yard.Horse, weeks map[int][]datedLine, now []datedLine) {
	for n := -2; n >= -yard.MostPastWeeks; n-- {
		if len(weeks[n]) == 0 {
			continue
		}
		for _, l := range weeks[n] {
			same := func(x datedLine) bool { return fold(x.Feed) == fold(l.Feed) }
			if kg, ok := l.Now.Kg.Get(); l.Now.Given && !(ok && kg == 0) && !slices.ContainsFunc(now, same) && !slices.ContainsFunc(weeks[0], same) {
				d.log.find("ration-left-out", yard.Warn, h.Name, l.Cell, yard.Say("finding.ration-left-out", yard.FeedArg("feed", l.Feed), yard.Arg{Name: "week", Value: yard.Date{Date: d.base.AddDate(0, 0, 7*n), Year: true}}))
			}
		}
		return
	}
}

// givePast takes a week that is over as one of the horse's past weeks. One that is not
// wholly known is left out, with a finding.
func (d *datedRations) givePast(h *yard.Horse, feeds *feedRoom, n int, lines []datedLine) {
	beginning := d.base.AddDate(0, 0, 7*n)
	week := yard.Arg{Name: "week", Value: yard.Date{Date: beginning, Year: true}}
	skip := func(c yard.Cell, key string, args ...yard.Arg) {
		d.log.add(yard.Finding{Rule: "past-week", Severity: yard.Note, Horse: h.Name, Cell: c, Saying: yard.Say(key, append(args, week)...), Next: yard.Say("next.past-week")})
	}
	if c, bad := d.misread[horseWeek{h.Name, n}]; bad {
		skip(d.t.sheet.place(c), "finding.past-week.ration unread", wrote("wrote", c.Shown))
		return
	}
	byDay := map[time.Time]hardFed{}
	for _, l := range lines {
		feed, ok := feeds.find(l.Feed)
		if !ok || feed.Class == yard.Unclassed {
			skip(l.Cell, "finding.past-week.ration feed", yard.FeedArg("feed", l.Feed))
			return
		}
		f := byDay[l.day]
		if feed.Class == yard.HardFeed {
			if !f.add(l.Line) {
				skip(l.Cell, "finding.past-week.ration open", yard.FeedArg("feed", l.Feed))
				return
			}
		}
		byDay[l.day] = f
	}
	fed := byDay[lines[0].day]
	for _, f := range byDay {
		if f != fed {
			skip(lines[0].Cell, "finding.past-week.ration differs")
			return
		}
	}
	p := yard.PastWeek{Beginning: beginning, HardKg: yard.Known(exact(fed.kg))}
	if fed.planned {
		p.HardKg, p.FromKg = yard.Known(exact(fed.plannedKg)), yard.Known(exact(fed.kg))
	}
	h.Past = append(h.Past, p)
}

// hardFed is the hard feed of a day, kg.
type hardFed struct {
	kg, plannedKg float64
	planned       bool // some of it was planned differently from what was fed before
}

// add is false where the amount is not known.
func (f *hardFed) add(l yard.Line) bool {
	kg, ok := l.Now.Kg.Get()
	plan, planned := l.Planned.Kg.Get()
	if !ok && l.Now.Given || !planned && l.Planned.Given || !l.Now.Given && !l.Planned.Given {
		return false
	}
	f.kg += kg
	if l.Planned.Given {
		f.planned = true
		f.plannedKg += plan
	} else {
		f.plannedKg += kg
	}
	return true
}
