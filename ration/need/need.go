// Package need is what a horse requires in a day: energy, protein, minerals and
// vitamins of adult horses at maintenance and in work.
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
// Adults only: no growth, pregnancy, lactation or breeding. Water, a sweat the
// yard has measured itself and other standards are not here yet. The published
// thiamin of light work equals that of rest although the text gives more per kg
// of dry matter for work; the table's value is kept.
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

// Nutrient is one line of the NRC 2007 tables: a need a day in proportion to
// body weight, by work class.
type Nutrient struct {
	Name, Unit string // "crude protein", "g"
	Source     string // section of the reference file, and which values are from memory
	// Unit per kg body weight a day: maintenance of a good, a normal and a poor
	// doer, then the work classes.
	goodDoer, normal, poorDoer, light, moderate, heavy, veryHeavy float64
}

// Of is the need a day of an adult of bodyKg: PerKg × body weight.
func (n Nutrient) Of(c yard.WorkClass, k yard.Keeper, bodyKg float64) float64 {
	return n.PerKg(c, k) * bodyKg
}

// PerKg is the need a day per kg of body weight.
func (n Nutrient) PerKg(c yard.WorkClass, k yard.Keeper) float64 {
	per := n.normal
	switch {
	case c == yard.ClassLight:
		per = n.light
	case c == yard.ClassModerate:
		per = n.moderate
	case c == yard.ClassHeavy:
		per = n.heavy
	case c == yard.ClassVeryHeavy:
		per = n.veryHeavy
	case k == yard.GoodDoer:
		per = n.goodDoer
	case k == yard.PoorDoer:
		per = n.poorDoer
	}
	return per
}

// Nutrients is the table, in the order it is printed. Sodium, chloride and
// potassium in work are maintenance plus the class's sweat (0.25, 0.5, 1 and 2 %
// of body weight) times 3.1, 5.3 and 1.4 g/kg, potassium at 50 % absorption
// (requirements §7). Lysine is 4.3 % of crude protein. Trace minerals follow
// the dry matter intake behind the tables (§5).
func Nutrients() []Nutrient {
	const macro = "NRC 2007 (requirements §3)"
	const trace = "NRC 2007 (requirements §4; moderate and heavy partly from memory)"
	const sweat = "NRC 2007 (requirements §3 and §7)"
	return []Nutrient{
		{"crude protein", "g", "NRC 2007 (requirements §2; good doer from memory)", 1.08, 1.26, 1.44, 1.398367, 1.535734, 1.723468, 2.008937},
		{"lysine", "g", "NRC 2007 (requirements §2; from memory)", 0.04644, 0.05418, 0.06192, 0.06013, 0.066037, 0.074109, 0.086384},
		{"calcium", "g", macro, 0.040, 0.040, 0.040, 0.060, 0.070, 0.080, 0.080},
		{"phosphorus", "g", macro, 0.028, 0.028, 0.028, 0.036, 0.042, 0.058, 0.058},
		{"magnesium", "g", macro, 0.015, 0.015, 0.015, 0.019, 0.023, 0.030, 0.030},
		{"potassium", "g", sweat, 0.050, 0.050, 0.050, 0.057, 0.064, 0.078, 0.106},
		{"sodium", "g", sweat, 0.020, 0.020, 0.020, 0.02775, 0.0355, 0.051, 0.082},
		{"chloride", "g", sweat, 0.080, 0.080, 0.080, 0.09325, 0.1065, 0.133, 0.186},
		{"sulphur", "g", "NRC 2007 (requirements §3; work from memory)", 0.030, 0.030, 0.030, 0.030, 0.03375, 0.0375, 0.0375},
		{"cobalt", "mg", trace, 0.001, 0.001, 0.001, 0.001, 0.001125, 0.00125, 0.00125},
		{"copper", "mg", trace, 0.20, 0.20, 0.20, 0.20, 0.225, 0.25, 0.25},
		{"iodine", "mg", trace, 0.007, 0.007, 0.007, 0.007, 0.007875, 0.00875, 0.00875},
		{"iron", "mg", trace, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1},
		{"manganese", "mg", trace, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1},
		{"selenium", "mg", trace, 0.002, 0.002, 0.002, 0.002, 0.00225, 0.0025, 0.0025},
		{"zinc", "mg", trace, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1},
		{"vitamin A", "IU", "NRC 2007 (requirements §4)", 30, 30, 30, 45, 45, 45, 45},
		{"vitamin D", "IU", "NRC 2007 (requirements §4; rest from memory)", 6.6, 6.6, 6.6, 6.6, 6.6, 6.6, 6.6},
		{"vitamin E", "IU", "NRC 2007 (requirements §4; moderate from memory)", 1, 1, 1, 1.6, 1.8, 2, 2},
		{"thiamin", "mg", "NRC 2007 (requirements §4; moderate from memory)", 0.06, 0.06, 0.06, 0.06, 0.113, 0.125, 0.125},
		{"riboflavin", "mg", "NRC 2007 (requirements §4; moderate from memory)", 0.04, 0.04, 0.04, 0.04, 0.045, 0.05, 0.05},
	}
}

// GirthLengthKg is body weight from heart girth and length, cm: girth² ×
// length / divisor. The divisor is 11,877 for horses (Carroll and Huntington
// 1988; requirements §10: paper seen, divisor from memory, 11,880 seen in field
// use) and 10,802 for ponies (girth² × length / 299 in inches and pounds, seen,
// converted).
func GirthLengthKg(girthCm, lengthCm float64, t yard.HorseType) float64 {
	return girthCm * girthCm * lengthCm / GirthLengthDivisor(t)
}

// GirthLengthDivisor is the divisor of [GirthLengthKg], cm³ per kg.
func GirthLengthDivisor(t yard.HorseType) float64 {
	if t == yard.TypePony {
		return 10802
	}
	return 11877
}
