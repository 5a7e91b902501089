package edit

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// writer makes the changed parts.
type writer struct {
	*Book
	parts []part
	free  []int // places in the list of texts that no cell uses any more
	fresh map[int]string
	more  []string // texts added at the list's end
	of    map[string]int
	delta int // cells that show a shared text, against before
}

func (w *writer) change() error {
	w.delta = w.copied
	if err := w.addCopies(); err != nil {
		return err
	}
	w.shareTexts()
	for _, s := range w.sheets {
		if len(s.edits) == 0 {
			continue
		}
		i := w.at[s.part]
		data, err := w.patch(s, w.parts[i].data)
		if err != nil {
			return fmt.Errorf("%s: %w", s.part, err)
		}
		w.parts[i].data = data
		if err := w.renameColumns(s); err != nil {
			return err
		}
	}
	w.writeTexts()
	w.renameTabs()
	if w.changed() {
		w.recalculate()
	}
	if w.list != nil {
		return w.putFirst()
	}
	return nil
}

func (w *writer) changed() bool {
	return len(w.renamed) > 0 || slices.ContainsFunc(w.sheets, func(s *sheet) bool { return len(s.edits) > 0 })
}

// shareTexts finds places in the list of texts for the new ones. A text that only
// changed cells show makes way, so that the list holds no text that is on no sheet.
func (w *writer) shareTexts() {
	if w.texts == nil {
		return
	}
	w.fresh, w.of = map[int]string{}, map[string]int{}
	left := make([]int, len(w.texts.all))
	for i, t := range w.texts.all {
		left[i] = t.used
		if _, ok := w.of[t.text]; !ok && len(t.pieces) <= 1 && t.used > 0 {
			w.of[t.text] = i
		}
	}
	for _, s := range w.sheets {
		for at, e := range s.edits {
			if c := s.cells[at]; c != nil && c.text >= 0 && e.kind != toResult {
				left[c.text]--
				w.delta--
			}
		}
	}
	for i, n := range left {
		if n == 0 && w.texts.all[i].used > 0 {
			w.free = append(w.free, i)
			if w.of[w.texts.all[i].text] == i {
				delete(w.of, w.texts.all[i].text)
			}
		}
	}
}

// share gives a text its place in the list. was is the cell's place before, whose look
// (letters in bold within the text) the new one takes over; -1 none.
func (w *writer) share(text string, was int) int {
	w.delta++
	formatted := was >= 0 && len(w.texts.all[was].pieces) > 1
	if !formatted {
		if i, ok := w.of[text]; ok {
			return i
		}
	}
	i := -1
	if k := slices.Index(w.free, was); was >= 0 && k >= 0 {
		i = was
		w.free = slices.Delete(w.free, k, k+1)
	} else if !formatted && len(w.free) > 0 && was < 0 {
		i = w.free[0]
		w.free = w.free[1:]
	}
	t := w.element(text, was)
	if i >= 0 {
		w.fresh[i] = t
	} else {
		i = len(w.texts.all) + len(w.more)
		w.more = append(w.more, t)
	}
	if !formatted {
		w.of[text] = i
	}
	return i
}

func colon(prefix string) string {
	if prefix == "" {
		return ""
	}
	return prefix + ":"
}

// element is a text as an element of the list.
func (w *writer) element(text string, was int) string {
	p := ""
	if len(w.texts.all) > 0 {
		p = colon(w.texts.all[0].prefix)
	}
	if was >= 0 && len(w.texts.all[was].pieces) > 1 {
		return w.withPieces(w.texts.all[was], text)
	}
	return "<" + p + `si><` + p + `t xml:space="preserve">` + escape(text) + "</" + p + "t></" + p + "si>"
}

var (
	phonetic  = lazily(`(?s)<(?:\w+:)?(?:rPh)\b.*?</(?:\w+:)?rPh>|<(?:\w+:)?phoneticPr\b[^>]*?(?:/>|>.*?</(?:\w+:)?phoneticPr>)`)
	textStart = lazily(`<((?:\w+:)?t)(\s[^>]*)?>$`)
)

// withPieces writes a text whose letters look different from place to place: what
// changed goes where it stood.
func (w *writer) withPieces(old sharedText, text string) string {
	pieces := spread(old.pieces, text)
	i, ok := w.find("xl/sharedStrings.xml")
	if !ok {
		return ""
	}
	data := w.Book.parts[i].data
	var out strings.Builder
	from := old.from
	for k, p := range old.ts {
		head := string(data[from:p[0]])
		if !strings.Contains(head[strings.LastIndexByte(head, '<'):], "xml:space") {
			head = textStart().ReplaceAllString(head, `<$1$2 xml:space="preserve">`)
		}
		out.WriteString(head)
		out.WriteString(escape(pieces[k]))
		from = p[1]
	}
	out.Write(data[from:old.to])
	return phonetic().ReplaceAllString(out.String(), "")
}

// spread parts a new text over the pieces of an old one: what both begin and end with
// stays where it is.
func spread(pieces []string, text string) []string {
	old := strings.Join(pieces, "")
	head := 0
	for head < len(old) && head < len(text) && old[head] == text[head] {
		head++
	}
	for head > 0 && head < len(text) && text[head]&0xc0 == 0x80 {
		head--
	}
	tail := 0
	for tail < len(old)-head && tail < len(text)-head && old[len(old)-1-tail] == text[len(text)-1-tail] {
		tail++
	}
	for tail > 0 && text[len(text)-tail]&0xc0 == 0x80 {
		tail--
	}
	out := make([]string, len(pieces))
	put := false
	at := 0
	for i, p := range pieces {
		from, to := at, at+len(p)
		at = to
		if from < head {
			out[i] += old[from:min(to, head)]
		}
		if !put && (to > head || i == len(pieces)-1) {
			out[i] += text[head : len(text)-tail]
			put = true
		}
		if to > len(old)-tail {
			out[i] += old[max(from, len(old)-tail):to]
		}
	}
	return out
}

var countOf = lazily(`\bcount="(\d+)"`)
var uniqueOf = lazily(`\buniqueCount="(\d+)"`)

// writeTexts writes the list of texts anew where it changed.
func (w *writer) writeTexts() {
	if w.texts == nil || len(w.fresh)+len(w.more)+len(w.free) == 0 && w.delta == 0 {
		return
	}
	i, _ := w.find("xl/sharedStrings.xml")
	data := w.Book.parts[i].data
	for _, k := range w.free { // shown nowhere any more
		w.fresh[k] = w.element("", -1)
	}
	var out bytes.Buffer
	at := 0
	for k, t := range w.texts.all {
		if s, ok := w.fresh[k]; ok {
			out.Write(data[at:t.from])
			out.WriteString(s)
			at = t.to
		}
	}
	rest := data[at:]
	if len(w.more) > 0 {
		more := strings.Join(w.more, "")
		if k := bytes.LastIndex(rest, []byte("</")); k >= 0 {
			out.Write(rest[:k])
			out.WriteString(more)
			rest = rest[k:]
		}
	}
	out.Write(rest)
	s := out.Bytes()
	if k := bytes.Index(s, []byte("<si")); k > 0 || bytes.Contains(s, []byte("sst")) {
		if k < 0 {
			k = len(s)
		}
		head := countOf().ReplaceAllFunc(s[:k], func(m []byte) []byte { return added(m, w.delta) })
		head = uniqueOf().ReplaceAllFunc(head, func(m []byte) []byte { return added(m, len(w.more)) })
		s = slices.Concat(head, s[k:])
	}
	w.parts[i].data = s
}

var figures = lazily(`\d+`)

func added(attr []byte, n int) []byte {
	return figures().ReplaceAllFunc(attr, func(m []byte) []byte {
		v, err := strconv.Atoi(string(m))
		if err != nil {
			return m
		}
		return []byte(strconv.Itoa(v + n))
	})
}

// patch writes the changed cells of a sheet.
func (w *writer) patch(s *sheet, data []byte) ([]byte, error) {
	p := &patcher{writer: w, sheet: s, data: data}
	for at := range s.edits {
		p.todo = append(p.todo, at)
	}
	sortPlaces(p.todo)
	err := walkCells(data, p.row, p.cell, p.sheetData)
	if err != nil {
		return nil, err
	}
	if len(p.todo) > 0 {
		return nil, fmt.Errorf("no place: %s", p.todo[0].Ref())
	}
	p.out.Write(data[p.done:])
	return p.out.Bytes(), nil
}

// patcher goes through a sheet once.
type patcher struct {
	*writer
	sheet  *sheet
	data   []byte
	out    bytes.Buffer
	done   int // bytes of data already written
	todo   []Place
	rowNow int
	bare   bool // the row had no content, and its tag has been opened
}

func (p *patcher) upTo(n int) {
	p.out.Write(p.data[p.done:n])
	p.done = n
}

func (p *patcher) row(n int, e element) {
	if e.start {
		p.newRows(n, e)
		p.rowNow = n
		if e.empty && len(p.todo) > 0 && p.todo[0].Row == n {
			p.upTo(e.from)
			tag := strings.TrimSuffix(string(p.data[e.from:e.to]), "/>")
			p.out.WriteString(strings.TrimRight(tag, " ") + ">")
			p.done, p.bare = e.to, true
		}
		return
	}
	if len(p.todo) > 0 && p.todo[0].Row == n {
		p.upTo(e.from)
		p.newCells(1<<30, e.prefix)
	}
	if p.bare {
		p.out.WriteString("</" + colon(e.prefix) + "row>")
		p.bare = false
	}
}

// newRows writes the rows before row n that were not there.
func (p *patcher) newRows(n int, e element) {
	for len(p.todo) > 0 && p.todo[0].Row < n {
		p.upTo(e.from)
		p.rowNow = p.todo[0].Row
		fmt.Fprintf(&p.out, `<%srow r="%d">`, colon(e.prefix), p.rowNow)
		p.newCells(1<<30, e.prefix)
		fmt.Fprintf(&p.out, "</%srow>", colon(e.prefix))
	}
}

// newCells writes the cells of this row before a column that were not there.
func (p *patcher) newCells(before int, prefix string) {
	for len(p.todo) > 0 && p.todo[0].Row == p.rowNow && p.todo[0].Col < before {
		at := p.todo[0]
		p.todo = p.todo[1:]
		e := p.sheet.edits[at]
		style := ""
		if e.style != "" {
			style = fmt.Sprintf(` s="%s"`, e.style)
		}
		p.out.WriteString(p.written(at, e, colon(prefix), style, nil))
	}
}

func (p *patcher) cell(at Place, e, end element) {
	if len(p.todo) > 0 && p.todo[0].Row == at.Row && p.todo[0].Col < at.Col {
		p.upTo(e.from)
		p.newCells(at.Col, e.prefix)
	}
	if len(p.todo) == 0 || p.todo[0] != at {
		return
	}
	p.todo = p.todo[1:]
	p.upTo(e.from)
	var attrs strings.Builder
	for _, a := range e.attrs {
		switch a.Name.Local {
		case "r", "t", "vm", "cm": // values and arrays of the cell that was
			continue
		}
		fmt.Fprintf(&attrs, ` %s%s="%s"`, colon(a.Name.Space), a.Name.Local, strings.ReplaceAll(escape(a.Value), `"`, "&quot;"))
	}
	p.out.WriteString(p.written(at, p.sheet.edits[at], colon(e.prefix), attrs.String(), p.data[e.from:end.to]))
	p.done = end.to
}

var formulaOf = lazily(`(?s)<(?:\w+:)?f(?:\s[^>]*)?(?:/>|>.*?</(?:\w+:)?f>)`)

func (p *patcher) written(at Place, e change, x, attrs string, old []byte) string {
	open := fmt.Sprintf(`<%sc r="%s"%s`, x, at.Ref(), attrs)
	end := "</" + x + "c>"
	switch e.kind {
	case toNothing:
		return open + "/>"
	case toNumber:
		return open + "><" + x + "v>" + escape(e.value) + "</" + x + "v>" + end
	case toResult:
		t := ""
		if c := p.sheet.cells[at]; c != nil && c.Type == "str" {
			t = ` t="str"`
		}
		return open + t + ">" + string(formulaOf().Find(old)) + "<" + x + "v>" + escape(e.value) + "</" + x + "v>" + end
	}
	was := -1
	if c := p.sheet.cells[at]; c != nil {
		was = c.text
	}
	if p.texts == nil {
		return open + ` t="inlineStr"><` + x + `is><` + x + `t xml:space="preserve">` + escape(e.value) + "</" + x + "t></" + x + "is>" + end
	}
	return open + ` t="s"><` + x + "v>" + strconv.Itoa(p.share(e.value, was)) + "</" + x + "v>" + end
}

func (p *patcher) sheetData(e element) {
	if e.start && e.empty {
		if len(p.todo) == 0 {
			return
		}
		p.upTo(e.from)
		fmt.Fprintf(&p.out, "<%ssheetData>", colon(e.prefix))
		p.done = e.to
		p.newRows(1<<30, element{prefix: e.prefix, from: e.to})
		fmt.Fprintf(&p.out, "</%ssheetData>", colon(e.prefix))
		return
	}
	if !e.start && !e.empty {
		p.newRows(1<<30, e)
	}
}
