package ingest

import (
	"regexp"
	"strings"
	"testing"

	"hardfeed/report/words"
)

// Packages that other programs write and other readers open, each odd in one way: they are
// read as the week they hold, or the refusal says what is odd. None is read short.
func TestOddPackages(t *testing.T) {
	data := workbook(t, fullTabs()...)
	want, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	without := func(pattern string) func(string) string {
		re := regexp.MustCompile(pattern)
		return func(s string) string { return re.ReplaceAllString(s, "") }
	}
	into := func(pattern, to string) func(string) string {
		re := regexp.MustCompile(pattern)
		return func(s string) string { return re.ReplaceAllString(s, to) }
	}
	sheet := func(name string) bool { return strings.HasPrefix(name, "xl/worksheets/sheet") }
	one := func(part string) func(string) bool { return func(name string) bool { return name == part } }
	every := func(string) bool { return true }
	const blank = `<sheet name="blank" sheetId="99" r:id="rId99" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"/></sheets>`
	type change struct {
		of func(name string) bool
		to func(string) string
	}
	for _, c := range []struct {
		what   string
		drop   string // parts that go
		change []change
		add    map[string]string
		odd    string // what the refusal says; "": it is read
	}{
		{what: "as it is"},
		{what: "no document properties", drop: `^docProps/`},
		{what: "properties that nothing names", drop: `^docProps/`, change: []change{{one("_rels/.rels"), without(`<Relationship [^>]*docProps[^>]*>(</Relationship>)?`)}, {one("[Content_Types].xml"), without(`<Override [^>]*docProps[^>]*>(</Override>)?`)}}},
		{what: "no theme", drop: `theme`},
		{what: "no size of the sheet", change: []change{{sheet, without(`<dimension[^>]*>(</dimension>)?`)}}},
		{what: "a size that is wrong", change: []change{{sheet, into(`<sheetData>`, `<dimension ref="A1"/><sheetData>`)}}},
		{what: "counts of texts that are wrong", change: []change{{one("xl/sharedStrings.xml"), into(`uniqueCount="\d+"`, `uniqueCount="2"`)}}},
		{what: "addresses from the root", change: []change{{one("xl/_rels/workbook.xml.rels"), into(`Target="([a-z])`, `Target="/xl/$1`)}}},
		{what: "addresses with a dot", change: []change{{one("xl/_rels/workbook.xml.rels"), into(`Target="(?:/xl/)?([a-z])`, `Target="./$1`)}}},
		{what: "addresses up and down", change: []change{{one("xl/_rels/workbook.xml.rels"), into(`Target="(?:/xl/)?([a-z])`, `Target="../xl/$1`)}}},
		{what: "a mark before the text", change: []change{{func(n string) bool { return strings.HasSuffix(n, ".xml") }, func(s string) string { return "\ufeff" + s }}}},
		{what: "the strict name spaces", change: []change{{every, func(s string) string {
			return strings.NewReplacer("http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main",
				"http://schemas.openxmlformats.org/officeDocument/2006/relationships", "http://purl.oclc.org/ooxml/officeDocument/relationships").Replace(s)
		}}}},
		{what: "comments of a tool", change: []change{{sheet, into(`<sheetData>`, `<!-- made by a tool --><?tool x?><sheetData>`)}}},
		{what: "parts nobody knows", add: map[string]string{"xl/other/thing.bin": "\x00\x01\x02", "customXml/item1.xml": "<a/>", "__MACOSX/._week": "x", ".DS_Store": "x"}},
		{what: "a part that is named and is not there", change: []change{{one("xl/_rels/workbook.xml.rels"), into(`</Relationships>`, `<Relationship Id="rId98" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLink" Target="externalLinks/externalLink1.xml"/></Relationships>`)}}},
		{what: "a kind of a tab that is not said", change: []change{{one("[Content_Types].xml"), without(`<Override [^>]*sheet1\.xml[^>]*>(</Override>)?`)}}},
		{what: "a kind that is another", change: []change{{one("[Content_Types].xml"), into(`(sheet1\.xml"[^>]*)worksheet\+xml`, "${1}chartsheet+xml")}}, odd: "sheet1.xml is said to be"},
		{what: "rows before their kinds of look", change: []change{{sheet, into(`<row r="(\d+)"[^>]*>`, `<row r="$1" spans="1:1" customFormat="1" ht="0">`)}}},
		{what: "cells in small letters", change: []change{{sheet, into(`<c r="A2"`, `<c r="a2"`)}}, odd: "small letters"},
		{what: "no kinds of parts", drop: `Content_Types`, odd: "[content_types].xml is missing"},
		{what: "looks that are named and not there", drop: `styles`, odd: "xl/styles.xml is missing"},
		{what: "a tab without its rows", change: []change{{sheet, into(`(?s)<sheetData.*</sheetData>`, ``)}}, odd: "no rows"},
		{what: "a text that is named and not there", change: []change{{one("xl/sharedStrings.xml"), into(`(?s)<si>.*?</si>`, ``)}}, odd: "text"},
		{what: "a tab with nothing in it", add: map[string]string{"xl/worksheets/sheet99.xml": `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>`}, change: []change{
			{one("xl/workbook.xml"), into(`</sheets>`, blank)},
			{one("xl/_rels/workbook.xml.rels"), into(`</Relationships>`, `<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet99.xml"/></Relationships>`)},
			{one("[Content_Types].xml"), into(`</Types>`, `<Override PartName="/xl/worksheets/sheet99.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`)}}},
	} {
		var parts []rawPart
		changed := len(c.add)
		for _, p := range partsOf(t, data) {
			if c.drop != "" && regexp.MustCompile(c.drop).MatchString(p.name) {
				changed++
				continue
			}
			was := string(p.data)
			for _, ch := range c.change {
				if ch.of(p.name) {
					p.data = []byte(ch.to(string(p.data)))
				}
			}
			if string(p.data) != was {
				changed++
			}
			parts = append(parts, p)
		}
		for name, text := range c.add {
			parts = append(parts, rawPart{name: name, data: []byte(text)})
		}
		if (changed > 0) != (c.what != "as it is") {
			t.Errorf("%s: %d parts are changed", c.what, changed)
		}
		got, err := Read("week.xlsx", rawZip(t, parts...), Options{})
		switch {
		case c.odd == "" && err != nil:
			t.Errorf("%s: %v", c.what, words.Told(err))
		case c.odd != "" && (err == nil || !strings.Contains(words.Told(err), c.odd)):
			t.Errorf("%s: %v", c.what, err)
		case c.odd == "" && (gist(got) != gist(want) || len(got.Horses) != len(want.Horses)):
			t.Errorf("%s: read as\n%s\nwant\n%s", c.what, gist(got), gist(want))
		}
	}
	// What is before or behind the archive is no part of it.
	for what, odd := range map[string][]byte{"bytes behind it": append([]byte(string(data)), "\r\n\x00\x00\x00"...)} {
		if got, err := Read("week.xlsx", odd, Options{}); err != nil || gist(got) != gist(want) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
