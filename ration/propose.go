package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// propose works out the hard feed where none is planned: forage up to its floor
// first, then the energy still missing filled with the horse's hard feed in
// quarter measures, inside the meal and starch marks for the target and inside
// the step for this week's card. Only one feed is moved; the others stay as fed.
func (c *card) propose(room *feedRoom) {
	c.chooseHardFeed(room)
	target := c.asWritten()
	c.raiseForage(target, c.rules.Limits.ForageWarnPct)
	main := c.mainHardFeed()
	if main < 0 {
		c.estimateAdLib(target)
		c.closeStep(target, c.hardKg(target), slices.Clone(target))
		return
	}
	it := c.bucket[main]
	unit := it.quarterKg()
	if unit == 0 {
		unit = weighUnitKg
	}
	before := target[main]
	target[main] = c.fillGap(target, main, unit)
	if target[main] > before && vetNamed(c.Horse) {
		target[main] = before
		c.find("vet-named", yard.Note, c.Horse.Cell, "", "energy is short, but a vet has named a condition: this program does not raise hard feed by itself for this horse; ask the vet")
	}
	if target[main] > before && c.WorkAtLeast {
		target[main] = before
		c.find("work-unknown", yard.Note, c.Horse.Cell, "CO-11: feed follows work", "hard feed is not raised while part of the week's work is unknown")
	}
	c.estimateAdLib(target)
	supply, known := c.meanSupply(target)
	c.worked("proposed hard feed, "+it.feed.Feed.Name, "the amount in whole units that brings the mean day's energy nearest to the need, inside the warn marks of D-10 to D-12 and every stop mark", yard.Known(target[main]), "kg on a work day", "this program's rule",
		in("energy need", c.Energy.Need.Or(0), "Mcal", ""), yard.Input{Name: "energy with it", Value: knownIf(supply, known), Unit: "Mcal"}, in("unit", unit, "kg", it.feed.Feed.Cell.String()))

	final := slices.Clone(target)
	if now, ok := c.HardFeed.Now.Get(); ok {
		room := now + c.weekRoomKg() - (c.hardKg(target) - target[main])
		if target[main] > room+1e-9 {
			held := math.Floor(room/unit+1e-9) * unit
			if held < c.now[main] { // a quarter is too coarse for this horse's step
				held = it.floorServable(room)
			}
			final[main] = max(held, min(c.now[main], target[main]))
			c.estimateAdLib(final)
		}
	}
	c.closeStep(target, c.hardKg(final), final)
}

// chooseHardFeed gives a horse with no rows at all on the rations sheet the
// first hard feed on the feeds sheet whose energy is known.
func (c *card) chooseHardFeed(room *feedRoom) {
	if slices.ContainsFunc(c.bucket, func(it item) bool { return !it.assumedForage }) || vetNamed(c.Horse) {
		return
	}
	for _, k := range room.order {
		f := room.feeds[k]
		if f.Feed.Class != yard.HardFeed || !f.Composition.DE.IsKnown() || !f.Composition.DM.IsKnown() {
			continue
		}
		c.bucket = append(c.bucket, item{feed: f, cell: f.Feed.Cell})
		c.now = append(c.now, 0)
		c.find("feed-assumed", yard.Warn, c.Horse.Cell, "", "the rations sheet has no row for this horse: %s, the first hard feed on the feeds sheet, is taken; add a row", f.Feed.Name)
		return
	}
}

// mainHardFeed is the hard feed that is moved: the one fed most now, the first
// on the sheet where equal; -1 if the horse has none or its energy is unknown.
func (c *card) mainHardFeed() int {
	best := -1
	for i, it := range c.bucket {
		if !it.hard() || !it.feed.Composition.DE.IsKnown() || !it.feed.Composition.DM.IsKnown() {
			continue
		}
		if best < 0 || c.now[i] > c.now[best] {
			best = i
		}
	}
	return best
}

// fillGap is the amount of one hard feed that brings the week's mean supply
// nearest to the need, in whole units, as far as [card.passesMark] lets it. It counts rest days at their cut amount, and leaves the rest of the day
// alone but for what is eaten ad lib, which gives way to the bucket.
func (c *card) fillGap(d day, main int, unit float64) float64 {
	needMcal := c.Energy.Need.Or(0) // always known here
	try := slices.Clone(d)
	best, bestMiss := 0.0, math.Inf(1)
	for n := 0; float64(n)*unit <= c.bodyKg*c.rules.Limits.HardFeedStopPct/100*1.2; n++ {
		try[main] = float64(n) * unit
		c.estimateAdLib(try)
		if n > 0 && c.passesMark(try) {
			break
		}
		supply, _ := c.meanSupply(try)
		if miss := math.Abs(supply - needMcal); miss < bestMiss-1e-9 {
			best, bestMiss = try[main], miss
		}
	}
	return best
}

// passesMark says whether a day passes what a proposal keeps inside: the warn
// marks on meals and starch, and every stop mark.
func (c *card) passesMark(d day) bool {
	return slices.ContainsFunc(guard.Check(c.Horse.Name, c.evaluate(d, c.keep), c.rules.Limits), func(f yard.Finding) bool {
		return f.Severity == yard.Stop && f.Rule != "D-17" || f.Rule == "D-10" || f.Rule == "D-11" || f.Rule == "D-12"
	})
}

func knownIf(v float64, known bool) yard.Num {
	if !known {
		return yard.Num{}
	}
	return yard.Known(v)
}

// raiseForage lifts weighed forage to a floor, % of body weight as dry matter,
// in quarter kilos of the first weighed forage. It does nothing where forage is
// ad lib or the dry matter is unknown.
func (c *card) raiseForage(d day, floorPct float64) bool {
	have, first := 0.0, -1
	for i, it := range c.bucket {
		if it.class() != yard.Forage {
			continue
		}
		if it.grazed {
			have += c.grassRangeKg().Low.Or(0)
			continue
		}
		if it.fed().adLib {
			return false
		}
		dm, ok := it.feed.DryMatter(yard.KgFed(d[i]))
		if !ok {
			return false
		}
		have += float64(dm)
		if first < 0 {
			first = i
		}
	}
	short := floorPct/100*c.bodyKg - have
	if first < 0 || short <= 1e-9 {
		return false
	}
	short /= c.bucket[first].feed.Composition.DM.Or(1)
	d[first] = math.Ceil((d[first]+short)/hayUnitKg-1e-9) * hayUnitKg
	return true
}

// reportGap says how the week's energy stands to the need, where it is outside
// the band.
func (c *card) reportGap() {
	needMcal, supply := c.Energy.Need.Or(0), c.Energy.Supply.Or(0)
	if !c.Energy.Supply.IsKnown() || needMcal <= 0 {
		return
	}
	pct := (supply - needMcal) / needMcal * 100
	if math.Abs(pct) <= c.rules.EnergyBandPct {
		return
	}
	how, unless := "over", ""
	if pct < 0 {
		how = "under"
		if c.mainHardFeed() < 0 {
			unless = "; no hard feed of known energy is named for this horse: name one on the rations sheet if it is to have any"
		}
	}
	c.find("energy", yard.Note, yard.Cell{}, "NRC 2007; the band is this program's", "the week's energy is %.0f %% %s the need (%.1f against %.1f Mcal DE a day)%s", math.Abs(pct), how, supply, needMcal, unless)
}
