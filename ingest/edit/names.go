package edit

import (
	"bytes"
	"fmt"
	"path"
	"regexp"
	"strings"
)

var (
	formulaText = lazily(`(<(?:\w+:)?(?:f|formula|formula1|formula2|definedName|oldFormula)(?:\s[^>]*)?>)([^<]+)(</)`)
	linkText    = lazily(`(\blocation=")([^"]*)(")`)
	pivotSheet  = lazily(`(<(?:\w+:)?worksheetSource\b[^>]*\bsheet=")([^"]*)(")`)
	bareName    = lazily(`^[\pL_][\pL\pN_.]*$`)
	cellName    = lazily(`(?i)^[a-z]{1,3}\d+$`)
)

// renameTabs gives tabs their new names, in formulas, links and names too.
func (w *writer) renameTabs() {
	if len(w.renamed) == 0 {
		return
	}
	to := map[string]string{}
	for _, r := range w.renamed {
		to[r[0]] = r[1]
	}
	var names []string
	back := map[string]string{}
	for _, r := range w.renamed {
		names = append(names, regexp.QuoteMeta(quoted(r[0])))
		back[quoted(r[0])] = r[1]
		if bareName().MatchString(r[0]) {
			names = append(names, `\b`+regexp.QuoteMeta(r[0]))
			back[r[0]] = r[1]
		}
	}
	ref := regexp.MustCompile(`(?:` + strings.Join(names, "|") + `)!`)
	formula := func(s []byte) []byte {
		was := unescape(s)
		is := ref.ReplaceAllStringFunc(was, func(m string) string {
			to := back[strings.TrimSuffix(m, "!")]
			if m[0] != '\'' && bareName().MatchString(to) && !cellName().MatchString(to) {
				return to + "!"
			}
			return quoted(to) + "!"
		})
		if is == was {
			return s
		}
		return []byte(attrText(is))
	}
	for i := range w.parts {
		p := &w.parts[i]
		if !strings.HasPrefix(p.name, "xl/") || !strings.HasSuffix(p.name, ".xml") || strings.EqualFold(p.name, "xl/sharedStrings.xml") {
			continue
		}
		for _, re := range []*regexp.Regexp{formulaText(), linkText()} {
			p.data = replaceMiddle(re, p.data, formula)
		}
		p.data = replaceMiddle(pivotSheet(), p.data, func(s []byte) []byte {
			if is, ok := to[unescape(s)]; ok {
				return []byte(attrText(is))
			}
			return s
		})
	}
	i, _ := w.find(bookPart)
	w.parts[i].data = sheetTag().ReplaceAllFunc(w.parts[i].data, func(tag []byte) []byte {
		return replaceMiddle(nameAttr(), tag, func(s []byte) []byte {
			if is, ok := to[unescape(s)]; ok {
				return []byte(attrText(is))
			}
			return s
		})
	})
}

var (
	sheetTag = lazily(`<(?:\w+:)?sheet\s[^>]*>`)
	nameAttr = lazily(`(\bname=")([^"]*)(")`)
)

func attrText(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(s)
}

func quoted(tab string) string { return "'" + strings.ReplaceAll(tab, "'", "''") + "'" }

// replaceMiddle changes the second group of each match of three.
func replaceMiddle(re *regexp.Regexp, data []byte, f func([]byte) []byte) []byte {
	all := re.FindAllSubmatchIndex(data, -1)
	if all == nil {
		return data
	}
	var out bytes.Buffer
	at := 0
	for _, m := range all {
		out.Write(data[at:m[4]])
		out.Write(f(data[m[4]:m[5]]))
		at = m[5]
	}
	out.Write(data[at:])
	return out.Bytes()
}

var columnTag = lazily(`<(?:\w+:)?tableColumn\s[^>]*>`)

// renameColumns keeps the names of a table's columns those of its headings: a
// spreadsheet program calls the file damaged where they differ.
func (w *writer) renameColumns(s *sheet) error {
	rels, ok := w.find(path.Join(path.Dir(s.part), "_rels", path.Base(s.part)+".rels"))
	if !ok {
		return nil
	}
	var tables []string
	err := elements(w.parts[rels].data, func(e element) {
		if e.start && e.local == "Relationship" && strings.HasSuffix(e.attr("Type"), "/table") {
			t := e.attr("Target")
			if strings.HasPrefix(t, "/") {
				t = t[1:]
			} else {
				t = path.Join(path.Dir(s.part), t)
			}
			tables = append(tables, t)
		}
	})
	if err != nil {
		return err
	}
	for _, name := range tables {
		i, ok := w.find(name)
		if !ok {
			continue
		}
		var first Place
		headed := true
		err := elements(w.parts[i].data, func(e element) {
			if e.local == "table" && e.start {
				first, _ = parsePlace(strings.Split(e.attr("ref"), ":")[0])
				headed = e.attr("headerRowCount") != "0"
			}
		})
		if err != nil {
			return err
		}
		if !headed || first.Row == 0 {
			continue
		}
		col := first.Col
		changed := [][2]string{}
		w.parts[i].data = columnTag().ReplaceAllFunc(w.parts[i].data, func(tag []byte) []byte {
			e, ok := s.edits[Place{first.Row, col}]
			col++
			if !ok || e.kind != toText {
				return tag
			}
			return replaceMiddle(nameAttr(), tag, func(was []byte) []byte {
				is := attrText(strings.ReplaceAll(e.value, "\n", "_x000a_"))
				changed = append(changed, [2]string{string(was), is})
				return []byte(is)
			})
		})
		w.renameInFormulas(changed)
	}
	return nil
}

// renameInFormulas changes the names of columns in formulas that use them: [Mon 30].
func (w *writer) renameInFormulas(changed [][2]string) {
	if len(changed) == 0 {
		return
	}
	var pairs []string
	for _, c := range changed {
		pairs = append(pairs, "["+c[0]+"]", "["+c[1]+"]")
	}
	r := strings.NewReplacer(pairs...)
	for i := range w.parts {
		if p := &w.parts[i]; strings.HasPrefix(p.name, "xl/worksheets/") || strings.HasPrefix(p.name, "xl/tables/") || p.name == bookPart {
			p.data = replaceMiddle(formulaText(), p.data, func(s []byte) []byte { return []byte(r.Replace(string(s))) })
		}
	}
}

var (
	calcTag   = lazily(`<((?:\w+:)?)calcPr\b([^>]*?)(/?)>`)
	afterTags = lazily(`(?s)</(?:\w+:)?(?:sheets|functionGroups|externalReferences|definedNames)>`)
	sheetsEnd = lazily(`</((?:\w+:)?)sheets>`)
)

// recalculate asks whoever opens the workbook to work its formulas out anew.
func (w *writer) recalculate() {
	formulas := false
	for _, s := range w.sheets {
		for _, c := range s.cells {
			formulas = formulas || c.Formula
		}
	}
	i, ok := w.find(bookPart)
	if !formulas || !ok {
		return
	}
	data := w.parts[i].data
	if m := calcTag().FindSubmatchIndex(data); m != nil {
		if !bytes.Contains(data[m[0]:m[1]], []byte("fullCalcOnLoad")) {
			w.parts[i].data = []byte(string(data[:m[5]]) + ` fullCalcOnLoad="1"` + string(data[m[5]:]))
		}
		return
	}
	ends := afterTags().FindAllIndex(data, -1)
	if ends == nil {
		return
	}
	x := string(sheetsEnd().FindSubmatch(data)[1])
	at := ends[len(ends)-1][1]
	w.parts[i].data = []byte(string(data[:at]) + fmt.Sprintf(`<%scalcPr fullCalcOnLoad="1"/>`, x) + string(data[at:]))
}
