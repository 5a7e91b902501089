package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/report/words"
)

// stored is a small workbook of one sheet, its parts stored as they are.
func stored(sheet, texts, styles, about string) []byte {
	const (
		ns   = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		ct   = "application/vnd.openxmlformats-officedocument.spreadsheetml."
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		rels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
		open = `<?xml version="1.0"?>`
	)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range [][2]string{
		{TypesPart, open + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="x"/><Override PartName="/xl/workbook.xml" ContentType="` + ct + `sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="` + ct + `worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="` + ct + `sharedStrings+xml"/><Override PartName="/xl/styles.xml" ContentType="` + ct + `styles+xml"/></Types>`},
		{"_rels/.rels", open + rels + `<Relationship Id="a" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", open + `<workbook ` + ns + ` xmlns:r="` + rel + `">` + about + `<sheets><sheet name="Horses" sheetId="1" r:id="a"/></sheets></workbook>`},
		{RelsPart, open + rels + `<Relationship Id="a" Type="` + rel + `/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="b" Type="` + rel + `/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="c" Type="` + rel + `/styles" Target="styles.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", open + `<worksheet ` + ns + `>` + sheet + `</worksheet>`},
		{"xl/sharedStrings.xml", open + `<sst ` + ns + `>` + texts + `</sst>`},
		{StylesPart, open + `<styleSheet ` + ns + `>` + styles + `</styleSheet>`},
	} {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p[0], Method: zip.Store})
		if err == nil {
			_, err = w.Write([]byte(p[1]))
		}
		if err != nil {
			panic(err) // a buffer takes everything
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

const (
	someStyles = `<numFmts><numFmt numFmtId="164" formatCode="0.0&quot; kg&quot;"/></numFmts><fonts><font/></fonts><fills><fill/></fills><borders><border/></borders><cellStyleXfs><xf/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="9"/></cellXfs>`
	someTexts  = `<si><t>Name</t></si><si><t>Weight</t></si><si><r><t>A</t></r><r><t>sh</t></r></si><si><t> </t></si>`
	someCells  = `<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" t="s"><v>2</v></c><c r="B2" s="2"><v>500</v></c><c r="C2" s="1"><v>46356</v></c><c r="D2" t="s"><v>3</v></c></row></sheetData>`
)

// What a cell holds comes through as it was saved and as it is shown; blanks alone are
// nothing.
func TestCellsComeThrough(t *testing.T) {
	for about, day := range map[string]string{``: "2026-11-30", `<workbookPr date1904="1"/>`: "2030-12-01", `<workbookPr date1904="false"/>`: "2026-11-30"} {
		book, err := Open("x.xlsx", stored(someCells, someTexts, someStyles, about))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, r := range book.Sheets[0].Rows {
			for _, c := range r.Cells {
				got = append(got, RefOf(c.Col, c.Row)+" "+c.Shown)
			}
		}
		if all, want := strings.Join(got, ", "), "A1 Name, B1 Weight, A2 Ash, B2 500.0 kg, C2 "+day; all != want || book.Lost != 0 {
			t.Errorf("%s: %s (%d lost), want %s", about, all, book.Lost, want)
		}
	}
}

// A fault below must cost one workbook a sentence, not the program its life.
func TestAPanicIsARefusal(t *testing.T) {
	_, err := openWith("week.xlsx", stored(someCells, someTexts, someStyles, ""), func([]byte) (*scan, error) { panic("broken library") })
	var r *Refused
	if !errors.As(err, &r) || !strings.Contains(words.Told(r), "fault is in this program") || strings.Contains(words.Told(r), "panic") {
		t.Errorf("the answer is %v", err)
	}
}

// Whatever the parts of a sound zip hold: a refusal in words, or cells in reading order
// within the limits, no fewer than the spreadsheet library finds texts in.
func FuzzOpen(f *testing.F) {
	f.Add(someCells, someTexts, someStyles, "")
	f.Add(`<cols><col min="2" max="3" hidden="1"/></cols>`+someCells+`<mergeCells><mergeCell ref="A1:B1"/></mergeCells>`, someTexts, someStyles, `<workbookPr date1904="1"/>`)
	f.Add(`<sheetData><row><c t="inlineStr"><is><t>Horse</t></is></c><c t="str"><f>A1</f><v>Mon</v></c><c t="s"><v>1</v></c></row><row hidden="1"><c><v>1e3</v></c><c t="b"><v>1</v></c><c t="e"><v>#REF!</v></c></row></sheetData>`, someTexts, someStyles, "")
	f.Add(`<sheetData><row r="7"><c r="A7" t="d"><v>2026-11-30</v></c><c r="C7" s="1"><v>46356</v></c><c r="D7" s="3"><v>0.125</v></c></row></sheetData>`, someTexts, someStyles, "")
	f.Fuzz(func(t *testing.T, sheet, texts, styles, about string) {
		if len(sheet)+len(texts)+len(styles)+len(about) > 20_000 {
			return // large sizes have tests of their own; here they only slow things down
		}
		data := stored(sheet, texts, styles, about)
		book, err := Open("week.xlsx", data)
		if err != nil {
			var r *Refused
			if !errors.As(err, &r) || words.Told(r) == "" || strings.Contains(words.Told(r), "fault is in this program") {
				t.Fatalf("answer is %v", err)
			}
			return
		}
		for i := range book.Sheets {
			checkOrder(t, &book.Sheets[i])
		}
		checkBeside(t, data, book)
	})
}

func checkOrder(t *testing.T, s *Sheet) {
	row := 0
	for _, r := range s.Rows {
		if r.N <= row || r.N > maxSheetRows || len(r.Cells) == 0 {
			t.Fatalf("row %d with %d cells after row %d", r.N, len(r.Cells), row)
		}
		row = r.N
		col := 0
		for _, c := range r.Cells {
			if c.Row != row || c.Col <= col || c.Col > MaxColumn || c.Kind == Empty || c.Shown == "" {
				t.Fatalf("%+v in row %d after column %d", c, row, col)
			}
			col = c.Col
		}
	}
}

// checkBeside sees that where the library finds a text or a number, so do we. What lies
// under a joined block it gives out too, and is not asked for.
func checkBeside(t *testing.T, data []byte, book *Book) {
	lib, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		return
	}
	defer lib.Close()
	for i := range book.Sheets {
		s := &book.Sheets[i]
		theirs, err := lib.GetRows(s.Name, excelize.Options{RawCellValue: true})
		if err != nil || len(s.Merges) > 0 {
			return
		}
		ours := map[[2]int]bool{}
		for _, r := range s.Rows {
			for _, c := range r.Cells {
				ours[[2]int{c.Row, c.Col}] = true
			}
		}
		for r, cells := range theirs {
			for c, text := range cells {
				if strings.TrimSpace(text) != "" && !ours[[2]int{r + 1, c + 1}] {
					t.Fatalf("%s holds %q and did not come through", RefOf(c+1, r+1), text)
				}
			}
		}
	}
}
