package feeds_test

import (
	"fmt"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// Eighteen pounds of alfalfa of 0.94 Mcal a pound as fed bring 16.92 Mcal, enough
// for a horse of 1,100 lb at maintenance (Vander Velde 2004, University of Wisconsin
// Extension: example E03 of the worked rations).
func ExampleResolved_Contains() {
	const kgPerLb = 0.45359237
	alfalfa := feeds.Resolved{FeedNeed: yard.FeedNeed{Composition: yard.Composition{DM: yard.Known(0.90), DE: yard.Known(0.94 / kgPerLb / 0.90)}}}
	mcal := alfalfa.Contains(18*kgPerLb, alfalfa.Composition.DE)
	fmt.Printf("%.2f Mcal DE\n", mcal.Or(0))
	// Output: 16.92 Mcal DE
}

// Hay of 35.5 % ADF and 13.3 % protein by the forage equation of NRC 1989 (feeds
// §3.1).
func ExampleEstimateDE() {
	e, ok := feeds.EstimateDE(yard.Forage, yard.Composition{ADF: yard.Known(355), CP: yard.Known(133)}, false)
	fmt.Printf("%v: %.2f Mcal DE a kg of dry matter, an %s\n", ok, e.McalPerKgDM, e.How)
	// Output: true: 2.17 Mcal DE a kg of dry matter, an estimate from ADF 35.5 % and protein 13.3 %
}
