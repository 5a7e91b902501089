//go:build race

package reporttest

// Raced: the race detector slows drawing tenfold, and what it looks for (two
// documents sharing memory) shows in a few plans as in a hundred.
const Raced = true
