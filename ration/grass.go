package ration

import (
	"slices"
	"time"

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

// Grass in winter. Eight horses took 0.088 % of body weight an hour in February, and
// 0.166 in October and 0.108 in May, over eight hours after a night without feed
// (evidence GR-01, seen): February is 0.73 of the mean of the three. The first hours of
// the eight run at twice the next (GR-03), so that the low end is half of February's rate
// (ours). No rate of summer is published.
const (
	winterShare       = 0.088 / ((0.166 + 0.088 + 0.108) / 3)
	winterHourLowPct  = 0.088 / 2
	hoursOfAWholeDay  = 24
	monthsOfHalfAYear = 6
)

// winter says whether the week is in the months when grass hardly grows: December to
// February, or June to August south of the equator. A week without a date is in none.
func (c *facts) winter() bool {
	if c.week.Beginning.IsZero() {
		return false
	}
	month := c.week.Beginning.Month()
	if c.rules.Hemisphere == yard.South {
		month = (month+monthsOfHalfAYear-1)%12 + 1
	}
	return month == time.December || month <= time.February
}

// grazingPct is the dry matter grazed in an hour, % of body weight: the setting, and in
// winter the share of it that February's measurements leave.
func (c *facts) grazingPct() float64 {
	switch {
	case c.frozen():
		return min(c.rules.GrazingPct, winterHourLowPct) / 2
	case c.winter():
		return c.rules.GrazingPct * winterShare
	}
	return c.rules.GrazingPct
}

// grassKg is the dry matter grazed a day, kg.
func (c *facts) grassKg() float64 {
	return c.Horse.GrassHours.Or(0) * c.grazingPct() / 100 * c.bodyKg
}

// grassRoomKg is how much of what is grazed fits beside what is weighed, given
// what is left of the ordinary ad lib intake.
func (c *facts) grassRoomKg(left float64) float64 {
	weighed := c.rules.ForageIntakePct/100*c.bodyKg - left
	return max(0, mostIntakePct/100*c.bodyKg-weighed)
}

// frozenC is the mean temperature of a winter week, °C, at which grass may lie under snow or
// be frozen to the ground: a horse may find none, and half of a winter's least is counted.
// Ours, no source.
const frozenC = -10

func (c *facts) frozen() bool { return c.winter() && c.week.Temperature.Or(0) <= frozenC }

// grassRangeKg is the range of what is grazed, kg of dry matter.
func (c *facts) grassRangeKg() yard.Range {
	h, low := c.Horse.GrassHours.Or(0), grassDayLowPct/hoursOfAWholeDay
	switch {
	case c.frozen():
		low = 0
	case c.winter():
		low = winterHourLowPct
	}
	return yard.Range{
		Low:  yard.Known(low * h / 100 * c.bodyKg),
		High: yard.Known(min(grassHourHighPct*h, grassDayHighPct) / 100 * c.bodyKg),
	}
}

// grassIsEnough says whether the field alone, at the low end of what is grazed,
// reaches the forage mark: then no hay is assumed where none is written down.
func (c *facts) grassIsEnough() bool {
	return c.Horse.GrassHours.Or(0) > 0 && !below(c.grassRangeKg().Low.Or(0), c.forageWarnPct()/100*c.bodyKg)
}

// addGrass marks the pasture of a horse that is out as grazed by the hour; where
// its rows name none, the yard's own pasture or the generic one is added.
func addGrass(c *dish, room *feedRoom) {
	if c.facts.Horse.GrassHours.Or(0) <= 0 {
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
	c.bucket = append(c.bucket, item{feed: grass, cell: c.facts.Horse.Cells["grass hours"], now: out, grazed: true})
}
