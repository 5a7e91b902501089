package ingest

import (
	"archive/zip"
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

const (
	correctionsSheet  = "Corrections" // begins the name of the list's tab in English
	correctionsAuthor = "hardfeed"
	mostCorrections   = 500 // marked in the copy; a list that long is not read to its end
	// Rows and cells of all sheets, empty ones with them: the library reads every
	// sheet to add one in front. The largest yards go without a copy.
	mostCopied = 100_000
	// Bytes of all sheets, unpacked: a large cell takes as long as many small ones.
	mostCopiedBytes = 24 << 20
)

// Corrections returns a copy of a workbook in which every cell that a finding
// of its reading names is coloured and carries a comment, with a list of
// all of them as its first sheet. It returns nil where there is nothing to
// mark. Everything else is left as far as the spreadsheet library can: it drops
// macros, odd header and footer parts, embedded objects, sort marks and links to other
// workbooks and programs: where a formula reached out, its last value stands. The same bytes
// and findings give the same copy. say is what a saying reads in words: reading knows
// no sentences.
//
// The error says why no copy could be made: some workbooks have comments or
// drawings that the library cannot add to, and some have more cells, or more in
// them, than it can read and write in a second or two, see mostCopied.
func Corrections(data []byte, findings []yard.Finding, say func(yard.Saying) string) (out []byte, err error) {
	at, order := map[yard.Cell][]yard.Finding{}, []yard.Cell{}
	for _, f := range findings {
		if f.Cell.Ref == "" || f.Cell.Sheet == "" {
			continue
		}
		k := yard.Cell{Sheet: f.Cell.Sheet, Ref: f.Cell.Ref}
		if at[k] == nil {
			order = append(order, k)
		}
		at[k] = append(at[k], f)
	}
	if len(order) == 0 {
		return nil, nil
	}
	order = order[:min(len(order), mostCorrections)]
	data = xlsx.InUsualPlaces(data)
	if err := tooBigToCopy(data); err != nil {
		return nil, err
	}
	if manyComments(data) {
		return tried(data, order, at, say, nil, false)
	}
	plain, taken, odd, err := withoutComments(data)
	if err != nil {
		return nil, err
	}
	if !odd {
		if out, err = tried(data, order, at, say, nil, true); err == nil {
			return out, nil
		}
	}
	if taken != nil { // taken out, and written anew
		if out, err = tried(plain, order, at, say, taken, true); err == nil {
			return out, nil
		}
	}
	// Form buttons and pictures in headers keep the library from adding
	// comments; the colours and the list still help.
	return tried(data, order, at, say, nil, false)
}

// tooBigToCopy is an error where the sheets hold more than mostCopied rows and
// cells, or more bytes than mostCopiedBytes.
func tooBigToCopy(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	size := uint64(0)
	for _, f := range z.File {
		if xlsx.IsXML(strings.ToLower(f.Name)) {
			size += f.UncompressedSize64
		}
	}
	if size > mostCopiedBytes {
		return unread(yard.Say("part.copy.bytes", yard.Count("most", mostCopiedBytes>>20)))
	}
	n := 0
	if _, err := xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		if xlsx.IsXML(strings.ToLower(name)) {
			n += rowsAndCells(b)
		}
		return b, true
	}); err != nil {
		return err
	}
	if n > mostCopied {
		return unread(yard.Say("part.copy.cells", yard.Count("most", mostCopied)))
	}
	return nil
}

// rowsAndCells counts the elements of a part that are called row or c, whatever
// is before a colon in their names.
func rowsAndCells(part []byte) int {
	n := 0
	for {
		i := bytes.IndexByte(part, '<')
		if i < 0 {
			return n
		}
		part = part[i+1:]
		name := part[:max(0, bytes.IndexAny(part, " \t\r\n/><"))]
		if name = name[bytes.IndexByte(name, ':')+1:]; string(name) == "c" || string(name) == "row" {
			n++
		}
	}
}

// tried is mark, and its panics as errors: the library panics on some workbooks that are
// sound otherwise; see [Read] for the other place where that is caught.
func tried(data []byte, order []yard.Cell, at map[yard.Cell][]yard.Finding, say func(yard.Saying) string, taken []theirs, comments bool) (out []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			out, err = nil, &yard.Trouble{Saying: yard.Say("part.copy.library"), Cause: fmt.Errorf("%v", p)}
		}
	}()
	return mark(data, order, at, say, taken, comments)
}

func mark(data []byte, order []yard.Cell, at map[yard.Cell][]yard.Finding, say func(yard.Saying) string, taken []theirs, comments bool) ([]byte, error) {
	data, err := withStyles(data)
	if err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: xlsx.MaxUnzipped + 1, UnzipXMLSizeLimit: xlsx.MaxUnzipped + 1})
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if err := dropOldList(f, say(yard.Say("corrections.sheet"))); err != nil {
		return nil, err
	}
	m := marker{f: f, styles: map[[2]int]int{}, say: say}
	if comments {
		if err := m.dropOldComments(); err != nil {
			return nil, err
		}
	}
	if err := writeBack(f, taken); err != nil {
		return nil, err
	}
	formulas, err := xlsx.Formulas(data)
	if err != nil {
		return nil, err
	}
	if m.outside, err = takeIn(f, formulas); err != nil {
		return nil, err
	}
	for _, k := range order {
		if err := m.cell(k, at[k], comments); err != nil {
			return nil, fmt.Errorf("%s: %w", k, err)
		}
	}
	if err := m.list(order, at); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	copied := out.Bytes()
	if len(m.outside) > 0 || hasLinks(copied) {
		if copied, err = withoutLinks(copied); err != nil {
			return nil, err
		}
	}
	return withoutMacros(copied)
}

var (
	macroType = []byte("application/vnd.ms-excel.sheet.macroEnabled.main+xml")
	plainType = []byte("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml")
	// What points to the macros in the list of parts and of relations.
	macroEntry = lazily(`<(?:Relationship|Override)[^>]*(?i:vbaProject)[^>]*(?:/>|></(?:Relationship|Override)>)`)
)

// withoutMacros makes a plain .xlsx of a copy of an .xlsm: under that name a
// spreadsheet program would not open it.
func withoutMacros(data []byte) ([]byte, error) {
	return xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		if name == xlsx.TypesPart || name == xlsx.RelsPart {
			b = macroEntry().ReplaceAll(bytes.Replace(b, macroType, plainType, 1), nil)
		}
		return b, !strings.Contains(strings.ToLower(name), "vbaproject")
	})
}

const noStyles = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>
<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="1"><xf/></cellXfs></styleSheet>`

var (
	firstFont = lazily(`(?s)<((?:\w+:)?)font(?:\s*/>|>.*?</(?:\w+:)?font>)`)
	emptyFill = lazily(`<((?:\w+:)?)fill\s*/>`)
)

// withStyles gives a workbook without a list of styles an empty one, without
// which the library cannot colour a cell; and a name to a first font that has none,
// without which it cannot write a comment.
func withStyles(data []byte) ([]byte, error) {
	styled := false
	data, err := xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		if !strings.EqualFold(name, xlsx.StylesPart) {
			return b, true
		}
		styled = true
		if at := firstFont().FindSubmatchIndex(b); at != nil && !bytes.Contains(b[at[0]:at[1]], []byte("name ")) {
			prefix := string(b[at[2]:at[3]])
			font := "<" + prefix + `font><` + prefix + `sz val="11"/><` + prefix + `name val="Calibri"/></` + prefix + "font>"
			b = slices.Concat(b[:at[0]], []byte(font), b[at[1]:])
		}
		return emptyFill().ReplaceAll(b, []byte(`<${1}fill><${1}patternFill patternType="none"/></${1}fill>`)), true
	})
	if err != nil || styled {
		return data, err
	}
	return xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		switch name {
		case xlsx.TypesPart:
			b = bytes.Replace(b, []byte("</Types>"), []byte(`<Override PartName="/`+xlsx.StylesPart+`" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/></Types>`), 1)
		case xlsx.RelsPart:
			b = bytes.Replace(b, []byte("</Relationships>"), []byte(`<Relationship Id="rIdStyles" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`), 1)
		}
		return b, true
	}, xlsx.Part{Name: xlsx.StylesPart, Data: []byte(noStyles)})
}

// dropOldList takes out the list of an earlier copy that was sent back.
func dropOldList(f *excelize.File, tab string) error {
	sheets := f.GetSheetList()
	if len(sheets) < 2 {
		return nil
	}
	for _, s := range sheets {
		if strings.HasPrefix(s, correctionsSheet) || strings.HasPrefix(s, tab) {
			if v, err := f.GetCellValue(s, "A1"); err == nil && isOwnList(v) {
				return f.DeleteSheet(s)
			}
		}
	}
	return nil
}

type marker struct {
	f       *excelize.File
	styles  map[[2]int]int // style of the cell and severity -> the coloured style
	say     func(yard.Saying) string
	outside []outside // formulas of which the copy has the last value only
}

func (m *marker) dropOldComments() error {
	for _, s := range m.f.GetSheetList() {
		cs, err := m.f.GetComments(s)
		if err != nil {
			return err
		}
		for _, c := range cs {
			if c.Author == correctionsAuthor && isMarked(commentText(c)) {
				if err := m.f.DeleteComment(s, c.Cell); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// marked is how a comment begins: it is known again by that in every language, and no
// meaning is in the colour alone.
const marked = "## hardfeed: "

// isMarked says whether a comment is of a copy, also of one made before marked was so.
func isMarked(text string) bool {
	return slices.ContainsFunc([]string{marked, "## WRONG. ", "## WRONG OR DOUBTFUL. ", "## TAKEN LIKE THIS: "}, func(m string) bool { return strings.HasPrefix(text, strings.TrimSpace(m)) })
}

// colours of the three severities: light, so that black text stays readable.
var colours = map[yard.Severity]string{yard.Stop: "F4B6B0", yard.Warn: "FBD9A0", yard.Note: "FFF6B3"}

// meanwhile is what was assumed of a cell by the rule it offends, where the
// finding does not say it.
var meanwhile = map[string]string{
	"cell-date": "corrections.meanwhile.date", "cell-error": "corrections.meanwhile.cell", "cell-number": "corrections.meanwhile.cell", "cell-range": "corrections.meanwhile.cell",
	"cell-unit": "corrections.meanwhile.cell", "cell-word": "corrections.meanwhile.cell", "work-word": "corrections.meanwhile.part of day",
	"work-minutes": "corrections.meanwhile.day in part", "work-time": "corrections.meanwhile.day in part", "work-twice": "corrections.meanwhile.day",
	"diagnosis-word": "corrections.meanwhile.diagnosis",
}

// told is a finding in words, with what was assumed meanwhile.
func (m *marker) told(f yard.Finding) string {
	what := m.say(f.Says())
	key := meanwhile[string(f.Rule)]
	if key == "" {
		return what
	}
	return what + " " + m.say(yard.Say("corrections.meanwhile", yard.Said("what", yard.Say(key)))) + "."
}

func (m *marker) cell(k yard.Cell, fs []yard.Finding, comments bool) error {
	worst := slices.MaxFunc(fs, func(a, b yard.Finding) int { return cmp.Compare(a.Severity, b.Severity) }).Severity
	old, err := m.f.GetCellStyle(k.Sheet, k.Ref)
	if err != nil {
		return err
	}
	style, ok := m.styles[[2]int{old, int(worst)}]
	if !ok {
		st := &excelize.Style{}
		if old != 0 {
			if st, err = m.f.GetStyle(old); err != nil {
				return err
			}
		}
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colours[worst]}}
		if style, err = m.f.NewStyle(st); err != nil {
			return err
		}
		m.styles[[2]int{old, int(worst)}] = style
	}
	if err := m.f.SetCellStyle(k.Sheet, k.Ref, k.Ref, style); err != nil {
		return err
	}
	if !comments {
		return nil
	}
	var lines []string
	for _, f := range fs {
		lines = append(lines, marked+m.say(yard.Say("corrections.mark."+f.Severity.String()))+" "+m.told(f))
	}
	text := strings.Join(lines, "\n")
	cs, err := m.f.GetComments(k.Sheet)
	if err != nil {
		return err
	}
	for _, c := range cs {
		if c.Cell == k.Ref { // theirs stays, below ours
			if text += "\n\n"; c.Author != "" && !strings.HasPrefix(commentText(c), c.Author+":") {
				text += c.Author + ": "
			}
			text += commentText(c)
			if err := m.f.DeleteComment(k.Sheet, k.Ref); err != nil {
				return err
			}
		}
	}
	if r := []rune(text); len(r) > 2000 {
		text = string(r[:2000]) + "…"
	}
	return m.f.AddComment(k.Sheet, excelize.Comment{Cell: k.Ref, Author: correctionsAuthor, Text: text, Width: 320, Height: 70 + uint(len(text)/45)*18})
}

func commentText(c excelize.Comment) string {
	if len(c.Paragraph) == 0 {
		return c.Text
	}
	var b strings.Builder
	b.WriteString(c.Text)
	for _, run := range c.Paragraph {
		b.WriteString(run.Text)
	}
	return b.String()
}

// list writes the first sheet: every marked cell, with a link to it.
func (m *marker) list(order []yard.Cell, at map[yard.Cell][]yard.Finding) error {
	tab := m.say(yard.Say("corrections.sheet"))
	name := tab
	for n := 2; ; n++ {
		if i, err := m.f.GetSheetIndex(name); err != nil {
			return err
		} else if i < 0 {
			break
		}
		name = fmt.Sprintf("%s %d", tab, n)
	}
	if _, err := m.f.NewSheet(name); err != nil {
		return err
	}
	w := listWriter{f: m.f, sheet: name}
	bold := w.style(&excelize.Style{Font: &excelize.Font{Bold: true}})
	link := w.style(&excelize.Style{Font: &excelize.Font{Underline: "single", Color: "1F4E79"}, Alignment: &excelize.Alignment{Vertical: "top"}})
	wrap := w.style(&excelize.Style{Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	w.text("A1", OwnList+m.say(yard.Say("corrections.title")), bold)
	w.text("A2", m.say(yard.Say("corrections.about")), 0)
	for i, h := range []string{"place", "shows", "what", "severity"} {
		w.text(xlsx.RefOf(i+1, 4), m.say(yard.Say("corrections.column."+h)), bold)
	}
	row := 5
	for _, k := range order {
		for _, f := range at[k] {
			place := xlsx.RefOf(1, row)
			w.text(place, k.String(), link)
			w.do(func() error {
				return m.f.SetCellHyperLink(name, place, "'"+strings.ReplaceAll(k.Sheet, "'", "''")+"'!"+k.Ref, "Location")
			})
			w.text(xlsx.RefOf(2, row), f.Cell.Text, wrap)
			message := m.told(f)
			if f.Horse != "" {
				message = f.Horse + ": " + message
			}
			w.text(xlsx.RefOf(3, row), message, wrap)
			w.text(xlsx.RefOf(4, row), m.say(yard.Say("corrections.severity."+f.Severity.String())), wrap)
			// Programs do not make a row higher by themselves for a file they did not write.
			lines := max(len(message)/85, len(f.Cell.Text)/22) + 1
			w.do(func() error { return m.f.SetRowHeight(name, row, min(15*float64(lines), 400)) })
			row++
		}
	}
	for _, o := range m.outside[:min(len(m.outside), mostCorrections)] {
		w.text(xlsx.RefOf(1, row), o.cell.String(), link)
		w.text(xlsx.RefOf(2, row), o.cell.Text, wrap)
		w.text(xlsx.RefOf(3, row), m.say(o.told()), wrap)
		w.text(xlsx.RefOf(4, row), m.say(yard.Say("corrections.severity.note")), wrap)
		row++
	}
	for col, width := range map[string]float64{"A": 22, "B": 24, "C": 90, "D": 22} {
		w.do(func() error { return m.f.SetColWidth(name, col, col, width) })
	}
	wide, tall, fit, landscape := 1, 0, true, "landscape"
	w.do(func() error {
		return m.f.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall})
	})
	w.do(func() error { return m.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}) })
	if w.err != nil {
		return w.err
	}
	for _, s := range m.f.GetSheetList() {
		// The library moves no sheet while another lacks its view.
		if err := m.f.SetSheetView(s, 0, &excelize.ViewOptions{}); err != nil {
			return err
		}
	}
	if first := m.f.GetSheetList()[0]; first != name {
		if err := m.f.MoveSheet(name, first); err != nil {
			return err
		}
	}
	i, err := m.f.GetSheetIndex(name)
	if err != nil {
		return err
	}
	m.f.SetActiveSheet(i)
	return nil
}

// listWriter writes cells until something fails.
type listWriter struct {
	f     *excelize.File
	sheet string
	err   error
}

func (w *listWriter) do(f func() error) {
	if w.err == nil {
		w.err = f()
	}
}

func (w *listWriter) style(s *excelize.Style) (id int) {
	w.do(func() (err error) {
		id, err = w.f.NewStyle(s)
		return err
	})
	return id
}

func (w *listWriter) text(ref, s string, style int) {
	w.do(func() error { return w.f.SetCellStr(w.sheet, ref, s) })
	if style != 0 {
		w.do(func() error { return w.f.SetCellStyle(w.sheet, ref, ref, style) })
	}
}
