package need

import (
	"slices"

	"hardfeed/ration/yard"
)

// Nutrient is one line of the NRC 2007 tables: a need a day in proportion to
// body weight, by work class, and to the sweat lost.
type Nutrient struct {
	Name, Unit string // "crude protein", "g"
	Source     string // section of the reference file, and which values are from memory
	// PerKgSweat is the unit per kg of sweat, 0 where sweat is not built in.
	PerKgSweat float64
	// Unit per kg body weight a day without the sweat: maintenance of a good, a
	// normal and a poor doer, then the work classes.
	goodDoer, normal, poorDoer, light, moderate, heavy, veryHeavy float64

	constituent yard.Constituent // the one of its name
}

// Of is the need a day of an adult of bodyKg that sweats sweatKg a day, the mean
// of the week: PerKg × body weight + PerKgSweat × sweat. The table's own values
// come back with [ClassSweatKg]; a measured sweat takes its place and is never
// added to it (requirements §7, the worked heavy-sweat day).
func (n Nutrient) Of(c yard.WorkClass, k yard.Keeper, bodyKg, sweatKg float64) float64 {
	return n.PerKg(c, k)*bodyKg + n.PerKgSweat*sweatKg
}

// Content is how much of it a composition holds, in its unit per kg of dry matter.
func (n Nutrient) Content(c yard.Composition) yard.Num { return n.constituent.Of(c) }

// PerKg is the need a day per kg of body weight, sweat apart.
func (n Nutrient) PerKg(c yard.WorkClass, k yard.Keeper) float64 {
	switch c {
	case yard.ClassLight:
		return n.light
	case yard.ClassModerate:
		return n.moderate
	case yard.ClassHeavy:
		return n.heavy
	case yard.ClassVeryHeavy:
		return n.veryHeavy
	}
	switch k {
	case yard.GoodDoer:
		return n.goodDoer
	case yard.PoorDoer:
		return n.poorDoer
	}
	return n.normal
}

// What a kg of sweat carries and what of the feed's is absorbed (requirements §2
// and §7): Na 3.1 g (seen), Cl 5.3 g (from the printed table), both taken up
// whole as the table is built; K 1.4 g at 50 % (seen); protein 7.8 g, half used,
// 79 % digested (memory). Lysine is 4.3 % of crude protein (memory).
const (
	sodiumPerKgSweat    = 3.1
	chloridePerKgSweat  = 5.3
	potassiumPerKgSweat = 1.4 / 0.5
	proteinPerKgSweat   = 7.8 * 2 / 0.79
	lysineOfProtein     = 0.043
)

// Nutrients is the NRC 2007 table, in the order it is printed. Protein in work is
// maintenance 1.26 g per kg plus a term for muscle gain plus sweat. Trace
// minerals follow the dry matter intake behind the tables (§5). It is read only.
func Nutrients() []Nutrient { return nutrients }

var nutrients = measured(table())

// measured gives each nutrient its constituent of a feed. It panics where there is
// none of that name and unit: that is a mistake of ours.
func measured(ns []Nutrient) []Nutrient {
	for i := range ns {
		n := &ns[i]
		k := slices.IndexFunc(yard.Constituents(), func(c yard.Constituent) bool { return c.Name == n.Name && string(c.Unit) == n.Unit })
		if k < 0 {
			panic("need: no constituent of feeds is called " + n.Name + " and counted in " + n.Unit)
		}
		n.constituent = yard.Constituents()[k]
	}
	return ns
}

func table() []Nutrient {
	const macro = "NRC 2007 (requirements §3)"
	const trace = "NRC 2007 (requirements §4; moderate and heavy partly from memory)"
	const sweat = "NRC 2007 (requirements §3 and §7)"
	protein := row("crude protein", "g", "NRC 2007 (requirements §2; good doer and the parts of work from memory)", proteinPerKgSweat,
		1.08, 1.26, 1.44, 1.26+0.089, 1.26+0.177, 1.26+0.266, 1.26+0.354)
	return []Nutrient{
		protein,
		protein.times(lysineOfProtein, "lysine", "NRC 2007 (requirements §2; from memory)"),
		row("calcium", "g", macro, 0, 0.040, 0.040, 0.040, 0.060, 0.070, 0.080, 0.080),
		row("phosphorus", "g", macro, 0, 0.028, 0.028, 0.028, 0.036, 0.042, 0.058, 0.058),
		row("magnesium", "g", macro, 0, 0.015, 0.015, 0.015, 0.019, 0.023, 0.030, 0.030),
		row("potassium", "g", sweat, potassiumPerKgSweat, 0.050, 0.050, 0.050, 0.050, 0.050, 0.050, 0.050),
		row("sodium", "g", sweat, sodiumPerKgSweat, 0.020, 0.020, 0.020, 0.020, 0.020, 0.020, 0.020),
		row("chloride", "g", sweat, chloridePerKgSweat, 0.080, 0.080, 0.080, 0.080, 0.080, 0.080, 0.080),
		row("sulphur", "g", "NRC 2007 (requirements §3; work from memory)", 0, 0.030, 0.030, 0.030, 0.030, 0.03375, 0.0375, 0.0375),
		row("cobalt", "mg", trace, 0, 0.001, 0.001, 0.001, 0.001, 0.001125, 0.00125, 0.00125),
		row("copper", "mg", trace, 0, 0.20, 0.20, 0.20, 0.20, 0.225, 0.25, 0.25),
		row("iodine", "mg", trace, 0, 0.007, 0.007, 0.007, 0.007, 0.007875, 0.00875, 0.00875),
		row("iron", "mg", trace, 0, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1),
		row("manganese", "mg", trace, 0, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1),
		row("selenium", "mg", trace, 0, 0.002, 0.002, 0.002, 0.002, 0.00225, 0.0025, 0.0025),
		row("zinc", "mg", trace, 0, 0.8, 0.8, 0.8, 0.8, 0.9, 1, 1),
		row("vitamin A", "IU", "NRC 2007 (requirements §4)", 0, 30, 30, 30, 45, 45, 45, 45),
		row("vitamin D", "IU", "NRC 2007 (requirements §4; rest from memory)", 0, 6.6, 6.6, 6.6, 6.6, 6.6, 6.6, 6.6),
		row("vitamin E", "IU", "NRC 2007 (requirements §4; moderate from memory)", 0, 1, 1, 1, 1.6, 1.8, 2, 2),
		row("thiamin", "mg", "NRC 2007 (requirements §4; moderate from memory)", 0, 0.06, 0.06, 0.06, 0.06, 0.113, 0.125, 0.125),
		row("riboflavin", "mg", "NRC 2007 (requirements §4; moderate from memory)", 0, 0.04, 0.04, 0.04, 0.04, 0.045, 0.05, 0.05),
	}
}

func row(name, unit, source string, perKgSweat, goodDoer, normal, poorDoer, light, moderate, heavy, veryHeavy float64) Nutrient {
	return Nutrient{Name: name, Unit: unit, Source: source, PerKgSweat: perKgSweat, goodDoer: goodDoer, normal: normal, poorDoer: poorDoer, light: light, moderate: moderate, heavy: heavy, veryHeavy: veryHeavy}
}

// times is the same need scaled by f, under another name.
func (n Nutrient) times(f float64, name, source string) Nutrient {
	n.Name, n.Source = name, source
	for _, v := range []*float64{&n.PerKgSweat, &n.goodDoer, &n.normal, &n.poorDoer, &n.light, &n.moderate, &n.heavy, &n.veryHeavy} {
		*v *= f
	}
	return n
}

// IntakeDMPerKg is the dry matter a day behind the NRC 2007 tables, kg per kg of
// body weight (requirements §5, memory; the range 2 to 2.5 % seen).
func IntakeDMPerKg(c yard.WorkClass) float64 {
	switch c {
	case yard.ClassModerate:
		return 0.0225
	case yard.ClassHeavy, yard.ClassVeryHeavy:
		return 0.025
	}
	return 0.02
}
