package ingest

import "flag"

var long = flag.Bool("long", false, "damage the workbooks in all ways that a quick run tries a sample of")

// sample is a count for a quick run and one for a long run.
func sample(quick, all int) int {
	if *long {
		return all
	}
	return quick
}
