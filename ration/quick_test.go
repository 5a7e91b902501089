package ration

import (
	"flag"
	"os"
	"runtime/debug"
	"testing"
)

// TestMain collects garbage seldom, and draws thirty cases of each property by chance
// where rapid would draw a hundred. The flag -rapid.checks still has the last word.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	if err := flag.Set("rapid.checks", "30"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}
