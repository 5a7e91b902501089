package inbox

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain collects garbage seldom: each disk that is made to fail leaves much of it.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}
