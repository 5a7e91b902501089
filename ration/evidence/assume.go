package evidence

import (
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// Way is how far one way of weighing is to be trusted, in fractions of body weight.
type Way struct {
	Scatter float64 // SD of a reading about its own mean, the gut's fill aside
	Bias    float64 // mean of reading / true weight - 1
	Offset  float64 // SD of that from horse to horse; 0: the readings are the reference
	Tells   bool    // it is a weighing; a stated weight is none
}

// Assumptions are the figures the model rests on. Rows EN, WG and HY are those of
// the reference on evidence; "ours" has no published figure.
type Assumptions struct {
	Forage         float64 // SD of the yard's forage energy about the tables, fraction
	Work           float64 // SD of a horse's energy of work about the model of work, fraction
	Balance        float64 // SD of a week's energy balance about what was recorded, fraction of need
	McalPerKg      float64 // DE a kg of body weight gained or lost
	McalPerKgCV    float64 // its SD from horse to horse, on the log scale
	GutKgPerMcal   float64 // gut fill a Mcal of forage a day more
	GutKgPerMcalSD float64
	Gut            float64 // SD of gut fill and water from week to week, fraction of body weight
	HardDay        float64 // SD added up to two days after an event, fraction
	Jump           float64 // SD of a week's change of weight where feed or work is unknown, fraction
	Level          float64 // SD of the body weight the plan uses, fraction
	Tables         float64 // SD of the tables' mean need for a whole yard, fraction
	ScatterCounts  float64 // how many weighings the scatter of Ways counts for beside the horse's own; +Inf: only it
	Ways           map[yard.WeightBasis]Way
}

// Published returns the figures with their sources.
func Published() Assumptions {
	return Assumptions{
		Forage:         0.07, // HY-29: DE of grass hays 1.96 (SD 0.14) Mcal/kg; a yard's own spread was not found (HY-31)
		Work:           0.28, // EN-03: 0.005 of 0.018 MJ ME/kg; the tables' own error is larger (EN-04)
		Balance:        0.04, // ours: hay wasted, weather, helpers
		McalPerKg:      20,   // EN-20
		McalPerKgCV:    0.33, // the 90 % range is 11.6 to 34.4: EN-18 (18 to 34), EN-23 (16 to 24), EN-27 (11 to 13)
		GutKgPerMcal:   1.2,  // WG-14: 11 kg for 5 to 6 kg of hay, at 1.7 Mcal a kg as fed (HY-29)
		GutKgPerMcalSD: 0.5,  // ours
		Gut:            0.005,
		HardDay:        0.025,  // WG-11, WG-12, WG-13: 2 to 4 % still missing next day
		Jump:           0.0075, // ours: grass at twice maintenance (GR-07) puts on 1 % a week
		Level:          0.15,   // ours: wider than any way of weighing but the eye
		Tables:         0.03,   // EN-13: 0.0324 in the field against 0.0333
		ScatterCounts:  5,      // ours
		Ways: map[yard.WeightBasis]Way{
			// Gut and scale together are 0.7 %, ours: none was found (WG-18; 1 to 2 % is a guess there).
			yard.ByScale: {Scatter: 0.005, Tells: true},
			// Offset: WG-02, WG-05, WG-08 (3.6 to 9.3 %; 6 % taken). Scatter of one tape on one horse: none found, ours.
			yard.ByTape: {Scatter: 0.015, Offset: 0.06, Tells: true},
			// WG-01, WG-04: 98.6 % (SD 5 in ponies, 13 in horses; 9 taken). Scatter ours, as for the tape.
			yard.ByGirthLength: {Scatter: 0.015, Bias: -0.014, Offset: 0.09, Tells: true},
			// WG-03: the eye, SD 20 %. The same figure week after week is not a weighing.
			yard.Stated:   {Scatter: 0.20},
			yard.NoWeight: {Scatter: 0.20},
		},
	}
}

// Prior is a horse's maintenance before any weighing.
type Prior struct {
	McalPerKg float64 // mean, Mcal DE a kg of body weight a day
	CV        float64 // SD from horse to horse, fraction of it
}

// PriorOf is the tables' maintenance of a keeper with the spread measured in
// working sport horses (EN-01: CV 6.8 %, 60 horses). Horses in race training have
// their own: 0.0475 Mcal a kg, CV 10.1 % (EN-10, EN-13: 22 horses).
func PriorOf(k yard.Keeper, inRaceTraining bool) Prior {
	if inRaceTraining {
		return Prior{McalPerKg: 0.0475, CV: 0.101}
	}
	return Prior{McalPerKg: need.MaintenancePerKg(k), CV: 0.068}
}

// Bounds of a learnt need, fractions of the tables' (ours): the lowest breed
// printed is 0.85 of the mean (EN-14: Icelandic against warmblood, 123/146) and a
// tenth less is left for poor records; the highest, racehorses, is 1.43 (EN-13).
const (
	LeastOfTables = 0.75
	MostOfTables  = 1.45
	// FarFromTables is where a person should look for a reason, fraction.
	FarFromTables = 0.20
)

// What the weighings must show before a word is said of them.
const (
	leastWeighings = 3  // WG reading: compare three weekly weights
	leastDays      = 14 // the same
	leastWeeks     = 2
	historyDays    = 182     // half a year is looked at
	recentDays     = 42      // seven weekly weighings
	longDays       = 84      // a loss too slow for those; what stopped before is over
	holdsPerWeek   = 0.003   // of body weight: a trend inside it either way is none (issue of the trade's D-28: gain is warned of at 0.35 %)
	hardDayDays    = 2       // WG-11, WG-13
	z90            = 1.64485 // half the 90 % range in SDs
)

// False alarms a week on a steady horse are to be 1 in 100 at most, each way. One
// line is judged at 1 %. Where the recent line differs from the long one they share
// it, 0.6 and 0.2 %, and a fifth is kept back for roundings and for weight that truly
// drifts a little.
const (
	zOneLine = 2.3263
	zRecent  = 2.5121
	zLong    = 2.8782
)

// kgPerScoreCV is the spread of kilograms a condition score (EN-19: 8 to 24 kg;
// EN-23: 16 to 20).
const kgPerScoreCV = 0.35
