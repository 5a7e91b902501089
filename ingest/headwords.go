package ingest

import (
	"maps"
	"sync"

	"hardfeed/templates/words"
)

// headKinds are the sheets whose columns may be headed as in any workbook.
var headKinds = []sheetKind{horsesKind, workKind, rationsKind, weightsKind}

// headWords are those words of English, by kind of sheet, that no column of the sheet has yet.
var headWords = sync.OnceValue(func() map[sheetKind]map[string]string {
	all := map[sheetKind]map[string]string{}
	for _, kind := range headKinds {
		all[kind] = map[string]string{}
		for _, f := range words.Facts() {
			if columnWords[kind][f.Column] == nil {
				continue
			}
			for _, w := range words.HeadWords("en", f.Key) {
				if w = splitHeading(w).words; w != "" && all[kind][w] == "" && builtInWords().kind[kind][w] == "" {
					all[kind][w] = f.Column
				}
			}
		}
	}
	return all
})

// withHeads adds to the words of headings those of any workbook; the words that are there stay.
func withHeads(hw headerWords) headerWords {
	all := maps.Clone(hw.kind)
	for kind, heads := range headWords() {
		all[kind] = maps.Clone(all[kind])
		for w, key := range heads {
			if all[kind][w] == "" {
				all[kind][w] = key
			}
		}
	}
	hw.kind = all
	return hw
}
