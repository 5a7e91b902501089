package ration

import (
	"math"
	"slices"
	"strings"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// How far the week's energy may lie from the need before somebody is told, % of the
// need (design §5.10). A horse nobody worries about is told of only outside the range
// of its kind.
const (
	apartPct    = 10
	farApartPct = 25
)

// judgeEnergy compares what the week's card brings with what the horse needs, and says
// what weight it would put on or lose by it. held: the card was held for it, and it is said.
func judgeEnergy(c *horseWeek, e yard.Energy, held bool, say *log) {
	supply, ok := e.Supply.Get()
	needs, ok2 := e.Need.Get()
	if !ok || !ok2 || needs <= 0 || c.facts.WorkAtLeast {
		reportGap(&c.dish, e, say)
		return
	}
	is := c.facts.condition()
	holds := needs - e.Change.Or(0) // what it would hold its weight on
	low, high := c.dish.grassEnds(supply)
	if is.steady && !is.fat { // its weighings say that it does not take the most there may be
		high = supply
	}
	short := func(from, than float64) float64 { return (than - from) / than * 100 }
	over := -short(high, holds)
	hungry := c.facts.Horse.Keeper == yard.PoorDoer && above(short(supply, needs), apartPct) || below(supply, e.NeedRange.Low.Or(0))
	switch {
	case (is.thin || is.losing) && above(short(low, needs), apartPct):
		key := "finding.energy.thin"
		if !is.thin {
			key = "finding.energy.losing"
		}
		if keeps(kgAWeek(low, holds)) { // short only of what would fatten it
			key += ".keeps"
		}
		sayEnergy(&c.dish, key, low, needs, holds, say)
	case is.losing && c.facts.trend != yard.TrendLosing: // the tables say it has enough, and somebody who sees it says not
		sayEnergy(&c.dish, "finding.energy.losing.keeps", supply, needs, holds, say)
	case !is.slimming && !is.steady && hungry && !keeps(kgAWeek(supply, holds)):
		sayEnergy(&c.dish, "finding.energy.short", supply, needs, holds, say)
	case held:
	case (is.fat || is.ill) && above(over, farApartPct):
		sayEnergy(&c.dish, "finding.energy.far over", high, holds, holds, say)
	case is.fat && !is.steady && above(high, holds*(1+c.facts.rules.EnergyBandPct/100)), is.prone && above(over, apartPct):
		sayEnergy(&c.dish, "finding.energy.fat", high, holds, holds, say)
	case is.easy && above(-short(supply, holds), apartPct) && !weighedLess(c, supply, holds): // of no harm yet: by what is eaten at a guess, not at the most
		sayEnergy(&c.dish, "finding.energy.fat", supply, holds, holds, say)
	default:
		reportGap(&c.dish, e, say)
	}
}

// condition is what a horse's energy is judged by.
type condition struct {
	slimming, steady bool
	thin, losing     bool // and not to slim
	fat              bool // score 7 up
	ill              bool // laminitis, EMS or PPID, and neither thin nor losing
	prone            bool // over its score or ill, and neither thin nor losing
	easy             bool // a good-doer pony that is none of these
}

func (c *facts) condition() (is condition) {
	h := &c.Horse
	score, scored := h.Score.Get()
	target, aimed := h.TargetScore.Get()
	is.fat = scored && score >= fatScore
	is.slimming = is.fat || scored && aimed && target < score || h.Has(yard.Overweight)
	is.steady = c.trend == yard.TrendHolding
	is.thin = scored && score <= 4 && !is.slimming
	is.losing = c.losing() && !is.slimming
	well := !is.thin && !is.losing
	is.ill = vetNamed(h) && well
	is.prone = is.ill || well && scored && score >= 6
	is.easy = well && !is.prone && h.Keeper == yard.GoodDoer && h.Type == yard.TypePony
	return is
}

// lineWeighings is how many weighings a line has to have to speak against a gain that is
// worked out: ours.
const lineWeighings = 5

// weighedLess says whether a horse that is fed as it was gains less, by its weighings, than
// its feed should make it.
func weighedLess(c *horseWeek, supply, holds float64) bool {
	fed, known := c.dish.meanSupply(c.nowFed())
	shown := c.facts.shown
	if shown == nil || !c.fed.known || !known || above(supply, fed+latelyPct/100.0*holds) {
		return false
	}
	return shown.Holds || shown.Long.Weighings >= lineWeighings && below(shown.Long.KgPerWeek.High, kgAWeek(supply, holds))
}

// grassEnds are the ends of a supply over how much grass a horse takes; both the
// supply where it has none.
func (c *dish) grassEnds(supply float64) (low, high float64) {
	for _, it := range c.bucket {
		de, ok := it.feed.Composition.DE.Get()
		if !it.grazed || !ok {
			continue
		}
		r := c.facts.grassRangeKg()
		taken := c.facts.grassKg()
		return supply - max(0, taken-r.Low.Or(taken))*de, supply + max(0, r.High.Or(taken)-taken)*de
	}
	return supply, supply
}

// kgAWeek is what a supply beside what a horse would hold its weight on makes of its
// weight, kg a week.
func kgAWeek(supply, holds float64) float64 { return (supply - holds) / need.McalPerKgChange * 7 }

// keeps says whether that is no change of weight: within what scales tell (ours).
func keeps(kgPerWeek float64) bool { return math.Abs(kgPerWeek) <= 0.25 }

func sayEnergy(c *dish, key string, supply, needs, holds float64, say *log) {
	kg := kgAWeek(supply, holds)
	change := yard.Say("part.energy.same")
	if supply > holds {
		change = yard.Say("part.energy.same.fat")
	}
	more := yard.Say("part.energy.more")
	switch {
	case guard.Has(c.facts.Horse.Diagnoses, yard.PoorTeeth): // more hay is no answer
		more = yard.Say("part.energy.more.teeth")
	case slices.ContainsFunc(c.bucket, func(it item) bool { return it.class() == yard.Forage && !it.grazed && it.startingPortion().adLib }):
		more = yard.Say("part.energy.more.always")
	}
	if !keeps(kg) {
		key := "part.energy.gain"
		if kg < 0 {
			key = "part.energy.lose"
		}
		args, ok := c.facts.targetDate(kg)
		if ok {
			key += ".when"
		}
		change = yard.Say(key, append(args, yard.Fixed("kg", math.Abs(kg), yard.Kilograms, 1))...)
	}
	say.find("energy", yard.Warn, c.facts.Horse.Cell, "NRC 2007; horses differ by 14 % either side (evidence EN-01); 20 Mcal a kg (requirements §9); the tenth and the quarter are ours",
		yard.Say(key, yard.Fixed("pct", math.Abs(supply-needs)/needs*100, yard.Percent, 0), yard.Fixed("supply", supply, yard.Mcal, 1), yard.Fixed("need", needs, yard.Mcal, 1),
			yard.Said("change", change), yard.Said("more", more)))
}

// targetDate says when the horse would reach its target score at that rate; nothing
// where it has none, goes the other way or would take over a year.
func (c *facts) targetDate(kgPerWeek float64) (args []yard.Arg, ok bool) {
	score, ok1 := c.Horse.Score.Get()
	target, ok2 := c.Horse.TargetScore.Get()
	if !ok1 || !ok2 || score == target || kgPerWeek == 0 || c.week.Beginning.IsZero() {
		return nil, false
	}
	weeks := (target - score) * need.KgPerScorePer500 * c.bodyKg / 500 / kgPerWeek
	if weeks < 0 || weeks > 52 {
		return nil, false
	}
	at := c.week.Beginning.AddDate(0, 0, int(math.Ceil(weeks))*7)
	return []yard.Arg{yard.Figures("target", target, yard.NoUnit, 3), {Name: "date", Value: yard.Date{Date: at, Year: true}}}, true
}

// inRaceTraining says whether a horse is a Thoroughbred that gallops this week or did
// last week, or one whose breed nobody gave that is worked as racehorses are: they need
// more than the tables have (evidence EN-10 to EN-13).
func inRaceTraining(h *yard.Horse) bool {
	breed := strings.ToLower(strings.TrimSpace(h.Breed))
	if breed == "" {
		return work.TrainsToRace(h.Work) || work.TrainsToRace(h.Before)
	}
	if !strings.Contains(breed, "thoroughbred") && !strings.Contains(breed, "vollblut") && !strings.Contains(breed, "pur sang") && fold(breed) != "tb" {
		return false
	}
	for _, days := range [][7]yard.Day{h.Work, h.Before} {
		for _, d := range days {
			for _, s := range d.Sessions {
				if s.Minutes[yard.Gallop] > 0 {
					return true
				}
			}
		}
	}
	return false
}
