// Package need is what a horse requires in a day: energy, crude protein,
// calcium, phosphorus and sodium of adult horses at maintenance and in work.
//
// # Sources
//
// National Research Council, Nutrient Requirements of Horses, 6th revised
// edition, 2007, through the project's reference table of requirements; the
// book itself was not at hand, so each coefficient is second-hand, and those
// marked "memory" are to be checked in the book. Section numbers below are of
// that reference file.
//
// # Partial
//
// Adults only: no growth, pregnancy, lactation or breeding. The other minerals,
// the vitamins, water and other standards are not here yet.
package need

import "hardfeed/ration/yard"

// Standard is what the sheets call the source of these figures.
const Standard = "NRC 2007"

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

// perKg holds coefficients in g per kg body weight a day, by class.
type perKg struct{ rest, light, moderate, heavy, veryHeavy float64 }

func (p perKg) of(c yard.WorkClass) float64 {
	switch c {
	case yard.ClassLight:
		return p.light
	case yard.ClassModerate:
		return p.moderate
	case yard.ClassHeavy:
		return p.heavy
	case yard.ClassVeryHeavy:
		return p.veryHeavy
	}
	return p.rest
}

// Crude protein (requirements §2), calcium, phosphorus and sodium (§3), g per
// kg body weight a day. Sodium in work is 0.020 + sweat × 3.1 g/kg, with the
// class's sweat of 0.25, 0.5, 1 and 2 % of body weight (§7).
var (
	crudeProtein = perKg{1.26, 1.3984, 1.5357, 1.7235, 2.0089}
	calcium      = perKg{0.040, 0.060, 0.070, 0.080, 0.080}
	phosphorus   = perKg{0.028, 0.036, 0.042, 0.058, 0.058}
	sodium       = perKg{0.020, 0.02775, 0.0355, 0.051, 0.082}
)

// CrudeProteinG is g a day. At rest it follows the keeper: 1.08 (memory), 1.26,
// 1.44 g/kg.
func CrudeProteinG(c yard.WorkClass, k yard.Keeper, bodyKg float64) float64 {
	if c == yard.ClassRest {
		switch k {
		case yard.GoodDoer:
			return 1.08 * bodyKg
		case yard.PoorDoer:
			return 1.44 * bodyKg
		}
	}
	return crudeProtein.of(c) * bodyKg
}

// CalciumG is g calcium a day.
func CalciumG(c yard.WorkClass, bodyKg float64) float64 { return calcium.of(c) * bodyKg }

// PhosphorusG is g phosphorus a day.
func PhosphorusG(c yard.WorkClass, bodyKg float64) float64 { return phosphorus.of(c) * bodyKg }

// SodiumG is g sodium a day.
func SodiumG(c yard.WorkClass, bodyKg float64) float64 { return sodium.of(c) * bodyKg }

// GirthLengthKg is body weight from heart girth and length, cm: girth² ×
// length / divisor. The divisor is 11,877 for horses (Carroll and Huntington
// 1988; requirements §10: paper seen, divisor from memory, 11,880 seen in field
// use) and 10,802 for ponies (girth² × length / 299 in inches and pounds, seen,
// converted).
func GirthLengthKg(girthCm, lengthCm float64, t yard.HorseType) float64 {
	divisor := 11877.0
	if t == yard.TypePony {
		divisor = 10802
	}
	return girthCm * girthCm * lengthCm / divisor
}
