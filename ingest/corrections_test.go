package ingest

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// faulty is a yard with a slip of nearly every sort.
func faulty() []tab {
	y := plainYard()
	y[1].text = "Name | Body wieght (kg) | Age | Score\nBramble | 5200 | 9 | 5\nOtter | 300 | 14 | six\nQuill | 610 | 6 | 5.5"
	y[2].text = strings.Replace(y[2].text, "hack 45", "hakc 45", 1)
	y[4].text = strings.Replace(y[4].text, "Quill | Chaff | '1 scoop", "Quil | Chaff | '1 scopp", 1)
	return y
}

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func corrected(t *testing.T, data []byte) ([]byte, yard.Week) {
	t.Helper()
	w, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	out, err := Corrections(data, w.Findings, words.AsWritten)
	if err != nil {
		t.Fatal(err)
	}
	return out, w
}

func TestEveryDoubtfulCellIsMarkedInTheCopy(t *testing.T) {
	data := workbook(t, faulty()...)
	out, w := corrected(t, data)
	f := opened(t, out)
	list, err := f.GetRows(f.GetSheetList()[0])
	if err != nil || !strings.HasPrefix(list[0][0], OwnList) {
		t.Fatalf("the first sheet is %v, %v", list, err)
	}
	told := 0
	for _, x := range w.Findings {
		if x.Cell.Ref == "" {
			continue
		}
		told++
		place := x.Cell.Sheet + "!" + x.Cell.Ref
		if !slices.ContainsFunc(list, func(r []string) bool { return len(r) > 2 && r[0] == place && strings.Contains(r[2], words.Message(x)) }) {
			t.Errorf("%s is not on the list: %s", place, words.Message(x))
		}
		cs, err := f.GetComments(x.Cell.Sheet)
		if err != nil || !slices.ContainsFunc(cs, func(c excelize.Comment) bool {
			return c.Cell == x.Cell.Ref && strings.Contains(commentText(c), words.Message(x))
		}) {
			t.Errorf("%s carries no comment with %q (%v)", place, words.Message(x), err)
		}
		id, err := f.GetCellStyle(x.Cell.Sheet, x.Cell.Ref)
		if err != nil {
			t.Fatal(err)
		}
		if st, err := f.GetStyle(id); err != nil || len(st.Fill.Color) == 0 {
			t.Errorf("%s is not coloured", place)
		}
	}
	if told != 5 {
		t.Errorf("%d findings stand on a cell; the yard has five faults", told)
	}
	for i, r := range list {
		if i < 4 || len(r) == 0 {
			continue
		}
		if ok, to, err := f.GetCellHyperLink(f.GetSheetList()[0], xlsx.RefOf(1, i+1)); !ok || err != nil || strings.ReplaceAll(to, "'", "") != r[0] {
			t.Errorf("row %d of the list points to %q, %v", i+1, to, err)
		}
	}
}

// What the copy says is what the workbook says, cell by cell, and read again it
// gives the same week and the same findings.
func TestTheCopySaysWhatTheWorkbookSays(t *testing.T) {
	data := workbook(t, faulty()...)
	f := opened(t, data)
	for _, err := range []error{f.SetCellFormula("Horses", "F2", "B2*2"), f.SetColWidth("Horses", "A", "A", 31), f.AddComment("Horses", excelize.Comment{Cell: "B2", Author: "Hattie", Text: "ask the vet"}),
		f.SetPanes("Horses", &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	var buf bytes.Buffer
	if err := f.Write(&buf); err != nil {
		t.Fatal(err)
	}
	// The library keeps no value of a formula; a program that saves does.
	data = buf.Bytes()
	out, w := corrected(t, data)
	before, after := opened(t, data), opened(t, out)
	for _, s := range before.GetSheetList() {
		old, _ := before.GetRows(s)
		now, _ := after.GetRows(s)
		if len(old) != len(now) {
			t.Fatalf("%s had %d rows and has %d", s, len(old), len(now))
		}
		for i := range old {
			if !slices.Equal(old[i], now[i]) {
				t.Errorf("%s, row %d was %q and is %q", s, i+1, old[i], now[i])
			}
		}
	}
	if x, _ := after.GetCellFormula("Horses", "F2"); x != "B2*2" {
		t.Errorf("the formula is %q", x)
	}
	if x, _ := after.GetColWidth("Horses", "A"); x != 31 {
		t.Errorf("the column is %v wide", x)
	}
	if p, _ := after.GetPanes("Horses"); !p.Freeze || p.YSplit != 1 {
		t.Errorf("the panes are %+v", p)
	}
	cs, _ := after.GetComments("Horses")
	if !slices.ContainsFunc(cs, func(c excelize.Comment) bool {
		return c.Cell == "B2" && strings.Contains(commentText(c), "ask the vet")
	}) {
		t.Error("the yard's own comment is gone")
	}
	again, err := Read("week.xlsx", out, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if gist(again) != gist(w) || again.Read != w.Read {
		t.Errorf("the copy reads as\n%s\n%v\nand the workbook as\n%s\n%v", gist(again), again.Read, gist(w), w.Read)
	}
	if !slices.Equal(rulesAndCells(again), rulesAndCells(w)) {
		t.Errorf("the copy's findings are %v, the workbook's %v", rulesAndCells(again), rulesAndCells(w))
	}
	// Sent back untouched, the copy is marked once, not twice.
	twice, err := Corrections(out, again.Findings, words.AsWritten)
	if err != nil {
		t.Fatal(err)
	}
	f = opened(t, twice)
	lists := 0
	for _, s := range f.GetSheetList() {
		if v, _ := f.GetCellValue(s, "A1"); isOwnList(v) {
			lists++
		}
		cs, _ := f.GetComments(s)
		seen := map[string]bool{}
		for _, c := range cs {
			if seen[c.Cell] || strings.Count(commentText(c), "## ") > strings.Count(commentText(c), "\n")+1 {
				t.Errorf("%s!%s is commented twice: %s", s, c.Cell, commentText(c))
			}
			seen[c.Cell] = true
		}
	}
	if lists != 1 {
		t.Errorf("%d lists of corrections", lists)
	}
}

func rulesAndCells(w yard.Week) []string {
	var all []string
	for _, f := range w.Findings {
		all = append(all, string(f.Rule)+" "+f.Cell.String())
	}
	return all
}

func TestACorrectedCopyReadsClean(t *testing.T) {
	out, _ := corrected(t, workbook(t, faulty()...))
	f := opened(t, out)
	for _, c := range []struct {
		sheet, ref string
		value      any
	}{{"Horses", "B1", "Weight (kg)"}, {"Horses", "B2", 520}, {"Horses", "D3", 6}, {"Work", "F2", "hack 45"}, {"Rations", "A7", "Quill"}, {"Rations", "C7", "1 scoop"}} {
		if err := f.SetCellValue(c.sheet, c.ref, c.value); err != nil {
			t.Fatal(err)
		}
	}
	var buf bytes.Buffer
	if err := f.Write(&buf); err != nil {
		t.Fatal(err)
	}
	w, err := Read("week.xlsx", buf.Bytes(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range w.Findings {
		if x.Rule == "cells-missing" {
			continue // the library the test corrects with keeps the texts it replaced
		}
		t.Errorf("still found: %s %s %s", x.Rule, x.Cell, words.Message(x))
	}
	if want := gist(read(t, plainYard()...)); gist(w) != want {
		t.Errorf("the corrected copy reads as\n%s\nwant\n%s", gist(w), want)
	}
	if out, err := Corrections(buf.Bytes(), w.Findings, words.AsWritten); out != nil || err != nil {
		t.Errorf("a workbook without a doubtful cell gets a copy of %d bytes, %v", len(out), err)
	}
}

func TestTheSameCopyEveryTime(t *testing.T) {
	data := workbook(t, faulty()...)
	first, _ := corrected(t, data)
	for range 5 {
		if again, _ := corrected(t, data); !bytes.Equal(again, first) {
			t.Fatal("two copies of one workbook differ")
		}
	}
}

// Workbooks of other programs come through with all they hold of the week, and
// an .xlsm becomes a workbook that opens under the copy's name, without its macros.
func TestCopiesOfOtherProgramsWorkbooks(t *testing.T) {
	files, err := filepath.Glob("../testdata/workbooks/*.xls[xm]")
	if err != nil || len(files) < 15 {
		t.Fatalf("%d workbooks, %v", len(files), err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(path, ".xlsm") {
			data = withMacro(t, data)
		}
		opt := Options{Synonyms: map[string][]string{"horse": {"Pferd", "Cheval", "Caballo"}, "weight": {"Gewicht", "Poids", "Peso"}}}
		w, err := Read(path, data, opt)
		if err != nil {
			t.Fatal(err)
		}
		at := w.Horses[0].Cell
		if at.Ref == "" {
			at.Ref = "A1"
		}
		out, err := Corrections(data, []yard.Finding{{Rule: "x", Severity: yard.Warn, Cell: at, Message: "doubtful"}}, words.AsWritten)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		again, err := Read(path, out, opt)
		if err != nil || gist(again) != gist(w) {
			t.Errorf("%s: the copy reads otherwise than the workbook (%v)", path, err)
		}
		if bytes.Contains(typesOf(t, out), []byte("macroEnabled")) || bytes.Contains(bytes.ToLower(typesOf(t, out)), []byte("vbaproject.bin")) {
			t.Errorf("%s: the copy is still a workbook with macros: %s", path, typesOf(t, out))
		}
	}
}

func typesOf(t *testing.T, data []byte) []byte {
	t.Helper()
	for _, p := range partsOf(t, data) {
		if p.name == "[Content_Types].xml" {
			return p.data
		}
	}
	t.Fatal("no list of the parts")
	return nil
}

// withMacro adds what a program writes for macros to an .xlsm.
func withMacro(t *testing.T, data []byte) []byte {
	t.Helper()
	parts := partsOf(t, data)
	for i, p := range parts {
		switch p.name {
		case "[Content_Types].xml":
			parts[i].data = bytes.Replace(p.data, []byte("</Types>"), []byte(`<Override PartName="/xl/vbaProject.bin" ContentType="application/vnd.ms-office.vbaProject"/></Types>`), 1)
		case "xl/_rels/workbook.xml.rels":
			parts[i].data = bytes.Replace(p.data, []byte("</Relationships>"), []byte(`<Relationship Id="rId99" Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject" Target="vbaProject.bin"/></Relationships>`), 1)
		}
	}
	return rawZip(t, append(parts, rawPart{name: "xl/vbaProject.bin", data: []byte("macros")})...)
}

// The library takes seconds over the largest workbooks: they get no copy, and are
// told so.
func TestNoCopyOfTheLargestWorkbooks(t *testing.T) {
	good := workbook(t, tab{"Horses", "Name | Weight\nAsh | 9999"})
	sheet := func(cells int) []byte {
		var b strings.Builder
		for i := range (cells - 6) / 2 {
			n := xlsx.RefOf(1, i+3)
			b.WriteString(`<row r="` + n[1:] + `"><c r="` + n + `" s="0"/></row>`)
		}
		return rezip(t, good, func(name string, part []byte) []byte {
			return bytes.Replace(part, []byte("</sheetData>"), []byte(b.String()+"</sheetData>"), 1)
		})
	}
	for cells, copied := range map[int]bool{1_000: true, mostCopied: true, mostCopied + 2: false} {
		data := sheet(cells)
		w, err := Read("week.xlsx", data, Options{})
		if err != nil || len(w.Horses) != 1 {
			t.Fatal(err)
		}
		out, err := Corrections(data, w.Findings, words.AsWritten)
		if copied != (err == nil && len(out) > 0) || !copied && !strings.Contains(words.Told(err), "more than 100000 cells") {
			t.Errorf("%d cells: %d bytes, %v", cells, len(out), err)
		}
	}
}

func TestNoCopyOfTheLongestTexts(t *testing.T) {
	for texts, copied := range map[int]bool{10: true, mostCopiedBytes/32_000 + 10: false} {
		var rows strings.Builder
		rows.WriteString("Name | Weight | Notes\nAsh | 9999 |")
		for i := range texts { // each another, since a text stands but once in a workbook
			fmt.Fprintf(&rows, "\n | | %04d %s", i, strings.Repeat("long ", 6_399))
		}
		data := workbook(t, tab{"Horses", rows.String()})
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		out, err := Corrections(data, w.Findings, words.AsWritten)
		if copied != (err == nil && len(out) > 0) || !copied && !strings.Contains(words.Told(err), "more than 24 MB") {
			t.Errorf("%d texts: %d bytes, %v", texts, len(out), err)
		}
	}
}

func TestRowsAndCellsAreCounted(t *testing.T) {
	for part, want := range map[string]int{
		"": 0, "<": 0, "<c": 0, "<<c>": 1, `<cols><col min="1"/></cols>`: 0,
		`<row r="1"><c r="A1"/><c><v>1</v></c></row>`:                                    3,
		"<x:row><x:c\tr='A1'/></x:row>":                                                  2,
		"<a-very-long-word-before-the-colon-of-a-name-in-a-sheet-that-somebody-made:c/>": 1,
	} {
		if n := rowsAndCells([]byte(part)); n != want {
			t.Errorf("%s: %d, want %d", part, n, want)
		}
	}
}

// The list of an earlier copy is known in every language, and so are those of the releases
// before, which had one title each.
func TestOurOwnListsAreKnown(t *testing.T) {
	for first, want := range map[string]bool{
		OwnList + "cells to put right": true, OwnList + "komórki do poprawienia": true, "What hardfeed could not take as it stood": true,
		"Moved on a week: what hardfeed changed": true, "Hardfeed": false, "Horse": false, "": false,
	} {
		if isOwnList(first) != want {
			t.Errorf("%q is a list of ours: %v", first, !want)
		}
	}
}
