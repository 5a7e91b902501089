package ingest

import (
	"maps"
	"regexp"
	"slices"
	"testing"

	"hardfeed/ingest/board"
	"hardfeed/templates"
	"hardfeed/templates/words"
)

var synonymLine = regexp.MustCompile(`\{column: ([^,]+), word: "?([^"}]+)"?\}`)

// A heading that one of the two readers knows for a fact both read, in any of the languages,
// the other knows too: for that fact, or for another that it reads.
func TestBothReadersKnowTheSameHeadings(t *testing.T) {
	for _, lang := range words.Languages() {
		starter, own := map[string][]string{}, map[string][]string{}
		if lang == "en" {
			for _, kind := range headKinds {
				for column, ws := range columnWords[kind] {
					starter[column] = append(starter[column], ws...)
				}
			}
		} else {
			file, err := templates.Headings(lang)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range synonymLine.FindAllSubmatch(file, -1) {
				starter[string(m[1])] = append(starter[string(m[1])], string(m[2]))
			}
			own = starter
		}
		known := map[string]bool{}
		all := withHeads(allWords(own))
		for _, ws := range append(slices.Collect(maps.Values(all.kind)), all.settings) {
			for w := range ws {
				known[w] = true
			}
		}
		heads := board.Headings(lang)
		n := 0
		for _, f := range words.Facts() {
			if len(starter[f.Column]) == 0 && lang == "en" || len(heads[f.Key]) == 0 {
				t.Errorf("%s: nobody has a word for %s or %s", lang, f.Column, f.Key)
			}
			for _, w := range starter[f.Column] {
				n++
				if keys, whole := board.HeadingSays(lang, w); !whole {
					t.Errorf("%s: %q is %s in the starter's layout; in a yard's own it is read as %v", lang, w, f.Column, keys)
				}
			}
			for _, w := range heads[f.Key] {
				n++
				if w = splitHeading(w).words; w != "" && !known[w] {
					t.Errorf("%s: %q is %s in a yard's own workbook, and nothing in the starter's layout", lang, w, f.Key)
				}
			}
		}
		if n < 100 {
			t.Errorf("%s: %d words", lang, n)
		}
	}
}
