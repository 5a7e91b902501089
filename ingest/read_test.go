package ingest

import (
	"encoding/json"
	"testing"
)

func TestDump(t *testing.T) {
	w := read(t, fullTabs()...)
	b, _ := json.MarshalIndent(w, "", " ")
	t.Log(string(b))
	for _, f := range w.Findings {
		t.Log(f.Severity, f.Rule, f.Horse, f.Cell.Sheet, f.Cell.Ref, f.Message)
	}
}
