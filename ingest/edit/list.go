package edit

import (
	"bytes"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// List is a sheet of words to be put in front of the others.
type List struct {
	Name string // of the tab; another one where there is such a tab already
	// Rows from the top. The first two are the title and a remark, and the one after
	// the blank row is the heading.
	Rows   [][]string
	Widths []float64 // of the columns, in characters
	Bold   []int     // rows in bold, from 0
}

// PutFirst puts a list in front. Where a sheet's first cell is the list's, an earlier
// one, that sheet makes way.
func (b *Book) PutFirst(l List) { b.list = &l }

// putFirst adds the list's sheet to the parts.
func (w *writer) putFirst() error {
	bold, wrap := w.addStyles()
	for _, s := range w.sheets {
		if c := s.cells[Place{1, 1}]; c != nil && !c.Formula && c.Value == w.list.Rows[0][0] {
			w.parts[w.at[s.part]].data = w.sheetOf(bold, wrap)
			w.onlySelected(s.part)
			w.activate(w.indexOf(s))
			return nil
		}
	}
	n := 1
	for {
		if _, ok := w.find(fmt.Sprintf("xl/worksheets/sheet%d.xml", n)); !ok {
			break
		}
		n++
	}
	file := fmt.Sprintf("xl/worksheets/sheet%d.xml", n)
	w.parts = append(w.parts, part{file, w.sheetOf(bold, wrap)})
	i, _ := w.find(typesPart)
	w.insert(i, typesEnd(), `<%sOverride PartName="/`+file+`" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`)
	if err := w.insertSheet(w.freeName(), w.relate(file), ""); err != nil {
		return err
	}
	w.onlySelected(file)
	w.activate(0)
	return nil
}

var (
	typesEnd     = lazily(`</((?:\w+:)?)Types>`)
	relationsEnd = lazily(`</((?:\w+:)?)Relationships>`)
)

// relate gives the workbook a relation to a new sheet, and the relation's id.
func (w *writer) relate(file string) string {
	i, _ := w.find(relsPart)
	id := "rIdNext"
	for bytes.Contains(w.parts[i].data, []byte(`"`+id+`"`)) {
		id += "x"
	}
	w.insert(i, relationsEnd(), `<%sRelationship Id="`+id+`" Type="`+relationsOf(w.parts[i].data)+`/worksheet" Target="worksheets/`+path.Base(file)+`"/>`)
	return id
}

// addCopies adds the copied sheets to the list of sheets.
func (w *writer) addCopies() error {
	for _, s := range w.sheets {
		if s.copyOf == nil {
			continue
		}
		id := w.relate(s.part)
		if err := w.insertSheet(s.name, id, s.copyOf.id); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) insert(i int, before *regexp.Regexp, text string) {
	data := w.parts[i].data
	m := before.FindSubmatchIndex(data)
	if m == nil {
		return
	}
	w.parts[i].data = []byte(string(data[:m[0]]) + fmt.Sprintf(text, data[m[2]:m[3]]) + string(data[m[0]:]))
}

func (w *writer) indexOf(s *sheet) int {
	n, at := 0, 0
	i, _ := w.find(bookPart)
	_ = elements(w.parts[i].data, func(e element) { // read once already
		if e.local == "sheet" && e.start {
			if e.attr("id") == s.id {
				at = n
			}
			n++
		}
	})
	return at
}

// freeName is the list's name, with a number where a tab is called so already.
func (w *writer) freeName() string {
	taken := map[string]bool{}
	i, _ := w.find(bookPart)
	_ = elements(w.parts[i].data, func(e element) {
		if e.local == "sheet" && e.start {
			taken[strings.ToLower(e.attr("name"))] = true
		}
	})
	name := w.list.Name
	for n := 2; taken[strings.ToLower(name)]; n++ {
		name = fmt.Sprintf("%s %d", w.list.Name, n)
	}
	return name
}

var (
	sheetsStart = lazily(`<((?:\w+:)?)sheets(?:\s[^>]*)?>`)
	localSheet  = lazily(`(\blocalSheetId=")(\d+)(")`)
	sheetEnd    = lazily(`</(?:\w+:)?sheet>`)
	sheetID     = lazily(`\bsheetId="(\d+)"`)
)

// relationsOf is the name space of relations: of ECMA-376's transitional form, or of its
// strict one.
func relationsOf(book []byte) string {
	if strict := "http://purl.oclc.org/ooxml/officeDocument/relationships"; bytes.Contains(book, []byte(strict)) {
		return strict
	}
	return "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
}

// insertSheet adds a sheet to the workbook's list: behind the one with a relation, or in
// front of all.
func (w *writer) insertSheet(name, id, behind string) error {
	i, _ := w.find(bookPart)
	data := w.parts[i].data
	m := sheetsStart().FindSubmatchIndex(data)
	if m == nil {
		return Strange
	}
	at, place := m[1], 0
	if behind != "" {
		tags := sheetTag().FindAllIndex(data, -1)
		k := slices.IndexFunc(tags, func(t []int) bool {
			return regexp.MustCompile(`:id="` + regexp.QuoteMeta(behind) + `"`).Match(data[t[0]:t[1]])
		})
		if k < 0 {
			return Strange
		}
		at, place = tags[k][1], k+1
		if !bytes.HasSuffix(data[:at], []byte("/>")) {
			end := sheetEnd().FindIndex(data[at:])
			if end == nil {
				return Strange
			}
			at += end[1]
		}
	}
	highest := 0
	for _, x := range sheetID().FindAllSubmatch(data, -1) {
		if n, err := strconv.Atoi(string(x[1])); err == nil {
			highest = max(highest, n)
		}
	}
	tag := fmt.Sprintf(`<%ssheet name="%s" sheetId="%d" xmlns:r="%s" r:id="%s"/>`, data[m[2]:m[3]], attrText(name), highest+1, relationsOf(data), id)
	data = []byte(string(data[:at]) + tag + string(data[at:]))
	// Names of one sheet count the sheets from the front.
	w.parts[i].data = replaceMiddle(localSheet(), data, func(s []byte) []byte {
		if n, err := strconv.Atoi(string(s)); err == nil && n < place {
			return s
		}
		return added(s, 1)
	})
	return nil
}

var (
	viewTag  = lazily(`<(?:\w+:)?workbookView\b[^>]*>`)
	viewAttr = lazily(`\s(?:activeTab|firstSheet)="\d+"`)
	selected = lazily(`\stabSelected="(?:1|true)"`)
)

// activate shows a sheet when the workbook is opened.
func (w *writer) activate(sheet int) {
	i, _ := w.find(bookPart)
	w.parts[i].data = viewTag().ReplaceAllFunc(w.parts[i].data, func(tag []byte) []byte {
		tag = viewAttr().ReplaceAll(tag, nil)
		if sheet == 0 {
			return tag
		}
		k := bytes.LastIndexAny(tag, "/>")
		if tag[len(tag)-2] == '/' {
			k = len(tag) - 2
		}
		return []byte(string(tag[:k]) + fmt.Sprintf(` activeTab="%d"`, sheet) + string(tag[k:]))
	})
}

// onlySelected leaves the list's sheet alone selected: what is typed with two tabs
// selected is written in both.
func (w *writer) onlySelected(list string) {
	for i := range w.parts {
		p := &w.parts[i]
		if p.name != list && (strings.HasPrefix(p.name, "xl/worksheets/") || strings.HasPrefix(p.name, "xl/chartsheets/")) && strings.HasSuffix(p.name, ".xml") {
			head := p.data[:min(len(p.data), 20_000)]
			if selected().Match(head) {
				p.data = append(selected().ReplaceAll(append([]byte(nil), head...), nil), p.data[len(head):]...)
			}
		}
	}
}

const worksheetHead = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><sheetViews><sheetView tabSelected="1" workbookViewId="0"/></sheetViews><sheetFormatPr defaultRowHeight="15"/>`

// sheetOf writes the list as a sheet.
func (w *writer) sheetOf(bold, wrap string) []byte {
	var out bytes.Buffer
	out.WriteString(worksheetHead)
	out.WriteString("<cols>")
	for i, width := range w.list.Widths {
		fmt.Fprintf(&out, `<col min="%d" max="%d" width="%g" customWidth="1"/>`, i+1, i+1, width)
	}
	out.WriteString("</cols><sheetData>")
	isBold := map[int]bool{}
	for _, r := range w.list.Bold {
		isBold[r] = true
	}
	for r, row := range w.list.Rows {
		if len(row) == 0 {
			continue
		}
		style, height := wrap, 1
		if isBold[r] {
			style = bold
		} else if len(row) > 1 {
			for c, text := range row {
				if c < len(w.list.Widths) {
					height = max(height, len([]rune(text))/int(w.list.Widths[c])+1+strings.Count(text, "\n"))
				}
			}
		}
		if len(row) == 1 {
			style = bold
			if !isBold[r] {
				style = ""
			}
		}
		// Programs make no row higher by themselves for a file they did not write.
		fmt.Fprintf(&out, `<row r="%d" ht="%d" customHeight="1">`, r+1, 15*min(height, 20))
		for c, text := range row {
			if text == "" {
				continue
			}
			fmt.Fprintf(&out, `<c r="%s"%s t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>`, Place{r + 1, c + 1}.Ref(), styleAttr(style), escape(text))
		}
		out.WriteString("</row>")
	}
	out.WriteString(`</sheetData><pageMargins left="0.5" right="0.5" top="0.5" bottom="0.5" header="0.3" footer="0.3"/><pageSetup orientation="landscape" fitToHeight="0"/></worksheet>`)
	return out.Bytes()
}

func styleAttr(s string) string {
	if s == "" {
		return ""
	}
	return ` s="` + s + `"`
}

var (
	fontsTag = lazily(`(?s)(<(?:\w+:)?fonts\b[^>]*?)>(.*?)(</((?:\w+:)?)fonts>)`)
	xfsTag   = lazily(`(?s)(<(?:\w+:)?cellXfs\b[^>]*?)>(.*?)(</((?:\w+:)?)cellXfs>)`)
	oneFont  = lazily(`<(?:\w+:)?font(?:\s[^>]*)?/?>`)
	oneXf    = lazily(`<(?:\w+:)?xf\b`)
)

// addStyles adds a look in bold and one that breaks lines; "" where the workbook has
// no list of looks.
func (w *writer) addStyles() (bold, wrap string) {
	i, ok := w.find("xl/styles.xml")
	if !ok {
		return "", ""
	}
	data := string(w.parts[i].data)
	m := fontsTag().FindStringSubmatchIndex(data)
	if m == nil || xfsTag().FindStringIndex(data) == nil {
		return "", ""
	}
	x := data[m[8]:m[9]]
	font := len(oneFont().FindAllString(data[m[4]:m[5]], -1))
	data = data[:m[6]] + fmt.Sprintf(`<%sfont><%sb/><%ssz val="11"/><%sname val="Calibri"/></%sfont>`, x, x, x, x, x) + data[m[6]:]
	data = data[:m[2]] + string(countOf().ReplaceAllFunc([]byte(data[m[2]:m[3]]), func(b []byte) []byte { return added(b, 1) })) + data[m[3]:]
	m = xfsTag().FindStringSubmatchIndex(data)
	x = data[m[8]:m[9]]
	n := len(oneXf().FindAllString(data[m[4]:m[5]], -1))
	data = data[:m[6]] +
		fmt.Sprintf(`<%sxf numFmtId="0" fontId="%d" fillId="0" borderId="0" xfId="0" applyFont="1"/>`, x, font) +
		fmt.Sprintf(`<%sxf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0" applyAlignment="1"><%salignment vertical="top" wrapText="1"/></%sxf>`, x, x, x) + data[m[6]:]
	data = data[:m[2]] + string(countOf().ReplaceAllFunc([]byte(data[m[2]:m[3]]), func(b []byte) []byte { return added(b, 2) })) + data[m[3]:]
	w.parts[i].data = []byte(data)
	return strconv.Itoa(n), strconv.Itoa(n + 1)
}
