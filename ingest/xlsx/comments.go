package xlsx

import (
	"path"
	"strings"
	"time"
)

var savedPattern = lazily(`<(?:\w+:)?(modified|created)\b[^>]*>\s*(\d{4}-\d{2}-\d{2})`)

// savedOn is the day the workbook's own properties say it was last saved; zero
// where they say none. It tells the year of a week that is written without one.
func savedOn(core string) time.Time {
	var day time.Time
	for _, m := range savedPattern().FindAllStringSubmatch(core, 4) {
		t, err := time.Parse("2006-01-02", m[2])
		if err == nil && t.After(day) {
			day = t
		}
	}
	return day
}

var resultPattern = lazily(`(?s)<dc:title>Results[,<].*<dc:creator>hardfeed |<dc:creator>hardfeed .*<dc:title>Results[,<]`)

// isResult says whether a workbook's own properties say that it is results.xlsx of
// this program.
func isResult(core string) bool { return resultPattern().MatchString(core) }

// mostComment bounds how much of a comment is kept.
const mostComment = 500

// CommentsOf are the comments hung on the cells of the sheet in a part, by row and
// column, of each about as much as most bytes. Parts are those of the workbook by their
// names in small letters. A part that cannot be read gives none: no cell's value stands
// in it.
func CommentsOf(parts map[string]string, sheet string, most int) map[[2]int]string {
	rels := parts[path.Join(path.Dir(sheet), "_rels", path.Base(sheet)+".rels")]
	if !strings.Contains(rels, "/comments") {
		return nil
	}
	target := ""
	if tokens(rels, func(t *token) error {
		if t.kind == elementStart && t.name == "Relationship" {
			kind, _ := t.attr("Type")
			if to, ok := t.attr("Target"); ok && strings.HasSuffix(kind, "/comments") {
				target = to
			}
		}
		return nil
	}) != nil || target == "" {
		return nil
	}
	if strings.HasPrefix(target, "/") {
		target = strings.TrimPrefix(target, "/")
	} else {
		target = path.Join(path.Dir(sheet), target)
	}
	part := parts[strings.ToLower(target)]
	out := map[[2]int]string{}
	var at [2]int
	var text strings.Builder
	in := false
	if tokens(part, func(t *token) error {
		switch {
		case t.kind == elementStart && t.name == "comment":
			ref, _ := t.attr("ref")
			col, row, ok := ParseRef(ref)
			if !ok {
				col, row = 0, 0
			}
			at = [2]int{row, col}
			text.Reset()
		case t.kind == elementStart && t.name == "t":
			in = true
		case t.kind == elementEnd && t.name == "t":
			in = false
		case t.kind == charData && in && text.Len() < most:
			text.WriteString(t.text)
		case t.kind == elementEnd && t.name == "comment":
			if s := strings.TrimSpace(text.String()); s != "" && at[0] > 0 {
				out[at] = s
			}
		}
		return nil
	}) != nil {
		return nil
	}
	return out
}
