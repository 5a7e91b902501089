package ingest

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"hardfeed/ingest/xlsx"
	"hardfeed/report/words"
)

// moved is a workbook with its parts renamed, and the words by which they name each
// other changed with them.
func moved(t *testing.T, data []byte, names func(string) string, words *strings.Replacer) []byte {
	t.Helper()
	parts := partsOf(t, data)
	for i := range parts {
		parts[i].name = names(parts[i].name)
		if words != nil && (strings.HasSuffix(parts[i].name, ".rels") || strings.Contains(parts[i].name, "Content_Types")) {
			parts[i].data = []byte(words.Replace(string(parts[i].data)))
		}
	}
	return rawZip(t, parts...)
}

// Workbooks whose parts are named or placed as the standard allows and few programs do
// are read as what they are: the very same week.
func TestPartsInUnusualPlaces(t *testing.T) {
	back := func(n string) string { return strings.ReplaceAll(n, "/", `\`) }
	for name, data := range victims(t) {
		want, err := Read("week.xlsx", data, Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for way, odd := range map[string][]byte{
			"backslashes": moved(t, data, back, nil),
			"backslashes before the names": moved(t, data, func(n string) string {
				if strings.HasPrefix(n, "xl/") {
					return `\` + back(n)
				}
				return n
			}, nil),
			"capitals": moved(t, data, func(n string) string {
				if n == "xl/workbook.xml" {
					return "xl/Workbook.xml"
				}
				return n
			}, nil),
			"another folder": moved(t, data, func(n string) string {
				if rest, is := strings.CutPrefix(n, "xl/"); is {
					return "book/inner/" + rest
				}
				return n
			}, strings.NewReplacer("/xl/", "/book/inner/", `"xl/`, `"book/inner/`)),
			"at the root": moved(t, data, func(n string) string {
				if n == "xl/_rels/workbook.xml.rels" {
					return "_rels/workbook.xml.rels"
				}
				return strings.TrimPrefix(n, "xl/")
			}, strings.NewReplacer(`"/xl/`, `"/`, `"xl/`, `"`)),
			"the workbook by another name": moved(t, data, func(n string) string {
				return strings.Replace(n, "workbook.xml", "book2.xml", 1)
			}, strings.NewReplacer("workbook.xml", "book2.xml")),
		} {
			got, err := Read("week.xlsx", odd, Options{})
			if err != nil {
				var r *xlsx.Refused
				if errors.As(err, &r) {
					t.Errorf("%s, %s: %v (%v)", name, way, err, r.Cause)
				}
				continue
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s, %s: read as %d horses, %d lines instead of %d, %d", name, way, len(got.Horses), len(got.Lines), len(want.Horses), len(want.Lines))
			}
		}
	}
}

// What is missing and holds no cell's value stops nothing; what holds one does.
func TestAPartThatIsMissing(t *testing.T) {
	data := workbook(t, fullTabs()...)
	want, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	without := func(part string) []byte {
		var parts []rawPart
		for _, p := range partsOf(t, data) {
			if !strings.Contains(p.name, part) {
				parts = append(parts, p)
			}
		}
		return rawZip(t, parts...)
	}
	if got, err := Read("week.xlsx", without("theme"), Options{}); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("without its theme: %v", err)
	}
	for _, part := range []string{"sheet2.xml", "sharedStrings", "styles"} {
		_, err := Read("week.xlsx", without(part), Options{})
		if err == nil || !strings.Contains(strings.ToLower(words.Told(err)), strings.ToLower(part)) || !strings.Contains(words.Told(err), "is missing") {
			t.Errorf("without %s: %v", part, err)
		}
	}
}

// Damaged and in an unusual place: a refusal, or the same week.
func TestUnusualAndDamaged(t *testing.T) {
	data := workbook(t, fullTabs()...)
	want, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	odd := moved(t, data, func(n string) string { return strings.ReplaceAll(n, "/", `\`) }, nil)
	refused := 0
	for i := range 400 {
		bad := []byte(string(odd))
		bad[i*len(bad)/400] ^= 1 << (i % 8)
		if sound(t, fmt.Sprintf("bit %d", i), want, bad) {
			refused++
		}
	}
	if refused < 200 {
		t.Errorf("only %d of 400 were refused", refused)
	}
	twice := moved(t, data, func(n string) string {
		if n == "xl/worksheets/sheet2.xml" {
			return `xl\worksheets\SHEET1.xml`
		}
		return n
	}, nil)
	if !sound(t, "two parts of one name", want, twice) {
		t.Error("two parts of one name were read")
	}
}

// Parts in UTF-16, which the standard allows, or in the letters that old tools write, are
// read as what they say.
func TestPartsInOtherLetters(t *testing.T) {
	named := func(encoding string, encode func(string) (string, error)) func(string) string {
		return func(part string) string {
			rest := part
			if strings.HasPrefix(part, "<?xml") {
				_, rest, _ = strings.Cut(part, "?>")
			}
			out, err := encode(`<?xml version="1.0" encoding="` + encoding + `" standalone="yes"?>` + rest)
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
	}
	utf16 := func(order unicode.Endianness) func(string) (string, error) {
		return unicode.UTF16(order, unicode.UseBOM).NewEncoder().String
	}
	for way, to := range map[string]func(string) string{
		"UTF-16, low byte first":  named("UTF-16", utf16(unicode.LittleEndian)),
		"UTF-16, high byte first": named("utf-16", utf16(unicode.BigEndian)),
		"ISO-8859-1":              named("ISO-8859-1", encoding.HTMLEscapeUnsupported(charmap.ISO8859_1.NewEncoder()).String),
		"Windows-1252":            named("windows-1252", encoding.HTMLEscapeUnsupported(charmap.Windows1252.NewEncoder()).String),
	} {
		for name, data := range victims(t) {
			want, err := Read("week.xlsx", data, Options{})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			parts := partsOf(t, data)
			for i, p := range parts {
				if strings.HasPrefix(p.name, "xl/worksheets/sheet") || p.name == "xl/sharedStrings.xml" || p.name == "xl/workbook.xml" {
					parts[i].data = []byte(to(strings.TrimPrefix(string(p.data), "\ufeff")))
				}
			}
			got, err := Read("week.xlsx", rawZip(t, parts...), Options{})
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%s in %s: %d horses of %d (%v)", name, way, len(got.Horses), len(want.Horses), err)
			}
		}
	}
	// What no reader of spreadsheets knows is not guessed at.
	for name, data := range victims(t) {
		parts := partsOf(t, data)
		for i, p := range parts {
			if p.name == "xl/workbook.xml" {
				parts[i].data = []byte(named("EBCDIC-US", func(s string) (string, error) { return s, nil })(string(p.data)))
			}
		}
		if _, err := Read("week.xlsx", rawZip(t, parts...), Options{}); err == nil {
			t.Errorf("%s in EBCDIC is read", name)
		}
	}
}
