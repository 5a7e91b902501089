// Package ration turns a week as it was read into the week's plan. [Plan] is
// the one entry; it is pure: no files, no clock, no logging, equal input gives
// equal output.
//
// The walk of one horse (horse.go): body weight → need (package need) and the
// week's work (package work) → the bucket it gets now and the one planned
// (bucket.go, composition from package feeds) → where nothing is planned, a
// proposal (propose.go) → the step and the other limits (package guard), with
// a hold where a stop mark is passed (hold.go) → the seven days, stage by stage
// and meal by meal (days.go) → need against supply.
//
// # Partial
//
// The proposal is plain: one hard feed is moved in quarter measures. Limits
// beyond D-01 to D-03, D-10 to D-13, D-17, D-20 to D-22 and D-26 are not checked
// yet, and a named diagnosis does no more than keep this program from
// raising hard feed by itself and put a caution on the card.
package ration
