//go:build !race

package reporttest

// Raced: see race.go.
const Raced = false
