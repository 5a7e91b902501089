package draw

import (
	"fmt"
)

// Bookmark is a line of the list that viewers show beside the pages.
type Bookmark struct {
	Title string
	Page  int  // from 1
	Under bool // the last one before it that is not
}

// Mark names the page being drawn in the list of [Doc.Bookmarks]; under puts it below the
// last one that is not.
func (d *Doc) Mark(title string, under bool) {
	shown, _ := Printable(title)
	d.Bookmarks = append(d.Bookmarks, Bookmark{shown, max(1, d.Page()), under && len(d.Bookmarks) > 0})
}

// writeBookmarks writes the list (ISO 32000-1, 12.3.3); pages are their objects' numbers.
// It returns what the catalogue says of it, nothing where there is none.
func (d *Doc) writeBookmarks(pages []int) string {
	if len(d.Bookmarks) == 0 {
		return ""
	}
	root := len(d.file.begins)
	number := func(i int) int { return root + 1 + i }
	for range len(d.Bookmarks) + 1 {
		d.file.begins = append(d.file.begins, 0)
	}
	var top []int
	below := map[int][]int{}
	for i, b := range d.Bookmarks {
		if b.Under {
			at := top[len(top)-1]
			below[at] = append(below[at], i)
		} else {
			top = append(top, i)
		}
	}
	d.file.object(root, fmt.Appendf(nil, "<</Type /Outlines /First %d 0 R /Last %d 0 R /Count %d>>\nendobj\n", number(top[0]), number(top[len(top)-1]), len(top)))
	write := func(siblings []int, parent int) {
		for n, i := range siblings {
			b := d.Bookmarks[i]
			o := append([]byte("<<"), titleText(b.Title)...)
			o = fmt.Appendf(o, " /Parent %d 0 R /Dest [%d 0 R /Fit]", parent, pages[b.Page-1])
			if n > 0 {
				o = fmt.Appendf(o, " /Prev %d 0 R", number(siblings[n-1]))
			}
			if n+1 < len(siblings) {
				o = fmt.Appendf(o, " /Next %d 0 R", number(siblings[n+1]))
			}
			if b := below[i]; len(b) > 0 { // closed at first
				o = fmt.Appendf(o, " /First %d 0 R /Last %d 0 R /Count %d", number(b[0]), number(b[len(b)-1]), -len(b))
			}
			d.file.object(number(i), o, []byte(">>\nendobj\n"))
		}
	}
	write(top, root)
	for _, i := range top {
		write(below[i], number(i))
	}
	return fmt.Sprintf("\n/Outlines %d 0 R\n/PageMode /UseOutlines", root)
}
