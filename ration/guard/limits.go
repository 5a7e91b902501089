package guard

import (
	"math"
	"strconv"

	"hardfeed/ration/yard"
)

// over and under say whether a value lies beyond a mark; at the mark it does not.
func over(v, mark float64) bool  { return v > mark+tiny }
func under(v, mark float64) bool { return v < mark-tiny }

// noStop is the stop limit of a rule that has a warning limit alone: nothing passes it.
var noStop = math.MaxFloat64

// noMark is the mark of a limit a horse has none of.
var noMark = math.MaxFloat64

// upperMark compares v with two upper marks, the warning limit and the stop limit, and
// has say put together what is said of the one it passes.
func upperMark(v, warn, stop float64, say func(word yard.Arg, mark float64) yard.Saying) (yard.Severity, yard.Saying) {
	return compareMarks(over, v, warn, stop, say)
}

// lowerMark compares v with two lower marks.
func lowerMark(v, warn, stop float64, say func(word yard.Arg, mark float64) yard.Saying) (yard.Severity, yard.Saying) {
	return compareMarks(under, v, warn, stop, say)
}

func compareMarks(is func(v, mark float64) bool, v, warn, stop float64, say func(word yard.Arg, mark float64) yard.Saying) (yard.Severity, yard.Saying) {
	switch {
	case is(v, stop):
		return yard.Stop, say(wordOf(yard.Stop), stop)
	case is(v, warn):
		return yard.Warn, say(wordOf(yard.Warn), warn)
	}
	return 0, yard.Saying{}
}

// wordOf says which mark is passed.
func wordOf(sev yard.Severity) yard.Arg {
	if sev == yard.Stop {
		return yard.Said("word", yard.Say("part.word.stop"))
	}
	return yard.Said("word", yard.Say("part.word.warn"))
}

// distinctDigits are the decimals, two at least, with which a value and the mark it
// passes do not read the same.
func distinctDigits(least int, v, mark float64) (decimals int) {
	const most = 6
	for decimals = least; decimals < most; decimals++ {
		if strconv.FormatFloat(v, 'f', decimals, 64) != strconv.FormatFloat(mark, 'f', decimals, 64) {
			break
		}
	}
	return decimals
}

// distinct are a value and the mark it passes, to as many decimals as keep them apart.
func distinct(least int, v, mark float64, unit yard.Unit) (value, passed yard.Arg) {
	n := distinctDigits(least, v, mark)
	return yard.Fixed("value", v, unit, n), yard.Fixed("mark", mark, unit, n)
}

// value is what was compared, as "at least" where a part of it is not known.
func (c Compared) value(unit yard.Unit, decimals int) yard.Arg {
	return yard.Arg{Name: "value", Value: yard.Quantity{Value: c.Value, Unit: unit, Digits: decimals, Least: c.Missing != nil}}
}

func (c Compared) word() yard.Arg { return wordOf(c.Severity) }

func (c Compared) mark(unit yard.Unit, decimals int) yard.Arg {
	return yard.Fixed("mark", c.Mark, unit, decimals)
}

func (c Compared) meal() yard.Arg { return yard.Named("meal", yard.MealName, c.Meal) }

func weightArg(kg float64) yard.Arg { return yard.Fixed("weight", kg, yard.Kilograms, 0) }

// asSet says whose the mark is: the vet's, or that of a diagnosis nobody knows.
func asSet(named []yard.NamedDiagnosis) yard.Arg {
	if OnlyUnknown(named) {
		return yard.Said("whose", yard.Say("part.as set.unknown"))
	}
	return yard.Said("whose", yard.Say("part.as set"))
}

// namedBy is a diagnosis as the vet named it, or as one nobody knows is read.
func namedBy(named []yard.NamedDiagnosis, d string) yard.Arg {
	if OnlyUnknown(named) {
		return yard.Said("named", yard.Say("part.named.unknown", yard.Said("what", yard.Say("part.diagnosis."+d))))
	}
	return yard.Said("named", yard.Say("part.named", yard.Said("what", yard.Say("part.diagnosis."+d))))
}

func feedNames(name string, names []string) yard.Arg {
	return yard.Names(name, yard.And, yard.FeedName, names)
}

func sayMealStarch(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-11", c.meal(), c.value(yard.GPerKgBW, 2), c.word(), c.mark(yard.GPerKgBW, 1))
}

func sayDayStarch(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-12", c.value(yard.GPerKgBW, 2), c.word(), c.mark(yard.GPerKgBW, 1))
}

func sayHardFeed(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	v, mark := distinct(2, c.Value, c.Mark, yard.Percent)
	return yard.Say("finding.D-13", v, c.word(), mark)
}

func sayHardFeedShare(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-13.share", c.value(yard.Percent, 0), c.mark(yard.Percent, 0))
}

func sayOats(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-13.oats", c.value(yard.Kilograms, 2), c.word(), weightArg(r.ceilingKg()), c.mark(yard.Kilograms, 2))
}

func sayForage(c Compared, r Ration, l yard.Limits) yard.Saying {
	key := "finding.D-17"
	if _, _, slimming := ForageFloor(r.Diagnoses, l); slimming {
		key = "finding.D-17.slimming"
	}
	v, mark := distinct(2, c.Value, c.Mark, yard.Percent)
	return yard.Say(key, v, c.word(), mark)
}

// sayForageTeeth says it of a horse with poor teeth: more hay is no answer where it cannot
// be chewed.
func sayForageTeeth(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	v, mark := distinct(2, c.Value, c.Mark, yard.Percent)
	return yard.Say("finding.D-17.teeth", v, mark)
}

func forageUnknown(Compared, Ration, yard.Limits) yard.Saying {
	return yard.Say("finding.D-17.unknown")
}

func sayOil(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-21", c.value(yard.Millilitres, 0), c.word(), weightArg(r.ceilingKg()), c.mark(yard.Millilitres, 0))
}

func sayFat(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-21.fat", c.value(yard.Percent, 1), c.word(), c.mark(yard.Percent, 0))
}

var oilInADay = limitCalled("oil")

func oilVitaminE(r Ration, l yard.Limits) (yard.Severity, yard.Saying) {
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitE })
	ml := oilInADay.Compare(r, l).Value
	forOil := l.VitEPerMlOil * ml
	oil, need := yard.Fixed("oil", ml, yard.Millilitres, 0), yard.Fixed("need", r.VitENeeds, yard.IU, 0)
	switch asked := r.VitENeeds + forOil; {
	case !over(ml, 0) || !under(iu, asked):
		return 0, yard.Saying{}
	case missing != nil:
		return yard.Note, yard.Say("finding.D-21.vitamin E.unknown", oil, yard.Fixed("asked", forOil, yard.IU, 0), need, feedNames("feeds", missing))
	default:
		return yard.Warn, yard.Say("finding.D-21.vitamin E", yard.Fixed("value", iu, yard.IU, 0), oil, yard.Fixed("asked", asked, yard.IU, 0), need)
	}
}

func saySalt(c Compared, r Ration, _ yard.Limits) yard.Saying {
	key := "finding.D-22.warn"
	if c.Severity == yard.Stop {
		key = "finding.D-22"
	}
	return yard.Say(key, c.value(yard.Grams, 0), weightArg(r.ceilingKg()), c.mark(yard.Grams, 0))
}

func sayCalciumHigh(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-26.high", c.value(yard.NoUnit, 2), c.mark(yard.NoUnit, 0))
}

func sayCalciumLow(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-26", c.value(yard.NoUnit, 2), c.word(), c.mark(yard.NoUnit, 1))
}
