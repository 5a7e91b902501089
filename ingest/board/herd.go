package board

// herd are the yard's horses, as they were found.
type herd struct {
	words  *vocabulary
	who    *names
	horses []*horse
	byName map[string]int // folded
}
