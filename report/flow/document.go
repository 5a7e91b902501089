// Package flow fills pages downwards with whole blocks and tables, and begins and ends
// the documents they are on.
package flow

import (
	"cmp"
	"fmt"
	"io"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// Document is how a PDF is drawn.
type Document struct {
	Title     func(*words.Sheet) string
	Landscape func(words.Meta) bool // nil: upright
	Alone     bool                  // in the first language only
	Draw      func(*words.Sheet, *draw.Doc) error
}

// Draw draws a document that is written to out; a panic in it becomes an error that
// names the horse, so that one horse's odd text cannot end the program.
func Draw(name string, doc *Document, p yard.Plan, m words.Meta, out io.Writer) (_ *draw.Doc, err error) {
	s := words.New(p, m)
	if doc.Alone {
		s.InOne()
	}
	yard := cmp.Or(p.Week.Yard, "yard")
	d, err := draw.New(m.Paper, doc.Landscape != nil && doc.Landscape(m), draw.About{Title: doc.Title(s) + ", " + yard, Author: yard, Producer: "hardfeed " + m.Version, Language: s.Word("language"), Date: words.FileDate(p.Week)}, out)
	if err != nil {
		return nil, fmt.Errorf("%s could not be drawn: %w", name, err)
	}
	d.KeepBoxes = m.KeepBoxes
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s could not be drawn: %v", name, r)
		}
		if err != nil && d.Drawing != "" {
			err = fmt.Errorf("%w (at the horse %q)", err, d.Drawing)
		}
	}()
	if err := doc.Draw(s, d); err != nil {
		return nil, fmt.Errorf("%s could not be drawn: %w", name, err)
	}
	return d, nil
}
