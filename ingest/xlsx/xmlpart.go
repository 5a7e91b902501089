package xlsx

import (
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
// one, and entity bombs live there. That each element ends where it should is checked
// here, which spares looking up what every prefix stands for.
func tokens(part string, f func(*token) error) error {
	r := xmlReader{part: part}
	roots := 0
	var open []xml.Name
	var out token // one for all: there are millions
	for {
		t, err := r.next()
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
		switch t {
		case aDirective:
			return yard.Troubled(yard.Say("part.damage.type"))
		case aStart:
			if len(open) == 0 {
				roots++
			}
			if open = append(open, r.name); len(open) > mostNested {
				return yard.Troubled(yard.Say("part.damage.nested"))
			}
			if len(r.attrs) > mostAttributes {
				return tooBig(yard.Say("part.large.attributes"))
			}
			if twice := attributeTwice(r.attrs); twice != "" { // the decoder lets it pass
				return yard.Troubled(yard.Say("part.damage.attributes", stands("element", r.name.Local), stands("attribute", twice)))
			}
			out = token{kind: elementStart, name: r.name.Local, attrs: r.attrs}
		case anEnd:
			if len(open) == 0 || open[len(open)-1] != r.name {
				return yard.Troubled(yard.Say("part.damage.end", stands("element", r.name.Local)))
			}
			open = open[:len(open)-1]
			out = token{kind: elementEnd, name: r.name.Local}
		case aText:
			if len(open) == 0 {
				if len(strings.TrimLeft(r.text, " \t\r\n\ufeff")) > 0 {
					return yard.Troubled(yard.Say("part.damage.outside"))
				}
				continue
			}
			out = token{kind: charData, text: r.text}
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

// attributeTwice is the name of an attribute that is there twice; "" where none is.
func attributeTwice(attrs []xml.Attr) string {
	for i := range attrs {
		for k := range attrs[:i] {
			if attrs[i].Name == attrs[k].Name {
				return attrs[i].Name.Local
			}
		}
	}
	return ""
}

func wellFormed(part string) error { return tokens(part, nil) }
