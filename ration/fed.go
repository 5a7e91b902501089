package ration

import (
	"math"

	"hardfeed/ration/yard"
)

// adLibSpread is the spread (SD) of what a horse eats of hay ad lib about the estimate,
// as a share of it. Ours: horses take 1.5 to 2.5 % of their weight (evidence GR-06), and
// nine of ten are taken to lie in that.
const adLibSpread = 0.25 / z90

// z90 is how many SD lie on either side of the mean in nine cases of ten.
const z90 = 1.645

// forageEnergy is what the week's forage supplies, Mcal DE a day, and the SD of what of it is
// estimated and not served: grass, and forage ad lib. Both are unknown where a forage's energy
// is, or where nobody said what forage the horse has.
func (c *served) forageEnergy(week []float64) (supply, doubt yard.Num) {
	if c.dish.noForage {
		return supply, doubt
	}
	sum, variance := 0.0, 0.0
	for i, it := range c.dish.bucket {
		kg := week[i] / 7
		if kg == 0 || it.class() != yard.Forage {
			continue
		}
		if it.assumedForage {
			return yard.Num{}, yard.Num{}
		}
		mcal, ok := it.feed.Contains(yard.KgFed(kg), it.feed.Composition.DE).Get()
		if !ok {
			return yard.Num{}, yard.Num{}
		}
		sum += mcal
		switch {
		case it.grazed:
			least, most := c.dish.grazedEndsKg(i, kg)
			variance += math.Pow(mcal*(most-least)/kg/2/z90, 2)
		case it.startingPortion().adLib:
			variance += math.Pow(mcal*adLibSpread, 2)
		}
	}
	return yard.Known(sum), yard.Known(math.Sqrt(variance))
}
