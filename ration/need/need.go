// Package need is what a horse requires in a day: energy, protein, minerals,
// vitamins and water of adult horses at maintenance and in work, by a published
// [Standard]. [NRC] is the one the cards rest on; [GfE] and [INRA] give energy
// to be shown beside it, each in its own unit.
//
// # Sources
//
// NRC: National Research Council, Nutrient Requirements of Horses, 6th revised
// edition, 2007, through the project's reference table of requirements; the
// book itself was not at hand, so each coefficient is second-hand, and those
// marked "memory" are to be checked in the book. Section numbers below are of
// that reference file.
//
// # Partial
//
// Adults only: no growth, pregnancy, lactation or breeding. Of GfE 2014 and INRA
// only what the reference file could see is here: the energy of maintenance, of
// the three paces (GfE) and of an hour of some kinds of work (INRA). The published
// thiamin of light work equals that of rest although the text gives more per kg
// of dry matter for work; the table's value is kept.
package need

import (
	"strings"

	"hardfeed/ration/yard"
)

// MaintenancePerKg is Mcal DE per kg body weight a day (requirements §1):
// minimum 0.0303 (memory; 15.2 Mcal at 500 kg seen), average 0.0333 (seen),
// elevated 0.0363 (memory; 18.2 Mcal at 500 kg seen).
func MaintenancePerKg(k yard.Keeper) float64 {
	switch k {
	case yard.GoodDoer:
		return 0.0303
	case yard.PoorDoer:
		return 0.0363
	}
	return 0.0333
}

// How far horses of one kind differ from the mean need, % either side: twice the CV of
// 6.8 % of 60 sport horses (evidence EN-01); race training 10.1 % (EN-10).
const (
	SpreadPct     = 14.0
	RaceSpreadPct = 20.0
)

// RacePerKg is the maintenance of horses in race training, Mcal DE per kg a day: what
// 22 of them held their weight on, less their work (evidence EN-10 to EN-13; the 0.87
// that turns ME into DE is from memory).
const RacePerKg = 0.0475

// MostOffPct is the most taken off a horse's need for slimming, %: horses and ponies
// slimmed on 82 % of the mean need, by 0.16 to 0.55 % of their weight a week (evidence
// EN-24). Less is for a vet to set.
const MostOffPct = 18.0

// GoingFactor is how much further the high end of the need lies for deep going (sand,
// mud, a beach) in the yard's own words. Deep sand puts the energy of trotting in
// the upper end of its range, and no firm figure was found (exercise §5): half as
// much again is ours.
func GoingFactor(days [7]yard.Day) float64 {
	for _, d := range days {
		for _, w := range deepGoing {
			if strings.Contains(strings.ToLower(d.Text), w) {
				return 1.5
			}
		}
	}
	return 1
}

var deepGoing = []string{"deep", "sand", "mud", "beach", "plough", "snow", "schlamm", "strand", "tiefer boden", "sable", "boue", "plage", "arena honda", "barro", "playa"}

// ClassMcal is the whole DE need a day of the NRC 2007 work classes, Mcal
// (requirements §1): average maintenance × 1.20, 1.40, 1.60; very heavy is the
// elevated maintenance × 1.90. At rest it is the keeper's own maintenance.
func ClassMcal(c yard.WorkClass, k yard.Keeper, bodyKg float64) float64 {
	switch c {
	case yard.ClassLight:
		return 0.0333 * 1.20 * bodyKg
	case yard.ClassModerate:
		return 0.0333 * 1.40 * bodyKg
	case yard.ClassHeavy:
		return 0.0333 * 1.60 * bodyKg
	case yard.ClassVeryHeavy:
		return 0.0363 * 1.90 * bodyKg
	}
	return MaintenancePerKg(k) * bodyKg
}

// McalPerKgChange is DE per kg of body weight gained or lost, and
// KgPerScorePer500 the body weight in one Henneke score of a 500 kg horse
// (requirements §9, seen: 20 Mcal, 16-20 kg with 20 used).
const (
	McalPerKgChange  = 20.0
	KgPerScorePer500 = 20.0
)

// Gain and loss a week at most, fraction of body weight (limits D-28).
const (
	MostGainPerWeek = 0.0035
	MostLossPerWeek = 0.01
)

// ChangeMcal is the DE a day for moving from one condition score to another,
// negative for slimming. The whole change is spread over days, slower where
// that would pass the weekly marks of D-28.
func ChangeMcal(score, target, bodyKg, days float64) float64 {
	kg := (target - score) * KgPerScorePer500 * bodyKg / 500
	kgPerDay := kg / days
	kgPerDay = min(kgPerDay, MostGainPerWeek*bodyKg/7)
	kgPerDay = max(kgPerDay, -MostLossPerWeek*bodyKg/7)
	return kgPerDay * McalPerKgChange
}

// ColdMcal is the extra DE a day below the lower critical temperature: 2.5 % of
// maintenance a degree (requirements §11, seen, Cymbaluk 1994).
func ColdMcal(maintenance, temperatureC, lowerCriticalC float64) float64 {
	return maintenance * 0.025 * max(0, lowerCriticalC-temperatureC)
}
