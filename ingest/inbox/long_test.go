package inbox

import "flag"

var long = flag.Bool("long", false, "fill the drop folder, and have two machines work on it as often as the guide says")

// sample is a count for a quick run and one for a long run.
func sample(quick, all int) int {
	if *long {
		return all
	}
	return quick
}
