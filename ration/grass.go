package ration

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
)

// What a horse grazes in a day, % of body weight as dry matter. By the hour it is
// a setting; the ends of the range are from memory: 1.5 to 3.1 % in a whole day
// at pasture (NRC 2007), up to 0.3 % an hour in the first hours. mostIntakePct is
// the largest usual intake in all (requirements §5, 2.5 to 3 %, seen).
const (
	grassDayLowPct   = 1.5
	grassHourHighPct = 0.3
	grassDayHighPct  = 3.1
	mostIntakePct    = 3.0
)

// grassKg is the dry matter grazed a day, kg, at a rate in % of body weight an hour.
func (c *card) grassKg(pctPerHour float64) float64 {
	return c.Horse.GrassHours.Or(0) * pctPerHour / 100 * c.bodyKg
}

// grassRoomKg is how much of what is grazed fits beside what is weighed, given
// what is left of the ordinary ad lib intake.
func (c *card) grassRoomKg(left float64) float64 {
	weighed := c.rules.ForageIntakePct/100*c.bodyKg - left
	return max(0, mostIntakePct/100*c.bodyKg-weighed)
}

// grassRangeKg is the range of what is grazed, kg of dry matter.
func (c *card) grassRangeKg() yard.Range {
	h := c.Horse.GrassHours.Or(0)
	return yard.Range{
		Low:  yard.Known(grassDayLowPct * h / 24 / 100 * c.bodyKg),
		High: yard.Known(min(grassHourHighPct*h, grassDayHighPct) / 100 * c.bodyKg),
	}
}

// grassIsEnough says whether the field alone, at the low end of what is grazed,
// reaches the forage mark: then no hay is assumed where none is written down.
func (c *card) grassIsEnough() bool {
	return c.Horse.GrassHours.Or(0) > 0 && c.grassRangeKg().Low.Or(0) >= c.forageWarnPct()/100*c.bodyKg-1e-9
}

// addGrass marks the pasture of a horse that is out as grazed by the hour; where
// its rows name none, the yard's own pasture or the generic one is added.
func (c *card) addGrass(room *feedRoom) {
	if c.Horse.GrassHours.Or(0) <= 0 {
		return
	}
	out := portion{given: true, adLib: true}
	if i := slices.IndexFunc(c.bucket, func(it item) bool { return it.feed.Grazed && (!it.fed().given || it.fed().adLib) }); i >= 0 {
		c.bucket[i].grazed, c.bucket[i].now, c.bucket[i].planned = true, out, portion{}
		return
	}
	grass, ok := room.pasture()
	if !ok {
		return
	}
	c.bucket = append(c.bucket, item{feed: grass, cell: c.Horse.Cells["grass hours"], now: out, grazed: true})
}

// grazing says how much grass was taken, between which ends it lies, and what
// the energy supplied would be at each. week is the kilograms as fed of each item.
func (c *card) grazing(week []float64) {
	for i, it := range c.bucket {
		if !it.grazed {
			continue
		}
		dm, ok := it.feed.DryMatter(yard.KgFed(week[i] / 7))
		if !ok {
			return
		}
		r, hours := c.grassRangeKg(), c.Horse.GrassHours.Or(0)
		c.worked("grass grazed", "hours × % of body weight an hour × body weight, at most what fits beside the rest", yard.Known(float64(dm)), "kg dry matter a day", "settings; the range from memory: 1.5 to 3.1 % of body weight in a day, to 0.3 % in an hour",
			in("hours", hours, "h", c.cell("grass hours")), in("an hour", c.rules.GrazingPct, "% of body weight", "settings"), c.bodyWeight(),
			yard.Input{Name: "low end", Value: r.Low, Unit: "kg"}, yard.Input{Name: "high end", Value: r.High, Unit: "kg"})
		de, okDE := it.feed.Composition.DE.Get()
		supply, okS := c.Energy.Supply.Get()
		taken := []yard.Arg{yard.Figures("hours", hours, yard.Hours, 3), yard.Fixed("kg", float64(dm), yard.Kilograms, 1), yard.Fixed("low", r.Low.Or(0), yard.Kilograms, 1), yard.Fixed("high", r.High.Or(0), yard.Kilograms, 1)}
		says := yard.Say("finding.grass", taken...)
		if okDE && okS {
			low := supply + (min(r.Low.Or(0), float64(dm))-float64(dm))*de
			high := supply + (max(r.High.Or(0), float64(dm))-float64(dm))*de
			c.Energy.SupplyRange = yard.Range{Low: yard.Known(low), High: yard.Known(high)}
			says = yard.Say("finding.grass.energy", append(taken, yard.Fixed("low energy", math.Round(low*10)/10, yard.Mcal, 1), yard.Fixed("high energy", math.Round(high*10)/10, yard.Mcal, 1))...)
		}
		c.find("grass", yard.Note, c.Horse.Cells["grass hours"], "settings; range from memory", says)
	}
}
