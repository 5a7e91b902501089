package ingest

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// said writes down what a reader of XML hands over.
func said(part string, tokens func(string, func(*token) error) error) ([]string, error) {
	var all []string
	err := tokens(part, func(t *token) error {
		switch t.kind {
		case elementStart:
			line := "<" + t.name
			for _, a := range t.attrs {
				line += fmt.Sprintf(" %t:%s=%q", a.Name.Space != "", a.Name.Local, a.Value)
			}
			all = append(all, line)
		case elementEnd:
			all = append(all, "/"+t.name)
		case charData:
			all = append(all, fmt.Sprintf("%q", t.text))
		}
		return nil
	})
	return all, err
}

// checkPlain holds what is read here against the standard library.
func checkPlain(t noter, part string) (plain bool) {
	t.Helper()
	got, err := said(part, plainXML)
	if err != nil {
		return false
	}
	want, err := said(part, anyXML)
	if err != nil || strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Fatalf("%q is read as\n%s\nand by the library as\n%s\n%v", part, strings.Join(got, "\n"), strings.Join(want, "\n"), err)
	}
	return true
}

var xmlSeeds = []struct {
	part  string
	plain bool
}{
	{`<a/>`, true},
	{"\ufeff" + `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\r\n" + `<x:a xmlns:x="u" x:b = 'c>' d="1"><e x:f=""/>t</x:a >` + "\n", true},
	{`<a b="&lt;&amp;&#10;&#xE9;&quot;">&gt;&apos;` + "\r\n\r é</a>", true},
	{`<a>]]></a>`, false},
	{`<a>]] ></a>`, true},
	{`<a><!-- b --></a>`, false},
	{`<a><![CDATA[b]]></a>`, false},
	{`<!DOCTYPE a><a/>`, false},
	{`<a><?b c?></a>`, false},
	{`<?xml version="1.1"?><a/>`, false},
	{`<?xml version="1.0" encoding="latin1"?><a/>`, false},
	{`<?xml `, false},
	{``, false},
	{`a<b/>`, false},
	{`<a/><b/>`, false},
	{`<a><b></a></b>`, false},
	{`<x:a></y:a>`, false},
	{`<a`, false},
	{`<a>`, false},
	{`</a>`, false},
	{`<a b></a>`, false},
	{`<a b=c></a>`, false},
	{`<a b="<"></a>`, false},
	{`<a b="1" b="2"/>`, false},
	{`<a xmlns:x="u" xmlns:y="u" x:b="1" y:b="2"/>`, false},
	{`<a xmlns:x="" x:b="1"/>`, false},
	{`<a b="1"c="2"/>`, true},
	{`<a / >`, false},
	{`< a/>`, false},
	{`<a:b:c/>`, false},
	{`<:a/>`, false},
	{`<a:/>`, false},
	{`<1/>`, false},
	{`<é/>`, false},
	{`<a>&nbsp;</a>`, false},
	{`<a>&#0;</a>`, false},
	{`<a>&#xD800;</a>`, false},
	{`<a>& b;</a>`, false},
	{"<a>\x01</a>", false},
	{"<a>\xff</a>", false},
	{"<a>\uffff</a>", false},
	{strings.Repeat("<a>", 201) + strings.Repeat("</a>", 201), false},
}

func TestXMLReadHereIsXMLToTheLibrary(t *testing.T) {
	for _, c := range xmlSeeds {
		if checkPlain(t, c.part) != c.plain {
			t.Errorf("%q: plain is %v", c.part, !c.plain)
		}
	}
}

// What spreadsheet programs write is read here, and what is damaged in it is
// damaged to the library too.
func TestXMLOfSpreadsheetPrograms(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for name, data := range victims(t) {
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range z.File {
			if !readsAsXML(f.Name) {
				continue
			}
			part, err := readPart(f, maxPart)
			if err != nil {
				t.Fatal(err)
			}
			if !checkPlain(t, part) && (strings.HasPrefix(f.Name, "xl/worksheets/") || strings.HasPrefix(f.Name, "xl/shared")) {
				t.Errorf("%s of %s is left to the library", f.Name, name)
			}
			for range 20 {
				bad := []byte(part)
				for range 1 + rng.IntN(2) {
					bad[rng.IntN(len(bad))] = `<>/&;"'= :!?]ax`[rng.IntN(15)]
				}
				checkPlain(t, string(bad))
			}
		}
	}
}

func FuzzXML(f *testing.F) {
	for _, c := range xmlSeeds {
		f.Add(c.part)
	}
	f.Fuzz(func(t *testing.T, part string) { checkPlain(t, part) })
}
