// Package office is the sheet for the manager, the vet and whoever asks why: what to
// decide, a page a horse, the order list, the sources.
package office

import (
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

const (
	officeMargin = 12.0
	body         = 2.2 // cap height of running text, mm: 9 point
	pad          = 0.8
)

// office is office.pdf on its way.
type office struct {
	*words.Sheet
	d *draw.Doc
}

// Document is office.pdf.
func Document() *flow.Document {
	return &flow.Document{Title: func(s *words.Sheet) string { return s.Word("office.title") }, Alone: true, Draw: drawOffice}
}

// drawOffice draws office.pdf: what to decide, how the workbook was read, and as an
// appendix a page a horse, the order list, and where the figures come from.
func drawOffice(sheet *words.Sheet, d *draw.Doc) error {
	s := &office{sheet, d}
	f := &flow.Flow{D: d, X: officeMargin, W: d.PageW - 2*officeMargin, Top: officeMargin, Foot: d.PageH - officeMargin - 6}
	s.decide(f)
	s.asRead(f)
	for i, h := range s.Plan.Horses {
		s.d.Drawing = h.Horse.Name
		if i == 0 {
			f.End()
		}
		s.horseBlock(f, h)
	}
	s.d.Drawing = ""
	s.yardFindings(f)
	s.orderList(f)
	s.sources(f)
	f.End()
	flow.PageFeet(s.Sheet, s.d, officeMargin, f.W, words.Join(", ", s.Word("office.title"), s.Plan.Week.Yard, s.Main.WeekSpan(s.Plan.Week), s.EditionWord(), words.Join(" ", "hardfeed", s.Meta.Version)))
	return nil
}

// title is the title of a part, named in the list of pages if it is listed.
func (s *office) title(f *flow.Flow, capMM float64, text string, listed bool) {
	f.Gap(3)
	f.Keep(capMM*draw.Leading + 14)
	g := s.d.Set.Fit(draw.Bold, capMM, 2.2, f.W, draw.Black, text)
	if listed {
		g = s.marked(text, false, g)
	}
	f.Put(g, draw.Space(f.W, 0.6))
}

func (s *office) say(f *flow.Flow, face draw.Face, text string) {
	f.Put(s.d.Set.Lines(face, body, f.W, draw.Black, text)...)
}
