package evidence

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain collects garbage seldom: the horses simulated leave much of it.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}
