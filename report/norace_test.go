//go:build !race

package report

const raced = false
