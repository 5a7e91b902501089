package xlsx

import (
	"encoding/xml"
	"strings"
	"testing"
)

// allTokens reads XML to its end as the standard library does by itself.
func allTokens(part string) error {
	d := xml.NewDecoder(strings.NewReader(part))
	for {
		if t, err := d.Token(); t == nil {
			if err.Error() == "EOF" {
				return nil
			}
			return err
		}
	}
}

var parts = []struct {
	part string
	good bool
}{
	{`<a/>`, true},
	{"\ufeff" + `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\r\n" + `<x:a xmlns:x="u" x:b = 'c>' d="1"><e x:f=""/>t</x:a >` + "\n", true},
	{`<a b="&lt;&amp;&#10;&#xE9;&quot;">&gt;&apos; é<!-- b --><![CDATA[b]]><?b c?></a>`, true},
	{`<a><b></a></b>`, false},
	{`<x:a></y:a>`, false},
	{`<x:a></a>`, false},
	{`<a>`, false},
	{`<a><b></b>`, false},
	{`</a>`, false},
	{`<a></a></a>`, false},
	{`<a/><b/>`, false},
	{`a<b/>`, false},
	{`<b/>a`, false},
	{``, false},
	{`<!DOCTYPE a><a/>`, false},
	{`<a b="1" b="2"/>`, false},
	{`<a b></a>`, false},
	{`<a b="<"></a>`, false},
	{`<a>&nbsp;</a>`, false},
	{"<a>\x01</a>", false},
	{"<a>\xff</a>", false},
	{strings.Repeat("<a>", 200) + strings.Repeat("</a>", 200), true},
	{strings.Repeat("<a>", 201) + strings.Repeat("</a>", 201), false},
}

func TestWhatIsStrictXML(t *testing.T) {
	for _, c := range parts {
		if err := wellFormed(c.part); (err == nil) != c.good {
			t.Errorf("%q: %v", c.part, err)
		}
	}
}

// Nothing is let through that the standard library would refuse.
func FuzzXML(f *testing.F) {
	for _, c := range parts {
		f.Add(c.part)
	}
	f.Fuzz(func(t *testing.T, part string) {
		if wellFormed(part) != nil {
			return
		}
		if err := allTokens(part); err != nil {
			t.Fatalf("%q: %v", part, err)
		}
	})
}
