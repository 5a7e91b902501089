package ration

import (
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// message is what a finding says in English.
func message(f yard.Finding) string { return words.Message(f) }

// saidAll are sayings in English, joined.
func saidAll(all []yard.Saying) string {
	var out []string
	for _, s := range all {
		out = append(out, words.Said(s))
	}
	return strings.Join(out, " | ")
}

// heldFor is why a card is reduced, in English, and what it prints instead.
func heldFor(hp yard.HorsePlan) string { return saidAll(hp.HeldWhy) + " " + words.Said(hp.Instead) }
