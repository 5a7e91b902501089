package reporttest

import (
	"bytes"
	"strings"
	"testing"
	"unicode"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/pdftest"
	"hardfeed/report/words"
)

// Pages is the text of each page in the order it was drawn, without spaces: a
// line break tells nothing.
func Pages(t testing.TB, pdf []byte) []string {
	t.Helper()
	all := pdftest.Pages(t, pdf)
	for i := range all {
		all[i] = Unspaced(all[i])
	}
	return all
}

// Bare is s as it is printed, without spaces.
func Bare(s string) string {
	s, _ = draw.Printable(s)
	return Unspaced(s)
}

// Unspaced is s without its spaces.
func Unspaced(s string) string { return strings.Join(strings.FieldsFunc(s, unicode.IsSpace), "") }

// KeepBoxes is m with the places of all text kept.
func KeepBoxes(m words.Meta) words.Meta {
	m.KeepBoxes = true
	return m
}

// Pdf is a document, finished.
func Pdf(t testing.TB, s *Drawing) []byte {
	t.Helper()
	fonts := draw.ReadFonts()
	if err := fonts.Cut(s.D); err != nil {
		t.Fatal(err)
	}
	if err := s.D.Finish(fonts); err != nil {
		t.Fatal(err)
	}
	return s.out.Bytes()
}

// Sketch is a document drawn, to be looked at or finished by [pdf].
func Sketch(name string, doc *flow.Document, p yard.Plan, m words.Meta) (*Drawing, error) {
	s := words.New(p, m)
	if doc.Alone {
		s.InOne()
	}
	out := new(bytes.Buffer)
	d, err := flow.Draw(name, doc, p, m, out)
	return &Drawing{s, d, out}, err
}

// Drawing is a document that has been drawn, and what it has to say.
type Drawing struct {
	*words.Sheet
	D   *draw.Doc
	out *bytes.Buffer
}

// TextOf is the text of one document of a plan.
func TextOf(t testing.TB, doc *flow.Document, p yard.Plan, perPage int) string {
	t.Helper()
	s, err := Sketch("a document", doc, p, words.Meta{KeepBoxes: true, CardsPerPage: perPage, Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(Pages(t, Pdf(t, s)), "")
}
