package ration

import (
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// facts is what is known of a horse and of its yard in one week before anybody looks into
// its bucket, and what follows from that alone. It is filled by [newHorseWeek] and
// [horseWeek.nextWeek] and then only read.
type facts struct {
	Horse yard.Horse
	week  yard.Week
	rules yard.Rules
	weight
	marks       guard.Marks // of its weekly step
	WorkClass   yard.WorkClass
	WorkMinutes float64
	wetHay      bool           // its hay is soaked or steamed
	learnt      *ownEvidence   // of its weighings and its feed; nil: there is too little of one
	shown       *yard.Evidence // the same, or what its weighings show alone; nil: under two weighings
	trend       yard.WeightTrend
	needs
}

// forageWarnPct is the warning limit of the forage floor that holds for this horse.
func (c *facts) forageWarnPct() float64 {
	warn, _, _ := guard.ForageFloor(c.Horse.Diagnoses, c.rules.Limits)
	return warn
}

// forageStopPct is the stop limit of the forage floor that holds for this horse.
func (c *facts) forageStopPct() float64 {
	_, stop, _ := guard.ForageFloor(c.Horse.Diagnoses, c.rules.Limits)
	return stop
}
