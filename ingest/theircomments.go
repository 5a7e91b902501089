package ingest

import (
	"bytes"
	"hardfeed/ingest/xlsx"
	"path"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// theirs are comments that were taken out of a workbook before the library opened it,
// to be written back by it.
type theirs struct {
	sheet    string
	comments map[[2]int]string // by column and row
}

var (
	drawingMark = lazily(`<(?:\w+:)?legacyDrawing\b[^>]*(?:/>|></(?:\w+:)?legacyDrawing>)`)
	objectType  = lazily(`(?i)ObjectType\s*=\s*["'](\w+)["']`)
	oneRelation = lazily(`<Relationship\b[^>]*(?:/>|></Relationship>)`)
	oneOverride = lazily(`<Override\b[^>]*(?:/>|></Override>)`)
	targetIs    = lazily(`\bTarget\s*=\s*["']([^"']*)["']`)
	partNameIs  = lazily(`\bPartName\s*=\s*["']([^"']*)["']`)
	usualPart   = lazily(`^\.\./(?:comments\d+\.xml|drawings/vmlDrawing\d+\.vml|threadedComments/threadedComment\d+\.xml)$`)
	kindIs      = lazily(`\bType\s*=\s*["'][^"']*/(comments|vmlDrawing|threadedComment)["']`)
)

// mostTheirs is how many comments a workbook may have for ours to be added: the library
// goes through all of them for each.
const mostTheirs = 1000

// manyComments says whether a workbook has more than that.
func manyComments(data []byte) bool {
	n := 0
	xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		if strings.Contains(strings.ToLower(name), "comment") && xlsx.IsXML(strings.ToLower(name)) {
			n += bytes.Count(b, []byte("<comment ")) + bytes.Count(b, []byte(":comment "))
		}
		return b, true
	})
	return n > mostTheirs
}

// withoutComments takes all comments out of a workbook, and the drawings that show
// them. Some programs number the shapes in a way the library cannot add to (LibreOffice),
// or name the parts so that it would write others beside them (openpyxl): the latter are
// odd. Where drawings show more than comments, such as buttons, nothing is taken.
func withoutComments(data []byte) (out []byte, taken []theirs, odd bool, err error) {
	parts := map[string]string{}
	if _, err := xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		parts[strings.ToLower(name)] = string(b)
		return b, true
	}); err != nil {
		return nil, nil, false, err
	}
	sheets, err := xlsx.SheetParts(parts)
	if err != nil {
		return nil, nil, false, err
	}
	gone := map[string]bool{}      // parts
	changed := map[string]string{} // part -> what it becomes
	for _, sh := range sheets {
		sheet := sh.Part
		own := path.Join(path.Dir(sheet), "_rels", path.Base(sheet)+".rels")
		list := parts[own]
		var drawn []string
		kept := oneRelation().ReplaceAllStringFunc(list, func(r string) string {
			if !kindIs().MatchString(r) {
				return r
			}
			target := targetIs().FindStringSubmatch(r)
			if target == nil {
				return r
			}
			odd = odd || !usualPart().MatchString(target[1])
			part := strings.TrimPrefix(target[1], "/")
			if part == target[1] {
				part = path.Join(path.Dir(sheet), part)
			}
			drawn = append(drawn, strings.ToLower(part))
			return ""
		})
		if len(drawn) == 0 {
			continue
		}
		for _, d := range drawn {
			for _, kind := range objectType().FindAllStringSubmatch(parts[d], -1) {
				if kind[1] != "Note" {
					return nil, nil, false, nil
				}
			}
		}
		comments := xlsx.CommentsOf(parts, sheet, xlsx.MaxCellText)
		for at, text := range comments {
			if oursAgain(text) {
				delete(comments, at)
			}
		}
		taken = append(taken, theirs{sh.Name, comments})
		for _, d := range drawn {
			gone[d] = true
		}
		changed[own] = kept
		changed[sheet] = drawingMark().ReplaceAllString(parts[sheet], "")
	}
	if len(taken) == 0 {
		return nil, nil, false, nil
	}
	out, err = xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		low := strings.ToLower(name)
		if text, is := changed[low]; is {
			return []byte(text), true
		}
		if low == strings.ToLower(xlsx.TypesPart) {
			b = []byte(oneOverride().ReplaceAllStringFunc(string(b), func(o string) string {
				if p := partNameIs().FindStringSubmatch(o); p != nil && gone[strings.ToLower(strings.TrimPrefix(p[1], "/"))] {
					return ""
				}
				return o
			}))
		}
		return b, !gone[low]
	})
	return out, taken, odd, err
}

// oursAgain says whether a comment is of an earlier copy that was sent back.
func oursAgain(text string) bool {
	text = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), correctionsAuthor+":"))
	return isMarked(text)
}

// writeBack hangs the comments on their cells again.
func writeBack(f *excelize.File, taken []theirs) error {
	for _, t := range taken {
		var cells [][2]int
		for c := range t.comments {
			cells = append(cells, c)
		}
		slices.SortFunc(cells, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
		for _, c := range cells {
			text := t.comments[c]
			if err := f.AddComment(t.sheet, excelize.Comment{Cell: xlsx.RefOf(c[1], c[0]), Author: "", Text: text, Width: 220, Height: 60 + uint(len(text)/30)*18}); err != nil {
				return err
			}
		}
	}
	return nil
}
