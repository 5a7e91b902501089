package ingest

import (
	"bytes"
	"errors"
	"regexp"
	"strings"
	"testing"

	"hardfeed/ingest/xlsx"
	"hardfeed/report/words"
)

// A value whose element or mark bears another name than the format has would be
// skipped: such a workbook is refused. What other programs keep beside the values is none
// of our business. The names are those of ECMA-376 part 1, 18.3.1.4, 18.3.1.73,
// 18.3.1.80, 18.4.8 and 18.4.9.
func TestUnknownElementsAreDamage(t *testing.T) {
	good := workbook(t, fullTabs()...)
	const sheet, texts = "xl/worksheets/sheet2.xml", "xl/sharedStrings.xml"
	change := func(name string, swap func(string) string) []byte {
		hit := false
		out := rezip(t, good, func(n string, b []byte) []byte {
			if n != name {
				return b
			}
			to := []byte(swap(string(b)))
			hit = !bytes.Equal(b, to)
			return to
		})
		if !hit {
			t.Fatalf("nothing was changed in %s", name)
		}
		return out
	}
	// rename gives the first element of a name another one, at both its ends.
	rename := func(from, to string) func(string) string {
		open := regexp.MustCompile("<" + from + "([ >])")
		return func(s string) string {
			m := open.FindStringSubmatchIndex(s)
			if m == nil {
				return s
			}
			j := m[2] + strings.Index(s[m[2]:], "</"+from+">")
			return s[:m[0]] + "<" + to + s[m[2]:j] + "</" + to + ">" + s[j+len(from)+3:]
		}
	}
	for what, data := range map[string][]byte{
		"a value":            change(sheet, rename("v", "w")),
		"a cell":             change(sheet, rename("c", "d")),
		"a row":              change(sheet, rename("row", "rov")),
		"the rows":           change(sheet, rename("sheetData", "sheetDate")),
		"a text":             change(texts, rename("t", "u")),
		"a text's item":      change(texts, rename("si", "sj")),
		"a value in a value": change(sheet, func(s string) string { return strings.Replace(s, "<v>", "<v><x>1</x>", 1) }),
		"the kind of a cell": change(sheet, func(s string) string { return strings.Replace(s, ` t="s"`, ` u="s"`, 1) }),
		"the style of a cell": change(sheet, func(s string) string {
			return strings.Replace(s, `<c r="A1"`, `<c q="1" r="A1"`, 1)
		}),
	} {
		_, err := Read("week.xlsx", data, Options{})
		var r *xlsx.Refused
		if !errors.As(err, &r) || !strings.Contains(words.Told(err), "damaged") {
			t.Errorf("%s of another name: %v", what, err)
		}
	}
	for what, data := range map[string][]byte{
		"what another program keeps in a row": change(sheet, func(s string) string {
			return strings.Replace(s, "</row>", "<extLst><ext><x>1</x></ext></extLst></row>", 1)
		}),
		"what another program keeps in a cell": change(sheet, func(s string) string {
			return strings.Replace(s, "</c>", "<extLst><ext><v>1</v></ext></extLst></c>", 1)
		}),
		"a mark with a name space": change(sheet, func(s string) string {
			return strings.Replace(strings.Replace(s, "<worksheet ", `<worksheet xmlns:z="urn:z" `, 1), "<c r=", `<c z:q="1" r=`, 1)
		}),
		"a text in pieces": change(texts, func(s string) string {
			return strings.Replace(s, "<t>", `<r><rPr><b/><sz val="11"/></rPr><t></t></r><phoneticPr fontId="1"/><t>`, 1)
		}),
	} {
		if _, err := Read("week.xlsx", data, Options{}); err != nil {
			t.Errorf("%s: %s", what, words.Told(err))
		}
	}
}
