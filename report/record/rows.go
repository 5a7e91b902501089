package record

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// rowWriter writes the rows of a sheet under its head straight into the workbook. The
// library keeps every sheet until it writes them all: for ten thousand horses those are
// 260 MB, most of a run's memory.
type rowWriter struct {
	*bufio.Writer
	columns []string // "A"
	formats []string // ` s="3"`, by column
	at      int      // the row last written, from 1
}

func newRowWriter(w *bufio.Writer, styles []int) (*rowWriter, error) {
	r := &rowWriter{Writer: w, at: 1}
	for i, s := range styles {
		name, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return nil, err
		}
		r.columns, r.formats = append(r.columns, name), append(r.formats, ` s="`+strconv.Itoa(s)+`"`)
	}
	return r, nil
}

// row writes the next row, so many points high, as ECMA-376 part 1, 18.3.1 has it. What
// is not known is an empty cell. What goes wrong, the writer below remembers.
func (r *rowWriter) row(high float64, values []any) {
	r.at++
	at := strconv.Itoa(r.at)
	r.all(`<row r="`, at, `" ht="`, strconv.FormatFloat(high, 'f', -1, 64), `" customHeight="1">`)
	for i, v := range values {
		r.all(`<c r="`, r.columns[i], at, `"`, r.formats[i])
		switch v := v.(type) {
		case yard.Num:
			r.number(v)
		case bool:
			if v {
				r.text("yes")
			} else {
				r.WriteString(`>`)
			}
		case string:
			r.text(plainText(v))
		default:
			panic(fmt.Sprintf("no cell holds a %T", v)) // rather than lose it; it becomes an error
		}
		r.WriteString(`</c>`)
	}
	r.WriteString(`</row>`)
}

func (r *rowWriter) all(texts ...string) {
	for _, t := range texts {
		r.WriteString(t)
	}
}

func (r *rowWriter) number(n yard.Num) {
	v, known := n.Get()
	if !known || math.IsNaN(v) || math.IsInf(v, 0) {
		r.WriteString(`>`)
		return
	}
	r.WriteString(`><v>`)
	r.Write(strconv.AppendFloat(r.AvailableBuffer(), words.Num(v).Or(0), 'f', -1, 64))
	r.WriteString(`</v>`)
}

// text is what a cell says. In the cell itself it can start no formula.
func (r *rowWriter) text(t string) {
	if t == "" {
		r.WriteString(`>`)
		return
	}
	r.WriteString(` t="inlineStr"><is><t`)
	if strings.Trim(t, " \t\n") != t {
		r.WriteString(` xml:space="preserve"`)
	}
	r.WriteString(`>`)
	t = escaped(t)
	for i, line := range strings.Split(t, "\n") {
		if i > 0 {
			r.WriteString("\n") // which the library below would write as a number
		}
		if strings.ContainsAny(line, "&<>\"'\t") {
			xml.EscapeText(r, []byte(line))
		} else {
			r.WriteString(line)
		}
	}
	r.WriteString(`</t></is>`)
}

// escaped is t where what looks like an escaped letter (_x0041_) is not to be read as
// one: ECMA-376 part 1, 22.9.2.19.
func escaped(t string) string {
	if !strings.Contains(t, "_x") {
		return t
	}
	var b strings.Builder
	for i := range len(t) {
		b.WriteByte(t[i])
		if t[i] == '_' && i+7 <= len(t) && t[i+1] == 'x' && t[i+6] == '_' && strings.Trim(t[i+2:i+6], "0123456789ABCDEFabcdef") == "" {
			b.WriteString("x005F_")
		}
	}
	return b.String()
}
