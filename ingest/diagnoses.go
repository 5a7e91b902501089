package ingest

import (
	"slices"
	"strings"
	"sync"

	"hardfeed/ingest/board"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

func readDiagnoses(r *cellReader, t *table, c xlsx.Cell, name string) []yard.NamedDiagnosis {
	text := r.word(t, c, yard.Say("field.diagnoses"), name)
	if text == "" {
		return nil
	}
	switch fold(text) {
	case "none", "no", "nil", "nothing", "none known", "ok", "healthy", "none named":
		return nil
	}
	if len(text) > mostCellText {
		at := t.sheet.place(c)
		at.Text = short(text)
		r.log.find("diagnosis-word", yard.Warn, name, at, yard.Say("finding.diagnosis-word.long", yard.Count("n", len(text))))
		return []yard.NamedDiagnosis{{Kind: yard.OtherDiagnosis, Text: short(text)}}
	}
	var all []yard.NamedDiagnosis
	have := map[yard.Diagnosis]bool{}
	for _, part := range strings.FieldsFunc(text, func(x rune) bool { return strings.ContainsRune(",;/+&\n\r", x) }) {
		for _, piece := range strings.Split(part, " and ") {
			piece = strings.TrimSpace(piece)
			if piece == "" {
				continue
			}
			if len(all) > 0 && ruledOut(piece) { // it says more of the one before, such as "PPID, insulin normal"
				all[len(all)-1].Text += ", " + piece
				continue
			}
			kind := diagnosisOf(piece)
			if kind == yard.OtherDiagnosis {
				var known []string
				for _, d := range diagnosisWords {
					known = append(known, d.word)
				}
				r.log.find("diagnosis-word", yard.Warn, name, t.sheet.place(c), orNear("finding.diagnosis-word", nearest(piece, known), wrote("wrote", piece)))
			} else if have[kind] {
				continue
			}
			have[kind] = true
			all = append(all, yard.NamedDiagnosis{Kind: kind, Text: piece})
		}
	}
	return all
}

// diagnosisParts are the diagnosisWords, each with one blank around its words.
var diagnosisParts = sync.OnceValue(func() []string {
	var all []string
	for _, d := range diagnosisWords {
		all = append(all, splitWords(d.word))
	}
	return all
})

// illnessElsewhere reads the notes, and columns that are not read, for words of illness. A
// past colic, choke, heaves and too much weight count where they are written (design §5.9),
// and so do a horse off its feed and one losing weight. A diagnosis that narrows the feed by more is asked about:
// left out in silence, a laminitic pony would get a sound one's card. So is illness there is
// no rule for.
func illnessElsewhere(said *log, t *table, rw xlsx.Row, h *yard.Horse) {
	notes, _ := t.col("notes")
	for _, c := range rw.Cells {
		if c.Kind != xlsx.Text || len(c.Shown) > mostCellText || c.Col != notes.col && slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.Col }) {
			continue
		}
		switch kind := diagnosisOf(c.Shown); kind {
		case yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers, yard.HYPP:
			if !h.Has(kind) {
				said.find("diagnosis-word", yard.Warn, h.Name, t.sheet.place(c), yard.Say("finding.diagnosis-word.elsewhere", yard.Named("diagnosis", yard.Term, string(kind))))
			}
		}
		seen := map[string]bool{}
		for _, ill := range cellWords().Conditions(c.Shown) {
			if !ill.Negated && ill.Section == "illness" && !seen[ill.Key] {
				seen[ill.Key] = true
				countIllness(said, t.sheet.place(c), ill.Key, h)
			}
		}
	}
}

// countIllness counts an illness that a cell speaks of, or says that there is no rule for it.
func countIllness(said *log, at yard.Cell, key string, h *yard.Horse) {
	switch kind := board.KindOf(key); {
	case key == "in foal" || key == "lactating" || key == "sick" || h.Has(kind) && kind != yard.OtherDiagnosis: // read elsewhere, or asking nothing of the feed
		return
	case kind == yard.PoorTeeth: // mostly the dentist's visit (common practice, no source); the note is on the card
		return
	case kind == yard.PastColic || kind == yard.Choke || kind == yard.Heaves || kind == yard.Overweight:
		h.Diagnoses = append(h.Diagnoses, yard.NamedDiagnosis{Kind: kind, Text: tidy(at.Text)})
		return
	case kind != yard.OtherDiagnosis:
		return
	case key == "off feed":
		h.OffFeed = true
	case key == "losing weight":
		h.Losing = true
		said.find("diagnosis-word", yard.Note, h.Name, at, yard.Say("finding.board.diagnosis-word.losing", wrote("wrote", at.Text)))
		return
	}
	said.find("diagnosis-word", yard.Note, h.Name, at, yard.Say("finding.board.diagnosis-word", wrote("wrote", at.Text), yard.Named("diagnosis", yard.Term, key)))
}

// foalElsewhere looks in the notes for a foal that the column for mares does not
// have: the figures are not for her.
func foalElsewhere(said *log, h *yard.Horse) {
	s := splitWords(h.Notes)
	for _, foal := range []string{" foal at foot ", " in foal ", " lactating "} {
		if h.Breeding == yard.NotBreeding && strings.Contains(s, foal) && !strings.Contains(s, " no"+foal) && !strings.Contains(s, " not"+foal) {
			h.Breeding = yard.BreedingUnclear
			said.find("cell-word", yard.Warn, h.Name, h.Cell, yard.Say("finding.cell-word.foal", yard.Words("foal", strings.TrimSpace(foal))))
		}
	}
}

func diagnosisOf(piece string) yard.Diagnosis {
	s := splitWords(piece)
	if (strings.HasPrefix(s, " no ") || strings.HasPrefix(s, " not ")) && s != " no teeth " {
		return yard.OtherDiagnosis
	}
	for i, words := range diagnosisParts() {
		if strings.Contains(s, words) {
			return diagnosisWords[i].kind
		}
	}
	for _, c := range cellWords().Conditions(piece) {
		if k := board.KindOf(c.Key); c.Section == "illness" && !c.Negated && k != yard.OtherDiagnosis {
			return k
		}
	}
	return yard.OtherDiagnosis
}

// ruledOut says whether a piece names conditions only to say that the horse has none of
// them, such as "insulin normal".
func ruledOut(piece string) bool {
	all := cellWords().Conditions(piece)
	return len(all) > 0 && !slices.ContainsFunc(all, func(c phrase.Condition) bool { return !c.Negated })
}

// splitWords gives the words of s with one blank around each.
func splitWords(s string) string {
	f := strings.FieldsFunc(strings.ToLower(tidy(s)), func(x rune) bool {
		return !(x >= 'a' && x <= 'z' || x >= '0' && x <= '9' || x > 127)
	})
	return " " + strings.Join(f, " ") + " "
}

func readOverride(r *cellReader, t *table, rw xlsx.Row, name string) yard.Override {
	flag, by, why := t.cell(rw, "override"), t.cell(rw, "override by"), t.cell(rw, "override reason")
	o := yard.Override{Who: r.word(t, by, yard.Say("field.override by"), name), Reason: r.word(t, why, yard.Say("field.override reason"), name)}
	is, said := yes(flag)
	switch {
	case !blank(flag) && said:
		o.Asked = is
	case !blank(flag):
		// "Override: J. Smith, for the hunt": asked, and by whom must be plain.
		o.Asked = true
		if o.Who == "" {
			o.Who = r.word(t, flag, yard.Say("field.override"), name)
		}
	default:
		o.Asked = o.Who != "" || o.Reason != ""
	}
	if !o.Asked {
		return yard.Override{}
	}
	at := by
	for _, c := range []xlsx.Cell{by, why, flag} {
		if !blank(c) {
			at = c
			break
		}
	}
	o.Cell = t.sheet.place(at)
	if !o.Valid() {
		r.log.find("override", yard.Warn, name, o.Cell, yard.Say("finding.override.missing", yard.Said("what", missing(o))))
	}
	return o
}

func missing(o yard.Override) yard.Saying {
	switch {
	case o.Who == "" && o.Reason == "":
		return yard.Say("part.missing.both")
	case o.Who == "":
		return yard.Say("part.missing.name")
	}
	return yard.Say("part.missing.reason")
}
