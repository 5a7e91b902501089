package ingest

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/report/words"
)

func FuzzDate(f *testing.F) {
	for _, s := range []string{"2026-11-30", "30 November 2026", "Mon 30 Nov 2026", "November 30, 2026", "30/11/2026", "06/09/26", "30. November 2026", "30 de noviembre de 2026", "1er décembre 2026", "2026/11/30", "7.30", "5 pm", "7h30", "Weds", "w/c 30 November 2026"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := ParseDate(s); err == nil {
			if d.Year() < firstYear || d.Year() > last || d.Hour() != 0 || d.Location() != time.UTC {
				t.Fatalf("%q is %v", s, d)
			}
			// What is read can be written in the way that has one reading only.
			if again, err := ParseDate(d.Format(time.DateOnly)); err != nil || !again.Equal(d) {
				t.Fatalf("%q is %v, which reads back as %v (%v)", s, d, again, err)
			}
			// A date in figures is used only where day and month cannot change places.
			var a, b, y int
			if n, _ := fmt.Sscanf(s, "%d/%d/%d", &a, &b, &y); n == 3 && a != b && a >= 1 && a <= 12 && b >= 1 && b <= 12 {
				t.Fatalf("%q can be read in two ways and was taken as %v", s, d)
			}
		}
		if m, err := ParseClock(s); err == nil && (m < 0 || m >= 24*60) {
			t.Fatalf("%q is minute %d", s, m)
		}
		(&vocabulary{}).weekTitle(xlsx.Cell{Kind: xlsx.Text, Shown: s})
	})
}

func FuzzAmount(f *testing.F) {
	for _, s := range []string{"2½ scoops", "1.5kg", "3 lb 8 oz", "16 hands 1 in", "8 st 6 lb", "100 ml", "ad lib", "1,250 kg", "½", "2 1/4 scoops a day", "1h15", "-3 kg", "25 F", "30 g"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		q, err := ParseQuantity(s)
		if err != nil {
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
			t.Fatalf("%q is %v", s, q)
		}
		if !strings.ContainsFunc(s, func(r rune) bool { return r >= '0' && r <= '9' || vulgar[r] != 0 }) {
			t.Fatalf("%q has no figure and is %v", s, q)
		}
		if q.Value < 0 && !strings.ContainsAny(tidy(s), "-") {
			t.Fatalf("%q has no minus and is %v", s, q)
		}
		// Blanks around an amount and the case of its unit change nothing.
		for _, same := range []string{" " + s + "\u00a0", strings.ToUpper(s)} {
			if !strings.EqualFold(strings.ToUpper(s), s) {
				continue // letters without a capital of their own
			}
			if p, err := ParseQuantity(same); err != nil || p.Value != q.Value || !strings.EqualFold(p.Unit, q.Unit) {
				t.Fatalf("%q is %v, and %q is %v (%v)", s, q, same, p, err)
			}
		}
	})
}

// storedBook is a small workbook of one sheet, its parts stored as they are.
func storedBook(sheet, texts, styles string) []byte {
	const (
		ns   = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		ct   = "application/vnd.openxmlformats-officedocument.spreadsheetml."
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		open = `<?xml version="1.0"?>`
	)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range [][2]string{
		{"[Content_Types].xml", open + `<Types><Default Extension="rels" ContentType="x"/><Override PartName="/xl/workbook.xml" ContentType="` + ct + `sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="` + ct + `worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="` + ct + `sharedStrings+xml"/><Override PartName="/xl/styles.xml" ContentType="` + ct + `styles+xml"/></Types>`},
		{"_rels/.rels", open + `<Relationships><Relationship Id="a" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", open + `<workbook ` + ns + ` xmlns:r="` + rel + `"><sheets><sheet name="Horses" sheetId="1" r:id="a"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", open + `<Relationships><Relationship Id="a" Type="` + rel + `/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="b" Type="` + rel + `/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="c" Type="` + rel + `/styles" Target="styles.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", open + `<worksheet ` + ns + `>` + sheet + `</worksheet>`},
		{"xl/sharedStrings.xml", open + `<sst ` + ns + `>` + texts + `</sst>`},
		{"xl/styles.xml", open + `<styleSheet ` + ns + `>` + styles + `</styleSheet>`},
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

// FuzzParts lets the fuzzer write the parts of a workbook in a sound zip, where
// FuzzRead mostly breaks the check sums.
func FuzzParts(f *testing.F) {
	const (
		styles = `<numFmts><numFmt numFmtId="164" formatCode="0.0&quot; kg&quot;"/></numFmts><fonts><font/></fonts><fills><fill/></fills><borders><border/></borders><cellStyleXfs><xf/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="9"/></cellXfs>`
		texts  = `<si><t>Name</t></si><si><t>Weight</t></si><si><r><t>A</t></r><r><t>sh</t></r></si><si><t>Mon</t></si>`
		cells  = `<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" t="s"><v>2</v></c><c r="B2" s="2"><v>500</v></c></row></sheetData>`
	)
	f.Add(cells, texts, styles)
	f.Add(`<cols><col min="2" max="3" hidden="1"/></cols>`+cells+`<mergeCells><mergeCell ref="A1:B1"/></mergeCells>`, texts, styles)
	f.Add(`<sheetData><row><c t="inlineStr"><is><t>Horse</t></is></c><c t="str"><f>A1</f><v>Mon</v></c><c t="s"><v>1</v></c></row><row hidden="1"><c><v>1e3</v></c><c t="b"><v>1</v></c><c t="e"><v>#REF!</v></c></row></sheetData>`, texts, styles)
	f.Add(`<sheetData><row r="7"><c r="A7" t="d"><v>2026-11-30</v></c><c r="C7" s="1"><v>46356</v></c><c r="D7" s="3"><v>0.125</v></c></row></sheetData>`, texts, styles)
	f.Add(`<sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>Ash</t></is></c><c r="C1" t="inlineStr"><is><t>Elm</t></is></c></row><row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2"><v>500</v></c><c r="C2"><v>510</v></c></row></sheetData>`, texts, styles)
	f.Fuzz(func(t *testing.T, sheet, texts, styles string) {
		if len(sheet)+len(texts)+len(styles) > 20_000 {
			return // large sizes have tests of their own; here they only slow things down
		}
		data := storedBook(sheet, texts, styles)
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			var r *xlsx.Refused
			if !errors.As(err, &r) || words.Told(r) == "" || strings.Contains(words.Told(r), "fault is in this program") {
				t.Fatalf("answer is %v (%v)", err, errorCause(err))
			}
			return
		}
		if len(w.Horses) == 0 || w.Read.Horses != len(w.Horses) {
			t.Fatalf("%d horses, said to be %d", len(w.Horses), w.Read.Horses)
		}
		for _, f := range w.Findings {
			if f.Rule == "" || f.Severity == 0 || f.Saying.Empty() {
				t.Fatalf("finding %+v", f)
			}
		}
	})
}
