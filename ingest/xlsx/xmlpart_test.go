package xlsx

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
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

// tokensOf are the tokens of XML as we read them, and as the standard library does.
func tokensOf(part string) (ours, theirs []string) {
	say := func(kind xmlToken, name xml.Name, attrs []xml.Attr, text string) string {
		return fmt.Sprint(kind, name, attrs, text)
	}
	r := xmlReader{part: part}
	for {
		kind, err := r.next()
		if err != nil {
			ours = append(ours, err.Error())
			break
		}
		switch kind {
		case aStart:
			ours = append(ours, say(kind, r.name, r.attrs, ""))
		case anEnd:
			ours = append(ours, say(kind, r.name, nil, ""))
		case aText:
			ours = append(ours, say(kind, xml.Name{}, nil, r.text))
		default:
			ours = append(ours, say(kind, xml.Name{}, nil, ""))
		}
	}
	d := xml.NewDecoder(strings.NewReader(part))
	for {
		t, err := d.RawToken()
		if err != nil {
			return ours, append(theirs, err.Error())
		}
		switch t := t.(type) {
		case xml.StartElement:
			theirs = append(theirs, say(aStart, t.Name, t.Attr, ""))
		case xml.EndElement:
			theirs = append(theirs, say(anEnd, t.Name, nil, ""))
		case xml.CharData:
			theirs = append(theirs, say(aText, xml.Name{}, nil, string(t)))
		case xml.Directive:
			theirs = append(theirs, say(aDirective, xml.Name{}, nil, ""))
		default:
			theirs = append(theirs, say(anOther, xml.Name{}, nil, ""))
		}
	}
}

// pieces are what XML and what is nearly XML is made of.
var pieces = []string{"<", ">", "/", "</", "/>", "<a", "<b", "<x:a", "<x:y:z", "a", "c", "x:d", ":", "=", "\"", "'", " ", "\n", "\r\n", "\t", "1", "é", "&amp;", "&#x41;", "&#0;", "&nbsp;", "&", ";", "]", "]]>", "<![CDATA[",
	"<!--", "-->", "<?xml version=\"1.0\" encoding=\"UTF-8\"?>", "<?p", "?>", "<!DOCTYPE a>", " b=\"1\"", " b=\"/\"", " x:c=\"2\"", " d='3'", " e = \"4\"", "<a>", "</a>", "<a/>", "<b c=\"1\" d=\"2\">", "</b>", "text", "1.5", "\x01", "\xff", "\ufeff", "\ufffe", "\uffff", "\u0800", "\xed\xa0\x80", "_", "-", "."}

// Each token is what the standard library makes of it, and so is the error, to its line.
func TestTokensAreThoseOfTheLibrary(t *testing.T) {
	same := func(t interface{ Fatalf(string, ...any) }, part string) {
		if ours, theirs := tokensOf(part); !slices.Equal(ours, theirs) {
			t.Fatalf("%q:\nours   %q\ntheirs %q", part, ours, theirs)
		}
	}
	for _, c := range parts {
		same(t, c.part)
		for i := range len(c.part) {
			same(t, c.part[:i]) // cut short
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		same(t, strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 30).Draw(t, "pieces"), ""))
	})
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
		if ours, theirs := tokensOf(part); !slices.Equal(ours, theirs) {
			t.Fatalf("%q:\nours   %q\ntheirs %q", part, ours, theirs)
		}
	})
}
