package rollover

import (
	"hardfeed/ingest"
	"hardfeed/ingest/edit"
	"hardfeed/ration/yard"
)

// sheet is the list of what was changed, for the first sheet.
func (m Moved) sheet(say func(yard.Saying) string) edit.List {
	l := edit.List{Name: say(yard.Say("part.next.sheet")), Widths: []float64{24, 34, 34, 70}, Bold: []int{0, 3}}
	l.Rows = [][]string{{ingest.OwnList + say(yard.Say("part.next.title"))}, {say(yard.Say("part.next.remark"))}, nil}
	heads := func(keys ...string) []string {
		var out []string
		for _, k := range keys {
			if k == "" {
				out = append(out, "")
				continue
			}
			out = append(out, say(yard.Say(k)))
		}
		return out
	}
	if len(m.Left) > 0 {
		l.Rows = append(l.Rows, heads("part.next.look", "", "", "part.next.head why"))
		for _, x := range m.Left {
			place := x.Horse
			if x.At.Sheet != "" {
				place = x.At.String()
				if x.Horse != "" {
					place = x.Horse + ", " + place
				}
			}
			l.Rows = append(l.Rows, []string{place, "", "", say(x.Why)})
		}
		l.Rows = append(l.Rows, nil)
		l.Bold = append(l.Bold, len(l.Rows))
	}
	l.Rows = append(l.Rows, heads("part.next.head place", "part.next.head was", "part.next.head is", "part.next.head why"))
	for _, c := range m.Changes {
		place := yard.Cell{Sheet: c.Sheet, Ref: c.Ref}.String()
		if c.Ref == "" {
			place = c.Sheet
		}
		l.Rows = append(l.Rows, []string{place, c.Was, c.Is, say(c.Why)})
	}
	return l
}
