package edit

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"strings"
	"sync"
)

// Book is a workbook whose cells can be changed.
type Book struct {
	parts   []part
	at      map[string]int // part by its name
	sheets  []*sheet
	byName  map[string]*sheet
	texts   *texts // nil: the workbook has no list of texts
	renamed [][2]string
	list    *List
	copied  int // cells of copied sheets that show a shared text
}

// part is one file of the package.
type part struct {
	name string
	data []byte
}

type sheet struct {
	name  string
	part  string // of the package
	id    string // of its relation
	cells map[Place]*Cell
	edits map[Place]change

	copyOf *sheet // nil: it was there
}

// Place is a row and a column, from 1.
type Place struct{ Row, Col int }

// Cell is a cell as it is saved.
type Cell struct {
	Formula bool
	Type    string // "s", "str", "inlineStr", "b", "e", "d"; "" or "n" a number
	Value   string // of a number as it is written, of a text the text
	Style   string // its number, "" none
	text    int    // place in the list of texts; -1 not in it
}

// Text says whether the cell holds text that somebody typed.
func (c *Cell) Text() bool { return !c.Formula && (c.Type == "s" || c.Type == "inlineStr") }

// Number says whether the cell holds a number, or a date, that somebody typed.
func (c *Cell) Number() bool { return !c.Formula && (c.Type == "" || c.Type == "n") && c.Value != "" }

type changeKind int

const (
	toText changeKind = iota
	toNumber
	toNothing
	toResult // of a formula, which stays
)

type change struct {
	kind  changeKind
	value string
	style string // of a cell that was not there
}

// Refused is why a workbook cannot be changed without losing something: a word for
// each reason, for whoever puts it in a sentence.
type Refused string

// The reasons.
const (
	Signed   Refused = "signed"  // a change would break its digital signature
	Shared   Refused = "shared"  // it keeps a log of its changes, which would no longer be true
	TooLarge Refused = "large"   // to be copied
	Strange  Refused = "strange" // its list of sheets is written in a way that is not known
)

func (r Refused) Error() string { return "not changed: " + string(r) }

// What cannot be kept right beside changed cells, by the beginning of the part's name.
var unchangeable = []struct {
	part string
	why  Refused
}{
	{"_xmlsignatures/", Signed},
	{"xl/revisions/", Shared},
}

const mostBytes = 512 << 20 // unpacked; readers refuse such workbooks long before

// Open takes the bytes of a workbook that the reader has read: its parts whole and in
// their usual places.
func Open(data []byte) (*Book, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	b := &Book{at: map[string]int{}, byName: map[string]*sheet{}}
	left := int64(mostBytes)
	for _, f := range z.File {
		for _, u := range unchangeable {
			if strings.HasPrefix(strings.ToLower(f.Name), u.part) && !strings.HasSuffix(f.Name, "/") {
				return nil, u.why
			}
		}
		r, err := f.Open()
		if err != nil {
			return nil, err
		}
		d, err := io.ReadAll(io.LimitReader(r, left+1))
		if err := errors.Join(err, r.Close()); err != nil {
			return nil, err
		}
		if left -= int64(len(d)); left < 0 {
			return nil, TooLarge
		}
		b.at[f.Name] = len(b.parts)
		b.parts = append(b.parts, part{f.Name, d})
	}
	if err := b.findSheets(); err != nil {
		return nil, err
	}
	if i, ok := b.find("xl/sharedStrings.xml"); ok {
		if b.texts, err = readTexts(b.parts[i].data); err != nil {
			return nil, err
		}
	}
	for _, s := range b.sheets {
		if s.cells, err = readCells(b.parts[b.at[s.part]].data, b.texts); err != nil {
			return nil, fmt.Errorf("%s: %w", s.part, err)
		}
	}
	return b, nil
}

// find looks a part up whatever its capitals.
func (b *Book) find(name string) (int, bool) {
	if i, ok := b.at[name]; ok {
		return i, true
	}
	for i, p := range b.parts {
		if strings.EqualFold(p.name, name) {
			return i, true
		}
	}
	return 0, false
}

const (
	bookPart  = "xl/workbook.xml"
	relsPart  = "xl/_rels/workbook.xml.rels"
	typesPart = "[Content_Types].xml"
)

// findSheets lists the worksheets; sheets that are charts have no cells.
func (b *Book) findSheets() error {
	i, ok := b.find(bookPart)
	j, ok2 := b.find(relsPart)
	if !ok || !ok2 {
		return errors.New("no workbook part")
	}
	targets := map[string]string{}
	err := elements(b.parts[j].data, func(e element) {
		if e.local == "Relationship" && e.start && strings.HasSuffix(e.attr("Type"), "/worksheet") {
			t := e.attr("Target")
			if strings.HasPrefix(t, "/") {
				t = strings.TrimPrefix(t, "/")
			} else {
				t = path.Join("xl", t)
			}
			targets[e.attr("Id")] = t
		}
	})
	if err != nil {
		return err
	}
	return elements(b.parts[i].data, func(e element) {
		if e.local != "sheet" || !e.start {
			return
		}
		k, ok := b.find(targets[e.attr("id")])
		if !ok || targets[e.attr("id")] == "" {
			return
		}
		s := &sheet{name: e.attr("name"), part: b.parts[k].name, id: e.attr("id"), edits: map[Place]change{}}
		b.sheets = append(b.sheets, s)
		b.byName[s.name] = s
	})
}

// Sheets are the names of the worksheets, in their order, copies too.
func (b *Book) Sheets() []string {
	var out []string
	for _, s := range b.sheets {
		out = append(out, s.name)
	}
	return out
}

// Cell is a cell as it was saved; nil if there is none.
func (b *Book) Cell(sheet string, at Place) *Cell {
	s := b.byName[sheet]
	if s == nil {
		return nil
	}
	return s.cells[at]
}

// Places are the cells of a sheet, row by row.
func (b *Book) Places(sheet string) []Place {
	var out []Place
	if s := b.byName[sheet]; s != nil {
		for at := range s.cells {
			out = append(out, at)
		}
	}
	sortPlaces(out)
	return out
}

// Formulas are the places of a sheet's formulas.
func (b *Book) Formulas(sheet string) []Place {
	var out []Place
	if s := b.byName[sheet]; s != nil {
		for at, c := range s.cells {
			if c.Formula {
				out = append(out, at)
			}
		}
	}
	sortPlaces(out)
	return out
}

func (b *Book) set(sheet string, at Place, c change) {
	if s := b.byName[sheet]; s != nil {
		s.edits[at] = c
	}
}

// SetText writes a text in a cell. A cell that was not there gets the style given.
func (b *Book) SetText(sheet string, at Place, text, style string) {
	b.set(sheet, at, change{toText, text, style})
}

// SetNumber writes a number in a cell, in the style it has.
func (b *Book) SetNumber(sheet string, at Place, value, style string) {
	b.set(sheet, at, change{toNumber, value, style})
}

// Clear empties a cell; its look stays.
func (b *Book) Clear(sheet string, at Place) { b.set(sheet, at, change{kind: toNothing}) }

// SetResult writes what a formula comes to; the formula stays.
func (b *Book) SetResult(sheet string, at Place, value string) {
	b.set(sheet, at, change{kind: toResult, value: value})
}

// Undo takes back what was written in a cell.
func (b *Book) Undo(sheet string, at Place) {
	if s := b.byName[sheet]; s != nil {
		delete(s.edits, at)
	}
}

// Rename gives a tab another name, in formulas and links too. All renamings are
// done at once: one tab may take the name another gives up.
func (b *Book) Rename(sheet, to string) { b.renamed = append(b.renamed, [2]string{sheet, to}) }

// Bytes is the workbook with its changes. The same changes give the same bytes.
func (b *Book) Bytes() ([]byte, error) {
	parts := make([]part, len(b.parts))
	copy(parts, b.parts)
	w := &writer{Book: b, parts: parts}
	if err := w.change(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range w.parts {
		to, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(p.data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// CopySheet adds a copy of a sheet behind it, with all that hangs on it: its comments,
// pictures and charts. What is written in the one does not change the other. It is
// false, and nothing is copied, where something hangs on it that there can be once only.
func (b *Book) CopySheet(from, to string) bool {
	s := b.byName[from]
	if s == nil || b.byName[to] != nil {
		return false
	}
	rels := relsOf(s.part)
	if i, ok := b.find(rels); ok {
		for _, kind := range []string{"/table", "/pivotTable", "/queryTable", "/slicer", "/timeline", "/control", "/oleObject", "/ctrlProp", "/customProperty"} {
			if bytes.Contains(b.parts[i].data, []byte(kind+`"`)) {
				return false
			}
		}
	}
	made := map[string]string{}
	part := b.copyPart(s.part, made)
	c := &sheet{name: to, part: part, cells: map[Place]*Cell{}, edits: map[Place]change{}, copyOf: s}
	for at, x := range s.cells {
		c.cells[at] = x
		if x.text >= 0 {
			b.texts.all[x.text].used++
			b.copied++
		}
	}
	for i, x := range b.sheets {
		if x == s {
			b.sheets = append(b.sheets[:i+1], append([]*sheet{c}, b.sheets[i+1:]...)...)
			break
		}
	}
	b.byName[to] = c
	return true
}

func relsOf(part string) string { return path.Join(path.Dir(part), "_rels", path.Base(part)+".rels") }

// lazily compiles an expression when it is first used.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

var targetAttr = lazily(`(\bTarget=")([^"]*)(")`)

// copyPart copies a part, and the parts it points to, under new names.
func (b *Book) copyPart(name string, made map[string]string) string {
	if to := made[name]; to != "" {
		return to
	}
	i, ok := b.find(name)
	if !ok {
		return name
	}
	ext := path.Ext(name)
	stem := strings.TrimRight(strings.TrimSuffix(name, ext), "0123456789")
	to := ""
	for n := 1; ; n++ {
		to = fmt.Sprintf("%s%d%s", stem, n, ext)
		if _, taken := b.find(to); !taken {
			break
		}
	}
	made[name] = to
	b.at[to] = len(b.parts)
	b.parts = append(b.parts, part{to, b.parts[i].data})
	b.declare(name, to)
	if r, ok := b.find(relsOf(name)); ok {
		data := relationTag().ReplaceAllFunc(b.parts[r].data, func(tag []byte) []byte {
			if bytes.Contains(tag, []byte(`TargetMode="External"`)) {
				return tag
			}
			return replaceMiddle(targetAttr(), tag, func(target []byte) []byte {
				of := string(target)
				abs := strings.TrimPrefix(of, "/")
				if !strings.HasPrefix(of, "/") {
					abs = path.Join(path.Dir(name), of)
				}
				if strings.HasPrefix(abs, "xl/media/") || strings.HasPrefix(abs, "xl/persons/") {
					return target // shared by all
				}
				if _, ok := b.find(abs); !ok {
					return target
				}
				is := b.copyPart(abs, made)
				return []byte("/" + is)
			})
		})
		b.at[relsOf(to)] = len(b.parts)
		b.parts = append(b.parts, part{relsOf(to), data})
	}
	return to
}

var relationTag = lazily(`<(?:\w+:)?Relationship\s[^>]*>`)

// declare says of a copied part what kind it is, where that is said part by part.
func (b *Book) declare(name, to string) {
	i, ok := b.find(typesPart)
	if !ok {
		return
	}
	tag := regexp.MustCompile(`<(?:\w+:)?Override\s[^>]*PartName="/` + regexp.QuoteMeta(name) + `"[^>]*>`).Find(b.parts[i].data)
	if tag == nil {
		return
	}
	more := bytes.Replace(tag, []byte(`"/`+name+`"`), []byte(`"/`+to+`"`), 1)
	if !bytes.HasSuffix(more, []byte("/>")) {
		more = append(bytes.TrimSuffix(append([]byte(nil), more...), []byte(">")), "/>"...)
	}
	k := bytes.Index(b.parts[i].data, tag)
	b.parts[i].data = []byte(string(b.parts[i].data[:k]) + string(more) + string(b.parts[i].data[k:]))
}
