package ration

import (
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
	"slices"
)

// judgedPct is how far from its need the energy supplied is judged to be short or over
// (design §5.10: a tenth).
const judgedPct = 10.0

// worthOfAnalysis is what the analysis of one forage would decide.
type worthOfAnalysis struct {
	feed      *feeds.Resolved
	horses    int     // those judged otherwise at its low end than at its high end
	worst     string  // the one whose energy it leaves the most open; "": it is sugar alone
	low, high float64 // that horse's energy supplied at each end, Mcal DE a day
	need      float64
}

// analyseFirst is the note on the forage whose analysis would decide most; ok is false
// where none would decide anything. used is each horse's kg of each feed in the week.
func analyseFirst(horses []yard.HorsePlan, used []map[string]weekTotal, room *feedRoom, l yard.Limits) (f yard.Finding, ok bool) {
	var best worthOfAnalysis
	for _, k := range room.order {
		known := room.feeds[k]
		if known.Feed.Class != yard.Forage || known.Grazed || known.Ends == nil {
			continue
		}
		w := worthOf(known, k, horses, used, l)
		if w.horses > best.horses || w.horses == best.horses && w.high-w.low > best.high-best.low {
			best = w
		}
	}
	if best.horses == 0 {
		return yard.Finding{}, false
	}
	args := []yard.Arg{yard.FeedArg("feed", best.feed.Feed.Name), yard.Count("n", best.horses)}
	says := yard.Say("finding.room-analysis.first.sugar", args...)
	if best.worst != "" {
		says = yard.Say("finding.room-analysis.first", append(args, yard.Named("horse", yard.HorseName, best.worst),
			yard.Fixed("low", best.low, yard.Mcal, 1), yard.Fixed("high", best.high, yard.Mcal, 1), yard.Fixed("need", best.need, yard.Mcal, 1))...)
	}
	return yard.Finding{Rule: "room-analysis", Severity: yard.Note, Cell: best.feed.Feed.Cell, Source: "evidence HY-28 and HY-29; feeds.csv", Saying: says}, true
}

// labelFirst is the note on the made feed or supplement whose label would decide most: on how many
// horses' cards some nutrient has no high end while the feed's own content of it is
// unknown. ok is false where there is none.
func labelFirst(horses []yard.HorsePlan, used []map[string]weekTotal, room *feedRoom) (f yard.Finding, ok bool) {
	var best *feeds.Resolved
	most := 0
	for _, k := range room.order {
		known := room.feeds[k]
		if known.Kind != feeds.Compound && known.Kind != feeds.Supplementary {
			continue
		}
		n := 0
		for i := range horses {
			if used[i][k].kg > 0 && slices.ContainsFunc(horses[i].Nutrients, func(x yard.Nutrient) bool {
				_, _, bounded := x.Ends()
				return !bounded && !contentOf(known, x.Name).IsKnown()
			}) {
				n++
			}
		}
		if n > most {
			best, most = known, n
		}
	}
	if most == 0 {
		return yard.Finding{}, false
	}
	return yard.Finding{Rule: "room-analysis", Severity: yard.Note, Cell: best.Feed.Cell,
		Saying: yard.Say("finding.room-analysis.label", yard.FeedArg("feed", best.Feed.Name), yard.Count("n", most))}, true
}

// contentOf is what a feed holds of a nutrient, by its name.
func contentOf(k *feeds.Resolved, nutrient string) yard.Num {
	for _, n := range need.Nutrients() {
		if n.Name == nutrient {
			return n.Content(k.Composition)
		}
	}
	return yard.Num{}
}

// worthOf counts the horses that a forage's two ends judge differently: short, enough
// or over of energy, or, where marks on sugar apply, its sugar over the mark.
func worthOf(known *feeds.Resolved, key string, horses []yard.HorsePlan, used []map[string]weekTotal, l yard.Limits) worthOfAnalysis {
	w := worthOfAnalysis{feed: known}
	sugar := func(c yard.Composition) bool {
		return c.Starch.Or(0)+c.Sugar.Or(0) > 10*l.InsulinHayPct // % of dry matter as g a kg
	}
	for i, hp := range horses {
		kg := used[i][key].kg / 7
		if kg <= 0 {
			continue
		}
		otherwise := guard.SugarMarks(hp.Horse.Diagnoses) && sugar(known.LowEnd()) != sugar(known.HighEnd())
		need, ok1 := hp.Energy.Need.Get()
		supply, ok2 := hp.Energy.Supply.Get()
		mean, ok3 := known.Contains(yard.KgFed(kg), known.Composition.DE).Get()
		if ok1 && ok2 && ok3 && need > 0 {
			ends := known.Between(yard.KgFed(kg), energyIn)
			low, high := supply-mean+ends.Low.Or(mean), supply-mean+ends.High.Or(mean)
			if judged(low, need) != judged(high, need) {
				otherwise = true
				if high-low > w.high-w.low {
					w.worst, w.low, w.high, w.need = hp.Horse.Name, low, high, need
				}
			}
		}
		if otherwise {
			w.horses++
		}
	}
	return w
}

// judged is -1 where energy is short of the need by a tenth, 1 where it is over by a
// tenth, and else 0.
func judged(supply, need float64) int {
	switch {
	case supply < need*(1-judgedPct/100):
		return -1
	case supply > need*(1+judgedPct/100):
		return 1
	}
	return 0
}
