package rollover

import (
	"cmp"
	"fmt"
	"hardfeed/ingest/board"
	"hardfeed/ingest/edit"
	"hardfeed/ration/yard"
	"slices"
	"strings"
)

// sameFact says whether two places are for the same thing in different weeks.
func sameFact(a, b *board.Spot) bool {
	feed := func(s *board.Spot) bool { return s.Kind != board.WorkSpot && s.Kind != board.OtherSpot }
	return (a.Kind == b.Kind || feed(a) && feed(b)) && a.When == b.When && a.Day == b.Day && a.Half == b.Half && a.Meal == b.Meal && a.Feed == b.Feed
}

// moveWeeksOn makes what was this week's last week's, and what was next week's this
// week's; the last week with work keeps it as a beginning, or is cleared.
func (m *mover) moveWeeksOn() {
	for _, h := range m.src.Week.Horses {
		spots := m.spots[h.Name]
		newest := 0
		for _, s := range spots {
			if s.Kind == board.WorkSpot && !s.Empty && !m.stays(s) {
				newest = min(newest, s.Age)
			}
		}
		used := map[*board.Spot]bool{}
		var events []string
		for _, s := range spots {
			switch {
			case m.tab.last != "" && s.Age > 0, m.stays(s):
			case s.Age > newest && (s.Age > 0 || s.Kind == board.WorkSpot) && !(s.Kind == board.NowSpot && s.Age == 1):
				m.moveOn(h.Name, s, spots, used)
			case s.Kind == board.WorkSpot && s.Age == newest && !s.Empty && m.opt.ClearWork:
				m.put(m.placeOf(s), h.Name, "", yard.Say("part.next.work cleared"))
			case s.Kind == board.WorkSpot && s.Age == newest && s.Event:
				k := m.placeOf(s)
				events = append(events, fmt.Sprintf("%s (%s)", yard.Cell{Sheet: cmp.Or(m.tabs[k.sheet], k.sheet), Ref: k.place.Ref()}, s.Text))
			}
		}
		if len(events) > 0 {
			m.leave(h.Name, yard.Cell{}, "part.next.event", yard.Named("cells", yard.HerWords, strings.Join(events, ", ")))
		}
	}
}

// stays says whether a place is in a diary that goes on into the weeks to come: its rows
// say their days, and the next week's are there already.
func (m *mover) stays(s *board.Spot) bool { return s.Diary && m.diaries[s.Sheet] }

// carryOn writes what is this week's where last week's stands, and says where there is no
// room for what comes. What is not known is not what stood there a week before.
func (m *mover) carryOn() {
	for _, c := range m.src.Whence.Carry {
		from, to := edit.Place{Row: c.From[0], Col: c.From[1]}, at{c.Sheet, edit.Place{Row: c.To[0], Col: c.To[1]}}
		is, was := m.valueAt(c.Sheet, from), m.valueAt(c.Sheet, to.place)
		place := yard.Cell{Sheet: cmp.Or(m.tabs[to.sheet], to.sheet), Ref: to.place.Ref()}
		if hours, ok := m.grassHours(c.Horse).Get(); m.noCarry[c.Horse] {
			if is = ""; ok {
				m.leave(c.Horse, place, "part.next.grass by hand", yard.Named("hours", yard.HerWords, decimal(hours, 1e-6)))
			}
		}
		if is != was && m.put(to, c.Horse, is, yard.Say("part.next.week on")) && is == "" && !m.noCarry[c.Horse] {
			m.leave(c.Horse, place, "part.next.no grass")
		}
		if cell := m.book.Cell(to.sheet, to.place); cell == nil || !cell.Formula {
			m.carried[c.Horse] = true
		}
	}
	for _, l := range m.src.Whence.Logs {
		if l.Full {
			m.leave("", yard.Cell{Sheet: l.Sheet, Ref: edit.Place{Row: l.Last + 1, Col: 1}.Ref()}, "part.next.no row")
		}
	}
}

// valueAt is what is in a cell of the workbook; of a formula what it came to.
func (m *mover) valueAt(sheet string, p edit.Place) string {
	if c := m.book.Cell(sheet, p); c != nil {
		return c.Value
	}
	return ""
}

// grassHours is how long a horse is at grass in the week planned, hours a day.
func (m *mover) grassHours(horse string) yard.Num {
	for _, h := range m.src.Week.Horses {
		if h.Name == horse {
			return h.GrassHours
		}
	}
	return yard.Num{}
}

func (m *mover) moveOn(horse string, s *board.Spot, spots []*board.Spot, used map[*board.Spot]bool) {
	var from *board.Spot
	for _, x := range spots {
		if x.Age == s.Age-1 && sameFact(x, s) && !used[x] {
			from = x
			break
		}
	}
	is := ""
	if from == nil && !slices.ContainsFunc(spots, func(x *board.Spot) bool { return x.Kind == s.Kind && x.Age == s.Age-1 }) {
		return // it is not in the newer week
	}
	if from != nil {
		used[from] = true
		if !from.Empty {
			if c := m.book.Cell(from.Sheet, m.placeOf(from).place); c != nil {
				is = c.Value
			}
		}
	}
	if was := m.book.Cell(s.Sheet, m.placeOf(s).place); was == nil && is == "" || was != nil && was.Value == is {
		return
	}
	m.put(m.placeOf(s), horse, is, yard.Say("part.next.week on"))
}

// clearPlans clears what was planned for the week that is over.
func (m *mover) clearPlans() {
	now := map[at]bool{}
	for k := range m.shared {
		now[k] = true
	}
	for _, h := range m.src.Week.Horses {
		for _, s := range m.spots[h.Name] {
			if k := m.placeOf(s); s.Kind == board.PlanSpot && s.Age <= 0 && !s.Empty && !now[k] {
				if m.made[k] == nil || m.made[k].Is != "" {
					m.put(k, h.Name, "", yard.Say("part.next.plan cleared"))
				}
			}
		}
	}
}
