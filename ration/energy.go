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
func (c *dish) need(say *log) needs {
	n := needs{}
	c.energyNeed(say, &n)
	c.sweatAndWater(say, &n)
	return n
}

// energyNeed fills in the energy.
func (c *dish) energyNeed(say *log, n *needs) {
	h, e := c.Horse, &n.Energy
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
		perKg, kind, source, spread = need.RacePerKg, "race training", "evidence EN-10 to EN-13", need.RaceSpreadPct
	}
	m := perKg * c.bodyKg
	say.work("maintenance energy", "Mcal per kg × body weight", yard.Known(m), "Mcal DE a day", source,
		in("per kg, "+kind, perKg, "Mcal", c.cell("keeper")), c.bodyWeight())
	class := need.ClassMcal(c.WorkClass, h.Keeper, c.bodyKg)
	say.work("class of the week's work", string(c.WorkClass)+": by the week's hours and mean heart rate by gait; the rule is ours", yard.Known(class), "Mcal DE a day, whole need by class", "NRC 2007 (requirements §1), for comparison",
		in("minutes", c.WorkMinutes, "min", "work sheet"), c.bodyWeight())
	sum := 0.0
	days := work.WeekMcal(h.Work, class, m, c.bodyKg, rider, c.rules)
	c.workedWork(say, days, func(s yard.Session) []work.Part { return work.SessionParts(s, c.bodyKg, rider, c.rules) })
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
	say.work("work energy", "sum of the days / 7", e.Work, "Mcal DE a day", "", in("the week's work", sum, "Mcal", ""))
	parts := []yard.Input{in("maintenance", m, "Mcal", ""), in("work", sum/7, "Mcal", "")}
	score, okS := h.Score.Get()
	target, okT := h.TargetScore.Get()
	switch {
	case okS && okT:
		ch := max(need.ChangeMcal(score, target, c.bodyKg, c.rules.ConditionDays), -need.MostOffPct/100*total)
		e.Change = yard.Known(ch)
		total += ch
		say.work("energy for the change of condition", "(target − score) × 20 kg per 500 kg × 20 Mcal per kg, spread over the days, within the weekly marks of D-28, and at most 18 % off the need", e.Change, "Mcal DE a day", "requirements §9; limits D-28; evidence EN-24",
			in("score", score, "of 9", c.cell("score")), in("target score", target, "of 9", c.cell("target score")), in("days", c.rules.ConditionDays, "", "settings"), c.bodyWeight())
		parts = append(parts, in("change of condition", ch, "Mcal", ""))
	case okT:
		say.find("score-unknown", yard.Warn, h.Cell, "", yard.Say("finding.score-unknown"))
	default:
		e.Change = yard.Known(0)
	}
	if t, ok := c.week.Temperature.Get(); ok {
		cold := need.ColdMcal(m, t, c.rules.LowerCriticalC)
		e.Cold = yard.Known(cold)
		total += cold
		say.work("energy for the cold", "maintenance × 2.5 % for each degree below the lower critical temperature", e.Cold, "Mcal DE a day", "Cymbaluk 1994 (requirements §11)",
			in("temperature", t, "°C", "yard sheet"), in("lower critical temperature", c.rules.LowerCriticalC, "°C", "settings"), in("maintenance", m, "Mcal", ""))
		parts = append(parts, in("cold", cold, "Mcal", ""))
	}
	e.Need = yard.Known(total)
	band := spread / 100 * (total - e.Change.Or(0))
	e.NeedRange = yard.Range{Low: yard.Known(total - band), High: yard.Known(total + band*need.GoingFactor(h.Work))}
	if own, ok := c.ownNeed(total, n); ok {
		total += own
		e.Need = yard.Known(total)
		parts = append(parts, in("by the horse's own weighings and feed", own, "Mcal", ""))
		c.workedOwnNeed(*e, say)
	}
	say.work("energy need", "sum of the parts that are known", e.Need, "Mcal DE a day", "", parts...)
	c.besideStandards(say, n, sum/7)
}

// besideStandards works out what other standards give for the same week, each
// in its own unit. Nothing rests on them.
func (c *dish) besideStandards(say *log, n *needs, workMcal float64) {
	h := c.Horse
	a := need.Animal{BodyKg: c.bodyKg, RiderTackKg: n.riderKg, Keeper: h.Keeper, Type: h.Type, Breed: h.Breed, Days: h.Work, WorkMcalDE: workMcal, WorkAtLeast: n.WorkAtLeast}
	n.beside = make([]yard.StandardEnergy, 0, len(need.Beside()))
	for _, s := range need.Beside() {
		e := s.Energy(a)
		n.beside = append(n.beside, yard.StandardEnergy{Standard: s.Name(), Unit: e.Unit, Maintenance: e.Maintenance, Work: e.Work, Total: e.Total, Assumed: e.Assumed, Source: e.Source})
		for _, end := range []struct {
			what string
			v    yard.Num
		}{{"low end", e.Total.Low}, {"high end", e.Total.High}} {
			say.work("energy by "+s.Name()+", "+end.what+", shown beside", e.Formula, end.v, e.Unit+" a day", e.Source,
				c.bodyWeight(), in("rider and tack", n.riderKg, "kg", c.cell("rider")),
				yard.Input{Name: "maintenance", Value: e.Maintenance.Low, Unit: e.Unit},
				yard.Input{Name: "work", Value: rangeEnd(e.Work, end.what == "high end"), Unit: e.Unit, From: "work sheet"})
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
func (c *dish) sweatAndWater(say *log, n *needs) {
	h := c.Horse
	workDays := 0
	for _, d := range h.Work {
		if len(d.Sessions) > 0 || d.Event || d.Unknown {
			workDays++
		}
	}
	perWorkDay, how, from, source := 0.0, yard.SweatByClass, "", ""
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
		say.work("sweat", "share of body weight by work class × heat", yard.Known(n.sweatKg), "kg a day, mean of the week", "NRC 2007; evidence SW-01",
			in("share, "+string(c.WorkClass)+" work", share/c.bodyKg*100, "% of body weight", ""), c.bodyWeight(), in("heat", heat, "", "yard sheet"))
	} else {
		n.sweatKg = perWorkDay * float64(workDays) / 7
		say.work("sweat", "on a work day × work days / 7; it takes the place of the class's sweat and is not added to it", yard.Known(n.sweatKg), "kg a day, mean of the week", source,
			in("on a work day", perWorkDay, "kg", from), in("work days", float64(workDays), "", "work sheet"))
	}
	for _, x := range need.Nutrients() {
		if x.Name == "vitamin E" {
			n.vitaminENeed = x.Of(c.WorkClass, h.Keeper, c.bodyKg, n.sweatKg)
		}
	}
	n.waterLitres = need.WaterLitres(c.WorkClass, c.bodyKg, c.week.Temperature)
	t := in("temperature", c.week.Temperature.Or(20), "°C", "yard sheet")
	if !c.week.Temperature.IsKnown() {
		t.From = "not given: 20 °C taken"
	}
	for _, high := range []bool{false, true} {
		what := map[bool]string{false: "water, low end", true: "water, high end"}[high]
		say.work(what, "printed range of a 500 kg horse at that temperature × body weight / 500", rangeEnd(n.waterLitres, high), "l a day", "NRC 2007 (requirements §8); between 20 and 30 °C and for light work ours",
			t, in("body weight", c.bodyKg, "kg", ""), yard.Input{Name: string(c.WorkClass) + " work", From: "work sheet"})
	}
}
