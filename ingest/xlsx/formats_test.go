package xlsx

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"hardfeed/report/words"
)

// A number is asked for once in each style, and no more numbers than the library
// can show in good time.
func TestNumbersInTheirOwnFormats(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for col, code := range []string{"000", `0.0" kg"`, "0.0%", "#,##0.00;(#,##0.00)", "0.00E+00", `[>100]"many";0`, "# ?/?"} {
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
		for i, v := range []float64{7, 7, -1234.5678, 0.125, 1e20} {
			if err != nil {
				break
			}
			ref := RefOf(col+1, i+1)
			if err = f.SetCellValue("Sheet1", ref, v); err == nil {
				err = f.SetCellStyle("Sheet1", ref, ref, style)
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var book bytes.Buffer
	if err := f.Write(&book); err != nil {
		t.Fatal(err)
	}
	data := book.Bytes()
	s, err := preflight(data)
	if err != nil {
		t.Fatal(err)
	}
	sheets, err := readSheets(s)
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	for _, r := range sheets[0].Rows {
		for _, c := range r.Cells {
			shown = append(shown, c.Shown+" as "+c.Format)
			if want, err := f.GetCellValue("Sheet1", RefOf(c.Col, c.Row)); err != nil || c.Shown != strings.TrimSpace(want) {
				t.Errorf("%s is shown as %q, by the library as %q (%v)", RefOf(c.Col, c.Row), c.Shown, want, err)
			}
		}
	}
	if got := strings.Join(shown[:2], "|"); got != `007 as 000|7.0 kg as 0.0" kg"` {
		t.Errorf("shown as %s", got)
	}
	s.ownFormats = mostFormatted * usualFormats / 10
	if _, err := readSheets(s); err == nil || !strings.Contains(words.Told(err), "formats of its own") {
		t.Errorf("more formats than can be gone through: %v", err)
	}
	s.ownFormats = 7
	for i := range mostFormatted { // beside the two that are there
		s.sheets[0].cells = append(s.sheets[0].cells, scannedCell{row: 10 + i, col: 1, style: 1, value: fmt.Sprint(10 + i), hasValue: true})
	}
	if _, err := readSheets(s); err == nil || !strings.Contains(words.Told(err), "different numbers") {
		t.Errorf("more numbers than can be asked for: %v", err)
	}
}

func TestNumberFormats(t *testing.T) {
	for code, want := range map[string]format{"#14": dateFormat, "#46": elapsedFormat, "#20": clockFormat, "#10": percentFormat, "#2": plainFormat, "yyyy-mm-dd": dateFormat, "dd/mm/yy": dateFormat, "[$-809]d mmmm yyyy": dateFormat, "hh:mm": clockFormat, "[h]:mm": elapsedFormat, `0.0" kg"`: plainFormat, "0%": percentFormat, "General": plainFormat,
		`0"d"`: plainFormat, "[Red]0.00": plainFormat, "mmm yy": dateFormat, "#,##0.00": plainFormat, `\d0`: plainFormat} {
		if got := formatOf(code); got != want {
			t.Errorf("%q is format %d, want %d", code, got, want)
		}
	}
}

// No format code stops the reader, whatever it is.
func TestAnyFormatCode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { formatOf(rapid.String().Draw(t, "code")) })
}
