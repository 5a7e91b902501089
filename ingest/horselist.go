package ingest

import (
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// horseList are the horses of the horses sheet, found by how other sheets call them.
type horseList struct {
	log   *log
	all   []yard.Horse
	names names
	twice map[string][]yard.Cell   // plain name -> where else the horse is listed
	owner map[string]string        // sheet -> the one horse it is about
	rows  map[sheetKind]rowsByName // what other sheets have
}

func newHorseList(said *log) *horseList {
	return &horseList{log: said, names: newNames(), twice: map[string][]yard.Cell{}, owner: map[string]string{}, rows: map[sheetKind]rowsByName{}}
}

// rowsByName are the rows of a kind of sheet that are for a horse, and of them those for a
// horse that is not listed.
type rowsByName struct{ all, strange int }

// called is the horse of a name; nil where there is none.
func (h *horseList) called(name string) *yard.Horse {
	if i, _ := h.names.find(name); i >= 0 {
		return &h.all[i]
	}
	return nil
}

// ofRow finds the horse of a row. A row for a horse that is not on the horses sheet is
// reported with the likely one; it is never joined to it.
func (h *horseList) ofRow(t *table, c xlsx.Cell, name string, sev yard.Severity) *yard.Horse {
	i, exact := h.names.find(name)
	n := h.rows[t.kind]
	n.all++
	if i < 0 {
		n.strange++
	}
	h.rows[t.kind] = n
	if i >= 0 {
		of := &h.all[i]
		if !exact {
			h.log.once("loose "+t.sheet.Name+plainName(name), "horse-name", yard.Note, t.sheet.place(c), yard.Say("finding.horse-name", yard.Words("wrote", short(name)), sheetArg("sheet", t.kind), yard.Named("horse", yard.HorseName, of.Name)))
		}
		return of
	}
	key := "unknown " + t.sheet.Name + plainName(name)
	switch {
	case h.log.noted[key]:
	case h.log.tooManyStrange():
		h.log.once(key, "horse-unknown", sev, t.sheet.place(c), yard.Saying{})
	default:
		h.log.once(key, "horse-unknown", sev, t.sheet.place(c), orNear("finding.horse-unknown.sheet", h.names.near(name), wrote("wrote", name), sheetArg("sheet", t.kind)))
	}
	return nil
}

// strangers is the refusal where most rows of a kind of sheet are for horses that are not
// listed; nil where they are not. A card without them would be a guess for every horse.
func (h *horseList) strangers(file string) error {
	for _, kind := range []sheetKind{rationsKind, workKind} {
		n := h.rows[kind]
		if len(h.all) <= mostStrangeRows || n.strange <= mostStrangeRows || n.strange*2 <= n.all {
			continue
		}
		var few []yard.Finding
		for _, f := range h.log.findings {
			if f.Rule == "horse-unknown" && len(few) < 3 {
				few = append(few, f)
			}
		}
		return refuseStrange(file, n.strange, few)
	}
	return nil
}
