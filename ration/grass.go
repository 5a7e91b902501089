package ration

import (
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
func (c *dish) grassKg(pctPerHour float64) float64 {
	return c.Horse.GrassHours.Or(0) * pctPerHour / 100 * c.bodyKg
}

// grassRoomKg is how much of what is grazed fits beside what is weighed, given
// what is left of the ordinary ad lib intake.
func (c *dish) grassRoomKg(left float64) float64 {
	weighed := c.rules.ForageIntakePct/100*c.bodyKg - left
	return max(0, mostIntakePct/100*c.bodyKg-weighed)
}

// grassRangeKg is the range of what is grazed, kg of dry matter.
func (c *dish) grassRangeKg() yard.Range {
	h := c.Horse.GrassHours.Or(0)
	return yard.Range{
		Low:  yard.Known(grassDayLowPct * h / 24 / 100 * c.bodyKg),
		High: yard.Known(min(grassHourHighPct*h, grassDayHighPct) / 100 * c.bodyKg),
	}
}

// grassIsEnough says whether the field alone, at the low end of what is grazed,
// reaches the forage mark: then no hay is assumed where none is written down.
func (c *dish) grassIsEnough() bool {
	return c.Horse.GrassHours.Or(0) > 0 && !below(c.grassRangeKg().Low.Or(0), c.forageWarnPct()/100*c.bodyKg)
}

// addGrass marks the pasture of a horse that is out as grazed by the hour; where
// its rows name none, the yard's own pasture or the generic one is added.
func (c *dish) addGrass(room *feedRoom) {
	if c.Horse.GrassHours.Or(0) <= 0 {
		return
	}
	out := portion{given: true, adLib: true}
	if i := slices.IndexFunc(c.bucket, func(it item) bool {
		return it.feed.Grazed && (!it.startingPortion().given || it.startingPortion().adLib)
	}); i >= 0 {
		c.bucket[i].grazed, c.bucket[i].now, c.bucket[i].planned = true, out, portion{}
		return
	}
	grass, ok := room.pasture()
	if !ok {
		return
	}
	c.bucket = append(c.bucket, item{feed: grass, cell: c.Horse.Cells["grass hours"], now: out, grazed: true})
}
