package rollover

import (
	"slices"
	"strings"

	"hardfeed/ingest/board"
	"hardfeed/ingest/edit"
	"hardfeed/ration/yard"
)

// tabs is a workbook that has a tab a week. The next week gets a tab of its own, as the
// last one is, and those of the weeks before stay as they are.
type tabs struct {
	last     string          // the tab of the week planned; "" the workbook has none
	next     string          // the tab of the week after
	all      map[string]bool // all weeks' tabs
	prepared bool            // the next one is there, with nothing written in it yet
}

// findTabs says whether there is a tab a week, and makes the next one.
func (m *mover) findTabs() {
	ages := map[string][]int{}
	for i := range m.src.Whence.Spots {
		if s := &m.src.Whence.Spots[i]; s.Kind == board.WorkSpot && !s.Empty && !slices.Contains(ages[s.Sheet], s.Age) {
			ages[s.Sheet] = append(ages[s.Sheet], s.Age)
		}
	}
	t := tabs{all: map[string]bool{}}
	weeks := map[int]bool{}
	for _, s := range m.book.Sheets() {
		a := ages[s]
		if len(a) == 0 {
			continue
		}
		is, ok := m.dates.text(s, true)
		if len(a) != 1 || a[0] < 0 || weeks[a[0]] || !ok || is == s {
			return
		}
		weeks[a[0]], t.all[s] = true, true
		if a[0] == 0 {
			t.last, t.next = s, is
		}
	}
	if t.last == "" || len(t.all) < 2 || len([]rune(t.next)) > 31 || strings.ContainsAny(t.next, `[]:*?/\`) {
		return
	}
	sheets := m.book.Sheets()
	if k := slices.IndexFunc(sheets, func(s string) bool { return strings.EqualFold(s, t.next) }); k >= 0 {
		if t.next = sheets[k]; !m.isPrepared(t) {
			return
		}
		t.prepared = true
	} else if !m.book.CopySheet(t.last, t.next) {
		return
	}
	m.tab = t
}

// isPrepared says whether what is on the next week's tab is on the last one
// too, its dates aside.
func (m *mover) isPrepared(t tabs) bool {
	for _, p := range m.book.Places(t.next) {
		is, was := m.book.Cell(t.next, p), m.book.Cell(t.last, p)
		switch {
		case is.Value == "" && !is.Formula:
		case was == nil || is.Formula != was.Formula:
			return false
		case is.Formula, is.Value == was.Value:
		default:
			moved, _ := m.dates.text(was.Value, false)
			if moved != is.Value && !(is.Number() && was.Number() && serial(was.Value) == is.Value) {
				return false
			}
		}
	}
	return true
}

// fillPrepared writes on the next week's tab what is on the last one, but for what
// was planned.
func (m *mover) fillPrepared() {
	planned := map[edit.Place]bool{}
	for i := range m.src.Whence.Spots {
		if s := &m.src.Whence.Spots[i]; s.Sheet == m.tab.last && (s.Kind == board.PlanSpot || s.Kind == board.WorkSpot && m.opt.ClearWork) {
			planned[edit.Place{Row: s.At[0], Col: s.At[1]}] = true
		}
	}
	for _, p := range m.book.Places(m.tab.last) {
		was, is := m.book.Cell(m.tab.last, p), m.book.Cell(m.tab.next, p)
		if was.Formula || was.Value == "" || is != nil && (is.Value != "" || is.Formula) || planned[p] {
			continue
		}
		m.put(at{m.tab.next, p}, "", was.Value, yard.Say("part.next.copied", yard.Named("tab", yard.HerWords, m.tab.last)))
	}
}
