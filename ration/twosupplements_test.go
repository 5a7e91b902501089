package ration

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// Two supplements, each of which the ration bears by itself, and both of them: for each
// nutrient that harms in excess the person is told of both by name, or the card leaves one out.
func TestTwoSupplementsAreToldTogether(t *testing.T) {
	t.Parallel()
	n := yard.Known
	for _, c := range []struct {
		nutrient string
		of       yard.Composition // of a kilo, of which 60 g are fed
	}{
		{"selenium", yard.Composition{Se: n(25)}},
		{"iodine", yard.Composition{I: n(70)}},
		{"iron", yard.Composition{Fe: n(40000)}},
		{"vitamin A", yard.Composition{VitA: n(1.4e6)}},
		{"vitamin D", yard.Composition{VitD: n(2.2e5)}},
	} {
		told := func(feeds ...string) (said string, severity yard.Severity) {
			w := openYard()
			for _, name := range []string{"Hoof meal", "Skin shine"} {
				w.Feeds = append(w.Feeds, labelled(name, yard.Supplement, c.of))
			}
			for _, name := range feeds {
				w.Lines = append(w.Lines, line("Fern", name, kilos(0.06), kilos(0.06)))
			}
			hp := Plan(w, DefaultRules()).Horses[0]
			for _, f := range hp.Findings {
				if m := words.Message(f); f.Severity > yard.Note && strings.Contains(strings.ToLower(m), strings.ToLower(c.nutrient)) && f.Rule != "nutrient" {
					said, severity = said+string(f.Rule)+": "+m+"\n", max(severity, f.Severity)
				}
			}
			return said, severity
		}
		for _, alone := range []string{"Hoof meal", "Skin shine"} {
			if said, _ := told(alone); said != "" {
				t.Errorf("%s: %s by itself: %s", c.nutrient, alone, said)
			}
		}
		if said, _ := told("Hoof meal", "Skin shine"); !strings.Contains(said, "Hoof meal") || !strings.Contains(said, "Skin shine") {
			t.Errorf("%s: both together: %q", c.nutrient, said)
		}
	}
}
