package yard

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

func TestNearestSuggestsOnlyWhatIsClose(t *testing.T) {
	words := []string{"walk", "trot", "canter", "gallop", "rest", "hack"}
	for _, c := range []struct{ word, want string }{
		{"torrt", "trot"}, {"rets", "rest"},
		{"trott", "trot"}, {"Cantre", "canter"}, {"galop", "gallop"}, {"tractor", ""}, {"", ""}, {"WALK", "walk"},
	} {
		if got := Nearest(c.word, words); got != c.want {
			t.Errorf("%q: %q, want %q", c.word, got, c.want)
		}
	}
	if got := Nearest("hat", []string{"hay", "oat"}); got != "" {
		t.Errorf("two as near: %q suggested", got)
	}
}

func TestNearestNeverInvents(t *testing.T) {
	words := []string{"Hay", "Cubes", "Oats", "Höhe"}
	rapid.Check(t, func(t *rapid.T) {
		got := Nearest(rapid.String().Draw(t, "word"), words)
		if got != "" && got != words[0] && got != words[1] && got != words[2] && got != words[3] {
			t.Fatalf("%q is none of the words", got)
		}
	})
}

func TestFindingsAreSortedAsAPersonReadsThem(t *testing.T) {
	fs := []Finding{
		{Rule: "c", Severity: Note, Horse: "A"},
		{Rule: "b", Severity: Stop, Horse: "B", Cell: Cell{Sheet: "s", Ref: "A10"}},
		{Rule: "a", Severity: Stop, Horse: "B", Cell: Cell{Sheet: "s", Ref: "B2"}},
		{Rule: "d", Severity: Stop, Horse: "A", Cell: Cell{Sheet: "s", Ref: "AA1"}},
		{Rule: "e", Severity: Stop, Horse: "A", Cell: Cell{Sheet: "s", Ref: "B1"}},
	}
	SortFindings(fs)
	got := ""
	for _, f := range fs {
		got += string(f.Rule)
	}
	if got != "edabc" {
		t.Errorf("order %q, want stops first, by horse, then row before column: %q", got, "edabc")
	}
}

func TestUnknownIsNullAndComesBackUnknown(t *testing.T) {
	b, err := json.Marshal([]Num{{}, Known(0), Known(1.5)})
	if err != nil || string(b) != "[null,0,1.5]" {
		t.Fatalf("%s %v", b, err)
	}
	var back []Num
	if err := json.Unmarshal(b, &back); err != nil || back[0].IsKnown() || !back[1].IsKnown() || back[2].Or(0) != 1.5 {
		t.Errorf("%v %v", back, err)
	}
}

func TestTheZeroSeverityIsInvalid(t *testing.T) {
	if Severity(0).String() != "invalid" {
		t.Error("a forgotten severity must show")
	}
}
