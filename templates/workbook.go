package templates

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/csv"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

//go:embed settings.yaml
var settings string

// Settings is the settings file with every key at its default, each explained.
func Settings() string { return settings }

//go:embed headings/*.yaml
var headings embed.FS

// Headings is the settings file with the headings of a workbook in another
// language, by its ISO 639 code: one of [HeadingLanguages].
//
// The words of the columns that any workbook may have are those of the package words, after the
// file's own: a word of the file for another column stays that column's.
func Headings(code string) ([]byte, error) {
	file, err := headings.ReadFile("headings/" + code + ".yaml")
	if err != nil {
		return nil, err
	}
	said := map[string]bool{}
	for _, m := range synonym.FindAllSubmatch(file, -1) {
		said[strings.ToLower(string(m[1]))] = true
	}
	heads := linesOf("words/heads/" + code + ".txt")
	for _, fact := range linesOf("words/heads/facts.txt") {
		for _, head := range heads {
			if head[0] != fact[1] {
				continue
			}
			for w := range strings.SplitSeq(head[1], "|") {
				if w = strings.TrimSpace(w); !said[w] {
					said[w] = true
					file = fmt.Appendf(file, "  - {column: %s, word: %q}\n", fact[0], w)
				}
			}
		}
	}
	return file, nil
}

//go:embed words/heads/*.txt
var headWords embed.FS

// linesOf are the lines of a file of words for headings, each as its key and what it says.
func linesOf(name string) (all [][2]string) {
	text, err := headWords.ReadFile(name)
	if err != nil {
		panic(err) // it is embedded, one for each language
	}
	for line := range strings.Lines(string(text)) {
		if key, list, ok := strings.Cut(strings.TrimSpace(line), ":"); ok && line[0] != '#' {
			all = append(all, [2]string{key, strings.TrimSpace(list)})
		}
	}
	return all
}

// synonym is a line of such a file, with its word.
var synonym = regexp.MustCompile(`word: "?([^"}]+)"?\}`)

// HeadingLanguages are the languages there are headings for, beside English.
func HeadingLanguages() []string {
	files, _ := fs.Glob(headings, "headings/*.yaml")
	var codes []string
	for _, f := range files {
		codes = append(codes, strings.TrimSuffix(path.Base(f), ".yaml"))
	}
	return codes
}

//go:embed mail/subject.txt
var mailSubject string

//go:embed mail/text.txt
var mailText string

// MailSubject is the subject of the mail to the weekend staff, as text/template.
func MailSubject() string { return mailSubject }

// MailText is the text of that mail, as text/template.
func MailText() string { return mailText }

//go:embed demo/*.csv starter/*.csv columns.csv
var tables embed.FS

// sheetOrder is the order of the tabs: the sheets filled in every week first.
var sheetOrder = [...]string{"horses", "work", "rations", "feeds", "sessions", "yard"}

// Starter returns a workbook to begin with: two example horses, drop-down
// lists, and a note on every heading that needs one.
func Starter() ([]byte, error) { return embedded("starter") }

// starterWeek is the week the starter's tables are of.
var starterWeek = time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)

// StarterOf is the starter for a week of its own: all its dates lie as long before
// that week as they lie before the starter's.
func StarterOf(monday time.Time) ([]byte, error) {
	sheets, err := sheetsOf("starter")
	if err != nil {
		return nil, err
	}
	for _, s := range sheets {
		for _, row := range s.Rows {
			for c, text := range row {
				if day, err := time.Parse(time.DateOnly, text); err == nil {
					row[c] = monday.Add(day.Sub(starterWeek)).Format(time.DateOnly)
				}
			}
		}
	}
	return Workbook(sheets)
}

// Demo returns the workbook of Cold Brook Yard, week beginning 30 November 2026.
func Demo() ([]byte, error) { return embedded("demo") }

// Sheet is one tab: its name and its rows, the headings first.
type Sheet struct {
	Name string
	Rows [][]string
}

func embedded(folder string) ([]byte, error) {
	sheets, err := sheetsOf(folder)
	if err != nil {
		return nil, err
	}
	return Workbook(sheets)
}

func sheetsOf(folder string) ([]Sheet, error) {
	var sheets []Sheet
	for _, name := range sheetOrder {
		rows, err := table(path.Join(folder, name+".csv"))
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, Sheet{name, rows})
	}
	return sheets, nil
}

func table(name string) ([][]string, error) {
	data, err := tables.ReadFile(name)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("templates: %s: %w", name, err)
	}
	return rows, nil
}

// column is what columns.csv says of one heading.
type column struct {
	width   float64
	choices []string
	note    string
}

func columns() (map[[2]string]column, error) {
	rows, err := table("columns.csv")
	if err != nil {
		return nil, err
	}
	cols := map[[2]string]column{}
	for _, r := range rows[1:] {
		w, err := strconv.ParseFloat(r[2], 64)
		if err != nil {
			return nil, fmt.Errorf("templates: columns.csv: width of %s, %s: %w", r[0], r[1], err)
		}
		c := column{width: w, note: r[4]}
		if r[3] != "" {
			c.choices = strings.Split(r[3], "|")
		}
		cols[[2]string{r[0], r[1]}] = c
	}
	return cols, nil
}

// emptyRows is how many rows below the last one keep drop-down lists and the
// date format, for a yard that is still growing.
const emptyRows = 60

// Workbook writes the sheets as an .xlsx: numbers as numbers, dates written
// 2026-11-30 as dates, all else as text. Headings known from the starter get
// their width, note and drop-down list. The same sheets give the same bytes.
func Workbook(sheets []Sheet) (_ []byte, err error) {
	cols, err := columns()
	if err != nil {
		return nil, err
	}
	f := excelize.NewFile()
	defer f.Close()
	// The dates in the file are those of the demo week, never the clock's.
	const made = "2026-11-30T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "hardfeed", LastModifiedBy: "hardfeed", Created: made, Modified: made}); err != nil {
		return nil, err
	}
	head, err := f.NewStyle(&excelize.Style{
		Font:      &excelize.Font{Bold: true},
		Fill:      excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E7E6E0"}},
		Border:    []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "center"},
	})
	if err != nil {
		return nil, err
	}
	// A month in letters cannot be misread, whichever country opens it.
	asDate := "d mmm yyyy"
	date, err := f.NewStyle(&excelize.Style{CustomNumFmt: &asDate, Alignment: &excelize.Alignment{Horizontal: "left"}})
	if err != nil {
		return nil, err
	}
	for i, s := range sheets {
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err != nil {
			return nil, err
		}
		if err := writeSheet(f, s, cols, head, date); err != nil {
			return nil, fmt.Errorf("templates: sheet %s: %w", s.Name, err)
		}
	}
	if err := addNameLists(f, sheets); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func writeSheet(f *excelize.File, s Sheet, cols map[[2]string]column, head, date int) error {
	for r, row := range s.Rows {
		for c, text := range row {
			cell, err := excelize.CoordinatesToCellName(c+1, r+1)
			if err != nil {
				return err
			}
			if err := writeCell(f, s.Name, cell, text, date); err != nil {
				return err
			}
		}
	}
	if len(s.Rows) == 0 {
		return nil
	}
	last := len(s.Rows) + emptyRows
	for c, heading := range s.Rows[0] {
		letter, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		col := cols[[2]string{s.Name, heading}]
		if err := f.SetColWidth(s.Name, letter, letter, cmp.Or(col.width, 14)); err != nil {
			return err
		}
		if err := f.SetCellStyle(s.Name, letter+"1", letter+"1", head); err != nil {
			return err
		}
		if isDateHeading(heading) {
			if err := f.SetCellStyle(s.Name, letter+"2", fmt.Sprint(letter, last), date); err != nil {
				return err
			}
		}
		if col.note != "" {
			// excelize sizes no box by its text; these fit the longest note.
			err := f.AddComment(s.Name, excelize.Comment{Cell: letter + "1", Author: "hardfeed", Text: col.note,
				Width: 320, Height: 60 + uint(len(col.note)/45)*18})
			if err != nil {
				return err
			}
		}
		if col.choices != nil {
			if err := addList(f, s.Name, fmt.Sprintf("%s2:%s%d", letter, letter, last), col.choices); err != nil {
				return err
			}
		}
	}
	if s.Name == "yard" {
		if err := addYardLists(f, s); err != nil {
			return err
		}
	}
	if err := f.SetRowHeight(s.Name, 1, 32); err != nil { // two lines: "How weighed"
		return err
	}
	// Printed, a sheet is as wide as one page lying down.
	landscape, wide, tall, fit := "landscape", 1, 0, true
	if err := f.SetPageLayout(s.Name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall}); err != nil {
		return err
	}
	if err := f.SetSheetProps(s.Name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	return f.SetPanes(s.Name, &excelize.Panes{Freeze: true, XSplit: 1, YSplit: 1, TopLeftCell: "B2", ActivePane: "bottomRight",
		Selection: []excelize.Selection{{SQRef: "B2", ActiveCell: "B2", Pane: "bottomRight"}}})
}

func isDateHeading(h string) bool {
	return h == "Date weighed" || h == "Weighed on" || h == "Batch since"
}

// writeCell types a cell by how it is written. A leading apostrophe keeps a
// number as text, as it does in a spreadsheet program.
func writeCell(f *excelize.File, sheet, cell, text string, date int) error {
	if text == "" {
		return nil
	}
	if rest, ok := strings.CutPrefix(text, "'"); ok {
		return f.SetCellStr(sheet, cell, rest)
	}
	if n, err := strconv.ParseFloat(text, 64); err == nil && strings.Trim(text, "0123456789.-") == "" {
		return f.SetCellFloat(sheet, cell, n, -1, 64)
	}
	if t, err := time.Parse(time.DateOnly, text); err == nil {
		if err := f.SetCellValue(sheet, cell, t); err != nil {
			return err
		}
		return f.SetCellStyle(sheet, cell, cell, date)
	}
	return f.SetCellStr(sheet, cell, text)
}

// addList offers choices; anything else may still be typed, because the
// workbook is the yard's own.
func addList(f *excelize.File, sheet, cells string, choices []string) error {
	dv := excelize.NewDataValidation(true)
	dv.Sqref = cells
	if err := dv.SetDropList(choices); err != nil {
		return err
	}
	dv.SetError(excelize.DataValidationErrorStyleInformation, "Not on the list",
		"Usual here: "+strings.Join(choices, ", ")+".")
	return f.AddDataValidation(sheet, dv)
}

// nameLists says in which columns the names of another sheet's first column are offered.
var nameLists = []struct{ sheet, heading, from string }{
	{"work", "Horse", "horses"},
	{"rations", "Horse", "horses"},
	{"rations", "Feed", "feeds"},
	{"weights", "Horse", "horses"},
}

// addNameLists offers the names of the horses and the feeds as they are on their
// sheets, with room for more; anything else may still be typed.
func addNameLists(f *excelize.File, sheets []Sheet) error {
	rows := map[string]int{}
	for _, s := range sheets {
		rows[s.Name] = len(s.Rows)
	}
	for _, l := range nameLists {
		for _, s := range sheets {
			if s.Name != l.sheet || len(s.Rows) == 0 || rows[l.from] == 0 {
				continue
			}
			for c, heading := range s.Rows[0] {
				if heading != l.heading {
					continue
				}
				letter, err := excelize.ColumnNumberToName(c + 1)
				if err != nil {
					return err
				}
				dv := excelize.NewDataValidation(true)
				dv.Sqref = fmt.Sprintf("%s2:%s%d", letter, letter, len(s.Rows)+emptyRows)
				dv.SetSqrefDropList(fmt.Sprintf("%s!$A$2:$A$%d", l.from, rows[l.from]+emptyRows))
				dv.SetError(excelize.DataValidationErrorStyleInformation, "Not on the list", "Write the name as it is on the sheet "+l.from+".")
				if err := f.AddDataValidation(s.Name, dv); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func addYardLists(f *excelize.File, s Sheet) error {
	choices := map[string][]string{"Units": {"metric", "imperial"}, "Paper": {"A4", "Letter"}}
	for r, row := range s.Rows {
		if c := choices[row[0]]; c != nil {
			if err := addList(f, s.Name, fmt.Sprintf("B%d", r+1), c); err != nil {
				return err
			}
		}
	}
	return nil
}
