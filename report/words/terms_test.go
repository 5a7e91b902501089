package words

import (
	"testing"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// A row that is added to a table of the ration is printed under its name: the tables of
// words have it, or one language's sheet prints another's word.
func TestWhatIsCountedAndLimitedHasAWord(t *testing.T) {
	var names []string
	for _, c := range yard.Constituents() {
		names = append(names, c.Name)
	}
	for _, l := range guard.Limits() {
		names = append(names, l.Name)
	}
	if len(names) < 40 {
		t.Fatalf("only %d names", len(names))
	}
	for _, n := range names {
		if !English().Has("term." + n) {
			t.Errorf("the tables of words have no %q: write it in each language of templates/wording", "term."+n)
		}
	}
}
