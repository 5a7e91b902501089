package record

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// packers pack the parts of results.xlsx. Each takes a megabyte, so they are used
// again.
var packers = sync.Pool{New: func() any {
	const level = 6 // of 9: as small as the standard library makes it, in a third of its time
	w, err := flate.NewWriter(io.Discard, level)
	if err != nil {
		panic(err) // only for a level that does not exist
	}
	return w
}}

// packer gives itself back when it is closed.
type packer struct{ *flate.Writer }

func (p packer) Close() error {
	defer packers.Put(p.Writer)
	return p.Writer.Close()
}

func packing(w io.Writer) (io.WriteCloser, error) {
	p := packer{packers.Get().(*flate.Writer)}
	p.Reset(w)
	return p, nil
}

// page is one sheet of results.xlsx on its way.
type page struct {
	name  string
	heads []bookColumn
	rows  func(put func(values ...any)) // tells the rows one by one: together they are large

	styles []int // of the columns, once the sheet is begun
}

// bookColumn is a heading with its unit, how wide it is, and how its numbers are
// written.
type bookColumn struct {
	head   string
	width  float64
	format string // "" for text
}

const (
	whole    = "0"
	tenths   = "0.0"
	hundreds = "0.00"
	thousand = "0.000"
)

// Book is results.xlsx: the numbers of results.json as a workbook, one sheet a
// kind. Numbers are numbers, with the unit in the heading; what is not known is
// an empty cell, never 0. Words from the workbook are written as text, so that
// none of them starts a formula. The same plan gives the same bytes.
func Book(p yard.Plan, m words.Meta) ([]byte, error) {
	var b bytes.Buffer
	err := WriteBook(&b, p, m)
	return b.Bytes(), err
}

// WriteBook writes results.xlsx; see [Book].
func WriteBook(w io.Writer, p yard.Plan, m words.Meta) (err error) {
	p = words.Proof(p)
	s := &tables{words.New(p, m)}
	s.InEnglish()
	f := excelize.NewFile()
	parts := bookParts{}
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return parts })
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	made := words.FileDate(p.Week).Format("2006-01-02T15:04:05Z")
	title := words.Join(", ", "Results", cmp.Or(p.Week.Yard, "yard"), s.EditionWord())
	head := headerText(words.Join(", ", p.Week.Yard, words.WeekSpan(p.Week), s.EditionWord()))
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "hardfeed " + m.Version, LastModifiedBy: "hardfeed", Title: plainText(title), Created: made, Modified: made, Language: "en-GB"}); err != nil {
		return err
	}
	sheets := map[string]page{} // by their parts
	for i, pg := range []page{s.bookHorses(), s.bookRations(), s.bookNutrients(), s.bookFindings(), s.bookOrder()} {
		if i == 0 {
			err = f.SetSheetName("Sheet1", pg.name)
		} else {
			_, err = f.NewSheet(pg.name)
		}
		if err != nil {
			return err
		}
		if pg.styles, err = pg.begin(f, head, m.Paper == "Letter"); err != nil {
			return fmt.Errorf("results.xlsx, sheet %s: %w", pg.name, err)
		}
		sheets[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = pg
	}
	if err := f.Write(io.Discard); err != nil {
		return fmt.Errorf("results.xlsx could not be made: %w", err)
	}
	if err := parts.write(w, sheets); err != nil {
		return fmt.Errorf("results.xlsx could not be made: %w", err)
	}
	return nil
}

// bookParts are the parts of a workbook by name, whose sheets have no rows yet but their
// headings. The library keeps tens of megabytes of each sheet of a large yard until it
// has all of them, and writes them in no order.
type bookParts map[string]*bytes.Buffer

// Create is that of an [excelize.ZipWriter].
func (b bookParts) Create(name string) (io.Writer, error) {
	b[name] = new(bytes.Buffer)
	return b[name], nil
}

// AddFS is not asked of us.
func (b bookParts) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Close has nothing to do.
func (b bookParts) Close() error { return nil }

// write writes the workbook, and the rows of its sheets while they are told.
func (b bookParts) write(to io.Writer, sheets map[string]page) error {
	z := zip.NewWriter(to)
	z.RegisterCompressor(zip.Deflate, packing)
	for _, name := range slices.Sorted(maps.Keys(b)) { // "[Content_Types].xml" comes first in this order, as it should
		w, err := z.Create(name)
		if err != nil {
			return err
		}
		pg, isSheet := sheets[name]
		if !isSheet {
			if _, err := b[name].WriteTo(w); err != nil {
				return err
			}
			continue
		}
		delete(sheets, name)
		before, after, found := bytes.Cut(b[name].Bytes(), []byte(endOfRows))
		if !found {
			return fmt.Errorf("the sheet %s has no rows", pg.name)
		}
		if _, err := w.Write(before); err != nil {
			return err
		}
		if err := pg.writeRows(w); err != nil {
			return err
		}
		if _, err := w.Write(slices.Concat([]byte(endOfRows), after)); err != nil {
			return err
		}
	}
	for _, pg := range sheets {
		return fmt.Errorf("the sheet %s is not where it should be", pg.name)
	}
	return z.Close()
}

const endOfRows = "</sheetData>"

// headerText is t as it may stand in a printed page's header: a sign & starts a
// code there unless it is doubled, and the line holds 255 signs with ours.
func headerText(t string) string {
	r := []rune(plainText(t))
	if len(r) > 100 {
		r = append(r[:99], '…')
	}
	return strings.ReplaceAll(string(r), "&", "&&")
}

// begin makes a sheet as far as its headings: widths and panes first, as the library
// wants it. What it is of, header, is over each printed page. It returns the styles of
// the columns.
func (pg page) begin(f *excelize.File, header string, letter bool) (styles []int, err error) {
	head, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Family: "Calibri", Size: 11}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"},
		Border: []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}}})
	if err != nil {
		return nil, err
	}
	styles = make([]int, len(pg.heads))
	for i, c := range pg.heads {
		st := &excelize.Style{Alignment: &excelize.Alignment{Vertical: "top"}}
		if c.format != "" {
			st.CustomNumFmt = &pg.heads[i].format
		} else {
			st.Alignment.WrapText = true
			if i > 0 { // clear of the number before it
				st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
			}
		}
		if styles[i], err = f.NewStyle(st); err != nil {
			return nil, err
		}
	}
	// Printed, a sheet lies down and is as many pages wide as keep it legible, its
	// head and its first column on each.
	landscape, paper, across, tall, fit := "landscape", 9, 0, 0, true
	if letter {
		paper = 1
	}
	width := 0.0
	for _, c := range pg.heads {
		width += c.width
	}
	across = int(math.Ceil(width / printedWidth))
	if err := f.SetPageLayout(pg.name, &excelize.PageLayoutOptions{Orientation: &landscape, Size: &paper, FitToWidth: &across, FitToHeight: &tall}); err != nil {
		return nil, err
	}
	if err := f.SetHeaderFooter(pg.name, &excelize.HeaderFooterOptions{OddHeader: "&L" + header + "&R" + pg.name + ", &P/&N"}); err != nil {
		return nil, err
	}
	if err := f.SetSheetProps(pg.name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return nil, err
	}
	if err := f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + pg.name + "'!$A:$A,'" + pg.name + "'!$1:$1", Scope: pg.name}); err != nil {
		return nil, err
	}
	w, err := f.NewStreamWriter(pg.name)
	if err != nil {
		return nil, err
	}
	cells, row := make([]excelize.Cell, len(pg.heads)), make([]any, len(pg.heads))
	for i, c := range pg.heads {
		if err := w.SetColWidth(i+1, i+1, c.width); err != nil {
			return nil, err
		}
		cells[i], row[i] = excelize.Cell{StyleID: head, Value: c.head}, &cells[i]
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, XSplit: 1, YSplit: 1, TopLeftCell: "B2", ActivePane: "bottomRight",
		Selection: []excelize.Selection{{SQRef: "B2", ActiveCell: "B2", Pane: "bottomRight"}}}); err != nil {
		return nil, err
	}
	if err := w.SetRow("A1", row, excelize.RowOpts{Height: pg.headHeight()}); err != nil {
		return nil, err
	}
	return styles, w.Flush()
}

// printedWidth is how wide a page lying down may be, in letters: about seven
// tenths of the size on the screen.
const printedWidth = 190

// headHeight is the height of the row of headings, in points, so that none of
// them is cut.
func (pg page) headHeight() float64 {
	most := 1
	for _, c := range pg.heads {
		most = max(most, linesIn(c.head, (c.width-1)/1.1)) // bold letters are wider
	}
	return float64(most)*lineHigh + 3
}

// rowHeight is the height of a row, in points: as many lines as the longest text
// takes in its column. Not every spreadsheet program finds that for itself.
func (pg page) rowHeight(values []any) float64 {
	const tallest = 400 // a row is at most 409 points high
	most := 1
	for i, v := range values {
		if text, ok := v.(string); ok {
			most = max(most, linesIn(text, pg.heads[i].width-1))
		}
	}
	return min(tallest, float64(most)*lineHigh)
}

// lineHigh is the height of a line, in points.
const lineHigh = 15

// linesIn is how many lines a text takes where so many letters are beside each
// other: a column's width is counted in figures, about a letter each.
func linesIn(text string, letters float64) int {
	room := max(1, int(letters))
	if len(text) <= room && !strings.Contains(text, "\n") {
		return 1
	}
	lines := 0
	for part := range strings.SplitSeq(text, "\n") {
		used := 0
		lines++
		for word := range strings.FieldsSeq(part) {
			n := utf8.RuneCountInString(word)
			if used > 0 && used+1+n > room {
				lines, used = lines+1, 0
			} else if used > 0 {
				used++
			}
			used += n
			lines, used = lines+(used-1)/room, (used-1)%room+1 // a word longer than a line
		}
	}
	return lines
}

// inXML says that XML 1.0 has the letter.
func inXML(r rune) bool {
	return r == '\t' || r == '\n' || r >= 0x20 && r != 0xFFFE && r != 0xFFFF
}

// plainText is text a cell may hold: valid, without what XML forbids, no longer
// than a cell takes.
func plainText(s string) string {
	if len(s) <= 32000 && strings.IndexFunc(s, func(r rune) bool { return !inXML(r) || r == utf8.RuneError }) < 0 {
		return s
	}
	out := make([]rune, 0, len(s))
	for _, r := range s {
		if inXML(r) {
			out = append(out, r)
		}
	}
	const most = 32000 // a cell takes 32,767 UTF-16 units
	if len(out) > most/2 {
		out = out[:most/2]
	}
	return string(out)
}

func (s *tables) bookHorses() page {
	pg := page{name: "horses", heads: []bookColumn{
		{"Horse", 18, ""}, {"Card", 9, ""}, {"Body weight (kg)", 9, whole}, {"Weight by", 22, ""}, {"Score (1-9)", 7, tenths}, {"Fitness", 11, ""},
		{"Work class", 12, ""}, {"Work (min a week)", 9, whole}, {"Energy need (Mcal DE a day)", 11, hundreds}, {"Energy supply (Mcal DE a day)", 11, hundreds}, {"Energy supply at least (Mcal DE a day)", 12, hundreds},
		{"Need by class alone (Mcal DE a day)", 12, hundreds}, {"Hard feed now (kg a day)", 10, hundreds}, {"Hard feed planned (kg a day)", 10, hundreds}, {"Hard feed target (kg a day)", 10, hundreds}, {"Hard feed on the card (kg a day)", 10, hundreds},
		{"Rise (kg)", 8, hundreds}, {"Usual limit (kg a week)", 9, hundreds}, {"Top limit (kg a week)", 9, hundreds}, {"Step", 13, ""}, {"Weeks to target", 8, whole},
		{"Forage DM (% of body weight)", 10, hundreds}, {"All DM (% of body weight)", 10, hundreds}, {"Starch, starchiest meal (g per kg)", 10, hundreds},
		{"Water from (l a day)", 9, whole}, {"Water to (l a day)", 9, whole}, {"Sweat (kg a day)", 9, tenths}, {"Why less or no card", 60, ""},
	}}
	pg.rows = func(put func(...any)) {
		for _, h := range s.Plan.Horses {
			why := ""
			for _, t := range words.Why(h) {
				why = words.Join("; ", why, t)
			}
			put(
				h.Horse.Name, string(h.Status), h.WeightKg, s.BasisWord(h.WeightBasis), h.Horse.Score, string(h.Horse.Fitness),
				string(h.WorkClass), words.Num(h.WorkMinutes), h.Energy.Need, h.Energy.Supply, words.Num(h.Energy.SupplyAtLeast),
				h.Energy.ClassNeed, h.HardFeed.Now, h.HardFeed.Planned, h.HardFeed.Target, h.HardFeed.Card,
				h.Step.RiseKg, h.Step.WarnKg, h.Step.StopKg, string(h.Step.Verdict), h.Step.WeeksToTarget,
				h.ForageDMPct, h.DMPct, h.StarchMax, h.WaterLitres.Low, h.WaterLitres.High, h.SweatKg, why,
			)
		}
	}
	return pg
}

func (s *tables) bookRations() page {
	pg := page{name: "rations", heads: []bookColumn{
		{"Horse", 18, ""}, {"Day", 8, ""}, {"Meal", 12, ""}, {"Feed", 24, ""}, {"Class", 11, ""}, {"From", 7, ""},
		{"Amount (kg)", 9, thousand}, {"Amount (ml)", 9, whole}, {"Measures", 11, hundreds}, {"Measure", 11, ""},
		{"On the scale", 9, ""}, {"Ad lib, kg an estimate", 11, ""}, {"Changed", 11, ""}, {"Measure not weighed", 11, ""},
	}}
	pg.rows = func(put func(...any)) {
		for _, h := range s.Plan.Horses {
			for _, v := range h.Servings {
				put(
					h.Horse.Name, string(v.Day), cmp.Or(v.Meal, words.AllDay), v.Feed, string(v.Class), words.Weekday(s.Plan.Week, int(v.From)),
					words.Num(float64(v.Kg)), v.Ml, v.Measures, v.Measure, v.Weigh, v.AdLib, v.Changed, s.Unweighed(v),
				)
			}
		}
	}
	return pg
}

func (s *tables) bookNutrients() page {
	pg := page{name: "nutrients", heads: []bookColumn{
		{"Horse", 18, ""}, {"Nutrient", 16, ""}, {"Unit a day", 8, ""}, {"Need", 10, hundreds}, {"Supply", 10, hundreds}, {"Supply, known part", 10, hundreds}, {"Supply, low end", 10, hundreds}, {"Supply, high end", 10, hundreds},
		{"Supply (% of need)", 10, whole}, {"Limit", 11, hundreds}, {"Source", 95, ""},
	}}
	pg.rows = func(put func(...any)) {
		for _, h := range s.Plan.Horses {
			for _, n := range h.Nutrients {
				pct := yard.Num{}
				if a, ok := n.Supply.Get(); ok && n.Need.Or(0) > 0 {
					pct = words.Num(a / n.Need.Or(1) * 100)
				}
				put(h.Horse.Name, n.Name, n.Unit, n.Need, n.Supply, words.Num(n.AtLeast), n.Between.Low, n.Between.High, pct, n.Limit, words.Join("; ", n.Source, n.LimitSource))
			}
		}
	}
	return pg
}

func (s *tables) bookFindings() page {
	pg := page{name: "findings", heads: []bookColumn{
		{"How serious", 8, ""}, {"Horse", 18, ""}, {"Rule", 12, ""}, {"What was found", 70, ""}, {"Why it matters", 36, ""}, {"What to do", 36, ""},
		{"Sheet", 10, ""}, {"Cell", 7, ""}, {"In the cell", 18, ""}, {"Source", 36, ""},
	}}
	pg.rows = func(put func(...any)) {
		for _, f := range s.Plan.Findings {
			put(f.Severity.String(), f.Horse, string(f.Rule), words.Message(f), words.Said(f.Why), words.Said(f.Next), f.Cell.Sheet, f.Cell.Ref, f.Cell.Text, f.Source)
		}
	}
	return pg
}

func (s *tables) bookOrder() page {
	pg := page{name: "order list", heads: []bookColumn{
		{"Feed", 24, ""}, {"Week (kg)", 10, tenths}, {"Partly an estimate", 9, ""}, {"Packs", 9, tenths}, {"Pack", 9, ""}, {"Pack (kg)", 9, tenths},
		{"Cost of the week", 10, hundreds}, {"Stock lasts (days)", 9, whole}, {"One level measure (kg)", 10, thousand}, {"Not weighed", 9, ""}, {"Composition from", 70, ""},
	}}
	pg.rows = func(put func(...any)) {
		for _, n := range s.Plan.Feeds {
			if n.Grazed {
				continue
			}
			put(n.Feed.Name, words.Num(n.KgWeek), n.Estimated, n.Packs, n.Feed.PackName, n.Feed.PackKg, n.Cost, n.StockDays, n.MeasureKg, n.Unweighed, n.CompFrom)
		}
	}
	return pg
}
