// Package yard holds the nouns every other package speaks in: a [Week] as it
// was read from a workbook, the [Rules] it is judged by, and the [Plan] that
// is printed. It imports nothing of ours, and knows no files, no clock and no
// formula of the trade.
//
// # Units
//
// Inside the program: kilograms, megacalories of digestible energy (Mcal),
// grams, minutes, metres a minute, degrees Celsius. The unit is in the
// identifier or in the type. [KgFed] and [KgDM] are two types because mixing
// them up (feed as it leaves the bag, and the dry matter in it) is the
// commonest error in published worked rations.
//
// # Unknown is not zero
//
// A number that may be missing is a [Num]; its zero value is unknown.
package yard
