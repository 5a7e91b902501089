package xlsx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"hardfeed/ration/yard"
)

// token is a piece of a part's XML: where an element starts or ends, or a text.
type token struct {
	kind  xmlKind
	name  string     // of the element, without its prefix
	attrs []xml.Attr // of an element that starts
	text  []byte     // good until the next token
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
// one, and entity bombs live there. The standard library reads; that each element
// ends where it should is checked here, which spares looking up what every prefix
// stands for.
func tokens(part string, f func(*token) error) error {
	d := xml.NewDecoder(strings.NewReader(part))
	roots := 0
	var open []xml.Name
	var out token // one for all: there are millions
	for {
		t, err := d.RawToken()
		if err != nil {
			switch {
			case !errors.Is(err, io.EOF):
				return err
			case len(open) > 0:
				return yard.Troubled(yard.Say("part.damage.open", stands("element", open[len(open)-1].Local)))
			case roots != 1:
				return yard.Troubled(yard.Say("part.damage.document"))
			}
			return nil
		}
		switch t := t.(type) {
		case xml.Directive:
			return yard.Troubled(yard.Say("part.damage.type"))
		case xml.StartElement:
			if len(open) == 0 {
				roots++
			}
			if open = append(open, t.Name); len(open) > mostNested {
				return yard.Troubled(yard.Say("part.damage.nested"))
			}
			if len(t.Attr) > mostAttributes {
				return tooBig(yard.Say("part.large.attributes"))
			}
			for i, a := range t.Attr { // the decoder lets an attribute be there twice
				for _, b := range t.Attr[:i] {
					if a.Name == b.Name {
						return yard.Troubled(yard.Say("part.damage.attributes", stands("element", t.Name.Local), stands("attribute", a.Name.Local)))
					}
				}
			}
			out = token{kind: elementStart, name: t.Name.Local, attrs: t.Attr}
		case xml.EndElement:
			if len(open) == 0 || open[len(open)-1] != t.Name {
				return yard.Troubled(yard.Say("part.damage.end", stands("element", t.Name.Local)))
			}
			open = open[:len(open)-1]
			out = token{kind: elementEnd, name: t.Name.Local}
		case xml.CharData:
			if len(open) == 0 {
				if len(bytes.TrimLeft(t, " \t\r\n\ufeff")) > 0 {
					return yard.Troubled(yard.Say("part.damage.outside"))
				}
				continue
			}
			out = token{kind: charData, text: t}
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
