package ingest

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// token is a piece of a part's XML: where an element starts or ends, or a text.
// The names and the texts of one that was handed over are parts of the whole
// part: what is kept for long must be copied, or it keeps all of it.
type token struct {
	kind  xmlKind
	name  string     // of the element, without its prefix
	attrs []xml.Attr // of an element that starts; good until the next token
	text  string
}

type xmlKind int

const (
	elementStart xmlKind = iota
	elementEnd
	charData
)

func (t *token) attr(local string) (string, bool) {
	for _, a := range t.attrs {
		if a.Name.Local == local {
			return a.Value, true
		}
	}
	return "", false
}

// What no spreadsheet program writes.
const (
	mostNested     = 200
	mostAttributes = 250 // of one element; each is compared with the others
)

// tokens calls f for every token and fails on anything that is not strict XML
// to the last byte. Document types are refused: no spreadsheet program writes
// one, and entity bombs live there.
//
// The standard library judges what is XML. It takes ten times as long as the
// reading of what spreadsheet programs in fact write, so that is done here, and
// only parts that go beyond it are left to the library.
func tokens(part string, f func(*token) error) error {
	if plainXML(part, nil) == nil {
		return plainXML(part, f)
	}
	return anyXML(part, f)
}

// anyXML is tokens by the standard library alone.
func anyXML(part string, f func(*token) error) error {
	d := xml.NewDecoder(strings.NewReader(part))
	roots, depth := 0, 0
	for {
		t, err := d.Token()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				return err
			}
			if roots != 1 {
				return errors.New("the part holds no single document")
			}
			return nil
		}
		var out token
		switch t := t.(type) {
		case xml.Directive:
			return errors.New("the part holds a document type")
		case xml.StartElement:
			if depth == 0 {
				roots++
			}
			depth++
			if depth > mostNested {
				return errors.New("the part is nested too deeply")
			}
			if len(t.Attr) > mostAttributes {
				return tooBig("an element has too many attributes")
			}
			for i, a := range t.Attr { // the decoder lets an attribute stand twice
				for _, b := range t.Attr[:i] {
					if a.Name == b.Name {
						return fmt.Errorf("%s has two attributes %s", t.Name.Local, a.Name.Local)
					}
				}
			}
			out = token{kind: elementStart, name: t.Name.Local, attrs: t.Attr}
		case xml.EndElement:
			depth--
			out = token{kind: elementEnd, name: t.Name.Local}
		case xml.CharData:
			if depth == 0 {
				if len(bytes.TrimLeft(t, " \t\r\n\ufeff")) > 0 {
					return errors.New("the part has something outside its document")
				}
				continue
			}
			out = token{kind: charData, text: string(t)}
		default: // a comment, an instruction
			continue
		}
		if f != nil {
			if err := f(&out); err != nil {
				return err
			}
		}
	}
}

func wellFormed(part string) error { return tokens(part, nil) }

// errNotPlain says that a part holds more than plainXML reads, or is no XML.
var errNotPlain = errors.New("not plain")

// plainXML calls f for every token, as anyXML does, of a part made of nothing
// but elements with plain names and texts. It fails with errNotPlain, or with
// what f fails with. Whatever it is not sure of is not plain: comments, CDATA,
// document types, instructions, entities of the part's own, and every mistake.
func plainXML(part string, f func(*token) error) error {
	if !plainText(part) {
		return errNotPlain
	}
	rest := strings.TrimPrefix(part, "\ufeff")
	if strings.HasPrefix(rest, "<?xml ") {
		end := strings.Index(rest, "?>") + len("?>")
		if _, err := xml.NewDecoder(strings.NewReader(rest[:end])).Token(); err != nil {
			return errNotPlain
		}
		rest = rest[end:]
	}
	var open []string // names with their prefixes
	var t token
	roots := 0
	say := func() error {
		if f == nil {
			return nil
		}
		return f(&t)
	}
	for rest != "" {
		if rest[0] != '<' {
			text := rest
			if i := strings.IndexByte(rest, '<'); i >= 0 {
				text = rest[:i]
			}
			rest = rest[len(text):]
			if len(open) == 0 {
				if strings.Trim(text, " \t\r\n") != "" {
					return errNotPlain
				}
				continue
			}
			var ok bool
			if t.text, ok = readable(text); !ok {
				return errNotPlain
			}
			t.kind = charData
			if err := say(); err != nil {
				return err
			}
			continue
		}
		rest = rest[1:]
		ends := strings.HasPrefix(rest, "/")
		if ends {
			rest = rest[1:]
		}
		name, prefix := elementName(rest)
		if name == "" {
			return errNotPlain
		}
		rest = blanksOff(rest[len(name):])
		t.kind, t.name, t.attrs = elementStart, name[prefix:], t.attrs[:0]
		if ends {
			if !strings.HasPrefix(rest, ">") || len(open) == 0 || open[len(open)-1] != name {
				return errNotPlain
			}
			rest, open = rest[1:], open[:len(open)-1]
			t.kind = elementEnd
			if err := say(); err != nil {
				return err
			}
			continue
		}
		for rest != "" && rest[0] != '>' && rest[0] != '/' {
			var a xml.Attr
			var ok bool
			if a, rest, ok = attribute(rest); !ok {
				return errNotPlain
			}
			for _, b := range t.attrs {
				if a.Name.Local == b.Name.Local {
					return errNotPlain
				}
			}
			if t.attrs = append(t.attrs, a); len(t.attrs) > mostAttributes {
				return errNotPlain
			}
		}
		if len(open) == 0 {
			roots++
		}
		if open = append(open, name); len(open) > mostNested {
			return errNotPlain
		}
		alone := strings.HasPrefix(rest, "/>")
		if alone {
			rest = rest[1:]
		} else if !strings.HasPrefix(rest, ">") {
			return errNotPlain
		}
		rest = rest[1:]
		if err := say(); err != nil {
			return err
		}
		if alone {
			open = open[:len(open)-1]
			t.kind = elementEnd
			if err := say(); err != nil {
				return err
			}
		}
	}
	if len(open) > 0 || roots != 1 {
		return errNotPlain
	}
	return nil
}

// plainText says whether a part is made of characters that XML allows, and of
// none that begin a comment, CDATA or a document type, or end CDATA.
func plainText(part string) bool {
	for i := range len(part) {
		if c := part[i]; c < ' ' && c != '\t' && c != '\n' && c != '\r' {
			return false
		}
	}
	for _, s := range []string{"<!", "]]>", "\ufffe", "\uffff"} {
		if strings.Contains(part, s) {
			return false
		}
	}
	return utf8.ValidString(part)
}

func blanksOff(s string) string {
	for s != "" && (s[0] == ' ' || s[0] == '\n' || s[0] == '\r' || s[0] == '\t') {
		s = s[1:]
	}
	return s
}

// elementName is the name that s begins with, and where in it its local part
// begins; "" if it is none or not a plain one.
func elementName(s string) (name string, local int) {
	n := 0
	for n < len(s) && (s[n] >= 'a' && s[n] <= 'z' || s[n] >= 'A' && s[n] <= 'Z' || s[n] == '_' ||
		n > 0 && (s[n] >= '0' && s[n] <= '9' || s[n] == '-' || s[n] == '.' || s[n] == ':' && local == 0)) {
		if n++; s[n-1] == ':' {
			local = n
		}
	}
	if n == 0 || local == n || n < len(s) && (s[n] == ':' || s[n] >= utf8.RuneSelf) {
		return "", 0
	}
	return s[:n], local
}

// attribute takes an attribute and the blanks behind it off the front of s.
func attribute(s string) (a xml.Attr, rest string, ok bool) {
	name, local := elementName(s)
	rest = blanksOff(s[len(name):])
	if name == "" || !strings.HasPrefix(rest, "=") {
		return a, s, false
	}
	rest = blanksOff(rest[1:])
	if rest == "" || rest[0] != '"' && rest[0] != '\'' {
		return a, s, false
	}
	end := strings.IndexByte(rest[1:], rest[0])
	if end < 0 {
		return a, s, false
	}
	a.Name.Local = name[local:]
	if local > 0 {
		a.Name.Space = name[:local-1]
	}
	value := rest[1 : 1+end]
	if strings.IndexByte(value, '<') >= 0 {
		return a, s, false
	}
	if a.Value, ok = readable(value); a.Name.Space == "xmlns" && a.Value == "" {
		ok = false // a prefix that means none
	}
	return a, blanksOff(rest[end+2:]), ok
}

// readable is a text as it is meant: every new line as one character, and the
// characters that are written by name or number as they are.
func readable(s string) (string, bool) {
	if strings.IndexByte(s, '\r') >= 0 {
		s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	}
	i := strings.IndexByte(s, '&')
	if i < 0 {
		return s, true
	}
	var b strings.Builder
	for ; i >= 0; i = strings.IndexByte(s, '&') {
		name, rest, ok := strings.Cut(s[i+1:], ";")
		r, known := entities[name]
		if digits, is := strings.CutPrefix(name, "#"); is {
			base := 10
			if hex, is := strings.CutPrefix(digits, "x"); is {
				digits, base = hex, 16
			}
			n, err := strconv.ParseUint(digits, base, 16)
			r, known = rune(n), err == nil && n >= ' ' && n < 0xd800
			if n == '\t' || n == '\n' || n == '\r' {
				known = err == nil
			}
		}
		if !ok || !known {
			return "", false
		}
		b.WriteString(s[:i])
		b.WriteRune(r)
		s = rest
	}
	b.WriteString(s)
	return b.String(), true
}

var entities = map[string]rune{"lt": '<', "gt": '>', "amp": '&', "quot": '"', "apos": '\''}
