package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
)

// Files made to fill the memory or to take hours are refused, or read for what
// they hold, before the library lays them out.
func TestHostileWorkbooks(t *testing.T) {
	good := workbook(t, fullTabs()...)
	insert := func(rows string) []byte {
		return rezip(t, good, func(name string, b []byte) []byte {
			if name == "xl/worksheets/sheet2.xml" {
				return bytes.Replace(b, []byte("</sheetData>"), []byte(rows+"</sheetData>"), 1)
			}
			return b
		})
	}
	many := func(n int, f func(i int) string) string {
		var s strings.Builder
		for i := range n {
			s.WriteString(f(i))
		}
		return s.String()
	}
	far := func(i int) string {
		n := refOf(1, i+100)[1:]
		return `<row r="` + n + `"><c r="XFD` + n + `" s="0"/></row>`
	}
	for _, c := range []struct {
		what   string
		data   []byte
		horses int // 0: refused
	}{
		{"a formatted cell in the last row", insert(`<row r="1048576"><c r="A1048576" s="0"/></row>`), 3},
		{"a value in the last row", insert(`<row r="1048576"><c r="A1048576"><v>3</v></c></row>`), 4},
		{"formatted cells in the last column", insert(many(20, far)), 3},
		{"formatted cells in the last column of many rows", insert(many(2000, far)), 0},
		{"a million empty rows", insert(many(1_000_000, func(i int) string { return `<row r="` + refOf(1, i+100)[1:] + `"/>` })), 0},
		{"half a million small cells", insert(many(50_000, func(i int) string {
			return `<row r="` + refOf(1, i+100)[1:] + `">` + strings.Repeat(`<c><v>1</v></c>`, 10) + `</row>`
		})), 0},
		{"rows without numbers", insert(many(100_000, func(int) string { return `<row/>` })), 0},
		{"very many joined cells", insert("</sheetData><mergeCells>" + many(100_000, func(int) string { return `<mergeCell ref="A1:B2"/>` }) + "</mergeCells><sheetData>"), 0},
		{"a part of 200 MB", rezip(t, good, func(name string, b []byte) []byte {
			if name == "xl/worksheets/sheet2.xml" {
				return append(b, bytes.Repeat([]byte(" "), 200<<20)...)
			}
			return b
		}), 0},
		{"deep nesting", insert(strings.Repeat("<a>", 1000) + strings.Repeat("</a>", 1000)), 0},
	} {
		w, err := Read("week.xlsx", c.data, Options{})
		var r *Refused
		switch {
		case c.horses == 0 && !errors.As(err, &r):
			t.Errorf("%s: read as %d horses (%v), want it refused", c.what, len(w.Horses), err)
		case c.horses > 0 && (err != nil || len(w.Horses) != c.horses):
			t.Errorf("%s: read as %d horses (%v), want %d", c.what, len(w.Horses), err, c.horses)
		}
	}
}

// More horses than any yard has would fill the memory when they are planned and
// drawn, however sound the file.
func TestTooManyHorses(t *testing.T) {
	for n, refused := range map[int]bool{maxHorses: false, maxHorses + 1: true} {
		tab := &sheet{name: "Horses", rows: []row{{1, []cell{{row: 1, col: 1, kind: written, shown: "Name"}, {row: 1, col: 2, kind: written, shown: "Weight (kg)"}}}}}
		for i := range n {
			tab.rows = append(tab.rows, row{i + 2, []cell{{row: i + 2, col: 1, kind: written, shown: fmt.Sprintf("Horse %d", i)}, {row: i + 2, col: 2, kind: written, shown: "500 kg"}}})
		}
		w, err := understand("x.xlsx", []*sheet{tab}, 0, Options{})
		if refused != (err != nil) || !refused && len(w.Horses) != n {
			t.Errorf("%d horses: %d read, %v", n, len(w.Horses), err)
		}
	}
}

// A sheet whose every row is nearly a header is not compared with all known
// headings row by row: that took minutes.
func TestNearlyHeadersOnEveryRow(t *testing.T) {
	tab := &sheet{name: "x"}
	for i := range 19_000 {
		r := row{n: i + 1}
		for c, text := range []string{"hoarse %d", "date thirtieth %d", "feeed now %d", "walkk %d", "wieght x%d"} {
			r.cells = append(r.cells, cell{row: i + 1, col: c + 1, kind: written, shown: fmt.Sprintf(text, i)})
		}
		tab.rows = append(tab.rows, r)
	}
	v := newVocabulary(nil)
	v.guess = true
	v.upright(tab)
	if looked := len(v.looks); looked > 40*5*3 { // every text alone and joined with its neighbour above or below
		t.Errorf("%d texts were compared", looked)
	}
	if _, err := understand("x.xlsx", []*sheet{tab}, 0, Options{}); err == nil {
		t.Error("horses were found in it")
	}
}

// Many rows of one kind are refused, or come to a list somebody can read: what
// follows the reading must not have thousands of pages to draw.
func TestMoreOfOneKindThanAYardHas(t *testing.T) {
	lines := func(head string, n int, row func(i int) string) string {
		var s strings.Builder
		s.WriteString(head)
		for i := range n {
			s.WriteString("\n" + row(i))
		}
		return s.String()
	}
	for _, c := range []struct {
		what    string
		sheet   tab
		refused string
	}{
		{"feeds", tab{"Feeds", lines("Feed | Kind | One measure (kg)", 1200, func(i int) string { return fmt.Sprintf("feed %d | hard feed | 1", i) })}, "more than 1000 feeds"},
		{"rows of one horse", tab{"Rations", lines("Horse | Feed | Now", 300, func(i int) string { return fmt.Sprintf("Bramble | feed %d | 1 kg", i) })}, "more than 200 rows on the rations sheet for Bramble"},
		{"meals", tab{"Rations", lines("Horse | Feed | Meal | Now", 60, func(i int) string { return fmt.Sprintf("Bramble | Hay | feed no %d | 1 kg", i) })}, "more than 24 meals"},
		{"work of one day", tab{"Diary", lines("Date | Horse | Work", 3000, func(i int) string { return fmt.Sprintf("d:2026-11-30 | Bramble | grind %d", i) })}, ""},
		{"names of no horse", tab{"Rations", lines("Horse | Feed | Now", 3000, func(i int) string { return fmt.Sprintf("Nobody %d | Hay | 1 kg", i) })}, ""},
	} {
		w, err := Read("week.xlsx", workbook(t, append(plainYard()[:3:3], c.sheet)...), Options{})
		if c.refused != "" {
			if err == nil || !strings.Contains(err.Error(), c.refused) {
				t.Errorf("%s: %v", c.what, err)
			}
			continue
		}
		more := ""
		for _, f := range w.Findings {
			if strings.Contains(f.Message, "more findings of this kind") {
				more = f.Message
			}
		}
		full := c.what == "work of one day" // no more is read of it
		if err != nil || more == "" != full || len(w.Findings) > 2*mostFindings || full && !horse(t, w, "Bramble").Work[0].Unknown {
			t.Errorf("%s: %v, %d findings, %q", c.what, err, len(w.Findings), more)
		}
	}
}
