package board

import (
	"testing"

	"pgregory.net/rapid"
)

// A look at how a text begins rules out nothing that the pattern of hours takes.
func TestHoursBeginWithAFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringMatching(`[\s\x{a0}\v]{0,2}[0-9x٣]{1,3}[.:hH]?[0-9]{0,2} ?(am|PM|uhr|h)?\s?`), rapid.String()).Draw(t, "text")
		if clockText().MatchString(text) && !beginsWithFigure(text) {
			t.Fatalf("%q is an hour", text)
		}
	})
}

// A cell is found at its place, far down a sheet too and in whatever order the cells come.
func TestCellsAreFoundWhereTheyStand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := map[[2]int]bool{}
		var cells []Cell
		for range rapid.IntRange(0, 20).Draw(t, "cells") {
			r, c := rapid.IntRange(1, 30).Draw(t, "row"), rapid.IntRange(1, 4).Draw(t, "column")
			if len(cells) > 0 && r == cells[len(cells)-1].Row && c <= cells[len(cells)-1].Col || at[[2]int{r, c}] {
				continue
			}
			for k := range at { // a row that comes again goes on where it ended
				if k[0] == r && k[1] >= c {
					c = 0
				}
			}
			if c > 0 {
				at[[2]int{r, c}] = true
				cells = append(cells, Cell{Row: r, Col: c, Kind: Number})
			}
		}
		d := newSheet(Sheet{Cells: cells})
		for r := range 33 {
			for c := range 6 {
				x := d.cell(r, c)
				if (x != nil) != at[[2]int{r, c}] || x != nil && (x.Row != r || x.Col != c) {
					t.Fatalf("at row %d, column %d: %v", r, c, x)
				}
			}
		}
	})
}

// What is tried of a week that is over leaves no feed behind, and what was read by it does
// not count any more.
func TestAFeedMetInPassingIsNotKept(t *testing.T) {
	room := newFeedRoom(nil)
	room.feedNamed("Oats", "hard", nil)
	before := room.changes
	room.leaving(func() { room.feedNamed("Barley", "hard", nil) })
	if len(room.order) != 1 || room.feeds["barley"] != nil || room.changes == before {
		t.Errorf("feeds %v after %d changes, before %d", room.order, room.changes, before)
	}
	before = room.changes
	room.leaving(func() { room.feedNamed("oats", "", nil) })
	if len(room.order) != 1 || room.changes != before {
		t.Errorf("feeds %v after %d changes, before %d", room.order, room.changes, before)
	}
}
