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
//	              what is fed now. From here on the horse is only read
//	judgePlan     judge.go: hard feed she planned against the step (step.go)
//	propose       propose.go: nothing is planned; the chooser (options.go, model.go,
//	              limits.go, goals.go, best.go, foragefirst.go) picks the target and
//	              this week's card
//	whyKept       keep.go: where a proposal keeps what is fed and chooses nothing
//	holdNewHay    judge.go: a forage that takes the place of all others at once
//	holdForage    exchange.go: forage by a quarter a week, chaff by a kilo
//	clearStops    clear.go: the nearest ration that passes no stop limit
//	keepForage    clear.go: no hay goes for hard feed that does not come
//	projectPath   ahead.go: the weeks to come
//	serve         serve.go: seven days, stage by stage (deal.go) and meal by meal (meals.go)
//	supply        supply.go: need against supply
//	checkWeek     week.go: the rules on a horse's week; cautions.go: the card's words
//
// # What each type knows
//
// Each is made from those above it, and has nothing else.
//
//	facts      facts.go: the horse, its yard, its weight and its need; no feed
//	bucket     bucket.go: its feeds, with what is fed now and planned of each
//	sharing    sharing.go: how an amount is shared over the meals
//	dish       dish.go: facts, bucket and sharing: how a day is eaten, and what it comes to
//	horseWeek  horse.go: facts, dish and what is fed now. Steps take it
//	rising     step.go: what hard feed may rise by from there, and on which days
//	dealing    deal.go: a change of hard feed spread over those days
//	chooser    best.go: the choice of an ordinary day; formulation (model.go) writes the
//	           question down in whole numbers
//	decided    step.go: this week's card as it was judged or proposed
//	cleared    clear.go: the same without what passes a stop limit
//	served     serve.go: the seven days of it
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
