package phrase

import (
	"testing"

	"hardfeed/ingest/quantity"
)

// A letter that looks like a figure and touches one may be a figure: "54O" is not a weight of 54 kg.
func TestALetterThatTouchesAFigureMakesAWeightAQuestion(t *testing.T) {
	w := Load()
	for text, question := range map[string]bool{"54O": true, "5lO": true, "12S0": true, "S40": true, "54o kg": true, "1100lb": false, "1100lbs": false,
		"540": false, "540kg": false, "c.540": false, "540ish": false, "540 (T)": false, "~540kg": false} {
		x := w.Weight(text, quantity.WeightContext{Unit: "kg"})
		if x.Question != question {
			t.Errorf("%s: a question is %v, want %v (%+v, unread %v)", text, x.Question, question, x.Weighings, x.Unread)
		}
	}
}
