// Package report turns a [yard.Plan] into the files of a finished folder: the
// cards for the wall, the scoop sheet, the office sheet and the record for
// programs. A [Press] makes them all, each written as it is made to where it is
// told; nothing here touches a disk, a clock or a setting, and equal input gives
// equal bytes.
//
// It decides nothing about feeding. What is printed was computed in ration;
// the package only says it in words, drawings and units, and never claims that
// a ration is right: it says what was compared.
package report

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"runtime"
	"slices"
	"sync"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/office"
	"hardfeed/report/record"
	"hardfeed/report/season"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// File is one finished file.
type File struct {
	Name  string
	Bytes []byte
}

// To gives what the file of that name is written to.
type To func(name string) (io.WriteCloser, error)

// SeasonName is the file that is made only where it is asked for.
const SeasonName = "season.pdf"

// Names are the files a finished folder can have.
func Names() []string { return namesOf(outputs()) }

// NamesFor are those that are made.
func NamesFor(m words.Meta) []string { return namesOf(wanted(m)) }

func namesOf(outputs []output) []string {
	var names []string
	for _, o := range outputs {
		names = append(names, o.name)
	}
	return names
}

// wanted are the files that are made.
func wanted(m words.Meta) []output {
	return slices.DeleteFunc(outputs(), func(o output) bool { return o.when != nil && !o.when(m) })
}

// Press writes the files of one plan.
type Press struct{ fonts func() *draw.Fonts }

// NewPress begins, on the side, with what does not hang on the plan: set up while
// the workbook is still being read, it is ready when the plan is.
func NewPress() Press {
	fonts := sync.OnceValue(draw.ReadFonts)
	go func() {
		words.English()
		fonts()
	}()
	return Press{fonts}
}

// Write makes the files of [NamesFor], each written as it is made. An error names
// the file, and the horse where one is to blame; what was written until then is
// of no use. A press writes once.
func (press Press) Write(p yard.Plan, m words.Meta, to To) error {
	m, err := m.Settled(p)
	if err != nil {
		return err
	}
	p = words.Proof(p)
	all := wanted(m)
	files := make([]io.WriteCloser, len(all))
	for i, o := range all {
		if files[i], err = to(o.name); err != nil {
			for _, f := range files[:i] {
				f.Close()
			}
			return err
		}
	}
	// Files are made side by side. The documents share their fonts, which can be cut
	// when all have been drawn.
	docs := make([]*draw.Doc, len(all))
	var drawing, writing sync.WaitGroup
	for _, o := range all {
		if o.Document != nil {
			drawing.Add(1)
		}
	}
	makeFile := func(i int) error {
		o := all[i]
		if o.Document == nil {
			return o.write(files[i], p, m)
		}
		defer drawing.Done()
		d, err := flow.Draw(o.name, o.Document, p, m, files[i])
		docs[i] = d
		return err
	}
	fonts := sync.OnceValues(func() (*draw.Fonts, error) {
		f := press.fonts()
		return f, f.Cut(slices.DeleteFunc(slices.Clone(docs), func(d *draw.Doc) bool { return d == nil })...)
	})
	missing := func() bool {
		for i, o := range all {
			if o.Document != nil && docs[i] == nil {
				return true
			}
		}
		return false
	}
	finish := func(i int) error {
		drawing.Wait()
		if missing() {
			return nil // a folder without the one is of no use with the others
		}
		f, err := fonts()
		if err == nil {
			err = docs[i].Finish(f)
		}
		if err != nil {
			return fmt.Errorf("%s could not be drawn: %w", all[i].name, err)
		}
		return nil
	}
	errs := make([]error, len(all))
	// As many at once as there are processors.
	turns := make(chan struct{}, runtime.GOMAXPROCS(0))
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[a].turn, all[b].turn) })
	for _, i := range order {
		turns <- struct{}{}
		writing.Go(func() {
			errs[i] = made(all[i].name, func() error { return makeFile(i) })
			<-turns
			if errs[i] == nil && all[i].Document != nil {
				errs[i] = made(all[i].name, func() error { return finish(i) })
			}
			errs[i] = errors.Join(errs[i], files[i].Close())
		})
	}
	writing.Wait()
	return errors.Join(errs...)
}

// made makes one file; a panic in it becomes an error.
func made(name string, make func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s could not be made: %v", name, r)
		}
	}()
	return make()
}

// Files is [Press.Write] into memory.
func Files(p yard.Plan, m words.Meta) ([]File, error) {
	var s Shelf
	if err := NewPress().Write(p, m, s.To); err != nil {
		return nil, err
	}
	return s.Files(), nil
}

// Shelf keeps files in memory; the zero value is empty.
type Shelf struct {
	files map[string]*bytes.Buffer
}

// To is a [To].
func (s *Shelf) To(name string) (io.WriteCloser, error) {
	if s.files == nil {
		s.files = map[string]*bytes.Buffer{}
	}
	s.files[name] = new(bytes.Buffer)
	return kept{s.files[name]}, nil
}

// kept is a file on a shelf: it stays when it is closed.
type kept struct{ *bytes.Buffer }

func (kept) Close() error { return nil }

// Files are those on the shelf: [Names] in their order, then others by name.
func (s *Shelf) Files() []File {
	var out []File
	for _, name := range slices.Sorted(maps.Keys(s.files)) {
		out = append(out, File{name, s.files[name].Bytes()})
	}
	place := func(f File) uint { return uint(slices.Index(Names(), f.Name)) } // the last for others
	slices.SortStableFunc(out, func(a, b File) int { return cmp.Compare(place(a), place(b)) })
	return out
}

// output is one file of a finished folder. Whatever depends on which files there
// are follows from [outputs]: their names, their order, the order of work.
type output struct {
	name string
	// turn is when its making begins, the longest first: the cards, left to one
	// processor at the end, would have the others stand by.
	turn int
	*flow.Document
	write func(w io.Writer, p yard.Plan, m words.Meta) error // of a file that is not drawn
	when  func(m words.Meta) bool                            // it is made; nil: always
}

// outputs are the files of a finished folder, in the order in which they are named.
// A new file is a row here.
func outputs() []output {
	return []output{
		{name: "cards.pdf", turn: 0, Document: wall.Cards()},
		{name: "cards.html", turn: 6, write: wall.WriteHTML},
		{name: "scoops.pdf", turn: 3, Document: wall.Scoops()},
		{name: "office.pdf", turn: 1, Document: office.Document()},
		{name: SeasonName, turn: 2, Document: season.Document(), when: func(m words.Meta) bool { return m.Season }},
		{name: "results.xlsx", turn: 4, write: record.WriteBook},
		{name: "results.json", turn: 5, write: record.WriteJSON},
	}
}
