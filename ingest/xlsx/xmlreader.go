package xlsx

import (
	"encoding/xml"
	"errors"
	"strings"
	"unicode/utf8"
)

// xmlReader reads a part of XML token by token. What spreadsheet programs write nearly all
// of their tokens in (names and values of plain letters, nothing that stands for anything
// else) it reads by itself, without copying. Every other token, and whatever is not well
// formed, it leaves to the standard library, which reads the part on from there: nothing
// is taken here that the library would refuse, or read as something else.
type xmlReader struct {
	part string
	at   int // the first byte that is not read yet

	name   xml.Name // of an element
	attrs  []xml.Attr
	text   string
	closes bool // the element that was read last ends where it starts

	library *xml.Decoder // that read the token before; nil: it was a plain one
	from    int          // where it began
}

// xmlToken is what a piece of XML is.
type xmlToken int

const (
	anOther xmlToken = iota // a comment, an instruction
	aStart
	anEnd
	aText
	aDirective
)

// next reads a token. The error at the end of the part is io.EOF.
func (r *xmlReader) next() (xmlToken, error) {
	if r.closes {
		r.closes = false
		return anEnd, nil
	}
	if r.at+1 < len(r.part) {
		switch c := r.part[r.at]; {
		case c != '<':
			if r.plainText() {
				return aText, nil
			}
		case r.part[r.at+1] == '/':
			if r.plainEnd() {
				return anEnd, nil
			}
		case r.plainStart():
			return aStart, nil
		}
	}
	return r.byLibrary()
}

// plainText takes a text before the next element that is nothing but letters.
func (r *xmlReader) plainText() bool {
	n := strings.IndexByte(r.part[r.at:], '<')
	if n < 0 {
		return false
	}
	s, ascii := r.part[r.at:r.at+n], true
	for i := range len(s) {
		switch {
		case s[i] >= utf8.RuneSelf:
			ascii = false
		case !plainByte[s[i]] && s[i] != '\n' && s[i] != '"':
			return false
		}
	}
	// U+FFFE and U+FFFF are no letters of XML.
	if !ascii && (!utf8.ValidString(s) || strings.Contains(s, "\ufffe") || strings.Contains(s, "\uffff")) {
		return false
	}
	r.text, r.at, r.library = s, r.at+n, nil
	return true
}

// plainByte is what stands for itself in a text and in a value alike.
var plainByte = func() (is [256]bool) {
	for c := byte(' '); c <= '~'; c++ {
		is[c] = !strings.ContainsRune("<&]\"", rune(c)) // ]]> must not be in a text
	}
	return is
}()

// nameByte is what plain names are made of, by whether it may begin one.
var nameByte = func() (is [256]struct{ first, rest bool }) {
	for c := range is {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		is[c].first = letter
		is[c].rest = letter || c >= '0' && c <= '9'
	}
	return is
}()

// plainName is a name at a place, with one prefix or none, and where it ends; 0: there is
// none, or no plain one.
func (r *xmlReader) plainName(at int) (name xml.Name, end int) {
	one := func(i int) int {
		if i >= len(r.part) || !nameByte[r.part[i]].first {
			return 0
		}
		for i++; i < len(r.part) && nameByte[r.part[i]].rest; i++ {
		}
		return i
	}
	end = one(at)
	if end == 0 || end >= len(r.part) {
		return name, 0
	}
	name.Local = r.part[at:end]
	if r.part[end] != ':' {
		return name, end
	}
	second := end + 1
	if end = one(second); end == 0 || end >= len(r.part) {
		return name, 0
	}
	return xml.Name{Space: name.Local, Local: r.part[second:end]}, end
}

// plainEnd takes the end of an element.
func (r *xmlReader) plainEnd() bool {
	name, end := r.plainName(r.at + 2)
	if end == 0 || r.part[end] != '>' {
		return false
	}
	r.name, r.at, r.library = name, end+1, nil
	return true
}

// plainStart takes the start of an element, one blank before each attribute.
func (r *xmlReader) plainStart() bool {
	name, at := r.plainName(r.at + 1)
	if at == 0 {
		return false
	}
	attrs := r.attrs[:0]
	for {
		switch r.part[at] {
		case '>':
			r.name, r.attrs, r.at, r.library = name, attrs, at+1, nil
			return true
		case '/':
			if at+1 >= len(r.part) || r.part[at+1] != '>' {
				return false
			}
			r.name, r.attrs, r.at, r.library, r.closes = name, attrs, at+2, nil, true
			return true
		case ' ':
		default:
			return false
		}
		of, end := r.plainName(at + 1)
		if end == 0 || end+1 >= len(r.part) || r.part[end] != '=' || r.part[end+1] != '"' {
			return false
		}
		from := end + 2
		for at = from; at < len(r.part) && plainByte[r.part[at]]; at++ {
		}
		if at+1 >= len(r.part) || r.part[at] != '"' {
			return false
		}
		attrs = append(attrs, xml.Attr{Name: of, Value: r.part[from:at]})
		at++
	}
}

// byLibrary has the standard library read the next token: that which read the one before,
// where there was one.
func (r *xmlReader) byLibrary() (xmlToken, error) {
	if r.library == nil {
		r.library, r.from = xml.NewDecoder(strings.NewReader(r.part[r.at:])), r.at
	}
	t, err := r.library.RawToken()
	if err != nil {
		var syntax *xml.SyntaxError
		if errors.As(err, &syntax) {
			syntax.Line += strings.Count(r.part[:r.from], "\n")
		}
		return anOther, err
	}
	from := r.at
	r.at = r.from + int(r.library.InputOffset())
	switch t := t.(type) {
	case xml.StartElement:
		r.name, r.attrs = t.Name, t.Attr
		// Values are in quotes, so that only an element that ends so has this end.
		if r.closes = strings.HasSuffix(r.part[from:r.at], "/>"); r.closes {
			r.library = nil // it would tell of the end once more
		}
		return aStart, nil
	case xml.EndElement:
		r.name = t.Name
		return anEnd, nil
	case xml.CharData:
		r.text = string(t)
		return aText, nil
	case xml.Directive:
		return aDirective, nil
	}
	return anOther, nil
}
