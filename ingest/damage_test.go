package ingest

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// sound says whether a damaged workbook was refused, or read as exactly the
// week it was: never other data, never fewer horses.
func sound(t *testing.T, what string, want yard.Week, data []byte) (refused bool) {
	t.Helper()
	got, err := Read("week.xlsx", data, Options{})
	if err != nil {
		var r *xlsx.Refused
		if !errors.As(err, &r) {
			t.Errorf("%s: the answer is %v, no refusal", what, err)
		} else if strings.Contains(words.Told(r), "fault is in this program") {
			t.Errorf("%s: a fault of ours: %v", what, r.Cause)
		}
		return true
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s: read without a word as %d horses, %d lines, %d findings instead of %d, %d, %d",
			what, len(got.Horses), len(got.Lines), len(got.Findings), len(want.Horses), len(want.Lines), len(want.Findings))
	}
	return false
}

// victims are sound workbooks of several programs, to be damaged.
func victims(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{"ours": workbook(t, fullTabs()...)}
	files, err := filepath.Glob(filepath.Join("..", "testdata", "workbooks", "*.xls[xm]"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no workbooks in testdata: %v", err)
	}
	for _, f := range files {
		if strings.Contains("german french spanish", strings.SplitN(filepath.Base(f), "_", 2)[0]) {
			continue // read only with the settings that name their language
		}
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(f)] = data
	}
	return all
}

func TestCutOffAtEveryFiftieth(t *testing.T) {
	for name, data := range victims(t) {
		want, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for i := range 50 {
			if !sound(t, fmt.Sprintf("%s cut at %d/50", name, i), want, data[:len(data)*i/50]) {
				t.Errorf("%s cut at %d/50 was read", name, i)
			}
		}
		sound(t, name+" without its last byte", want, data[:len(data)-1])
	}
}

// Three thousand single bits, seeded, in all the workbooks: the same data or a
// refusal.
func TestFlippedBits(t *testing.T) {
	all := victims(t)
	flips, trials, refused := sample(600, 3000), 0, 0
	rng := rand.New(rand.NewPCG(1, 2))
	for _, name := range slices.Sorted(maps.Keys(all)) { // in order, so that the seed gives the same flips
		data := all[name]
		want, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for range flips/len(all) + 1 {
			bit := rng.IntN(len(data) * 8)
			bad := bytes.Clone(data)
			bad[bit/8] ^= 1 << (bit % 8)
			trials++
			if sound(t, fmt.Sprintf("%s, bit %d of byte %d", name, bit%8, bit/8), want, bad) {
				refused++
			}
		}
	}
	if trials < flips || refused < trials/2 {
		t.Errorf("only %d of %d damaged files were refused", refused, trials)
	}
	t.Logf("%d of %d refused, the others read as they were", refused, trials)
}

// elements are the places of <name ...>...</name> in a part.
func elements(b []byte, name string) [][2]int {
	var all [][2]int
	for at := 0; ; {
		i := bytes.Index(b[at:], []byte("<"+name+" "))
		if i < 0 {
			return all
		}
		i += at
		j := bytes.Index(b[i:], []byte("</"+name+">"))
		if j < 0 {
			return all
		}
		at = i + j + len("</"+name+">")
		all = append(all, [2]int{i, at})
	}
}

// Inside an intact zip: rows and cells out of order, twice, or cut open. What
// is cut out whole, with everything around it adjusted, cannot be told from a
// row the yard itself deleted; see TestTextsThatWentMissing for the one trace.
func TestRowsAndCellsMovedInsideAnIntactZip(t *testing.T) {
	data := workbook(t, fullTabs()...)
	want, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	edit := func(part string, f func([]byte) []byte) []byte {
		return rezip(t, data, func(name string, b []byte) []byte {
			if name == part {
				return f(bytes.Clone(b))
			}
			return b
		})
	}
	rng := rand.New(rand.NewPCG(3, 4))
	for sheet := 1; sheet <= 6; sheet++ {
		part := fmt.Sprintf("xl/worksheets/sheet%d.xml", sheet)
		for _, el := range []string{"row", "c"} {
			for range sample(3, 12) {
				var swapped, twice, cut []byte
				swapped = edit(part, func(b []byte) []byte {
					all := elements(b, el)
					k := rng.IntN(len(all) - 1)
					x, y := all[k], all[k+1]
					return slicesConcat(b[:x[0]], b[y[0]:y[1]], b[x[1]:y[0]], b[x[0]:x[1]], b[y[1]:])
				})
				twice = edit(part, func(b []byte) []byte {
					x := pick(rng, elements(b, el))
					return slicesConcat(b[:x[1]], b[x[0]:x[1]], b[x[1]:])
				})
				cut = edit(part, func(b []byte) []byte {
					x := pick(rng, elements(b, el))
					at := x[0] + 1 + rng.IntN(x[1]-x[0]-1)
					return b[:at]
				})
				for what, bad := range map[string][]byte{"swapped": swapped, "repeated": twice, "cut": cut} {
					if !sound(t, fmt.Sprintf("%s: <%s> %s", part, el, what), want, bad) && what != "swapped" {
						t.Errorf("%s: <%s> %s was read", part, el, what)
					}
				}
			}
		}
	}
	// Everything behind a row lost and the document closed properly.
	cutClean := edit("xl/worksheets/sheet2.xml", func(b []byte) []byte {
		all := elements(b, "row")
		return slicesConcat(b[:all[2][0]], []byte("</sheetData></worksheet>"))
	})
	w, err := Read("week.xlsx", cutClean, Options{})
	if err == nil && len(findings(w, "cells-missing")) == 0 {
		t.Errorf("rows cut off cleanly: read as %d horses without a finding", len(w.Horses))
	}
	// Two blocks of rows in one sheet.
	if !sound(t, "two blocks of rows", want, edit("xl/worksheets/sheet2.xml", func(b []byte) []byte {
		i, j := bytes.Index(b, []byte("<sheetData>")), bytes.Index(b, []byte("</sheetData>"))+len("</sheetData>")
		return slicesConcat(b[:j], b[i:j], b[j:])
	})) {
		t.Error("a sheet with its rows twice was read")
	}
}

// The count of texts that most programs save beside them shows that cells went
// missing in whole: a finding, since some programs count wrongly.
func TestTextsThatWentMissing(t *testing.T) {
	for name, data := range victims(t) {
		w, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if f := findings(w, "cells-missing"); len(f) != 0 {
			t.Errorf("%s, which is sound: %s", name, f[0].Message)
		}
	}
}

func pick(rng *rand.Rand, all [][2]int) [2]int { return all[rng.IntN(len(all))] }

func slicesConcat(parts ...[]byte) []byte {
	var out []byte
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// rawZip writes parts as they are given, names and all.
type rawPart struct {
	name   string
	data   []byte
	method uint16
	flags  uint16
}

func rawZip(t testing.TB, parts ...rawPart) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		h := &zip.FileHeader{Name: p.name, Method: p.method, Flags: p.flags, CRC32: crc32.ChecksumIEEE(p.data), CompressedSize64: uint64(len(p.data)), UncompressedSize64: uint64(len(p.data))}
		w, err := z.CreateRaw(h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(p.data); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// partsOf unpacks a workbook, parts stored as they are.
func partsOf(t testing.TB, data []byte) []rawPart {
	t.Helper()
	var parts []rawPart
	rezip(t, data, func(name string, b []byte) []byte {
		parts = append(parts, rawPart{name: name, data: b})
		return b
	})
	return parts
}

func TestHostileArchives(t *testing.T) {
	good := workbook(t, fullTabs()...)
	want, err := Read("week.xlsx", good, Options{})
	if err != nil {
		t.Fatal(err)
	}
	parts := partsOf(t, good)
	with := func(more ...rawPart) []byte { return rawZip(t, append(append([]rawPart{}, parts...), more...)...) }
	change := func(part, from, to string) []byte {
		hit := false
		out := rezip(t, good, func(name string, b []byte) []byte {
			if name == part && bytes.Contains(b, []byte(from)) {
				hit = true
				return bytes.ReplaceAll(b, []byte(from), []byte(to))
			}
			return b
		})
		if !hit {
			t.Fatalf("%s holds no %q", part, from)
		}
		return out
	}
	sheet2 := func() []byte {
		for _, p := range parts {
			if p.name == "xl/worksheets/sheet2.xml" {
				return p.data
			}
		}
		t.Fatal("no second sheet")
		return nil
	}()
	const (
		ct   = "[Content_Types].xml"
		main = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	)
	bomb := `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">` + strings.Repeat(`<!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">`, 30) + `]>`
	encrypted := append([]rawPart{}, parts...)
	encrypted[len(encrypted)-1].flags = 1
	for _, c := range []struct {
		what, says string // "" : damaged
		data       []byte
	}{
		{"a zip of nothing", "without a workbook", rawZip(t)},
		{"only the end of a zip", "without a workbook", []byte("PK\x05\x06" + strings.Repeat("\x00", 18))},
		{"a part twice", "", with(rawPart{name: "xl/worksheets/sheet2.xml", data: sheet2})},
		{"a part twice in another case", "", with(rawPart{name: "XL/Worksheets/Sheet2.xml", data: sheet2})},
		{"a part twice with the other slash", "", with(rawPart{name: `xl\worksheets\sheet2.xml`, data: sheet2})},
		{"an absolute part name", "", with(rawPart{name: "/etc/cron.d/x", data: []byte("x")})},
		{"a part name that climbs out", "", with(rawPart{name: "../../x.xml", data: []byte("<x/>")})},
		{"a part name that climbs out later", "", with(rawPart{name: "xl/../../x.xml", data: []byte("<x/>")})},
		{"a part on another drive", "", with(rawPart{name: `C:\x.xml`, data: []byte("<x/>")})},
		{"an encrypted part", "password", rawZip(t, encrypted...)},
		{"an unknown compression", "", with(rawPart{name: "docProps/x.xml", data: []byte("x"), method: 99})},
		{"no content types", "", rezip(t, good, func(name string, b []byte) []byte {
			if name == ct {
				return nil
			}
			return b
		})},
		{"the workbook given out as a document", "", change(ct, main+"sheet.main+xml", "application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xm")},
		{"sheets given out as texts", "", change(ct, main+"worksheet+xml", main+"sharedStrings+xml")},
		{"texts given out as a picture", "", change(ct, main+"sharedStrings+xml", "image/png")},
		{"a part described twice", "", change(ct, "</Types>", `<Override PartName="/xl/workbook.xml" ContentType="x"/></Types>`)},
		{"a sheet that leads out of the workbook", "", change("xl/_rels/workbook.xml.rels", "worksheets/sheet2.xml", "../../../sheet2.xml")},
		{"a sheet that leads to the texts", "", change("xl/_rels/workbook.xml.rels", "worksheets/sheet2.xml", "sharedStrings.xml")},
		{"two sheets of one name", "", change("xl/workbook.xml", `name="Work"`, `name="HORSES"`)},
		{"an entity bomb in the texts", "", change("xl/sharedStrings.xml", "<sst", bomb+"<sst")},
		{"an entity bomb in a sheet", "", change("xl/worksheets/sheet2.xml", "<worksheet", bomb+"<worksheet")},
		{"an entity from outside", "", change("xl/worksheets/sheet2.xml", "<worksheet", `<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><worksheet`)},
		{"texts as UTF-16", "", change("xl/sharedStrings.xml", `encoding="UTF-8"`, `encoding="UTF-16"`)},
		{"bytes that are no UTF-8", "", change("xl/sharedStrings.xml", "Bramble", "Bra\xffble")},
		{"something behind the document", "", change("xl/worksheets/sheet2.xml", "</worksheet>", "</worksheet>Ash")},
		{"an attribute twice", "", change("xl/worksheets/sheet2.xml", `r="A2"`, `r="A2" r="A3"`)},
		{"two values in a cell", "", change("xl/worksheets/sheet2.xml", "<v>520</v>", "<v>520</v><v>530</v>")},
		{"a text of number -1", "", change("xl/worksheets/sheet2.xml", `t="s"><v>`, `t="s"><v>-`)},
		{"a negative style", "", change("xl/worksheets/sheet2.xml", `r="A2"`, `r="A2" s="-1"`)},
		{"a row of number 0", "", change("xl/worksheets/sheet2.xml", `<row r="1"`, `<row r="0"`)},
		{"a row beyond the last", "", change("xl/worksheets/sheet2.xml", `</sheetData>`, `<row r="1048577"/></sheetData>`)},
		{"a row of number 99999999999999999999", "", change("xl/worksheets/sheet2.xml", `</sheetData>`, `<row r="99999999999999999999"/></sheetData>`)},
		{"a cell beyond the last column", "", change("xl/worksheets/sheet2.xml", `</sheetData>`, `<row r="99"><c r="XFE99"><v>1</v></c></row></sheetData>`)},
		{"a value in the last cell of all", "larger", change("xl/worksheets/sheet2.xml", `</sheetData>`, `<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>`)},
		{"a million rows with a value", "larger", change("xl/worksheets/sheet2.xml", `</sheetData>`, rows(1_000_000)+`</sheetData>`)},
	} {
		got, err := Read("week.xlsx", c.data, Options{})
		var r *xlsx.Refused
		if !errors.As(err, &r) {
			t.Errorf("%s: read as %d horses (%v)", c.what, len(got.Horses), err)
			continue
		}
		says := c.says
		if says == "" {
			says = "damaged"
		}
		if !strings.Contains(words.Told(r), says) {
			t.Errorf("%s: refused with %q, want %q (%v)", c.what, r, says, r.Cause)
		}
	}
	// Harmless oddities read as they were.
	for what, data := range map[string][]byte{
		"a wrong dimension":       change("xl/worksheets/sheet2.xml", "<sheetData>", `<dimension ref="A1:XFD1048576"/><sheetData>`),
		"a folder in the archive": with(rawPart{name: "xl/media/"}),
		"a part nobody names":     with(rawPart{name: "xl/evil.bin", data: []byte("x")}),
		"a binary part":           with(rawPart{name: "xl/vbaProject.bin", data: []byte("x")}),
	} {
		if sound(t, what, want, data) {
			_, err := Read("week.xlsx", data, Options{})
			t.Errorf("%s: refused: %v (%v)", what, err, errorCause(err))
		}
	}
}

func rows(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<row r="%d"><c r="A%d"><v>1</v></c></row>`, i+100, i+100)
	}
	return b.String()
}

// A zip bomb is refused by what it says it is, and, where it lies, by what comes
// out: no more than a part's cap is ever unpacked.
func TestZipBombs(t *testing.T) {
	good := workbook(t, fullTabs()...)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range partsOf(t, good) {
		w, err := z.Create(p.name)
		if err != nil {
			t.Fatal(err)
		}
		w.Write(p.data)
	}
	w, err := z.Create("xl/media/image1.png")
	if err != nil {
		t.Fatal(err)
	}
	chunk := make([]byte, 1<<20)
	for range 60 {
		w.Write(chunk)
	}
	z.Close()
	honest := b.Bytes()
	if _, err := Read("week.xlsx", honest, Options{}); err == nil || !strings.Contains(words.Told(err), "larger") {
		t.Errorf("60 MB of zeroes: %v", err)
	}
	// The same, said to be ten bytes long in the directory.
	liar := bytes.Clone(honest)
	at := bytes.LastIndex(liar, []byte("PK\x01\x02"))
	binary.LittleEndian.PutUint32(liar[at+24:], 10)
	if _, err := Read("week.xlsx", liar, Options{}); err == nil {
		t.Error("a part longer than it says was read")
	}
	// Many parts that point at the same bytes.
	many := []rawPart{}
	for i := range xlsx.MaxParts + 1 {
		many = append(many, rawPart{name: fmt.Sprintf("xl/%d.xml", i)})
	}
	if _, err := Read("week.xlsx", rawZip(t, append(partsOf(t, good), many...)...), Options{}); err == nil || !strings.Contains(words.Told(err), "larger") {
		t.Errorf("%d parts: %v", xlsx.MaxParts+1, err)
	}
}

// A fault below must cost one workbook a sentence, not the program its life.
func TestAPanicIsContained(t *testing.T) {
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("a panic came through: %v", p)
		}
	}()
	data := workbook(t, fullTabs()...)
	_, err := readWith("week.xlsx", data, func(string, []byte) (*xlsx.Book, error) { panic("broken library") }, Options{})
	var r *xlsx.Refused
	if !errors.As(err, &r) || !strings.Contains(words.Told(r), "fault is in this program") || strings.Contains(words.Told(r), "panic") {
		t.Errorf("the answer is %v", err)
	}
}
