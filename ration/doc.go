// Package ration turns a week as it was read into the week's plan. [Plan] is
// the one entry; it is pure: no files, no clock, no logging, equal input gives
// equal output.
//
// First learn (learn.go) takes the weighings and the records of past weeks (fed.go,
// record.go) of all horses to package evidence: what each holds its weight on goes into
// its need (energy.go), keep.go rests on it, tellevidence.go says it.
//
// The walk of one horse is planHorse (horse.go), step by step. A step takes values and
// gives values; what it says and how it came to its numbers goes to a log that is
// handed in, and that no step reads.
//
//	newHorseWeek  weight.go, bucket.go, grass.go, energy.go: body weight, bucket, need,
//	              what is fed now. From here on the horse is only read: its facts
//	              (facts.go), the dish in front of it (dish.go) with the bucket and its
//	              sharing over the meals (sharing.go)
//	judgePlan     judge.go: hard feed she planned against the step (step.go)
//	propose       propose.go: nothing is planned; the chooser (options.go, model.go,
//	              limits.go, goals.go, best.go, foragefirst.go) picks the target and
//	              this week's card
//	              whyKept (keep.go): where it keeps what is fed and chooses nothing
//	holdNewHay    judge.go: a forage that takes the place of all others at once
//	holdForage    exchange.go: forage by a quarter a week, chaff by a kilo
//	clearStops    clear.go: the nearest ration that passes no stop limit
//	keepForage    clear.go: no hay goes for hard feed that does not come
//	lookOn        ahead.go: the weeks to come
//	serve         serve.go: seven days, stage by stage (deal.go) and meal by meal (meals.go)
//	supply        supply.go: need against supply
//	checkWeek     week.go: the rules on a horse's week; cautions.go: the card's words
//
// # Where the rules of a choice stand
//
// The order of goals: goals.go. What may be moved and how far: options.go. Hard
// limits, from the rows of package guard: limits.go. The weekly step, whole feeds
// blended in, days off: step.go, off.go. One hard feed for another and its starch:
// exchange.go. Unknown now, unknown diagnoses, falls, a week of rest: keep.go. Diagnoses that forbid a rise: vetNamed
// (horse.go) and neverRaise (propose.go). How bad a finding is: the register of
// package yard.
//
// # Partial
//
// A proposal looks eight weeks ahead at the work that is written down. It brings in no
// oil, and compares each horse alone with what is in stock.
package ration
