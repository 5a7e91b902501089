package ingest

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain collects garbage seldom, as each workbook read leaves much of it, but keeps
// within what a small machine has while the largest are read.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(400 << 20)
	os.Exit(m.Run())
}
