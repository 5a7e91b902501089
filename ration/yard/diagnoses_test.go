package yard

import (
	"strings"
	"testing"
)

// A note that speaks of two illnesses is said once.
func TestADiagnosisIsSaidOnce(t *testing.T) {
	note := "Cushings, on tablets. Laminitis 2025"
	got := DiagnosesSaid([]NamedDiagnosis{{Kind: PPID, Text: note}, {Kind: Laminitis, Text: note}, {Kind: Choke}})
	if strings.Join(got, "|") != note+"|"+string(Choke) {
		t.Errorf("%q", got)
	}
}
