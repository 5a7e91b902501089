package edit

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
)

// element is the start or the end of an element, with the bytes it stands in.
type element struct {
	local, prefix string
	start         bool
	attrs         []xml.Attr
	from, to      int // of the tag
	empty         bool
}

func (e element) attr(local string) string {
	for _, a := range e.attrs {
		if a.Name.Local == local && a.Name.Space != "xmlns" {
			return a.Value
		}
	}
	return ""
}

var errEncoding = errors.New("not UTF-8")

// elements walks over the tags of a part. An element without content is a start
// and an end at one place.
func elements(data []byte, f func(element)) error {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return errEncoding
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = true
	for {
		from := int(d.InputOffset())
		t, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		to := int(d.InputOffset())
		switch t := t.(type) {
		case xml.StartElement:
			f(element{local: t.Name.Local, prefix: t.Name.Space, start: true, attrs: t.Attr, from: from, to: to, empty: data[to-2] == '/'})
		case xml.EndElement:
			f(element{local: t.Name.Local, prefix: t.Name.Space, from: from, to: to, empty: from == to})
		}
	}
}

func parsePlace(ref string) (Place, bool) {
	i, col := 0, 0
	for i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z' {
		col = col*26 + int(ref[i]-'A') + 1
		i++
	}
	row, err := strconv.Atoi(ref[i:])
	return Place{row, col}, err == nil && i > 0 && row > 0
}

// ParsePlace is a cell's row and column by its name, such as "B5".
func ParsePlace(ref string) (Place, bool) { return parsePlace(strings.ReplaceAll(ref, "$", "")) }

// Ref is a place as people write it: "B5".
func (p Place) Ref() string {
	name := ""
	for c := p.Col; c > 0; c = (c - 1) / 26 {
		name = string(rune('A'+(c-1)%26)) + name
	}
	return name + strconv.Itoa(p.Row)
}

func sortPlaces(ps []Place) {
	slices.SortFunc(ps, func(a, b Place) int { return cmp.Or(a.Row-b.Row, a.Col-b.Col) })
}

// walkCells calls f for each cell of a sheet with the bytes from its start tag to its
// end, and row for each row's tags.
func walkCells(data []byte, row func(n int, e element), cell func(at Place, e element, end element), sheetData func(element)) error {
	at := Place{}
	var open element
	depth := 0 // of elements inside a cell
	inData := false
	return elements(data, func(e element) {
		switch {
		case e.local == "sheetData":
			inData = e.start
			if sheetData != nil {
				sheetData(e)
			}
		case !inData:
		case depth > 0:
			if e.start {
				depth++
			} else if depth--; depth == 0 {
				cell(at, open, e)
			}
		case e.local == "row" && e.start:
			n, err := strconv.Atoi(e.attr("r"))
			if err != nil {
				n = at.Row + 1
			}
			at = Place{n, 0}
			if row != nil {
				row(n, e)
			}
		case e.local == "row":
			if row != nil {
				row(at.Row, e)
			}
		case e.local == "c" && e.start:
			at.Col++
			if p, ok := parsePlace(e.attr("r")); ok {
				at.Col = p.Col
			}
			open, depth = e, 1
		}
	})
}

// readCells reads the cells of a sheet.
func readCells(data []byte, t *texts) (map[Place]*Cell, error) {
	out := map[Place]*Cell{}
	err := walkCells(data, nil, func(at Place, e, end element) {
		c := &Cell{Type: e.attr("t"), Style: e.attr("s"), text: -1}
		body := data[e.from:end.to]
		value, formula, inline := inside(body)
		c.Formula, c.Value = formula, value
		switch c.Type {
		case "s":
			if i, err := strconv.Atoi(strings.TrimSpace(value)); err == nil && t != nil && i >= 0 && i < len(t.all) {
				c.text, c.Value = i, t.all[i].text
				t.all[i].used++
			}
		case "inlineStr":
			c.Value = inline
		}
		out[at] = c
	}, nil)
	return out, err
}

// inside reads what a cell holds.
func inside(cell []byte) (value string, formula bool, inline string) {
	d := xml.NewDecoder(bytes.NewReader(cell))
	in := ""
	phonetic := 0
	for {
		t, err := d.RawToken()
		if err != nil {
			return
		}
		switch t := t.(type) {
		case xml.StartElement:
			in = t.Name.Local
			formula = formula || in == "f"
			if in == "rPh" {
				phonetic++
			}
		case xml.EndElement:
			if t.Name.Local == "rPh" {
				phonetic--
			}
			in = ""
		case xml.CharData:
			switch {
			case in == "v":
				value += string(t)
			case in == "t" && phonetic == 0:
				inline += string(t)
			}
		}
	}
}

// texts is the list of texts that cells share.
type texts struct {
	all []sharedText
}

type sharedText struct {
	text     string
	from, to int // bytes of its element
	prefix   string
	ts       [][2]int // bytes of the contents of its pieces
	pieces   []string
	used     int // cells that show it
}

func readTexts(data []byte) (*texts, error) {
	t := &texts{}
	var cur *sharedText
	phonetic := 0
	err := elements(data, func(e element) {
		switch {
		case e.local == "si" && e.start:
			t.all = append(t.all, sharedText{from: e.from, prefix: e.prefix})
			cur = &t.all[len(t.all)-1]
		case e.local == "si":
			cur.to = e.to
			cur = nil
		case cur == nil:
		case e.local == "rPh" && e.start:
			phonetic++
		case e.local == "rPh":
			phonetic--
		case e.local == "t" && phonetic == 0 && e.start && !e.empty:
			cur.ts = append(cur.ts, [2]int{e.to, e.to})
		case e.local == "t" && phonetic == 0 && !e.start && !e.empty:
			cur.ts[len(cur.ts)-1][1] = e.from
		}
	})
	for i := range t.all {
		x := &t.all[i]
		for _, p := range x.ts {
			s := unescape(data[p[0]:p[1]])
			x.pieces = append(x.pieces, s)
			x.text += s
		}
	}
	return t, err
}

// unescape is the text of some characters of a part.
func unescape(b []byte) string {
	if !bytes.ContainsAny(b, "&<\r") {
		return string(b)
	}
	d := xml.NewDecoder(bytes.NewReader(b))
	var out strings.Builder
	for {
		t, err := d.RawToken()
		if err != nil {
			return out.String()
		}
		if c, ok := t.(xml.CharData); ok {
			out.Write(c)
		}
	}
}

func escape(s string) string {
	var out bytes.Buffer
	_ = xml.EscapeText(&out, []byte(s)) // a buffer takes everything
	return strings.NewReplacer("&#xA;", "\n", "&#x9;", "\t", "&#34;", "&quot;", "&#39;", "'").Replace(out.String())
}
