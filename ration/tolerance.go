package ration

import "math"

// Tolerances: what sums of floats leave. None is a mark of feeding; each says what it
// decides.
const (
	sameNoise   = 1e-9  // kg, %, Mcal or days: values that differ by no more are the same, and neither is above the other
	printedKg   = 1e-6  // an amount that differs from another by no more is printed as no change
	unitNoise   = 1e-9  // units: an amount that lacks no more of a whole unit has it
	dealtNoise  = 1e-6  // the same of an amount that is itself a share of another, off by more than the last bits
	nothingKg   = 1e-9  // a meal that holds less holds nothing: far under a crumb
	neverZero   = 1e-9  // the least that is divided by
	smallestRow = 1e-12 // the least size of a limit by which it is scaled to whole numbers
	shortMcal   = 1e-6  // a week to come that is short by no more reaches its need
	strictShare = 1e-7  // as a share: how far under a mark is under it, where two models part at the mark
)

// above says whether a is more than b.
func above(a, b float64) bool { return a > b+sameNoise }

// below says whether a is less than b.
func below(a, b float64) bool { return a < b-sameNoise }

// alike says whether two values are the same.
func alike(a, b float64) bool { return math.Abs(a-b) < sameNoise }

// changed says whether two amounts are printed as different ones.
func changed(aKg, bKg float64) bool { return math.Abs(aKg-bKg) > printedKg }

// wholeUnits is how many whole units are in an amount.
func wholeUnits(amount, unit float64) float64 { return math.Floor(amount/unit + unitNoise) }

// unitsFor is how many whole units hold an amount.
func unitsFor(amount, unit float64) float64 { return math.Ceil(amount/unit - unitNoise) }
