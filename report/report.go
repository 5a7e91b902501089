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
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/templates/wording"
)

// Meta is what the printed files need to know beside the plan.
type Meta struct {
	Version      string // of the program
	CardsPerPage int    // 1, 2 or 4; 0 is taken as 2
	Paper        string // "A4" or "Letter"; "" follows the week's paper
	// Edition counts the times this week's sheets were made from an edited
	// workbook; 0 and 1 print nothing.
	Edition int
	Changes []EditionChange // against the edition before, by [EditionChanges]

	// Languages of the cards and the scoop sheet, one or two of [Languages]: the
	// first is large, the second stands beside it. None is English. The office
	// sheet and the results are always in English.
	Languages []string

	keepBoxes bool // for tests
}

// Languages are the codes of the languages the cards can be printed in.
func Languages() []string { return wording.Codes() }

// File is one finished file.
type File struct {
	Name  string
	Bytes []byte
}

// To gives what the file of that name is written to.
type To func(name string) (io.WriteCloser, error)

// Names are the files of a finished folder.
func Names() []string {
	return []string{"cards.pdf", "scoops.pdf", "office.pdf", "results.xlsx", "results.json"}
}

// Press writes the files of one plan.
type Press struct{ fonts func() *draw.Fonts }

// NewPress begins, on the side, with what does not hang on the plan: set up while
// the workbook is still being read, it is ready when the plan is.
func NewPress() Press {
	fonts := sync.OnceValue(draw.ReadFonts)
	go fonts()
	return Press{fonts}
}

// Write makes the files of [Names], each written as it is made. An error names
// the file, and the horse where one is to blame; what was written until then is
// of no use. A press writes once.
func (press Press) Write(p yard.Plan, m Meta, to To) error {
	m, err := m.settled(p)
	if err != nil {
		return err
	}
	p = Proof(p)
	names := Names()
	files := make([]io.WriteCloser, len(names))
	for i, name := range names {
		if files[i], err = to(name); err != nil {
			for _, f := range files[:i] {
				f.Close()
			}
			return err
		}
	}
	// Files are made side by side. The documents share their fonts, which can be cut
	// when all have been drawn.
	sheets := make([]*sheet, 3)
	var drawing, writing sync.WaitGroup
	drawing.Add(len(sheets))
	document := func(i int, draw func(*sheet) error) func() error {
		return func() (err error) {
			defer drawing.Done()
			sheets[i], err = drawn(names[i], draw, p, m, files[i])
			return err
		}
	}
	makes := []func() error{document(0, cards), document(1, scoops), document(2, office),
		func() error { return writeBook(files[3], p, m) },
		func() error { return writeJSON(files[4], p, m) },
	}
	fonts := sync.OnceValues(func() (*draw.Fonts, error) {
		f := press.fonts()
		return f, f.Cut(sheets[0].d, sheets[1].d, sheets[2].d)
	})
	finish := func(i int) error {
		drawing.Wait()
		if slices.Contains(sheets, nil) {
			return nil // a folder without the one is of no use with the others
		}
		f, err := fonts()
		if err == nil {
			err = sheets[i].d.Finish(f)
		}
		if err != nil {
			return fmt.Errorf("%s could not be drawn: %w", names[i], err)
		}
		return nil
	}
	errs := make([]error, len(names))
	// As many at once as there are processors, the longest first: the cards, left to
	// one processor at the end, would have the others stand by.
	turns := make(chan struct{}, runtime.GOMAXPROCS(0))
	for _, i := range []int{0, 2, 1, 3, 4} {
		turns <- struct{}{}
		writing.Go(func() {
			errs[i] = made(names[i], makes[i])
			<-turns
			if errs[i] == nil && i < len(sheets) {
				errs[i] = made(names[i], func() error { return finish(i) })
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
func Files(p yard.Plan, m Meta) ([]File, error) {
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

func (m Meta) settled(p yard.Plan) (Meta, error) {
	m.Paper = cmp.Or(m.Paper, p.Week.Paper, "A4")
	m.CardsPerPage = cmp.Or(m.CardsPerPage, 2)
	if !slices.Contains([]int{1, 2, 4}, m.CardsPerPage) {
		return m, fmt.Errorf("cards a page: 1, 2 or 4, not %d", m.CardsPerPage)
	}
	if len(m.Languages) > 2 {
		return m, fmt.Errorf("a card has room for two languages, not %d", len(m.Languages))
	}
	for _, code := range m.Languages {
		if _, err := tongueOf(code); err != nil {
			return m, err
		}
	}
	return m, nil
}

// sheet is one document on its way.
type sheet struct {
	p     yard.Plan
	m     Meta
	d     *draw.Doc
	out   io.Writer // what d is written to
	horse string    // being drawn, for errors
	feeds map[string]yard.FeedNeed

	main   tongue
	beside *tongue // the second language; nil: none

	fed    []fed    // by horse, once the meals of the yard have been asked for
	whoCap float64  // the height of type on the sheet of the whole yard, in mm
	boxes  struct { // to tick, the last that were made
		w         float64
		languages int
		all       *draw.Group
	}
}

func newSheet(p yard.Plan, m Meta) *sheet {
	s := &sheet{p: p, m: m, feeds: map[string]yard.FeedNeed{}, main: english()}
	for i, code := range m.Languages {
		switch t, err := tongueOf(code); { // settled has looked at them
		case err != nil:
		case i == 0:
			s.main = t
		case t.Code != s.main.Code:
			s.beside = &t
		}
	}
	for _, f := range p.Feeds {
		s.feeds[strings.ToLower(f.Feed.Name)] = f
	}
	return s
}

// drawn runs one document's drawing; a panic in it becomes an error that names the horse, so that one horse's odd text cannot end the program.
func drawn(name string, draw func(*sheet) error, p yard.Plan, m Meta, out io.Writer) (_ *sheet, err error) {
	s := newSheet(p, m)
	s.out = out
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s could not be drawn: %v", name, r)
		}
		if err != nil && s.horse != "" {
			err = fmt.Errorf("%w (at the horse %q)", err, s.horse)
		}
	}()
	if err := draw(s); err != nil {
		return nil, fmt.Errorf("%s could not be drawn: %w", name, err)
	}
	return s, nil
}

// undated stands in the PDF properties of a week without a date, so that equal
// input gives equal bytes.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// inEnglish is for what is read in the office.
func (s *sheet) inEnglish() { s.main, s.beside = english(), nil }

func (s *sheet) start(title string, landscape bool) (err error) {
	date := s.p.Week.Beginning
	if date.IsZero() {
		date = undated
	}
	yard := cmp.Or(s.p.Week.Yard, "yard")
	s.d, err = draw.New(s.m.Paper, landscape, draw.About{Title: title + ", " + yard, Author: yard, Language: s.word("language"), Date: date}, s.out)
	if err == nil {
		s.d.KeepBoxes = s.m.keepBoxes
	}
	return err
}

// Proof returns p with a finding for every name that the printed sheets cannot
// spell; p itself is not touched. Doing it twice adds nothing. [Press.Write] and
// [JSON] do it themselves; callers that print findings want it too.
func Proof(p yard.Plan) yard.Plan {
	var extra []yard.Finding
	check := func(what, name, horse string, c yard.Cell) *yard.Finding {
		shown, whole := draw.Printable(name)
		if whole {
			return nil
		}
		f := yard.Finding{
			Rule: "name-print", Severity: yard.Warn, Horse: horse, Cell: c,
			Message: fmt.Sprintf("The name of this %s has letters or signs that cannot be printed; "+
				"the sheets show %q. Write it in Latin, Greek or Cyrillic letters.", what, shown),
		}
		if slices.ContainsFunc(p.Findings, f.Equal) {
			return nil
		}
		extra = append(extra, f)
		return &f
	}
	horses := slices.Clone(p.Horses)
	for i := range horses {
		h := &horses[i]
		if f := check("horse", h.Horse.Name, h.Horse.Name, h.Horse.Cell); f != nil {
			h.Findings = append(slices.Clone(h.Findings), *f)
			yard.SortFindings(h.Findings)
		}
	}
	for _, f := range p.Feeds {
		check("feed", f.Feed.Name, "", f.Feed.Cell)
	}
	for _, m := range p.Week.Meals {
		check("meal", m.Name, "", yard.Cell{})
	}
	if len(extra) == 0 {
		return p
	}
	p.Horses = horses
	p.Findings = append(slices.Clone(p.Findings), extra...)
	yard.SortFindings(p.Findings)
	return p
}

// Text is f on one line for the console: how grave, which horse, where, what,
// whose figure.
func Text(f yard.Finding) string {
	var b strings.Builder
	b.WriteString(strings.ToUpper(f.Severity.String()))
	if f.Horse != "" {
		b.WriteString(" " + f.Horse)
	}
	if w := where(f.Cell); w != "" {
		b.WriteString(", " + w)
	}
	b.WriteString(": " + Message(f))
	if t := whose(f); t != "" {
		b.WriteString(" (" + t + ")")
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func where(c yard.Cell) string {
	if c.Sheet == "" && c.Ref == "" {
		return ""
	}
	return c.String()
}

// whose is a finding's rule and source; the rule once.
func whose(f yard.Finding) string {
	if f.Rule != "" && strings.HasPrefix(f.Source, string(f.Rule)) {
		return f.Source
	}
	return join("; ", string(f.Rule), f.Source)
}

// capital is t with its first letter upper-cased, as findings and reasons begin on
// paper; the record keeps them as they came.
func capital(t string) string {
	r, n := utf8.DecodeRuneInString(t)
	if r == utf8.RuneError || unicode.ToUpper(r) == r {
		return t
	}
	return string(unicode.ToUpper(r)) + t[n:]
}
