package ration

import (
	"math"
	"slices"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// weekTotal is what one feed needs over the week.
type weekTotal struct {
	kg        float64
	estimated bool
}

// supply fills energy and nutrients, the mean of the seven days, and returns
// the week's use of each feed.
func (c *served) supply(p *yard.HorsePlan, room *feedRoom, say *log) map[string]weekTotal {
	used := map[string]weekTotal{}
	week := make([]float64, len(c.dish.bucket))
	for d := range c.days {
		for i, parts := range c.fedOn(d) {
			week[i] += sum(parts)
		}
	}
	for i, it := range c.dish.bucket {
		used[fold(it.feed.Feed.Name)] = weekTotal{week[i], it.startingPortion().adLib}
	}
	energy := func(x yard.Composition) yard.Num { return x.DE }
	e := c.dish.total(week, energy, c.facts.Energy.Need)
	p.Energy.Supply, p.Energy.SupplyAtLeast = e.mean, e.atLeast
	p.Energy.SupplyForage, p.Energy.SupplyDoubt = c.forageEnergy(week)
	p.ToLearnFrom = c.toLearnFrom()
	for i := range c.days {
		c.dayEnergy(&p.Days[i], i)
	}
	workedHard(c.dish.bucket, say, "card", func(i int) (float64, yard.Saying, bool) { return c.final[i], computed, true })
	workedSupply(c.dish.bucket, say, "energy", "Mcal DE", p.Energy.Supply, week, energy)
	c.grazing(week, p.Energy.Supply, say)
	if e.ends.High.IsKnown() && e.ends.Low != e.ends.High {
		p.Energy.SupplyRange = e.ends
	}
	dmKg := c.dryMatter(week, p, say)
	var short, over []yard.Saying
	howShort := yard.Note
	p.Nutrients = make([]yard.Nutrient, 0, len(need.Nutrients()))
	for _, n := range need.Nutrients() {
		needed := n.Of(c.facts.WorkClass, c.facts.Horse.Keeper, c.facts.bodyKg, c.facts.sweatKg)
		t := c.dish.ofNutrient(week, n, yard.Known(needed))
		total, atLeast := t.mean, t.atLeast
		say.work(func() yard.Working { return c.workedNeed(n, needed) })
		workedSupply(c.dish.bucket, say, n.Name, n.Unit, total, week, n.Content)
		line := yard.Nutrient{Name: n.Name, Unit: n.Unit, Need: yard.Known(needed), Supply: total, AtLeast: atLeast, Between: t.ends, Source: n.Source}
		if most, ok := need.MaxTolerable(n.Name); ok && dmKg.IsKnown() {
			line.Limit = yard.Known(most.PerKgDM * dmKg.Or(0))
			line.LimitSource = most.Source
			say.work(func() yard.Working {
				return yard.Working{Key: "limit", Args: []yard.Arg{term("what", n.Name)}, Result: line.Limit, Unit: perDay(n.Unit), Source: most.Source,
					Inputs: []yard.Input{in("level", most.PerKgDM, perKgDM(n.Unit), computed), in("dry matter in all", dmKg.Or(0), unitKg, computed)}}
			})
			if t.ends.Low.Or(0) > line.Limit.Or(0) {
				over = append(over, c.overLimit(n, line, week))
			}
		}
		p.Nutrients = append(p.Nutrients, line)
		if c.facts.isShort(line) {
			short = append(short, shortOf(n.Name, t, needed))
			if t.ends.High.Or(0) < c.facts.farShort(n)*needed && !c.dish.bucket.assumedForage() {
				howShort = yard.Warn
			}
		}
	}
	p.Ratios = ratios(p.Nutrients)
	sayLicks(&c.dish, say)
	c.sayShort(short, howShort, p.Nutrients, room, say)
	if len(over) > 0 {
		say.find("tolerable", yard.Warn, yard.Cell{}, "maximum tolerable levels, NRC 2005/2007 (requirements §6)", yard.Say("finding.tolerable", yard.SayingList("over", yard.Comma, over)))
	}

	r := c.dish.evaluate(c.final, c.dish.sharing.keepsMealPattern)
	if dm, ok := r.ForageDMKg().Get(); ok {
		p.ForageDMPct = yard.Known(dm / c.facts.bodyKg * 100)
		say.work(func() yard.Working {
			return yard.Working{Key: "forage", Result: p.ForageDMPct, Unit: unitPctBody, Source: "limits D-17",
				Inputs: []yard.Input{in("forage dry matter", dm, unitKg, computed), c.facts.bodyWeight()}}
		})
	}
	if g, unknown := r.StarchiestMealG(); unknown == nil {
		most := g / c.facts.bodyKg
		p.StarchMax = yard.Known(most)
		say.work(func() yard.Working {
			return yard.Working{Key: "starch", Result: p.StarchMax, Unit: unitCalled("g of body weight"), Source: "limits D-11",
				Inputs: []yard.Input{in("starch", most*c.facts.bodyKg, unitOf("g"), computed), c.facts.bodyWeight()}}
		})
	}
	return used
}

// workedNeed is how the need of a nutrient came about.
func (c *served) workedNeed(n need.Nutrient, needed float64) yard.Working {
	w := yard.Working{Key: "need", Args: []yard.Arg{term("what", n.Name)}, Result: yard.Known(needed), Unit: perDay(n.Unit), Source: n.Source,
		Inputs: []yard.Input{in("per kg", n.PerKg(c.facts.WorkClass, c.facts.Horse.Keeper), unitOf(n.Unit), computed, c.facts.classArg()), c.facts.bodyWeight()}}
	if n.PerKgSweat > 0 {
		w.Key = "need.sweat"
		w.Inputs = append(w.Inputs, in("per kg of sweat", n.PerKgSweat, unitOf(n.Unit), computed), in("sweat", c.facts.sweatKg, unitKg, computed))
	}
	return w
}

// ratios are calcium to phosphorus (its limits are D-26) and zinc to copper, which have
// no published limit of their own: what the needs ask is beside (NRC 2007).
func ratios(lines []yard.Nutrient) []yard.Ratio {
	find := func(name string) (n yard.Nutrient) {
		if i := slices.IndexFunc(lines, func(n yard.Nutrient) bool { return n.Name == name }); i >= 0 {
			n = lines[i]
		}
		return n
	}
	divided := func(a, b yard.Num) yard.Num {
		of, ok1 := a.Get()
		to, ok2 := b.Get()
		if !ok1 || !ok2 || to <= 0 {
			return yard.Num{}
		}
		return yard.Known(of / to)
	}
	var out []yard.Ratio
	for _, pair := range [][2]string{{"calcium", "phosphorus"}, {"zinc", "copper"}} {
		a, b := find(pair[0]), find(pair[1])
		out = append(out, yard.Ratio{Of: pair[0], To: pair[1], Value: divided(a.Supply, b.Supply), Asked: divided(a.Need, b.Need),
			Between: yard.Range{Low: divided(a.Between.Low, b.Between.High), High: divided(a.Between.High, b.Between.Low)}})
	}
	return out
}

// dayEnergy fills a day's own need and supply.
func (c *served) dayEnergy(day *yard.DayPlan, i int) {
	if work, ok := day.EnergyWork.Get(); ok {
		day.EnergyNeed = yard.Known(c.facts.Energy.Need.Or(0) - c.facts.Energy.Work.Or(0) + work)
	}
	week := make([]float64, len(c.dish.bucket)) // as if all days were this one
	for k, parts := range c.fedOn(i) {
		week[k] = 7 * sum(parts)
	}
	day.Supply = c.dish.total(week, energyIn, c.facts.Energy.Need).mean
}

// dryMatter fills the mean day's dry matter in all, and says where it is more
// than a horse usually eats. week is kilograms as fed of each item.
func (c *served) dryMatter(week []float64, p *yard.HorsePlan, say *log) yard.Num {
	// What is not known of 30 g of a supplement hides nothing beside the hay.
	total := c.dish.total(week, func(yard.Composition) yard.Num { return yard.Known(1) }, yard.Known(need.IntakeDMPerKg(c.facts.WorkClass)*c.facts.bodyKg)).mean
	p.TablesDMPct = need.IntakeDMPerKg(c.facts.WorkClass) * 100
	kg, ok := total.Get()
	if !ok {
		return total
	}
	pct := kg / c.facts.bodyKg * 100
	p.DMPct = yard.Known(pct)
	say.work(func() yard.Working {
		return yard.Working{Key: "dry matter", Result: p.DMPct, Unit: unitPctBody,
			Inputs: []yard.Input{in("dry matter", kg, unitKg, computed), c.facts.bodyWeight(),
				in("tables' dry matter", p.TablesDMPct, unitPctBody, cited("NRC 2007 (requirements §5, from memory)"), c.facts.classArg())}}
	})
	if above(pct, mostIntakePct) {
		say.find("intake", yard.Warn, yard.Cell{}, "requirements §5: 2.5 to 3 % is the largest usual intake", yard.Say("finding.intake", yard.Fixed("pct", pct, yard.Percent, 1)))
	}
	return total
}

// grazing says how much grass was taken, between which ends it lies, and what
// the energy supplied would be at each. week is the kilograms as fed of each item.
func (c *served) grazing(week []float64, supplied yard.Num, say *log) {
	for i, it := range c.dish.bucket {
		if !it.grazed {
			continue
		}
		dm, ok := it.feed.DryMatter(yard.KgFed(week[i] / 7))
		if !ok {
			return
		}
		r, hours := c.facts.grassRangeKg(), c.facts.Horse.GrassHours.Or(0)
		say.work(func() yard.Working {
			return yard.Working{Key: "grass", Result: yard.Known(float64(dm)), Unit: unitCalled("dry matter a day"), Source: "settings; the range from memory: 1.5 to 3.1 % of body weight in a day, to 0.3 % in an hour",
				Inputs: []yard.Input{in("hours", hours, unitOf("h"), c.facts.cell("grass hours")), in("an hour", c.facts.grazingPct(), unitPctBody, found("settings.grass")), c.facts.bodyWeight(),
					{Name: yard.Say("working.in.low end"), Value: r.Low, Unit: unitKg}, {Name: yard.Say("working.in.high end"), Value: r.High, Unit: unitKg}}}
		})
		de, okDE := it.feed.Composition.DE.Get()
		supply, okS := supplied.Get()
		taken := []yard.Arg{yard.Figures("hours", hours, yard.Hours, 3), yard.Fixed("kg", float64(dm), yard.Kilograms, 1), yard.Fixed("low", r.Low.Or(0), yard.Kilograms, 1), yard.Fixed("high", r.High.Or(0), yard.Kilograms, 1)}
		says := yard.Say("finding.grass", taken...)
		if okDE && okS {
			low := supply + (min(r.Low.Or(0), float64(dm))-float64(dm))*de
			high := supply + (max(r.High.Or(0), float64(dm))-float64(dm))*de
			says = yard.Say("finding.grass.energy", append(taken, yard.Fixed("low energy", math.Round(low*10)/10, yard.Mcal, 1), yard.Fixed("high energy", math.Round(high*10)/10, yard.Mcal, 1))...)
		}
		sev := yard.Note
		if c.facts.frozen() && c.facts.lean() { // there may be none, and it cannot do without
			sev = yard.Warn
		}
		say.find("grass", sev, c.facts.Horse.Cells["grass hours"], "settings; range from memory", says)
	}
}
