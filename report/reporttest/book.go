package reporttest

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"
)

// Opened is a workbook read back.
func Opened(t testing.TB, b []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// Raw is a cell as it is in the file.
func Raw(t testing.TB, f *excelize.File, sheet string, col, row int) string {
	t.Helper()
	ref, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		t.Fatal(err)
	}
	v, err := f.GetCellValue(sheet, ref, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}
