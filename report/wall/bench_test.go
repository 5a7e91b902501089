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
	s := paper{words.New(reporttest.Fixture(), m), d}
	pages := cardPages{d: d, grid: gridOf(2)}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		shape, cards := s.card(&s.Plan.Horses[i%len(s.Plan.Horses)], pages.shapes())
		for _, g := range cards {
			pages.place("", shape, g)
		}
	}
}
