package report

import "flag"

var long = flag.Bool("long", false, "draw all yards that the random ones are a sample of")

// sample is a count for a quick run and one for a long run.
func sample(quick, all int) int {
	if *long {
		return all
	}
	return quick
}
