package report

import (
	"io"
	"testing"
)

// BenchmarkCard lays out and draws a card, of the fixture's horses in turn, the
// pages' compression not waited for.
func BenchmarkCard(b *testing.B) {
	m, err := Meta{}.settled(fixture())
	if err != nil {
		b.Fatal(err)
	}
	s := newSheet(fixture(), m)
	s.out = io.Discard
	if err := s.start("cards", false); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s.d.AddPage()
		for _, g := range s.card(s.p.Horses[i%len(s.p.Horses)], s.d.PageW-2*border, s.d.PageH/2-2*border) {
			s.d.Place(border, border, g)
		}
	}
}
