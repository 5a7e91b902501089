package wall

import (
	"io"
	"testing"

	"hardfeed/report/draw"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// BenchmarkCard lays out and draws a card, of the fixture's horses in turn, the
// pages' compression not waited for.
func BenchmarkCard(b *testing.B) {
	m, err := words.Meta{}.Settled(reporttest.Fixture())
	if err != nil {
		b.Fatal(err)
	}
	d, err := draw.New(m.Paper, false, draw.About{}, io.Discard)
	if err != nil {
		b.Fatal(err)
	}
	s := cards{paper: paper{words.New(reporttest.Fixture(), m), d}}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s.d.AddPage()
		for _, g := range s.card(s.Plan.Horses[i%len(s.Plan.Horses)], s.d.PageW-2*border, s.d.PageH/2-2*border) {
			s.d.Place(border, border, g)
		}
	}
}
