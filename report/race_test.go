//go:build race

package report

// raced: the race detector slows drawing tenfold, and what it looks for (two
// documents sharing memory) shows in a few plans as in a hundred.
const raced = true
