package report

import (
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestNamesThatCannotBePrintedAreFindings(t *testing.T) {
	p := words.Proof(reporttest.Fixture())
	n := 0
	for _, f := range p.Findings {
		if f.Rule == "name-print" {
			n++
			if f.Horse != reporttest.EmojiName || f.Severity != yard.Warn || !strings.Contains(words.Message(f), "Pony [?] Biscuit") || f.Cell.Ref != "A5" {
				t.Errorf("%+v", f)
			}
		}
	}
	if n != 1 {
		t.Errorf("%d findings for one name", n)
	}
	if again := words.Proof(p); len(again.Findings) != len(p.Findings) {
		t.Error("proofing twice adds findings")
	}
	if !slices.ContainsFunc(p.Horses[6].Findings, func(f yard.Finding) bool { return f.Rule == "name-print" }) {
		t.Error("the horse's own list lacks it")
	}
}

func TestTextOfAFinding(t *testing.T) {
	got := words.Text(yard.Finding{Rule: "D-02", Severity: yard.Stop, Horse: "Bramble", Message: "Rises by\n2 kg.", Cell: yard.Cell{Sheet: "Rations", Ref: "F12"}, Source: "limits D-02"})
	if want := "STOP Bramble, Rations!F12: Rises by 2 kg. (D-02; limits D-02)"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := words.Text(yard.Finding{Severity: yard.Note, Message: "All read."}); got != "NOTE: All read." {
		t.Error(got)
	}
}
