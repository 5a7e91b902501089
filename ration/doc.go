// Package ration turns a week as it was read into the week's plan. [Plan] is
// the one entry; it is pure: no files, no clock, no logging, equal input gives
// equal output.
//
// The walk of one horse (horse.go): body weight → need (package need) and the
// week's work (package work) → the bucket it gets now and the one planned
// (bucket.go, composition from package feeds) → where nothing is planned, a
// proposal by package choose (propose.go, model.go) → the step and the other limits (package guard), with
// a hold where a stop mark is passed (hold.go) → the seven days, stage by stage
// and meal by meal (days.go) → need against supply.
//
// # Partial
//
// A proposal looks at one week's work; it does not begin to climb for work that
// is planned further ahead. It brings in no oil, and compares each horse alone
// with what is in stock.
package ration
