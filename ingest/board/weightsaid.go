package board

import (
	"strings"

	"hardfeed/ingest/quantity"
)

// lightestSaid is what a horse weighs at least where nothing but the words say that a weight
// is its own (ours): a small pony. A rider or a sack is lighter.
const lightestSaid = 110

// saysWeight says whether a text by itself says what a horse weighs, with its unit: "520kg
// taped Sunday", "weighs 1,050 lb".
func (l *language) saysWeight(text string) bool {
	return l.weighsBy(text, func(w quantity.Weight) bool { return len(w.Unread) == 0 })
}

// maySayWeight is [language.saysWeight] of a text in which there are words besides.
func (l *language) maySayWeight(text string) bool {
	return l.weighsBy(text, func(w quantity.Weight) bool { return len(w.Unread) > 0 })
}

func (l *language) weighsBy(text string, and func(quantity.Weight) bool) bool {
	if len(text) > 60 || !hasDigit(text) {
		return false
	}
	w := l.weightIn(text, "")
	if w.Question || w.Range != 0 || len(w.Weighings) == 0 || !and(w) {
		return false
	}
	for _, x := range w.Weighings {
		if x.Unit == "" || x.Unit == "g" || x.Kg < lightestSaid || x.Kg > 1300 || x.Other != 0 {
			return false
		}
	}
	return true
}

// sentenceEnd parts a note into what it says one after the other; not a decimal mark.
var sentenceEnd = lazily(`[;\n]|[.,:](?:\s|$)|\s[–—-]\s|\s\+\s|\s&\s`)

// weightsInNotes reads what the notes on a horse say it weighs, where nothing else does. A
// note that may speak of its weight and says more than can be read is asked about.
func (wg *weigher) weightsInNotes(h *horse) (all []weight) {
	seen := map[string]bool{}
	take := func(o *obs) {
		if wg.week.age(o) < 0 || seen[o.cell.Text] {
			return
		}
		seen[o.cell.Text] = true
		for _, part := range sentenceEnd().Split(o.cell.Text, -1) {
			switch part = strings.TrimSpace(part); {
			case wg.lang.saysWeight(part):
				at := *o
				at.cell = &Cell{Row: o.cell.Row, Col: o.cell.Col, Kind: Text, Text: part}
				ws, _ := wg.readWeight(&at)
				all = append(all, ws...)
			case wg.lang.maySayWeight(part):
				wg.asks.askCell("weight-doubt", o, "doubt")
			}
		}
	}
	for _, o := range h.obs {
		if o.role == notesRole || o.role == healthRole {
			take(o)
		}
	}
	for _, o := range h.said {
		take(o)
	}
	return all
}

// weightsBeside takes a cell in a horse's row that nothing else was made of, and that says by
// itself what a horse weighs, for what that horse weighs.
func weightsBeside(sheets []*sheetData, hd *herd, lang *language) {
	for _, s := range sheets {
		if s.blank {
			continue
		}
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.Kind != Text || !c.free() || !lang.saysWeight(c.Text) {
				continue
			}
			if i, ok := hd.horseBefore(s, c); ok {
				h := hd.horses[i]
				h.obs = append(h.obs, &obs{sheet: s, cell: c, horse: i, role: weightRole, day: -1, when: unsaid, row: c.Row})
				s.mark(c, "used", "what it weighs")
			}
		}
	}
}
