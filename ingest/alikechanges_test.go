package ingest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"hardfeed/ingest/xlsx"
	"hardfeed/templates"
	"hardfeed/templates/words"
	"testing"
)

// sameChange is something done to a workbook that leaves its meaning as it is.
type sameChange struct {
	name        string
	rounds      int // of each workbook in a long run
	mostWrong   int // facts silently another, in 100,000
	mostRefused int // workbooks refused, in 100
	do          func(rng *rand.Rand, b *xlsx.Book, facts factsRead) (names map[string]string, done bool)
}

var sameMeaning = []sameChange{
	{"a horse called as a feed", 12, 0, 1, renameOne("Barley", "Oats", "Bran", "Chaff", "Carrots", "Hafer", "Orge", "Avena")},
	{"a horse called as a heading", 12, 5, 6, renameOne("Weight", "Notes", "Total", "Work", "Feed", "Hay", "Box", "Owner", "Now", "Date")},
	{"a horse called as a weekday", 8, 0, 0, renameOne("Monday", "Friday", "Sunday", "Montag", "Lundi", "Viernes")},
	{"a horse called as a number", 8, 0, 6, renameOne("42", "7", "101", "1066")},
	{"horses with figures in their names", 6, 0, 1, renameAll(func(i int, _ *rand.Rand) string {
		return fmt.Sprintf([]string{"Rowan %d", "Nr. %d", "K%d", "%dth Lancer"}[i%4], i+2)
	})},
	{"horses of plain names", 6, 0, 0, renameAll(func(i int, rng *rand.Rand) string {
		first := []string{"Quill", "Ember", "Juno", "Thistle", "Marl", "Sorrel", "Vesper", "Lark", "Otis", "Pagan", "Rune", "Sable"}
		return first[i%12] + strings.Repeat(" "+[]string{"Brook", "Hill", "Lane"}[i%3], min(1, i/12)) + strings.Repeat(" Boy", i/36)
	})},
	{"blank rows and columns before", 6, 0, 1, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		down, right := rng.IntN(4), rng.IntN(3)
		for i := range b.Sheets {
			insert(&b.Sheets[i], 1, 1, down, right)
		}
		return nil, down+right > 0
	}},
	{"a blank row among the rows", 6, 0, 2, func(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
		s := &b.Sheets[rng.IntN(len(b.Sheets))]
		rows := rowsOfHorses(s, facts)
		if len(rows) < 3 {
			return nil, false
		}
		insert(s, rows[1+rng.IntN(len(rows)-1)], 1, 1, 0)
		return nil, true
	}},
	{"a blank column among the columns", 6, 0, 4, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		s := &b.Sheets[rng.IntN(len(b.Sheets))]
		last := lastColumn(s)
		if last < 3 {
			return nil, false
		}
		insert(s, 1, 2+rng.IntN(last-1), 0, 1)
		return nil, true
	}},
	{"a title above", 4, 0, 2, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		for i := range b.Sheets {
			insert(&b.Sheets[i], 1, 1, 2, 0)
			put(&b.Sheets[i], 1, 1, []string{"Rosebank Stables", "Rosebank Farm – please keep this up to date", "ROSEBANK"}[rng.IntN(3)])
		}
		return nil, true
	}},
	{"a footer below", 4, 0, 0, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		for i := range b.Sheets {
			s := &b.Sheets[i]
			n := 0
			if len(s.Rows) > 0 {
				n = s.Rows[len(s.Rows)-1].N
			}
			put(s, n+2, 1, "Vet 01632 960555, farrier 01632 960556")
			put(s, n+3, 1+rng.IntN(2), "Please sweep the feed room after tea")
		}
		return nil, true
	}},
	{"tabs in another order", 4, 0, 0, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		rng.Shuffle(len(b.Sheets), func(i, k int) { b.Sheets[i], b.Sheets[k] = b.Sheets[k], b.Sheets[i] })
		return nil, len(b.Sheets) > 1
	}},
	{"tabs called otherwise", 2, 0, 0, func(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
		done := false
		for i := range b.Sheets {
			if name := b.Sheets[i].Name; !saysSomething(name, facts) {
				b.Sheets[i].Name = fmt.Sprintf("Tab %c", 'A'+i)
				done = true
			}
		}
		return nil, done
	}},
	{"headings in other words", 12, 20, 5, otherHeadings},
	{"columns in another order", 8, 0, 0, otherColumns},
	{"the days backwards", 2, 0, 0, daysBackwards},
	{"weights in another unit", 2, 0, 0, otherWeights},
	{"grams for kilograms", 2, 0, 0, gramsForKilos},
	{"numbers as text", 4, 0, 0, func(rng *rand.Rand, b *xlsx.Book, _ factsRead) (map[string]string, bool) {
		done := false
		eachCell(b, func(_ *xlsx.Sheet, c *xlsx.Cell) {
			if c.Kind == xlsx.Number && !c.Percent && rng.IntN(2) == 0 {
				c.Kind, done = xlsx.Text, true
			}
		})
		return nil, done
	}},
	{"what stands last on a tab of its own", 2, 0, 0, lastPartToItsOwnTab},
}

func ownBooks(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for name, make := range map[string]func() ([]byte, error){"starter": templates.Starter, "demo": templates.Demo} {
		data, err := make()
		if err != nil {
			t.Fatal(err)
		}
		out[name+".xlsx"] = data
	}
	return out
}

func eachCell(b *xlsx.Book, do func(s *xlsx.Sheet, c *xlsx.Cell)) {
	for i := range b.Sheets {
		s := &b.Sheets[i]
		for k := range s.Rows {
			for n := range s.Rows[k].Cells {
				do(s, &s.Rows[k].Cells[n])
			}
		}
	}
}

// insert moves all from a row and a column on by so many, and stretches what lies over them.
func insert(s *xlsx.Sheet, row, col, down, right int) {
	moved := func(n, from, by int) int {
		if n >= from {
			return n + by
		}
		return n
	}
	for k := range s.Rows {
		r := &s.Rows[k]
		r.N = moved(r.N, row, down)
		for i := range r.Cells {
			r.Cells[i].Row, r.Cells[i].Col = r.N, moved(r.Cells[i].Col, col, right)
		}
	}
	for i, m := range s.Merges {
		s.Merges[i] = xlsx.Rect{Row1: moved(m.Row1, row, down), Row2: moved(m.Row2, row, down), Col1: moved(m.Col1, col, right), Col2: moved(m.Col2, col, right)}
	}
	hidden := map[int]bool{}
	for r := range s.HiddenRows {
		hidden[moved(r, row, down)] = true
	}
	s.HiddenRows = hidden
	for i, m := range s.HiddenCols {
		s.HiddenCols[i].Col1, s.HiddenCols[i].Col2 = moved(m.Col1, col, right), moved(m.Col2, col, right)
	}
	notes := map[[2]int]string{}
	for at, text := range s.Comments {
		notes[[2]int{moved(at[0], row, down), moved(at[1], col, right)}] = text
	}
	s.Comments = notes
}

// put writes a text into a cell that is empty.
func put(s *xlsx.Sheet, row, col int, text string) {
	cell := xlsx.Cell{Row: row, Col: col, Kind: xlsx.Text, Shown: text}
	k, found := slices.BinarySearchFunc(s.Rows, row, func(r xlsx.Row, n int) int { return r.N - n })
	if !found {
		s.Rows = slices.Insert(s.Rows, k, xlsx.Row{N: row})
	}
	i, _ := slices.BinarySearchFunc(s.Rows[k].Cells, col, func(c xlsx.Cell, n int) int { return c.Col - n })
	s.Rows[k].Cells = slices.Insert(s.Rows[k].Cells, i, cell)
}

func lastColumn(s *xlsx.Sheet) int {
	n := 0
	for _, r := range s.Rows {
		n = max(n, r.Cells[len(r.Cells)-1].Col)
	}
	return n
}

// rowsOfHorses are the rows of a sheet in which a horse's name is a cell.
func rowsOfHorses(s *xlsx.Sheet, facts factsRead) []int {
	var out []int
	for _, r := range s.Rows {
		if slices.ContainsFunc(r.Cells, func(c xlsx.Cell) bool { return c.Kind == xlsx.Text && isHorse(facts, c.Shown) }) {
			out = append(out, r.N)
		}
	}
	return out
}

func isHorse(facts factsRead, name string) bool {
	_, ok := facts[[2]string{name, "weight"}]
	return ok
}

func horsesOf(facts factsRead) []string {
	var out []string
	for _, key := range sortedFacts(facts) {
		if key[1] == "weight" {
			out = append(out, key[0])
		}
	}
	return out
}

// rename calls horses otherwise, wherever they stand; it says whether it could be done:
// not where a name is a word of other texts too.
func rename(b *xlsx.Book, to map[string]string) bool {
	for old := range to {
		first := wordAlone(strings.Fields(old)[0])
		whole := wordAlone(old)
		clear := true
		look := func(text string) {
			clear = clear && (!first.MatchString(text) || strings.EqualFold(text, old) || whole.MatchString(text) && len(first.FindAllString(text, -1)) == len(whole.FindAllString(text, -1)) && strings.Contains(text, old))
		}
		eachCell(b, func(_ *xlsx.Sheet, c *xlsx.Cell) {
			if c.Kind == xlsx.Text {
				look(c.Shown)
			}
		})
		for _, s := range b.Sheets {
			look(s.Name)
			for _, text := range s.Comments {
				clear = clear && !first.MatchString(text)
			}
		}
		if !clear {
			return false
		}
	}
	// By way of names that nobody has, so that two may change places.
	for _, step := range []int{0, 1} {
		for k, old := range sortedNames(to) {
			from, as := old, fmt.Sprintf("\x01%d\x01", k)
			if step == 1 {
				from, as = as, to[old]
			}
			change := func(text string) string {
				if strings.EqualFold(text, from) {
					return as
				}
				if step == 1 {
					return strings.ReplaceAll(text, from, as)
				}
				return wordAlone(from).ReplaceAllLiteralString(text, as)
			}
			eachCell(b, func(_ *xlsx.Sheet, c *xlsx.Cell) {
				if c.Kind == xlsx.Text {
					c.Shown = change(c.Shown)
				}
			})
			for i := range b.Sheets {
				b.Sheets[i].Name = change(b.Sheets[i].Name)
			}
		}
	}
	return true
}

func sortedNames(m map[string]string) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	return out
}

func wordAlone(s string) *regexp.Regexp {
	return regexp.MustCompile(`(?i)(?:^|\b)` + regexp.QuoteMeta(s) + `(?:\b|$)`)
}

func renameOne(names ...string) func(*rand.Rand, *xlsx.Book, factsRead) (map[string]string, bool) {
	return func(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
		horses := horsesOf(facts)
		to := map[string]string{horses[rng.IntN(len(horses))]: names[rng.IntN(len(names))]}
		for _, as := range to {
			if isHorse(facts, as) || len(horses) < 2 {
				return nil, false
			}
		}
		return to, rename(b, to)
	}
}

func renameAll(name func(i int, rng *rand.Rand) string) func(*rand.Rand, *xlsx.Book, factsRead) (map[string]string, bool) {
	return func(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
		to := map[string]string{}
		horses := horsesOf(facts)
		rng.Shuffle(len(horses), func(i, k int) { horses[i], horses[k] = horses[k], horses[i] })
		for i, h := range horses {
			as := name(i, rng)
			if isHorse(facts, as) {
				return nil, false
			}
			to[h] = as
		}
		return to, rename(b, to)
	}
}

// headPhrases are the words of headings: phrase -> key by language, and back.
var headPhrases = sync.OnceValue(func() (out struct {
	key  map[string]map[string][]string // language -> phrase -> keys
	like map[string]map[string][]string // language -> key -> phrases
}) {
	out.key, out.like = map[string]map[string][]string{}, map[string]map[string][]string{}
	for _, lang := range words.Languages() {
		out.key[lang], out.like[lang] = map[string][]string{}, map[string][]string{}
		for line := range strings.Lines(words.Heads(lang)) {
			key, list, ok := strings.Cut(strings.TrimSpace(line), ":")
			if !ok || strings.HasPrefix(line, "#") {
				continue
			}
			for phrase := range strings.SplitSeq(list, "|") {
				if p := strings.TrimSpace(phrase); len(p) > 1 {
					out.key[lang][p] = append(out.key[lang][p], key)
					out.like[lang][key] = append(out.like[lang][key], p)
				}
			}
		}
	}
	return out
})

// saysSomething says whether the name of a tab may say more than what it is called.
func saysSomething(name string, facts factsRead) bool {
	if strings.ContainsAny(name, "0123456789½") || isHorse(facts, name) {
		return true
	}
	for _, w := range regexp.MustCompile(`[\pL']+`).FindAllString(strings.ToLower(name), -1) {
		for _, lang := range words.Languages() {
			if len(w) < 3 || headPhrases().key[lang][w] != nil || strings.Contains(string(words.Language(lang)), w) {
				return true
			}
		}
	}
	return false
}

// otherHeadings puts other words of the same meaning over columns.
func otherHeadings(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	h := headPhrases()
	lang, most := "", 0
	for _, l := range words.Languages() {
		n := 0
		eachCell(b, func(_ *xlsx.Sheet, c *xlsx.Cell) {
			if c.Kind == xlsx.Text && h.key[l][strings.ToLower(c.Shown)] != nil {
				n++
			}
		})
		if n > most {
			lang, most = l, n
		}
	}
	done := map[string]string{}
	for i := range b.Sheets {
		for k := range b.Sheets[i].Rows {
			cells := b.Sheets[i].Rows[k].Cells
			known := 0
			for n := range cells {
				if cells[n].Kind == xlsx.Text && h.key[lang][strings.ToLower(cells[n].Shown)] != nil {
					known++
				}
			}
			if known < 3 || slices.ContainsFunc(cells, func(c xlsx.Cell) bool { return isHorse(facts, c.Shown) }) {
				continue
			}
			for n := range cells {
				c := &cells[n]
				keys := h.key[lang][strings.ToLower(c.Shown)]
				if c.Kind != xlsx.Text || len(keys) != 1 || rng.IntN(2) == 0 {
					continue
				}
				likes := h.like[lang][keys[0]]
				as := likes[rng.IntN(len(likes))]
				if len(h.key[lang][as]) == 1 && !strings.EqualFold(as, c.Shown) {
					done["heading "+c.Shown] = as
					c.Shown = as
				}
			}
		}
	}
	return done, len(done) > 0
}

// headsOfHorses is the row of headings over a table of horses on a sheet, the columns they
// stand in, and the last row of theirs; false where that is not plain to see.
func headsOfHorses(s *xlsx.Sheet, facts factsRead) (head *xlsx.Row, name, last int, ok bool) {
	rows := rowsOfHorses(s, facts)
	if len(rows) < 2 || len(s.Merges) > 0 {
		return nil, 0, 0, false
	}
	for k := range s.Rows {
		r := &s.Rows[k]
		if r.N < rows[0] {
			head = r
		}
		if r.N == rows[0] {
			for _, c := range r.Cells {
				if isHorse(facts, c.Shown) {
					name = c.Col
				}
			}
		}
	}
	if head == nil || len(head.Cells) < 4 || head.N != rows[0]-1 || head.At(name).Kind == xlsx.Empty {
		return nil, 0, 0, false
	}
	seen := map[string]bool{}
	for i, c := range head.Cells {
		if len([]rune(c.Shown)) < 3 || seen[c.Shown] || i > 0 && head.Cells[i-1].Col != c.Col-1 {
			return nil, 0, 0, false
		}
		seen[c.Shown] = true
	}
	for _, n := range rows {
		if n >= head.N {
			last = n
		}
	}
	for k := range s.Rows { // and the lines below that are of that horse too
		if r := &s.Rows[k]; r.N == last+1 && len(r.Cells) > 0 && r.At(name).Kind == xlsx.Empty {
			last = r.N
		}
	}
	return head, name, last, true
}

// moveColumns puts each column of a table elsewhere.
func moveColumns(s *xlsx.Sheet, from, to int, where map[int]int) {
	for k := range s.Rows {
		if s.Rows[k].N < from || s.Rows[k].N > to {
			continue
		}
		cells := s.Rows[k].Cells
		for i := range cells {
			if at, ok := where[cells[i].Col]; ok {
				cells[i].Col = at
			}
		}
		slices.SortFunc(cells, func(a, b xlsx.Cell) int { return a.Col - b.Col })
	}
	notes := map[[2]int]string{}
	for at, text := range s.Comments {
		if col, ok := where[at[1]]; ok && at[0] >= from && at[0] <= to {
			at[1] = col
		}
		notes[at] = text
	}
	s.Comments = notes
}

func otherColumns(rng *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	done := false
	for i := range b.Sheets {
		s := &b.Sheets[i]
		head, _, last, ok := headsOfHorses(s, facts)
		if !ok || len(s.HiddenCols) > 0 {
			continue
		}
		var cols []int
		for _, c := range head.Cells {
			cols = append(cols, c.Col)
		}
		perm := slices.Clone(cols)
		rng.Shuffle(len(perm), func(i, k int) { perm[i], perm[k] = perm[k], perm[i] })
		where := map[int]int{}
		for n, c := range cols {
			where[c] = perm[n]
		}
		moveColumns(s, head.N, last, where)
		done = true
	}
	return nil, done
}

func daysBackwards(_ *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	hw := builtInWords()
	done := false
	for i := range b.Sheets {
		s := &b.Sheets[i]
		head, _, last, ok := headsOfHorses(s, facts)
		if !ok {
			continue
		}
		var days []int
		for _, c := range head.Cells {
			if _, _, day := hw.dayOf(c.Shown); day {
				days = append(days, c.Col)
			}
		}
		if len(days) != 7 {
			continue
		}
		where := map[int]int{}
		for n, c := range days {
			where[c] = days[len(days)-1-n]
		}
		moveColumns(s, head.N, last, where)
		done = true
	}
	return nil, done
}

func otherWeights(_ *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	w, err := readBook("", b, Options{})
	if err != nil {
		return nil, false
	}
	at := map[string]float64{}
	for _, h := range w.Horses {
		if kg, ok := h.WeightKg.Get(); ok {
			at[h.Cells["weight"].Sheet+"!"+h.Cells["weight"].Ref] = kg
		}
	}
	done := false
	eachCell(b, func(s *xlsx.Sheet, c *xlsx.Cell) {
		kg, ok := at[s.Name+"!"+xlsx.RefOf(c.Col, c.Row)]
		if !ok || c.Kind != xlsx.Number {
			return
		}
		done = true
		if math.Abs(kg-c.Num) < 1 {
			*c = xlsx.Cell{Row: c.Row, Col: c.Col, Kind: xlsx.Text, Shown: fmt.Sprintf("%.1f lb", kg/0.45359237)}
		} else {
			*c = xlsx.Cell{Row: c.Row, Col: c.Col, Kind: xlsx.Text, Shown: fmt.Sprintf("%.1f kg", kg)}
		}
	})
	return nil, done
}

var kilosOfFeed = regexp.MustCompile(`(^|[^\d.,½¼¾/])(\d{1,2}(?:[.,]\d+)?) ?kg\b`)

func gramsForKilos(_ *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	done := false
	eachCell(b, func(_ *xlsx.Sheet, c *xlsx.Cell) {
		if c.Kind != xlsx.Text {
			return
		}
		c.Shown = kilosOfFeed.ReplaceAllStringFunc(c.Shown, func(m string) string {
			p := kilosOfFeed.FindStringSubmatch(m)
			kg, err := strconv.ParseFloat(strings.Replace(p[2], ",", ".", 1), 64)
			if err != nil {
				return m
			}
			done = true
			return p[1] + strconv.FormatFloat(math.Round(kg*1000), 'f', -1, 64) + " g"
		})
	})
	return nil, done
}

// lastPartToItsOwnTab moves what stands below the last blank row of a sheet, unless it goes
// on with the horses above.
func lastPartToItsOwnTab(_ *rand.Rand, b *xlsx.Book, facts factsRead) (map[string]string, bool) {
	for i := range b.Sheets {
		s := &b.Sheets[i]
		at := -1
		for k := 1; k < len(s.Rows); k++ {
			if s.Rows[k].N > s.Rows[k-1].N+1 {
				at = k
			}
		}
		if at < 2 || slices.ContainsFunc(s.Rows[at].Cells, func(c xlsx.Cell) bool { return isHorse(facts, c.Shown) }) || slices.ContainsFunc(s.Merges, func(m xlsx.Rect) bool { return m.Row2 >= s.Rows[at].N }) {
			continue
		}
		own := xlsx.Sheet{Name: "More", Hidden: s.Hidden}
		first := s.Rows[at].N - 1
		for _, r := range s.Rows[at:] {
			r.N -= first
			for n := range r.Cells {
				r.Cells[n].Row = r.N
			}
			own.Rows = append(own.Rows, r)
		}
		s.Rows = s.Rows[:at]
		b.Sheets = append(b.Sheets, own)
		return nil, true
	}
	return nil, false
}
