package ingest

import (
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// readSessions are the yard's own sessions, by their folded names.
func readSessions(in *layout, r *cellReader) map[string]yard.Session {
	sessions := map[string]yard.Session{}
	for i := range in.tables[sessionsKind] {
		t := &in.tables[sessionsKind][i]
		in.headings(t)
		in.walk().each(t, "session", func(rw xlsx.Row) {
			if len(sessions) > mostSessions {
				return // refused in the end
			}
			c := t.cell(rw, "session")
			name := r.name(t, c, "session")
			if name == "" {
				return
			}
			if _, ok := sessions[fold(name)]; ok {
				r.log.find("session-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.session-twice", wrote("session", name)))
				return
			}
			s := yard.Session{Name: name}
			good := true
			for g, key := range []string{"walk", "trot", "canter", "gallop", "jump"} {
				col, ok := t.col(key)
				if !ok || blank(rw.At(col.col)) {
					continue
				}
				v := r.take(t, rw.At(col.col), col.heading.unit, field{what: yard.Say("field.session minutes", yard.Named("gait", yard.Term, key), yard.Words("session", name)), factors: minPer, unit: "min", min: 0, max: MostMinutes, in: yard.Minutes, example: "20"}, "", yard.Warn)
				good = good && v.IsKnown()
				s.Minutes[g] = v.Or(0) // an unknown one drops the whole session below
			}
			if !good {
				// Half a session would understate the work without a word.
				r.log.find("session-unused", yard.Warn, "", t.sheet.place(c), yard.Say("finding.session-unused", wrote("session", name)))
				sessions[fold(name)] = yard.Session{Name: name}
				return
			}
			if v, ok := r.take(t, t.cell(rw, "efforts"), "", field{what: yard.Say("field.session efforts", yard.Words("session", name)), min: 0, max: 500, example: "12"}, "", yard.Note).Get(); ok {
				s.Efforts = int(v)
			}
			how := choice(r, t, t.cell(rw, "how"), yard.Say("field.how ridden"), "", riddenWords, "ridden", yard.Say("part.expected.how ridden"))
			s.Led = how == "led"
			s.Hills, _ = yes(t.cell(rw, "hills"))
			sessions[fold(name)] = s
		})
	}
	return sessions
}

var riddenWords = map[string]string{
	"ridden": "ridden", "rider": "ridden", "yes": "ridden", "mounted": "ridden",
	"led": "led", "loose": "led", "lunge": "led", "lunged": "led", "lungeing": "led", "lunging": "led", "walker": "led", "in hand": "led", "long reins": "led", "no rider": "led", "driven": "led", "ponied": "led",
}
