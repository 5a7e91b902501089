package rollover

import (
	"bytes"
	"cmp"
	"math"
	"strconv"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/edit"
)

// result is what a formula comes to after the changes.
type result struct {
	at      at // by the tab's name before
	was, is string
}

// Functions whose value is not a function of the workbook, and those that excelize
// could follow out of it.
var restless = lazily(`(?i)\b(?:TODAY|NOW|RAND|RANDBETWEEN|RANDARRAY|WEBSERVICE|RTD|CALL)\s*\(`)

// mostFormulas is how many are worked out again here; a spreadsheet program does it for
// more when the workbook is opened. Ours.
const mostFormulas = 5_000

// workedOut works the formulas out, before and after the changes, and gives those whose
// saved value is what was worked out before and whose value now is another. names are the
// new names of tabs.
func workedOut(before, after []byte, book *edit.Book, names map[string]string, tab tabs) (out []result, err error) {
	n := 0
	for _, s := range book.Sheets() {
		n += len(book.Formulas(s))
	}
	if n == 0 || n > mostFormulas {
		return nil, nil
	}
	defer func() { // the library panics on some formulas: then a spreadsheet program works them out
		if p := recover(); p != nil {
			out, err = nil, nil
		}
	}()
	was, err := excelize.OpenReader(bytes.NewReader(before))
	if err != nil {
		return nil, nil // it does not open all that the reader does
	}
	defer was.Close()
	is, err := excelize.OpenReader(bytes.NewReader(after))
	if err != nil {
		return nil, nil
	}
	defer is.Close()
	raw := excelize.Options{RawCellValue: true}
	for _, s := range book.Sheets() {
		for _, p := range book.Formulas(s) {
			ref, before := p.Ref(), s
			if s == tab.next && !tab.prepared {
				before = tab.last
			}
			formula, err := was.GetCellFormula(before, ref)
			if err != nil || restless().MatchString(formula) {
				continue
			}
			saved := book.Cell(s, p)
			if saved.Type == "e" || saved.Type == "b" || saved.Value == "" {
				continue
			}
			old, err := was.CalcCellValue(before, ref, raw)
			if err != nil || !alikeValues(old, saved.Value) {
				continue
			}
			now, err := is.CalcCellValue(cmp.Or(names[s], s), ref, raw)
			if err != nil || alikeValues(now, saved.Value) {
				continue
			}
			out = append(out, result{at{s, p}, saved.Value, now})
		}
	}
	return out, nil
}

func alikeValues(a, b string) bool {
	x, err := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	if err == nil && err2 == nil {
		return math.Abs(x-y) <= 1e-9*max(1, math.Abs(x))
	}
	return a == b
}
