package edit

import (
	"archive/zip"
	"bytes"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// book makes a workbook with what a yard may have in one: a formula, a comment, a
// drop-down list, a chart, letters in bold within a cell, a hidden sheet, a name.
func book(t interface{ Fatal(...any) }) []byte {
	f := excelize.NewFile()
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(f.SetSheetName("Sheet1", "Week 48"))
	must(f.SetCellStr("Week 48", "A1", "Yard diary"))
	must(f.SetCellRichText("Week 48", "A2", []excelize.RichTextRun{{Text: "Week of ", Font: &excelize.Font{Bold: true}}, {Text: "30 Nov"}}))
	must(f.SetCellStr("Week 48", "A3", "Yard diary"))
	must(f.SetCellInt("Week 48", "B3", 5))
	must(f.SetCellFormula("Week 48", "C3", "B3*2"))
	must(f.AddComment("Week 48", excelize.Comment{Cell: "A3", Author: "x", Text: "kicks"}))
	dv := excelize.NewDataValidation(true)
	dv.Sqref = "B3:B9"
	must(dv.SetDropList([]string{"1", "2"}))
	must(f.AddDataValidation("Week 48", dv))
	_, err := f.NewSheet("Sums")
	must(err)
	must(f.SetCellFormula("Sums", "A1", "'Week 48'!B3+1"))
	must(f.AddChart("Sums", "C3", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Name: "n", Categories: "'Week 48'!$A$3:$A$4", Values: "'Week 48'!$B$3:$B$4"}}}))
	_, err = f.NewSheet("Hidden")
	must(err)
	must(f.SetCellStr("Hidden", "A1", "list"))
	must(f.SetSheetVisible("Hidden", false))
	must(f.SetDefinedName(&excelize.DefinedName{Name: "weights", RefersTo: "'Week 48'!$B$3:$B$9", Scope: "Sums"}))
	must(f.AddTable("Sums", &excelize.Table{Range: "A10:B12", Name: "T"}))
	must(f.SetCellStr("Sums", "A10", "Mon 30"))
	must(f.SetCellStr("Sums", "B10", "Tue 1"))
	var out bytes.Buffer
	must(f.Write(&out))
	return out.Bytes()
}

func parts(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(b)
	}
	return out
}

func at(ref string) Place {
	p, _ := ParsePlace(ref)
	return p
}

// What was not asked to change is there to the byte.
func TestOnlyTheCellsAskedForChange(t *testing.T) {
	was := book(t)
	b, err := Open(was)
	if err != nil {
		t.Fatal(err)
	}
	b.SetNumber("Week 48", at("B3"), "7.5", "")
	b.SetText("Week 48", at("A3"), "Ledger & more", "")
	b.SetText("Week 48", at("F20"), "new", "")
	is, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	before, after := parts(t, was), parts(t, is)
	for name, text := range before {
		switch name {
		case "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml":
			continue
		}
		if after[name] != text {
			t.Errorf("%s is not as it was", name)
		}
	}
	f, err := excelize.OpenReader(bytes.NewReader(is))
	if err != nil {
		t.Fatal(err)
	}
	for ref, want := range map[string]string{"A1": "Yard diary", "A2": "Week of 30 Nov", "A3": "Ledger & more", "B3": "7.5", "F20": "new"} {
		if got, _ := f.GetCellValue("Week 48", ref); got != want {
			t.Errorf("%s is %q, want %q", ref, got, want)
		}
	}
	if got, _ := f.GetCellFormula("Week 48", "C3"); got != "B3*2" {
		t.Errorf("the formula is %q", got)
	}
}

// Letters in bold stay bold, and only what changed is another.
func TestLettersKeepTheirLook(t *testing.T) {
	b, err := Open(book(t))
	if err != nil {
		t.Fatal(err)
	}
	b.SetText("Week 48", at("A2"), "Week of 7 Dec", "")
	is, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(is))
	if err != nil {
		t.Fatal(err)
	}
	runs, err := f.GetCellRichText("Week 48", "A2")
	if err != nil || len(runs) != 2 || runs[0].Text != "Week of " || runs[0].Font == nil || !runs[0].Font.Bold || runs[1].Text != "7 Dec" {
		t.Errorf("%+v, %v", runs, err)
	}
}

// A tab's new name stands in formulas, charts and names, and no two tabs get in each
// other's way.
func TestTabsAreRenamedEverywhere(t *testing.T) {
	b, err := Open(book(t))
	if err != nil {
		t.Fatal(err)
	}
	b.Rename("Week 48", "Sums")
	b.Rename("Sums", "It's week 50")
	is, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(is))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(f.GetSheetList(), "|"); got != "Sums|It's week 50|Hidden" {
		t.Errorf("tabs %s", got)
	}
	if got, _ := f.GetCellFormula("It's week 50", "A1"); got != "'Sums'!B3+1" {
		t.Errorf("formula %q", got)
	}
	all := parts(t, is)
	for name, text := range all {
		if strings.Contains(text, "Week 48") {
			t.Errorf("%s still names the old tab", name)
		}
	}
	if !strings.Contains(all["xl/charts/chart1.xml"], "'Sums'!$B$3") {
		t.Error("the chart does not follow")
	}
}

// The column of a table is called as its heading: else a spreadsheet program calls the
// file damaged.
func TestTableColumnsFollowTheirHeadings(t *testing.T) {
	b, err := Open(book(t))
	if err != nil {
		t.Fatal(err)
	}
	b.SetText("Sums", at("A10"), "Mon 7", "")
	is, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	table := parts(t, is)["xl/tables/table1.xml"]
	if !strings.Contains(table, `name="Mon 7"`) || strings.Contains(table, `name="Mon 30"`) {
		t.Error(table)
	}
}

// The list is in front, alone selected, and a name of one sheet still belongs to it.
func TestTheListStandsInFront(t *testing.T) {
	data := book(t)
	for round := range 2 { // the second time the first makes way
		b, err := Open(data)
		if err != nil {
			t.Fatal(err)
		}
		b.PutFirst(List{Name: "Sums", Rows: [][]string{{"What changed"}, {"remark"}, nil, {"Place", "Was"}, {"A1", "x < y"}}, Widths: []float64{20, 30}, Bold: []int{0, 3}})
		if data, err = b.Bytes(); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(f.GetSheetList(), "|"); got != "Sums 2|Week 48|Sums|Hidden" {
			t.Errorf("round %d: tabs %s", round, got)
		}
		if got, _ := f.GetCellValue("Sums 2", "B5"); got != "x < y" {
			t.Errorf("list has %q", got)
		}
		if f.GetActiveSheetIndex() != 0 {
			t.Error("the list is not shown first")
		}
		if names := f.GetDefinedName(); len(names) != 1 || names[0].Scope != "Sums" {
			t.Errorf("names %+v", names)
		}
		selected := 0
		for name, text := range parts(t, data) {
			if strings.HasPrefix(name, "xl/worksheets/sheet") && strings.Contains(text, `tabSelected="1"`) {
				selected++
			}
		}
		if selected != 1 {
			t.Errorf("%d tabs are selected: what is typed would go into all", selected)
		}
	}
}

// A copied tab has its own comment and its own cells.
func TestACopiedTabIsItsOwn(t *testing.T) {
	b, err := Open(book(t))
	if err != nil {
		t.Fatal(err)
	}
	if !b.CopySheet("Week 48", "Week 49") {
		t.Fatal("not copied")
	}
	if b.CopySheet("Sums", "More") {
		t.Error("a tab with a table was copied: there would be two of one name")
	}
	b.SetText("Week 49", at("A1"), "other", "")
	is, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(is))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(f.GetSheetList(), "|"); got != "Week 48|Week 49|Sums|Hidden" {
		t.Errorf("tabs %s", got)
	}
	for sheet, want := range map[string]string{"Week 48": "Yard diary", "Week 49": "other"} {
		if got, _ := f.GetCellValue(sheet, "A1"); got != want {
			t.Errorf("%s: %q", sheet, got)
		}
		if cs, err := f.GetComments(sheet); err != nil || len(cs) != 1 || cs[0].Cell != "A3" {
			t.Errorf("%s: comments %+v, %v", sheet, cs, err)
		}
	}
	if names := f.GetDefinedName(); len(names) != 1 || names[0].Scope != "Sums" {
		t.Errorf("names %+v", names)
	}
}

func TestWhatCannotBeKeptIsRefused(t *testing.T) {
	for part, why := range map[string]Refused{"_xmlsignatures/sig1.xml": Signed, "xl/revisions/revisionLog1.xml": Shared} {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for name, text := range parts(t, book(t)) {
			to, _ := w.Create(name)
			_, _ = io.WriteString(to, text)
		}
		to, _ := w.Create(part)
		_, _ = io.WriteString(to, "<x/>")
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(out.Bytes()); err != why {
			t.Errorf("%s: %v, want %v", part, err, why)
		}
	}
}

// Whatever is written where: it is read back, and all else is as it was; the list of
// texts holds no text that no cell shows, and counts right.
func TestAnyChangesAreReadBack(t *testing.T) {
	data := book(t)
	rapid.Check(t, func(t *rapid.T) {
		b, err := Open(data)
		if err != nil {
			t.Fatal(err)
		}
		was, err := excelize.OpenReader(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		want := map[[2]string]string{}
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			sheet := rapid.SampledFrom([]string{"Week 48", "Hidden"}).Draw(t, "sheet")
			p := Place{rapid.IntRange(1, 9).Draw(t, "row"), rapid.IntRange(1, 6).Draw(t, "col")}
			if c := b.Cell(sheet, p); c != nil && c.Formula {
				continue
			}
			switch rapid.IntRange(0, 2).Draw(t, "kind") {
			case 0:
				text := rapid.StringMatching(`[a-z&<>"½é ]{1,9}x`).Draw(t, "text")
				b.SetText(sheet, p, text, "")
				want[[2]string{sheet, p.Ref()}] = text
			case 1:
				b.SetNumber(sheet, p, "12.25", "")
				want[[2]string{sheet, p.Ref()}] = "12.25"
			default:
				b.Clear(sheet, p)
				want[[2]string{sheet, p.Ref()}] = ""
			}
		}
		out, err := b.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		is, err := excelize.OpenReader(bytes.NewReader(out))
		if err != nil {
			t.Fatal(err)
		}
		for _, sheet := range []string{"Week 48", "Hidden", "Sums"} {
			for r := 1; r <= 12; r++ {
				for c := 1; c <= 8; c++ {
					ref := Place{r, c}.Ref()
					got, _ := is.GetCellValue(sheet, ref)
					expect, changed := want[[2]string{sheet, ref}]
					if !changed {
						expect, _ = was.GetCellValue(sheet, ref)
					}
					if got != expect {
						t.Fatalf("%s!%s is %q, want %q", sheet, ref, got, expect)
					}
				}
			}
		}
		again, err := Open(out)
		if err != nil {
			t.Fatal(err)
		}
		shown := 0
		for i, x := range again.texts.all {
			shown += x.used
			if x.used == 0 && strings.TrimSpace(x.text) != "" && b.texts.all[i].used > 0 {
				t.Fatalf("text %d %q is on no sheet", i, x.text)
			}
		}
		before := 0
		for _, x := range b.texts.all {
			before += x.used
		}
		if got, want := counted(t, again)-counted(t, b), shown-before; got != want {
			t.Fatalf("the list counts %d more cells, there are %d", got, want)
		}
	})
}

// counted is how many cells show a text, by the list's own word.
func counted(t *rapid.T, b *Book) int {
	i, _ := b.find("xl/sharedStrings.xml")
	n, err := strconv.Atoi(string(countOf().FindSubmatch(b.parts[i].data)[1]))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func TestSpreadKeepsWhatDidNotChange(t *testing.T) {
	for _, c := range []struct {
		pieces []string
		text   string
		want   string
	}{
		{[]string{"Week of ", "30 Nov"}, "Week of 7 Dec", "Week of |7 Dec"},
		{[]string{"½ sc", " nuts"}, "¾ sc nuts", "¾ sc| nuts"},
		{[]string{"a", "b", "c"}, "abXc", "a|b|Xc"},
		{[]string{"ab", "cd"}, "", "|"},
		{[]string{"ab"}, "xyz", "xyz"},
	} {
		if got := strings.Join(spread(c.pieces, c.text), "|"); got != c.want {
			t.Errorf("%q in %q is %q, want %q", c.text, c.pieces, got, c.want)
		}
	}
}
