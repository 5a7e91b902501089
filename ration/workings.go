package ration

import (
	"fmt"

	"hardfeed/ration/guard"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// cell says where a number of the horse is on the sheet.
func (c *dish) cell(key string) string { return cellOf(c.Horse, key) }

// bodyWeight is the input most workings share.
func (c *dish) bodyWeight() yard.Input { return in("body weight", c.bodyKg, "kg", "") }

// workedMarks records the step marks.
func (c *horseWeek) workedMarks(say *log) {
	l := c.rules.Limits
	for _, m := range []struct {
		what                   string
		per100, ceilingKg, got float64
	}{
		{"weekly rise, usual limit (D-01)", l.WeekRiseWarnKg, l.WeekRiseWarnCapKg, c.marks.WeekWarnKg},
		{"weekly rise, top limit (D-02)", l.WeekRiseStopKg, l.WeekRiseStopCapKg, c.marks.WeekStopKg},
		{"one day's rise, usual limit (D-03)", l.DayRiseWarnKg, l.DayRiseWarnCapKg, c.marks.DayWarnKg},
		{"one day's rise, top limit (D-03)", l.DayRiseStopKg, l.DayRiseStopCapKg, c.marks.DayStopKg},
	} {
		say.work(m.what, "mark per 100 kg × body weight / 100, at most the cap", yard.Known(m.got), "kg a day", guard.StepSource,
			in("mark per 100 kg", m.per100, "kg", "settings"), in("cap", m.ceilingKg, "kg", "settings"), c.bodyWeight())
	}
}

// workedHard records a day's hard feed, feed by feed.
func (c *dish) workedHard(say *log, what string, kg func(i int) (v float64, from string, ok bool)) {
	var inputs []yard.Input
	total := yard.Known(0)
	for i, it := range c.bucket {
		if !it.hard() {
			continue
		}
		v, from, ok := kg(i)
		input := yard.Input{Name: it.feed.Feed.Name, Unit: "kg", From: from}
		if ok {
			input.Value = yard.Known(v)
		}
		inputs = append(inputs, input)
		addTo(&total, v, ok)
	}
	say.work(what, "sum of the hard feeds; oil and chaff stand apart", total, "kg a day", "", inputs...)
}

// workedSupply records what the week's mean day brings of one thing.
func (c *dish) workedSupply(say *log, name, unit string, total yard.Num, week []float64, of func(yard.Composition) yard.Num) {
	if !say.keepsWorkings() {
		return
	}
	var inputs []yard.Input
	for i, it := range c.bucket {
		if week[i] == 0 {
			continue
		}
		per, dm := of(it.feed.Composition), it.feed.Composition.DM
		from := it.feed.CompFrom
		if it.startingPortion().adLib {
			from = "amount estimated, eaten ad lib; " + from
		}
		inputs = append(inputs,
			in(it.feed.Feed.Name, week[i]/7, "kg a day", from),
			yard.Input{Name: "  its dry matter", Value: dm, Unit: "kg per kg", From: "as above"},
			yard.Input{Name: "  its " + name, Value: per, Unit: unit + " per kg dry matter", From: "as above"})
	}
	say.work("supply of "+name, "sum over the feeds of kg × dry matter × content; unknown if any part is", total, unit+" a day", "", inputs...)
}

func (c *dish) workedWork(say *log, days [7]float64, partsOf func(yard.Session) []work.Part) {
	if !say.keepsWorkings() {
		return
	}
	for i, d := range c.Horse.Work {
		if len(d.Sessions) == 0 {
			continue
		}
		var inputs []yard.Input
		for _, s := range d.Sessions {
			for _, p := range partsOf(s) {
				inputs = append(inputs, in(p.Gait.String(), p.Minutes, "min", fmt.Sprintf("%s %q", d.Cell, d.Text)))
				how := "table of kinds of work, 1978"
				if c.rules.WorkModel != yard.ByHour {
					speed := c.rules.PaceMPerMin[p.Gait]
					how = "(e^(3.02 + 0.0065 × speed) − 13.92) × 0.06 / 0.57"
					if speed > work.FastestFitted {
						how = "19.5 + 0.0629 × (speed − 350)"
					}
					inputs = append(inputs, in("  speed", speed, "m/min", "settings: pace_m_per_min."+p.Gait.String()))
				}
				inputs = append(inputs,
					in("  cost", p.PerKgHour*1000, "kcal per kg and hour", how),
					in("  weight moved", p.MassKg, "kg", ""),
					in("  slope and going", p.Factor, "", "settings"))
			}
		}
		result := yard.Known(days[i])
		if d.Unknown {
			result = yard.Num{}
		}
		source := "Pagan and Hintz 1986; Schroter and Marlin 2002; above 350 m/min ours"
		if c.rules.WorkModel == yard.ByHour {
			source = "NRC 1978 after Hintz and others 1971, from memory (exercise §1a)"
		}
		say.work("work on "+c.dayName(i), workFormula(c.rules.WorkModel), result, "Mcal DE", source, inputs...)
	}
}

func workFormula(model yard.WorkModel) string {
	if model == yard.ByClass {
		return "share of the class's energy for work, by the cost at a pace: minutes/60 × cost × weight moved × slope and going"
	}
	return "sum of minutes/60 × cost × weight moved × slope and going"
}
