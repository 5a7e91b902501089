package record

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// writeRows writes the rows below the headings, as sheets hold them (ECMA-376, 18.3.1.73).
func (pg page) writeRows(w io.Writer) error {
	columns := make([]string, len(pg.heads))
	for i := range columns {
		var err error
		if columns[i], err = excelize.ColumnNumberToName(i + 1); err != nil {
			return err
		}
	}
	out := bufio.NewWriter(w) // which keeps the first error to its end
	var b []byte
	at := 1
	pg.rows(func(values ...any) {
		at++
		b = strconv.AppendInt(append(b[:0], `<row r="`...), int64(at), 10)
		b = strconv.AppendFloat(append(b, `" ht="`...), pg.rowHeight(values), 'f', -1, 64)
		b = append(b, `" customHeight="1">`...)
		for i, v := range values {
			b = append(append(b, `<c r="`...), columns[i]...)
			b = strconv.AppendInt(b, int64(at), 10)
			b = strconv.AppendInt(append(b, `" s="`...), int64(pg.styles[i]), 10)
			b = appendValue(b, v)
		}
		out.Write(append(b, `</row>`...))
	})
	return out.Flush()
}

// appendValue ends a cell with a number, a text, or nothing where a number is not known
// or no text is.
func appendValue(b []byte, v any) []byte {
	text := ""
	switch v := v.(type) {
	case yard.Num:
		if n, ok := v.Get(); ok && !math.IsNaN(n) && !math.IsInf(n, 0) {
			b = strconv.AppendFloat(append(b, `"><v>`...), words.Num(n).Or(0), 'f', -1, 64)
			return append(b, `</v></c>`...)
		}
	case string:
		text = plainText(v)
	case bool:
		if v {
			text = "yes"
		}
	}
	if text == "" {
		return append(b, `"></c>`...)
	}
	b = append(b, `" t="inlineStr"><is><t`...)
	if strings.Trim(text, "\t\n\r ") != text {
		b = append(b, ` xml:space="preserve"`...)
	}
	b = appendText(append(b, '>'), text)
	return append(b, `</t></is></c>`...)
}

// appendText appends text as it stands in a cell. What looks like a letter written by its
// number (ECMA-376, 22.9.2.19: _x0041_ is an A) begins with an underscore so written.
func appendText(b []byte, text string) []byte {
	if strings.IndexFunc(text, func(r rune) bool { return r < ' ' || strings.ContainsRune(`&<>"'_`, r) }) < 0 {
		return append(b, text...)
	}
	var escaped bytes.Buffer
	xml.EscapeText(&escaped, []byte(text)) // into memory, which does not fail
	text = strings.ReplaceAll(escaped.String(), "&#xA;", "\n")
	for i := range len(text) {
		if isLetterByNumber(text[i:]) {
			b = append(b, "_x005F"...)
		}
		b = append(b, text[i])
	}
	return b
}

func isLetterByNumber(s string) bool {
	if len(s) < 7 || s[:2] != "_x" || s[6] != '_' {
		return false
	}
	_, err := strconv.ParseUint(s[2:6], 16, 16)
	return err == nil
}
