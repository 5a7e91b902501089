package ingest

import (
	"slices"
	"strings"
	"testing"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// factCell is a cell that a fact was read from.
type factCell struct {
	horse, what string
	sheet       string
	col, row    int
}

// factCells are the cells that the facts of a week were read from, in order.
func factCells(w yard.Week) []factCell {
	var out []factCell
	seen := map[factCell]bool{}
	add := func(horse, what string, c yard.Cell) {
		col, row, ok := xlsx.ParseRef(c.Ref)
		f := factCell{horse, what, c.Sheet, col, row}
		if ok && !seen[f] && c.Sheet != "" {
			seen[f] = true
			out = append(out, f)
		}
	}
	for _, h := range w.Horses {
		if at := h.Cells["weight"]; at.Ref != h.Cell.Ref || at.Sheet != h.Cell.Sheet { // else it is the name's cell too
			add(h.Name, "weight", at)
		}
		for d, day := range h.Work {
			add(h.Name, dayNames[d], day.Cell)
		}
	}
	for _, l := range w.Lines {
		add(l.Horse, "now", l.Now.Cell)
		add(l.Horse, "planned", l.Planned.Cell)
	}
	return out
}

// spoilt is a workbook with one cell emptied, or with something nobody can read in it.
func (b aBook) spoilt(f factCell, text string) *xlsx.Book {
	book := b.copyOf()
	for i := range book.Sheets {
		s := &book.Sheets[i]
		for k := range s.Rows {
			if s.Name != f.sheet || s.Rows[k].N != f.row {
				continue
			}
			cells := s.Rows[k].Cells
			for n := range cells {
				switch {
				case cells[n].Col != f.col:
				case text == "":
					s.Rows[k].Cells = slices.Delete(cells, n, n+1)
					if len(s.Rows[k].Cells) == 0 {
						s.Rows = slices.Delete(s.Rows, k, k+1)
					}
					return book
				default:
					cells[n] = xlsx.Cell{Row: f.row, Col: f.col, Kind: xlsx.Text, Shown: text}
					return book
				}
			}
		}
	}
	return nil
}

// A cell that is emptied or that nobody can read costs the fact that stood in it and no
// other: no other horse's facts change, and the fact is not known, or a person is told.
func TestOneCellSpoilsOneFact(t *testing.T) {
	const garbage = "zxqv jkl"
	for _, how := range []struct {
		name, text string
		mostOthers int // facts of other horses that change without a word, in 100,000
		mostOwn    int // facts of its own that are another without a word, in 1,000 cells
	}{
		{"emptied", "", 60, 42},
		{"garbled", garbage, 60, 0},
	} {
		t.Run(how.name, func(t *testing.T) {
			t.Parallel()
			var own, others tally
			for i, b := range booksToChange(t) {
				if !*long && (i+len(how.name))%4 != 0 {
					continue
				}
				w, err := readBook(b.name, b.copyOf(), Options{})
				if err != nil {
					continue
				}
				want, cells := factsOfRead(w), factCells(w)
				rng := rngFor(b, how.name, 0)
				rng.Shuffle(len(cells), func(i, k int) { cells[i], cells[k] = cells[k], cells[i] })
				for _, f := range cells[:min(len(cells), sample(4, 60))] {
					book := b.spoilt(f, how.text)
					if book == nil {
						continue
					}
					own.cases++
					got, err := readChanged(t, b, book)
					if err != nil {
						own.refused++
						t.Logf("%s, %s!%s (%s of %s): refused: %v", b.name, f.sheet, xlsx.RefOf(f.col, f.row), f.what, f.horse, err)
						continue
					}
					own.cell(t, &others, b, f, want, got)
				}
			}
			t.Log("of the horse:", own)
			t.Log("of the others:", others)
			n := 0
			for _, k := range others.facts {
				n += k
			}
			if bad := others.facts[silentlyWrong] + others.facts[silentlyMore] + others.facts[notKnown]; bad > max(how.mostOthers*n/100_000, sample(3, 0)) || own.refused > 0 { // three in a quick run are chance
				t.Errorf("%d facts of other horses changed, %d workbooks refused", bad, own.refused)
			}
			// In a quick run, of some hundred cells, half as many again are chance.
			if bad := own.facts[silentlyWrong]; bad*1000 > sample(3*how.mostOwn/2, how.mostOwn)*own.cases || own.cases < 60 {
				t.Errorf("%d facts are silently another after %d cells", bad, own.cases)
			}
		})
	}
}

// cell counts what became of the facts when one cell was spoilt.
func (own *tally) cell(t *testing.T, others *tally, b aBook, f factCell, want factsRead, w yard.Week) {
	t.Helper()
	got := factsOfRead(w)
	for _, key := range sortedFacts(want) {
		value, there := got[key]
		if !there {
			value = "no such horse"
		}
		o := compareFact(w, key[0], key[1], want[key], value)
		mine := key[0] == f.horse
		if mine {
			own.facts[o]++
		} else {
			others.facts[o]++
		}
		if o == silentlyWrong || !mine && (o == silentlyMore || o == notKnown) {
			t.Logf("%s, %s!%s (%s of %s): %s of %s is %s, was %s: %s", b.name, f.sheet, xlsx.RefOf(f.col, f.row), f.what, strings.TrimSpace(f.horse), key[1], key[0], value, want[key], o)
		}
	}
}
