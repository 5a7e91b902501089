package feeds

import (
	"fmt"

	"hardfeed/ration/yard"
)

// Estimate is digestible energy worked out from an analysis that gives none.
type Estimate struct {
	McalPerKgDM float64
	How         string // equation, in words for the sources page
	Source      string // section of the reference file and known error
}

// EstimateDE works out the digestible energy of a feed from its analysis by the
// equation for its kind, Mcal per kg DM, contents in % of DM:
//
//	forage        4.22 − 0.11 ADF + 0.0332 CP + 0.00112 ADF²   (20 ≤ ADF ≤ 45)
//	hard feed     4.07 − 0.055 ADF                             (ADF ≤ 20, fat ≤ 6)
//	hard feed     by crude fibre on the tag, + 9 Mcal per kg fat above 4 %  (4 ≤ fibre ≤ 30)
//
// Sources: feeds §3, equations 1 (NRC 1989 after Fonnesbeck 1981, from memory),
// 2 (NRC 1989, from memory) and 9 (a discussion-list post, seen; the middle of
// each range is used, with straight lines between). ok is false, and the energy
// stays unknown, where what an equation needs is missing or lies outside the
// range it is known to hold in. Beet pulp and hulls are refused: the second
// equation is known to give 20 to 50 % too little for them.
func EstimateDE(class yard.FeedClass, c yard.Composition, isBeetOrHulls bool) (e Estimate, ok bool) {
	adf, haveADF := percent(c.ADF)
	cp, haveCP := percent(c.CP)
	fat, haveFat := percent(c.Fat)
	fibre, haveFibre := percent(c.CrudeFibre)
	switch {
	case class == yard.Forage && haveADF && haveCP && adf >= 20 && adf <= 45:
		return Estimate{
			McalPerKgDM: 4.22 - 0.11*adf + 0.0332*cp + 0.00112*adf*adf,
			How:         fmt.Sprintf("estimate from ADF %.1f %% and protein %.1f %%", adf, cp),
			Source:      "feeds §3.1, NRC 1989 from memory; trials in horses found 0 to 26 % less, most in warm-season grass",
		}, true
	case class != yard.HardFeed || isBeetOrHulls:
		return Estimate{}, false
	case haveADF && haveFat && adf <= 20 && fat <= 6:
		return Estimate{
			McalPerKgDM: 4.07 - 0.055*adf,
			How:         fmt.Sprintf("estimate from ADF %.1f %%", adf),
			Source:      "feeds §3.2, NRC 1989 from memory; oats, barley, maize and bran come back within 0.07 Mcal",
		}, true
	case haveFibre && haveFat && fibre >= 4 && fibre <= 30:
		return Estimate{
			McalPerKgDM: tagEnergy(fibre) + 9*max(0, fat-4)/100,
			How:         fmt.Sprintf("estimate from crude fibre %.1f %% and fat %.1f %% on the tag", fibre, fat),
			Source:      "feeds §3.9, a discussion-list post; its ranges are 0.2 to 0.3 Mcal wide",
		}, true
	}
	return Estimate{}, false
}

func percent(gPerKg yard.Num) (float64, bool) {
	g, ok := gPerKg.Get()
	return g / 10, ok
}

// tagTable is feeds §3.9: crude fibre in %, Mcal per kg (the middle of a range).
var tagTable = [][2]float64{{4, 3.6}, {6, 3.4}, {10, 3.0}, {12, 2.75}, {19, 2.4}, {24, 2.2}, {28, 2.0}, {30, 1.6}}

func tagEnergy(fibre float64) float64 {
	for i := 1; i < len(tagTable); i++ {
		a, b := tagTable[i-1], tagTable[i]
		if fibre <= b[0] {
			return a[1] + (b[1]-a[1])*(fibre-a[0])/(b[0]-a[0])
		}
	}
	return tagTable[len(tagTable)-1][1]
}
