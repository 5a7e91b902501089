package ingest

import (
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/templates"
)

// Illness counts wherever it is written (design §5.9), in the starter's own layout too: the
// notes, or a column that nobody reads.
func TestIllnessInTheNotesCounts(t *testing.T) {
	for note, want := range map[string]struct {
		kinds  []yard.Diagnosis
		off    bool
		losing bool
		asked  string // what a question speaks of
	}{
		"Turn out with Moss":                            {},
		"had colic last spring":                         {kinds: []yard.Diagnosis{yard.PastColic}},
		"Broken wind, hay soaked":                       {kinds: []yard.Diagnosis{yard.Heaves}},
		"chokes on cubes":                               {kinds: []yard.Diagnosis{yard.Choke}},
		"needs to lose weight":                          {kinds: []yard.Diagnosis{yard.Overweight}},
		"no colic since 2019, heaves in summer":         {kinds: []yard.Diagnosis{yard.Heaves}},
		"never had colic":                               {},
		"off her feed since Sunday":                     {off: true, asked: "off feed"},
		"losing weight since the summer":                {losing: true},
		"Teeth done 3/11":                               {},
		"laminitis in May":                              {asked: "laminitis"},
		"colic, then colic again":                       {kinds: []yard.Diagnosis{yard.PastColic}},
		"lame behind":                                   {},
		"School cob, Dick rides":                        {}, // COB is a cough in German, and dick is fat
		"heaves, and has lost weight. Vet comes Monday": {kinds: []yard.Diagnosis{yard.Heaves}, losing: true},
	} {
		for _, heading := range []string{"Notes", "This and that"} {
			if heading != "Notes" && want.asked == "laminitis" {
				continue // a column of diagnoses alone is one of diagnoses
			}
			data, err := templates.Workbook([]templates.Sheet{{Name: "horses", Rows: [][]string{{"Name", "Weight (kg)", heading}, {"Tansy", "500", note}}}})
			if err != nil {
				t.Fatal(err)
			}
			w, err := Read("x.xlsx", data, Options{})
			if err != nil || len(w.Horses) != 1 {
				t.Fatal(note, err)
			}
			h := w.Horses[0]
			var kinds []yard.Diagnosis
			for _, d := range h.Diagnoses {
				kinds = append(kinds, d.Kind)
			}
			if !slices.Equal(kinds, want.kinds) || h.OffFeed != want.off || h.Losing != want.losing {
				t.Errorf("%s %q: %v, off feed %v, losing %v", heading, note, kinds, h.OffFeed, h.Losing)
			}
			asked, told := 0, false
			for _, f := range w.Findings {
				if f.Saying.Key == "finding.board.diagnosis-word.losing" {
					told = true
				} else if f.Rule == "diagnosis-word" {
					asked++
					if want.asked == "" || !slices.ContainsFunc(f.Saying.Args, func(a yard.Arg) bool {
						return a.Name == "diagnosis" && a.Value == yard.Named("", yard.Term, want.asked).Value
					}) {
						t.Errorf("%s %q: asked %v", heading, note, f.Saying)
					}
				}
			}
			if told != want.losing {
				t.Errorf("%s %q: told of the loss: %v", heading, note, told)
			}
			if (asked == 1) != (want.asked != "") {
				t.Errorf("%s %q: %d questions, want one of %q", heading, note, asked, strings.TrimSpace(want.asked))
			}
		}
	}
}
