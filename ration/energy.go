package ration

import (
	"fmt"

	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// needs is what a horse needs in a week, the mean day of it.
type needs struct {
	Energy       yard.Energy    // what is supplied is not in it
	WorkMcal     [7]yard.Num    // DE of each day's work
	WorkAtLeast  bool           // part of the week's work is unknown
	riderKg      float64        // rider and tack, given or taken
	sweatKg      float64        // a day
	sweatFrom    yard.SweatFrom // how it was come by
	vitaminENeed float64        // IU a day
	waterLitres  yard.Range     // a day
	beside       []yard.StandardEnergy
}

// need works out what the horse needs.
func needsOf(c *facts, say *log) needs {
	n := needs{}
	energyNeed(c, say, &n)
	sweatAndWater(c, say, &n)
	return n
}

// energyNeed fills in the energy.
func energyNeed(c *facts, say *log, n *needs) {
	h, e := &c.Horse, &n.Energy
	rider, riderKnown := h.RiderTackKg.Get()
	ridden := false
	for _, d := range h.Work {
		n.WorkAtLeast = n.WorkAtLeast || d.Unknown
		for _, s := range d.Sessions {
			ridden = ridden || !s.Led
		}
	}
	if !riderKnown {
		// Ours: a grown rider with tack, held to the 15 % of body weight a
		// practitioner calls satisfactory (exercise §4).
		rider = min(80, 0.15*c.bodyKg)
		if ridden {
			say.find("rider-unknown", yard.Note, h.Cell, "exercise §4", yard.Say("finding.rider-unknown", kg0("kg", rider)))
		}
	}
	if !h.WorkGiven {
		// The reader has said so, with the cell.
		n.WorkAtLeast = true
	}
	n.riderKg = rider
	perKg, kind, source, spread := need.MaintenancePerKg(h.Keeper), string(h.Keeper), "NRC 2007 (requirements §1)", need.SpreadPct
	if inRaceTraining(h) {
		perKg, kind, source, spread = need.RacePerKg, "race", "evidence EN-10 to EN-13", need.RaceSpreadPct
	}
	m := perKg * c.bodyKg
	say.work(func() yard.Working {
		return yard.Working{Key: "maintenance", Result: yard.Known(m), Unit: unitDEADay, Source: source,
			Inputs: []yard.Input{in("keeper."+kind, perKg, unitMcal, c.cell("keeper")), c.bodyWeight()}}
	})
	class := need.ClassMcal(c.WorkClass, h.Keeper, c.bodyKg)
	say.work(func() yard.Working {
		return yard.Working{Key: "class", Args: []yard.Arg{c.classArg()}, Result: yard.Known(class), Unit: unitCalled("by class"), Source: "NRC 2007 (requirements §1), for comparison",
			Inputs: []yard.Input{in("minutes", c.WorkMinutes, unitOf("min"), fromWorkSheet), c.bodyWeight()}}
	})
	sum := 0.0
	days := work.WeekMcal(h.Work, class, m, c.bodyKg, rider, c.rules)
	workedWork(c, say, days, func(s yard.Session) []work.Part { return work.SessionParts(s, c.bodyKg, rider, c.rules) })
	for i, mcal := range days {
		n.WorkMcal[i] = yard.Known(mcal)
		if h.Work[i].Unknown {
			n.WorkMcal[i] = yard.Num{}
		}
		sum += mcal
	}
	total := m + sum/7
	e.Maintenance, e.Work = yard.Known(m), yard.Known(sum/7)
	e.ClassNeed = yard.Known(class)
	say.work(func() yard.Working {
		return yard.Working{Key: "work energy", Result: e.Work, Unit: unitDEADay, Inputs: []yard.Input{in("week's work", sum, unitMcal, computed)}}
	})
	score, okS := h.Score.Get()
	target, okT := h.TargetScore.Get()
	switch {
	case okS && okT:
		ch := max(need.ChangeMcal(score, target, c.bodyKg, c.rules.ConditionDays), -need.MostOffPct/100*total)
		e.Change = yard.Known(ch)
		total += ch
		say.work(func() yard.Working {
			return yard.Working{Key: "change", Result: e.Change, Unit: unitDEADay, Source: "requirements §9; limits D-28; evidence EN-24",
				Inputs: []yard.Input{in("score", score, unitCalled("of nine"), c.cell("score")), in("target score", target, unitCalled("of nine"), c.cell("target score")), in("days", c.rules.ConditionDays, noUnit, fromSettings), c.bodyWeight()}}
		})
	case okT:
		say.find("score-unknown", yard.Warn, h.Cell, "", yard.Say("finding.score-unknown"))
	default:
		e.Change = yard.Known(0)
	}
	if t, ok := c.week.Temperature.Get(); ok {
		cold := need.ColdMcal(m, t, c.rules.LowerCriticalC)
		e.Cold = yard.Known(cold)
		total += cold
		say.work(func() yard.Working {
			return yard.Working{Key: "cold", Result: e.Cold, Unit: unitDEADay, Source: "Cymbaluk 1994 (requirements §11)",
				Inputs: []yard.Input{in("temperature", t, unitOf("°C"), found("yard sheet")), in("lower critical temperature", c.rules.LowerCriticalC, unitOf("°C"), fromSettings), in("maintenance", m, unitMcal, computed)}}
		})
	}
	e.Need = yard.Known(total)
	band := spread / 100 * (total - e.Change.Or(0))
	e.NeedRange = yard.Range{Low: yard.Known(total - band), High: yard.Known(total + band*need.GoingFactor(h.Work))}
	if own, ok := ownNeed(c, total, n); ok {
		total += own
		e.Need = yard.Known(total)
		workedOwnNeed(c, *e, say)
	}
	say.work(func() yard.Working { return workedEnergyNeed(c, *e) })
	besideStandards(c, say, n, sum/7)
}

// workedEnergyNeed adds up the parts of the need that are known.
func workedEnergyNeed(c *facts, e yard.Energy) yard.Working {
	if !c.Horse.TargetScore.IsKnown() {
		e.Change = yard.Num{} // none is asked for
	}
	w := yard.Working{Key: "energy need", Result: e.Need, Unit: unitDEADay}
	for _, part := range []struct {
		name string
		mcal yard.Num
	}{{"maintenance", e.Maintenance}, {"work", e.Work}, {"change", e.Change}, {"cold", e.Cold}, {"own", e.Own}} {
		if part.mcal.IsKnown() {
			w.Inputs = append(w.Inputs, yard.Input{Name: yard.Say("working.in." + part.name), Value: part.mcal, Unit: unitMcal})
		}
	}
	return w
}

// besideStandards works out what other standards give for the same week, each
// in its own unit. Nothing rests on them.
func besideStandards(c *facts, say *log, n *needs, workMcal float64) {
	h := &c.Horse
	a := need.Animal{BodyKg: c.bodyKg, RiderTackKg: n.riderKg, Keeper: h.Keeper, Type: h.Type, Breed: h.Breed, Days: h.Work, WorkMcalDE: workMcal, WorkAtLeast: n.WorkAtLeast}
	n.beside = make([]yard.StandardEnergy, 0, len(need.Beside()))
	for _, s := range need.Beside() {
		e := s.Energy(a)
		n.beside = append(n.beside, yard.StandardEnergy{Standard: s.Name(), Unit: e.Unit, Maintenance: e.Maintenance, Work: e.Work, Total: e.Total, Assumed: e.Assumed, Source: e.Source})
		for _, end := range []struct {
			what string
			v    yard.Num
		}{{"low end", e.Total.Low}, {"high end", e.Total.High}} {
			say.work(func() yard.Working {
				return yard.Working{Key: "beside." + e.Formula, Args: []yard.Arg{yard.Named("standard", yard.Place, s.Name()), yard.Said("end", yard.Say("working.in."+end.what))}, Result: end.v, Unit: perDay(e.Unit), Source: e.Source,
					Inputs: []yard.Input{c.bodyWeight(), in("rider", n.riderKg, unitKg, c.cell("rider")),
						{Name: yard.Say("working.in.maintenance"), Value: e.Maintenance.Low, Unit: unitOf(e.Unit)},
						{Name: yard.Say("working.in.work"), Value: rangeEnd(e.Work, end.what == "high end"), Unit: unitOf(e.Unit), From: fromWorkSheet}}}
			})
		}
	}
}

func rangeEnd(r yard.Range, high bool) yard.Num {
	if high {
		return r.High
	}
	return r.Low
}

// sweatAndWater fills the sweat the needs of salts and protein rest on, and the
// water. What the yard measured takes the place of the class's figure.
func sweatAndWater(c *facts, say *log, n *needs) {
	h := &c.Horse
	workDays := 0
	for _, d := range h.Work {
		if len(d.Sessions) > 0 || d.Event || d.Unknown {
			workDays++
		}
	}
	perWorkDay, how, from, source := 0.0, yard.SweatByClass, computed, ""
	if l, ok := h.SweatLitres.Get(); ok {
		perWorkDay, how, from, source = l, yard.SweatMeasured, c.cell("sweat litres"), "measured by the yard; a litre is taken as a kg"
	} else if score, ok := h.SweatScore.Get(); ok {
		r := need.ScoreLitres(score)
		perWorkDay, how, from = (r.Low.Or(0)+r.High.Or(0))/2, yard.SweatScored, c.cell("sweat score")
		source = fmt.Sprintf("Zeyner and others 2014, %.3g to %.3g l, the middle taken (exercise §7; scores 3 to 5 from memory)", r.Low.Or(0), r.High.Or(0))
	}
	n.sweatFrom = how
	if how == yard.SweatByClass {
		share, heat := need.ClassSweatKg(c.WorkClass, c.bodyKg), need.HeatShare(c.week.Temperature)
		n.sweatKg = share * heat
		say.work(func() yard.Working {
			return yard.Working{Key: "sweat.class", Result: yard.Known(n.sweatKg), Unit: unitCalled("sweat"), Source: "NRC 2007; evidence SW-01",
				Inputs: []yard.Input{in("share", share/c.bodyKg*100, unitPctBody, computed, c.classArg()), c.bodyWeight(), in("heat", heat, noUnit, found("yard sheet"))}}
		})
	} else {
		n.sweatKg = perWorkDay * float64(workDays) / 7
		say.work(func() yard.Working {
			return yard.Working{Key: "sweat", Result: yard.Known(n.sweatKg), Unit: unitCalled("sweat"), Source: source,
				Inputs: []yard.Input{in("on a work day", perWorkDay, unitKg, from), in("work days", float64(workDays), noUnit, fromWorkSheet)}}
		})
	}
	for _, x := range need.Nutrients() {
		if x.Name == "vitamin E" {
			n.vitaminENeed = x.Of(c.WorkClass, h.Keeper, c.bodyKg, n.sweatKg)
		}
	}
	n.waterLitres = need.WaterLitres(c.WorkClass, c.bodyKg, c.week.Temperature)
	for _, end := range []string{"low end", "high end"} {
		say.work(func() yard.Working {
			t := in("temperature", c.week.Temperature.Or(20), unitOf("°C"), found("yard sheet"))
			if !c.week.Temperature.IsKnown() {
				t.From = found("no temperature")
			}
			return yard.Working{Key: "water", Args: []yard.Arg{yard.Said("end", yard.Say("working.in."+end))}, Result: rangeEnd(n.waterLitres, end == "high end"), Unit: perDay("l"),
				Source: "NRC 2007 (requirements §8); between 20 and 30 °C and for light work ours",
				Inputs: []yard.Input{t, c.bodyWeight(), {Name: yard.Say("working.in.class", c.classArg()), From: fromWorkSheet}}}
		})
	}
}
