package board

import (
	"slices"
	"strings"
	"unicode"

	"hardfeed/ration/yard"
)

// herd are the yard's horses, as they were found.
type herd struct {
	words  *vocabulary
	who    *names
	horses []*horse
	byName map[string]int // folded
}

func newHerd(words *vocabulary, who *names) *herd {
	return &herd{words: words, who: who, byName: map[string]int{}}
}

// horse is one of the yard's, with where its name stands.
type horse struct {
	index     int // among the yard's
	name      string
	sheet     *sheetData
	cell      *Cell // nil: its tab is called so
	obs       []*obs
	struck    bool
	fate      string
	now, plan ration
	// planUnread is why what is planned for it is not known; empty: it is, or nothing is.
	planUnread yard.Saying
	said       []*obs // lines elsewhere that name it
	fateAt     *obs
	weighed    *weighings // nil: not read yet
}

// add finds a horse by its name, or adds it.
func (hd *herd) add(name string, s *sheetData, c *Cell) int {
	f := foldName(name)
	if a := hd.who.alias[f]; a != "" {
		f = a
	}
	if i, ok := hd.byName[f]; ok {
		return i
	}
	hd.byName[f] = len(hd.horses)
	hd.horses = append(hd.horses, &horse{index: len(hd.horses), name: strings.Join(strings.Fields(name), " "), sheet: s, cell: c})
	return len(hd.horses) - 1
}

// named is the horse a text names, by its name or a shorter one.
func (hd *herd) named(text string) (horse int, ok bool) {
	horse, ok = hd.byName[hd.who.key(text)]
	return horse, ok
}

// namesOf are the names of horses.
func (hd *herd) namesOf(horses []int) yard.Arg {
	var out []string
	for _, i := range horses {
		out = append(out, hd.horses[i].name)
	}
	return yard.Names("horses", yard.Comma, yard.HorseName, out)
}

// horseOfCell is the horse a cell is about: its name, or one of its facts.
func (hd *herd) horseOfCell(all []*obs, s *sheetData, c *Cell) *horse {
	if i, ok := hd.named(c.Text); ok {
		return hd.horses[i]
	}
	for _, o := range all {
		if o.cell == c {
			return hd.horses[o.horse]
		}
	}
	if i, ok := hd.horseBefore(s, c); ok {
		return hd.horses[i]
	}
	for _, x := range s.inRow(c.Row) {
		if i, ok := hd.named(x.Text); ok {
			return hd.horses[i]
		}
	}
	return nil
}

// horseBefore is the horse whose name stands left of a cell in its row, the nearest of
// several: two lists side by side need not have their horses in one order.
func (hd *herd) horseBefore(s *sheetData, c *Cell) (horse int, ok bool) {
	for _, x := range s.inRow(c.Row) {
		if x.Col >= c.Col {
			break
		}
		if i, named := hd.named(x.Text); named && x.Kind == Text {
			horse, ok = i, true
		}
	}
	return horse, ok
}

// besideAHorse says whether a horse's name is before a cell in its row, or above
// it in its column.
func (hd *herd) besideAHorse(s *sheetData, c *Cell) bool {
	is := func(x *Cell) bool {
		_, ok := hd.named(foldName(x.Text))
		return ok && x.Kind == Text
	}
	for _, x := range s.inRow(c.Row) {
		if x.Col < c.Col && is(x) {
			return true
		}
	}
	for _, x := range s.cols[c.Col] {
		if x.Row < c.Row && is(x) {
			return true
		}
	}
	return false
}

// beginsWithName says whether a line begins with the name of a horse, whatever follows.
func (hd *herd) beginsWithName(text string) bool {
	folded := foldName(text)
	return slices.ContainsFunc(hd.horses, func(h *horse) bool { return strings.HasPrefix(folded, foldName(h.name)+" ") })
}

// namedIn are the horses, of those known so far, whose names stand in a line as words. A
// name that is a word for something else too, or a number, is one where the line begins
// with it and a mark is behind it: "Feed: choked in May".
func (hd *herd) namedIn(text string) []int {
	folded := foldName(text)
	words := wordsBetweenBlanks(folded, false)
	figures := ""
	var out []int
	for i, h := range hd.horses {
		n := foldName(h.name)
		named := false
		switch {
		case !hasLetters(n) || !hasDigit(n) && hd.words.read(h.name).full():
			rest, begins := strings.CutPrefix(folded, n)
			rest = strings.TrimSpace(rest)
			named = begins && rest != "" && strings.ContainsRune(":-–—=,", []rune(rest)[0])
		case hasDigit(n):
			if figures == "" {
				figures = wordsBetweenBlanks(folded, true)
			}
			named = strings.Contains(figures, wordsBetweenBlanks(n, true))
		default:
			named = len(n) > 2 && strings.Contains(words, " "+n+" ")
		}
		if named {
			out = append(out, i)
		}
	}
	return out
}

// wordsBetweenBlanks is a text's words, or its words and numbers, with a blank before and
// behind each.
func wordsBetweenBlanks(folded string, figures bool) string {
	return " " + strings.Join(strings.FieldsFunc(folded, func(r rune) bool {
		return !unicode.IsLetter(r) && r != '\'' && !(figures && unicode.IsDigit(r))
	}), " ") + " "
}

func hasLetters(s string) bool { return strings.ContainsFunc(s, unicode.IsLetter) }
