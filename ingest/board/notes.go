package board

import (
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// illKinds are the conditions the engine has rules for, by the key of their words.
var illKinds = map[string]yard.Diagnosis{
	"laminitis": yard.Laminitis, "colic": yard.PastColic, "PPID": yard.PPID, "EMS": yard.InsulinEMS, "tying-up": yard.TyingUp,
	"ulcers": yard.Ulcers, "choke": yard.Choke, "heaves": yard.Heaves, "overweight": yard.Overweight, "HYPP": yard.HYPP, "teeth": yard.PoorTeeth, "lame": yard.NoFeedRule,
}

// KindOf is what a condition is to the feed, by the key of its words: one the engine has
// rules for, one that asks nothing of the feed (common practice, no source), or one that
// a vet has to be asked about.
func KindOf(key string) yard.Diagnosis {
	if k, ok := illKinds[key]; ok {
		return k
	}
	return yard.OtherDiagnosis
}

// illness is one condition a text speaks of.
type illness struct {
	key, text string
}

// illnessIn finds the words for illness, and for a horse that is gone, in a text.
func (l *language) illnessIn(text string) (ills []illness, fate string) {
	for _, c := range l.ills(text) {
		switch {
		case c.Negated:
		case c.Section == "illness":
			ills = append(ills, illness{c.Key, c.Of(text)})
		case c.Key != "for sale" && fate == "" && c.Sure:
			fate = c.Key
		}
	}
	return ills, fate
}

// noteReader reads what is said of a horse besides its work, its feed and its weight.
type noteReader struct {
	lang *language
	work *workReader
	week plannedWeek
	asks *questions
}

// notesOf gathers what is said of a horse: its notes, illness, whether it is off its feed or
// losing weight, and whether it is gone.
func (nr *noteReader) notesOf(h *horse) (notes []string, ills []yard.NamedDiagnosis, off, losing bool) {
	seen := map[string]bool{}
	take := func(o *obs) {
		found, fate := nr.lang.illnessIn(o.cell.Text)
		if fate != "" && h.fate == "" && nr.week.age(o) <= 0 && !nr.fateAside(o) {
			h.fate, h.fateAt = fate, o
		}
		for _, x := range found {
			switch x.key {
			case "off feed":
				off = true
				nr.asks.sayIll(h, o, x)
				continue
			case "losing weight":
				losing = losing || nr.week.age(o) <= 0
			}
			if seen[x.key] {
				continue
			}
			kind := KindOf(x.key)
			switch {
			case kind != yard.OtherDiagnosis && kind != yard.NoFeedRule && x.key != "teeth":
				seen[x.key] = true
				ills = append(ills, yard.NamedDiagnosis{Kind: kind, Text: strings.TrimSpace(o.cell.Text)})
			case x.key == "lame" || x.key == "sick":
			default:
				seen[x.key] = true
				nr.asks.sayIll(h, o, x)
			}
		}
	}
	for _, o := range h.obs {
		switch o.role {
		case notesRole, healthRole:
			o.use("a note")
			if nr.week.age(o) > 0 && !seen[o.cell.Text] {
				found, _ := nr.lang.illnessIn(o.cell.Text)
				if len(found) == 0 {
					continue
				}
			}
			notes = append(notes, o.cell.Text)
			take(o)
		case workRole:
			if nr.week.age(o) == 0 {
				take(o)
			}
		case nameRole:
			take(o)
		}
	}
	for _, o := range h.said {
		notes = append(notes, o.cell.Text)
		take(o)
	}
	return notes, ills, off, losing
}

// fateAside says whether a word for a horse that is gone stands in a cell of work
// that has work in it.
func (nr *noteReader) fateAside(o *obs) bool {
	return o.role == workRole && len(nr.work.workCell(o).Sessions) > 0
}

// joinNotes puts a horse's notes in one line.
func joinNotes(parts []string) string {
	var out []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return strings.Join(out, "; ")
}
