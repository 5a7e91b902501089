package ingest

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func TestReachesOut(t *testing.T) {
	for formula, want := range map[string]bool{
		"[1]Prices!A1":                     true,
		"'[Prices 2026.xlsx]May'!$B$2*2":   true,
		`'C:\yard\[Prices.xlsx]May'!B2`:    true,
		"'https://host/[p.xlsx]S'!A1":      true,
		"[1]!Total":                        true,
		"SUM([2]Sheet1!A1:A9)":             true,
		"cmd|'/c calc'!A0":                 true,
		"Reuters|GBP!LAST":                 true,
		"DDE(\"soffice\";\"a.ods\";\"x\")": true,
		"WEBSERVICE(\"https://host\")":     true,
		"_xlfn.WEBSERVICE(A1)":             true,
		"IF(A1>0,RTD(\"x\",,\"y\"),0)":     true,

		"SUM(A1:A9)":                        false,
		"Sheet2!A1+'May week'!B2":           false,
		"SUM(Feeds[Kilos])+Sheet2!A1":       false,
		"SUM(Feeds[Kilos])+'Sheet 2'!A1":    false,
		"Feeds[[#This Row],[Kilos]]*2":      false,
		`"[1]Prices!A1"`:                    false,
		`"cmd|'/c calc'!A0"&A1`:             false,
		"RECALL(A1)":                        false,
		"IF(A1=\"x|y!z\",1,0)":              false,
		"HYPERLINK(\"https://host\",\"a\")": false, // does nothing until it is clicked
	} {
		if got := reachesOut(formula); got != want {
			t.Errorf("%s: %v, want %v", formula, got, want)
		}
	}
}

// partsOf is a workbook's parts by name.
func copyParts(t *testing.T, data []byte) map[string]string {
	t.Helper()
	parts := map[string]string{}
	if _, err := xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		parts[name] = string(b)
		return b, true
	}); err != nil {
		t.Fatal(err)
	}
	return parts
}

func repackedWith(t *testing.T, data []byte, change func(name, text string) (string, bool), added ...xlsx.Part) []byte {
	t.Helper()
	out, err := xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		text, keep := change(name, string(b))
		return []byte(text), keep
	}, added...)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Formulas that reach out of the workbook are listed, and the copy has their last values;
// all others stay. The links, and the names and rules that use them, go.
func TestFormulasThatReachOut(t *testing.T) {
	f := opened(t, workbook(t, faulty()...))
	sheet := f.GetSheetList()[1]
	for ref, v := range map[string]struct {
		value   any
		formula string
	}{
		"J2": {21.5, "[1]Prices!A1*2"}, "J3": {"calc", "cmd|'/c calc'!A0"}, "J4": {7, "SUM(1,6)"}, "J5": {3.25, "[1]Prices!A2"},
	} {
		if err := f.SetCellValue(sheet, ref, v.value); err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellFormula(sheet, ref, v.formula); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SetDefinedName(&excelize.DefinedName{Name: "Outside", RefersTo: "[1]Prices!$A$1"}); err != nil {
		t.Fatal(err)
	}
	if err := f.SetDefinedName(&excelize.DefinedName{Name: "Inside", RefersTo: "'" + sheet + "'!$A$1"}); err != nil {
		t.Fatal(err)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	data := repackedWith(t, b.Bytes(), func(name, text string) (string, bool) {
		if strings.HasPrefix(name, "xl/worksheets/") { // as a spreadsheet program writes a text that was worked out
			text = regexp.MustCompile(`<c r="J3"[^>]*>(<f>.*?</f>)<v>\d+</v></c>`).ReplaceAllString(text, `<c r="J3" t="str">$1<v>calc</v></c>`)
		}
		switch name {
		case xlsx.TypesPart:
			text = strings.Replace(text, "</Types>", `<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.externalLink+xml"/></Types>`, 1)
		case xlsx.RelsPart:
			text = strings.Replace(text, "</Relationships>", `<Relationship Id="rIdOut" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLink" Target="externalLinks/externalLink1.xml"/></Relationships>`, 1)
		case "xl/workbook.xml":
			text = strings.Replace(text, "<definedNames>", `<externalReferences><externalReference xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships" r:id="rIdOut"/></externalReferences><definedNames>`, 1)
		}
		return text, true
	}, xlsx.Part{Name: "xl/externalLinks/externalLink1.xml", Data: []byte(`<?xml version="1.0"?><externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><ddeLink ddeService="cmd" ddeTopic="/c calc"/></externalLink>`)})
	out, w := corrected(t, data)
	if len(w.Findings) == 0 || out == nil {
		t.Fatal("nothing was to be corrected")
	}
	got := opened(t, out)
	for ref, want := range map[string]struct{ value, formula string }{"J2": {"21.5", ""}, "J3": {"calc", ""}, "J4": {"7", "SUM(1,6)"}, "J5": {"3.25", ""}} {
		value, err := got.GetCellValue(sheet, ref)
		formula, err2 := got.GetCellFormula(sheet, ref)
		if err != nil || err2 != nil || formula != want.formula || want.formula == "" && value != want.value {
			t.Errorf("%s shows %q by the formula %q, %v %v", ref, value, formula, err, err2)
		}
	}
	list := ""
	rows, err := got.GetRows(got.GetSheetList()[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		list += strings.Join(r, " | ") + "\n"
	}
	for _, must := range []string{"=[1]Prices!A1*2", "=cmd|'/c calc'!A0", "=[1]Prices!A2", `"21.5"`} {
		if !strings.Contains(list, must) {
			t.Errorf("the list lacks %s:\n%s", must, list)
		}
	}
	if strings.Contains(list, "SUM(1,6)") {
		t.Error("a formula that stays is listed")
	}
	for name, part := range copyParts(t, out) {
		if strings.Contains(strings.ToLower(name), "externallink") || strings.Contains(part, "externalLink") || strings.Contains(part, "externalReference") || strings.Contains(part, "ddeLink") {
			t.Errorf("%s still leads out", name)
		}
		if name == "xl/workbook.xml" && (!strings.Contains(part, "#REF!") || strings.Contains(part, "[1]Prices") || !strings.Contains(part, "$A$1")) {
			t.Errorf("the names are %s", part)
		}
	}
	// It reads like the workbook.
	again, err := Read("corrections.xlsx", out, Options{})
	if err != nil || len(again.Horses) != len(w.Horses) {
		t.Errorf("read again: %d horses of %d, %v", len(again.Horses), len(w.Horses), err)
	}
}

// Copies of workbooks whose comments the library cannot add to have ours and keep
// theirs: those of LibreOffice, whose drawings call their shapes shape_0, and those of
// openpyxl, which names the parts in its own way.
func TestCommentsOfOtherPrograms(t *testing.T) {
	libre, err := os.ReadFile(filepath.Join("..", "testdata", "workbooks", "libreoffice.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	f := opened(t, workbook(t, faulty()...))
	hers := f.GetSheetList()[1]
	long := strings.Repeat("Ask Hattie about this one. ", 40)
	for _, c := range []excelize.Comment{{Cell: "A2", Author: "Hattie", Text: "sold?"}, {Cell: "C3", Author: "Hattie", Text: long}, {Cell: "B2", Author: "Hattie", Text: "weigh again"}} {
		if err := f.AddComment(hers, c); err != nil {
			t.Fatal(err)
		}
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	// As openpyxl writes them (seen in its source from memory): absolute addresses, and
	// names without the library's numbers.
	renames := strings.NewReplacer("../comments1.xml", "/xl/comments/comment1.xml", "../drawings/vmlDrawing1.vml", "/xl/drawings/commentsDrawing1.vml", "/xl/comments1.xml", "/xl/comments/comment1.xml")
	parts := copyParts(t, b.Bytes())
	var added []xlsx.Part
	for from, to := range map[string]string{"xl/comments1.xml": "xl/comments/comment1.xml", "xl/drawings/vmlDrawing1.vml": "xl/drawings/commentsDrawing1.vml"} {
		if parts[from] == "" {
			t.Fatalf("there is no part %s", from)
		}
		added = append(added, xlsx.Part{Name: to, Data: []byte(strings.ReplaceAll(parts[from], "_x0000_s", "shape_"))})
	}
	python := repackedWith(t, b.Bytes(), func(name, text string) (string, bool) {
		if name == "xl/comments1.xml" || name == "xl/drawings/vmlDrawing1.vml" {
			return "", false
		}
		return renames.Replace(text), true
	}, added...)
	for name, data := range map[string][]byte{"LibreOffice": libre, "openpyxl": python} {
		t.Run(name, func(t *testing.T) {
			w, err := Read("week.xlsx", data, Options{})
			if err != nil {
				t.Fatal(err)
			}
			theirs := map[string]string{}
			in := opened(t, data)
			for i, s := range in.GetSheetList() {
				book, err := xlsx.Open("week.xlsx", data)
				if err != nil {
					t.Fatal(err)
				}
				for at, text := range book.Sheets[i].Comments {
					theirs[s+"!"+xlsx.RefOf(at[1], at[0])] = text
				}
			}
			if len(theirs) == 0 {
				t.Fatal("the workbook has no comments")
			}
			at := yard.Cell{Sheet: w.Horses[0].Cell.Sheet, Ref: w.Horses[0].Cell.Ref, Text: "x"}
			out, err := Corrections(data, []yard.Finding{{Rule: "cell-number", Severity: yard.Warn, Message: "something about it", Cell: at}}, words.AsWritten)
			if err != nil {
				t.Fatal(err)
			}
			got := opened(t, out)
			comments := map[string]string{}
			for _, s := range got.GetSheetList() {
				cs, err := got.GetComments(s)
				if err != nil {
					t.Fatal(err)
				}
				for _, c := range cs {
					comments[s+"!"+c.Cell] += commentText(c)
				}
			}
			if !strings.Contains(comments[at.Sheet+"!"+at.Ref], "something about it") {
				t.Errorf("ours is not there: %q", comments)
			}
			for cell, text := range theirs {
				if !strings.Contains(comments[cell], text) {
					t.Errorf("theirs on %s is lost: %q, there is %q", cell, text, comments[cell])
				}
			}
			if name == "openpyxl" && !strings.Contains(comments[hers+"!C3"], strings.TrimSpace(long)) {
				t.Errorf("a long one was cut: %d letters of %d", len(comments[hers+"!C3"]), len(long))
			}
			// The copy, sent back, has no comment of ours left over.
			again, err := Corrections(out, []yard.Finding{{Rule: "cell-number", Severity: yard.Warn, Message: "another thing", Cell: yard.Cell{Sheet: at.Sheet, Ref: "C2", Text: "x"}}}, words.AsWritten)
			if err != nil {
				t.Fatal(err)
			}
			for name, part := range copyParts(t, again) {
				if strings.Contains(name, "omment") && strings.Contains(part, "something about it") {
					t.Error("a comment of the earlier copy is still there")
				}
			}
		})
	}
}

// A list of styles that lacks what the library takes for granted costs no copy.
func TestACopyOfAWorkbookWithBareStyles(t *testing.T) {
	data := repackedWith(t, workbook(t, faulty()...), func(name, text string) (string, bool) {
		if name == xlsx.StylesPart {
			text = regexp.MustCompile(`(?s)<fonts.*</fonts>`).ReplaceAllString(text, `<fonts count="1"><font><sz val="11"/></font></fonts>`)
			text = regexp.MustCompile(`(?s)<fills.*</fills>`).ReplaceAllString(text, `<fills count="1"><fill/></fills>`)
		}
		return text, true
	})
	out, w := corrected(t, data)
	f := opened(t, out)
	n := 0
	for _, s := range f.GetSheetList() {
		cs, err := f.GetComments(s)
		if err != nil {
			t.Fatal(err)
		}
		n += len(cs)
	}
	if n == 0 || len(w.Findings) == 0 {
		t.Errorf("%d comments on %d findings", n, len(w.Findings))
	}
}

// A workbook with thousands of comments gets its copy without ours.
func TestACopyOfAWorkbookFullOfComments(t *testing.T) {
	f := opened(t, workbook(t, faulty()...))
	if err := f.AddComment(f.GetSheetList()[1], excelize.Comment{Cell: "A2", Author: "Hattie", Text: "one"}); err != nil {
		t.Fatal(err)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	many := regexp.MustCompile(`(?s)<commentList>.*</commentList>`)
	data := repackedWith(t, b.Bytes(), func(name, text string) (string, bool) {
		if strings.HasPrefix(name, "xl/comments") {
			var all strings.Builder
			for i := range mostTheirs + 1 {
				fmt.Fprintf(&all, `<comment ref="Z%d" authorId="0"><text><t>note</t></text></comment>`, i+1)
			}
			text = many.ReplaceAllString(text, "<commentList>"+all.String()+"</commentList>")
		}
		return text, true
	})
	out, w := corrected(t, data)
	if out == nil || len(w.Findings) == 0 {
		t.Fatal("no copy")
	}
	for _, part := range copyParts(t, out) {
		if strings.Contains(part, "<comments") && strings.Contains(part, "## ") {
			t.Error("it has comments of ours")
		}
	}
}
