package ration

import (
	"fmt"

	"hardfeed/ration/guard"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// cell says where a number of the horse is on the sheet.
func (c *facts) cell(key string) yard.Saying { return cellOf(c.Horse, key) }

// place is a cell as where a value stands; empty where there is none.
func place(at string) yard.Saying {
	if at == "" {
		return yard.Saying{}
	}
	return yard.Verbatim(at)
}

// cited is a table or a book as where a value stands.
func cited(source string) yard.Saying {
	return yard.Say(yard.VerbatimKey, yard.Named("text", yard.Cited, source))
}

// in is an input of a working: what it is called, a key under working.in; from says
// where its value stands, and is empty where it was worked out before.
func in(name string, value float64, unit, from yard.Saying, args ...yard.Arg) yard.Input {
	return yard.Input{Name: yard.Say("working.in."+name, args...), Value: yard.Known(value), Unit: unit, From: from}
}

// under is an input that belongs to the one before it.
func under(i yard.Input) yard.Input {
	i.Under = true
	return i
}

// inFeed is a feed's part of a working.
func inFeed(feed string, value yard.Num, unit, from yard.Saying) yard.Input {
	return yard.Input{Name: yard.Say("working.in.feed", yard.FeedArg("feed", feed)), Value: value, Unit: unit, From: from}
}

// term fills a place with a word of the trade.
func term(place, word string) yard.Arg { return yard.Named(place, yard.Term, word) }

// unitOf is what a result or an input is counted in: a sign, such as kg.
func unitOf(sign string) yard.Saying { return yard.Say("working.unit", term("unit", sign)) }

// perDay is so much of a unit a day.
func perDay(sign string) yard.Saying { return yard.Say("working.unit.a day", term("unit", sign)) }

// perKgDM is so much of a unit in a kg of dry matter.
func perKgDM(sign string) yard.Saying { return yard.Say("working.unit.a kg", term("unit", sign)) }

// unitCalled is a unit that has a text of its own.
func unitCalled(name string) yard.Saying { return yard.Say("working.unit." + name) }

// found says where an input's value stands: the settings, a sheet, a record.
func found(name string) yard.Saying { return yard.Say("working.from." + name) }

var (
	unitKg      = unitOf("kg")
	unitKgADay  = perDay("kg")
	unitMcal    = unitOf("Mcal")
	unitDEADay  = perDay("Mcal DE")
	unitPctBody = unitCalled("of body weight")

	noUnit        yard.Saying
	computed      yard.Saying // worked out before
	fromSettings  = found("settings")
	fromWorkSheet = found("work sheet")
)

// bodyWeight is the input most workings share.
func (c *facts) bodyWeight() yard.Input { return in("body weight", c.bodyKg, unitKg, computed) }

// classArg is the class of the week's work.
func (c *facts) classArg() yard.Arg { return term("class", string(c.WorkClass)) }

// workedMarks records the step marks.
func workedMarks(c *facts, say *log) {
	l := c.rules.Limits
	for _, m := range []struct {
		mark                   string
		per100, ceilingKg, got float64
	}{
		{"week usual", l.WeekRiseWarnKg, l.WeekRiseWarnCapKg, c.marks.WeekWarnKg},
		{"week top", l.WeekRiseStopKg, l.WeekRiseStopCapKg, c.marks.WeekStopKg},
		{"day usual", l.DayRiseWarnKg, l.DayRiseWarnCapKg, c.marks.DayWarnKg},
		{"day top", l.DayRiseStopKg, l.DayRiseStopCapKg, c.marks.DayStopKg},
	} {
		say.work(func() yard.Working {
			return yard.Working{Key: "rise mark", Args: []yard.Arg{yard.Said("mark", yard.Say("working.rise mark."+m.mark))},
				Inputs: []yard.Input{in("mark per 100 kg", m.per100, unitKg, fromSettings), in("cap", m.ceilingKg, unitKg, fromSettings), c.bodyWeight()},
				Result: yard.Known(m.got), Unit: unitKgADay, Source: guard.StepSource}
		})
	}
}

// workedHard records a day's hard feed, feed by feed: which is planned, fed now or card.
func workedHard(c bucket, say *log, which string, ofFeed func(i int) (kg float64, from yard.Saying, ok bool)) {
	say.work(func() yard.Working {
		total := yard.Known(0)
		w := yard.Working{Key: "hard feed", Args: []yard.Arg{yard.Said("which", yard.Say("working.hard feed."+which))}, Unit: unitKgADay}
		for i, it := range c {
			if !it.hard() {
				continue
			}
			v, from, ok := ofFeed(i)
			input := inFeed(it.feed.Feed.Name, yard.Num{}, unitKg, from)
			if ok {
				input.Value = yard.Known(v)
			}
			w.Inputs = append(w.Inputs, input)
			addTo(&total, v, ok)
		}
		w.Result = total
		return w
	})
}

// workedSupply records what the week's mean day brings of one thing.
func workedSupply(c bucket, say *log, name, sign string, total yard.Num, week []float64, of func(yard.Composition) yard.Num) {
	say.work(func() yard.Working {
		w := yard.Working{Key: "supply", Args: []yard.Arg{term("what", name)}, Result: total, Unit: perDay(sign)}
		above := found("above")
		for i, it := range c {
			if week[i] == 0 {
				continue
			}
			per, dm := of(it.feed.Composition), it.feed.Composition.DM
			table := cited(it.feed.CompFrom)
			if it.startingPortion().adLib {
				table = yard.Say("working.from.ad lib", yard.Said("from", table))
			}
			w.Inputs = append(w.Inputs,
				inFeed(it.feed.Feed.Name, yard.Known(week[i]/7), unitKgADay, table),
				yard.Input{Name: yard.Say("working.in.its", term("what", "dry matter")), Value: dm, Unit: unitCalled("kg per kg"), From: above, Under: true},
				yard.Input{Name: yard.Say("working.in.its", term("what", name)), Value: per, Unit: perKgDM(sign), From: above, Under: true})
		}
		return w
	})
}

func workedWork(c *facts, say *log, days [7]float64, partsOf func(yard.Session) []work.Part) {
	if !say.keepsWorkings() {
		return
	}
	key, source := "work", "Pagan and Hintz 1986; Schroter and Marlin 2002; above 350 m/min ours"
	switch c.rules.WorkModel {
	case yard.ByClass:
		key = "work.class"
	case yard.ByHour:
		source = "NRC 1978 after Hintz and others 1971, from memory (exercise §1a)"
	}
	for i, d := range c.Horse.Work {
		if len(d.Sessions) == 0 {
			continue
		}
		w := yard.Working{Key: key, Args: []yard.Arg{{Name: "day", Value: c.weekday(i)}}, Result: yard.Known(days[i]), Unit: unitOf("Mcal DE"), Source: source}
		if d.Unknown {
			w.Result = yard.Num{}
		}
		written := yard.Verbatim(fmt.Sprintf("%s %q", d.Cell, d.Text))
		for _, s := range d.Sessions {
			for _, p := range partsOf(s) {
				w.Inputs = append(w.Inputs, in("gait", p.Minutes, unitOf("min"), written, term("gait", p.Gait.String())))
				cost := found("cost.hour")
				if c.rules.WorkModel != yard.ByHour {
					speed := c.rules.PaceMPerMin[p.Gait]
					cost = found("cost.pace")
					if speed > work.FastestFitted {
						cost = found("cost.fast")
					}
					w.Inputs = append(w.Inputs, under(in("speed", speed, unitOf("m/min"), yard.Say("working.from.setting", yard.Named("setting", yard.Place, "pace_m_per_min."+p.Gait.String())))))
				}
				w.Inputs = append(w.Inputs,
					under(in("cost", p.PerKgHour*1000, unitCalled("cost"), cost)),
					under(in("weight moved", p.MassKg, unitKg, computed)),
					under(in("slope", p.Factor, noUnit, fromSettings)))
			}
		}
		say.work(func() yard.Working { return w })
	}
}
