package ingest

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// This file holds workbooks against themselves: what means the same is read the same,
// and what is spoilt in one cell spoils nothing else. alikechanges_test.go has what is done
// to them.

var moreBooks = flag.String("workbooks", "", "folder of further workbooks to change and read again")

// aBook is a workbook that is read, changed and read again.
type aBook struct {
	name string
	*xlsx.Book
}

// booksToChange are all workbooks there are here: those of testdata/yards, those that other
// programs wrote, the starter and the demo in their languages, and those of -workbooks.
func booksToChange(t *testing.T) []aBook {
	t.Helper()
	var out []aBook
	add := func(name string, data []byte, err error) {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		book, err := xlsx.Open(name, data)
		if err == nil && !book.Ours {
			out = append(out, aBook{name, book})
		}
	}
	for _, pattern := range []string{filepath.Join("testdata", "yards", "*.txt"), filepath.Join("..", "testdata", "workbooks", "*.xls?"), filepath.Join(*moreBooks, "*.xlsx")} {
		if *moreBooks == "" && strings.HasPrefix(pattern, "*") {
			continue
		}
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: no workbooks, %v", pattern, err)
		}
		for _, path := range paths {
			if strings.HasSuffix(path, ".txt") {
				add(filepath.Base(path), readPage(t, path).workbook(t), nil)
				continue
			}
			data, err := os.ReadFile(path)
			add(filepath.Base(path), data, err)
		}
	}
	for name, data := range ownBooks(t) {
		add(name, data, nil)
	}
	slices.SortFunc(out, func(a, b aBook) int { return strings.Compare(a.name, b.name) })
	return out
}

// copyOf is the book to change: nothing of it is shared.
func (b aBook) copyOf() *xlsx.Book {
	c := *b.Book
	c.Sheets = slices.Clone(b.Sheets)
	for i := range c.Sheets {
		s := &c.Sheets[i]
		old := s.Rows
		*s = xlsx.Sheet{Name: s.Name, Hidden: s.Hidden, Rows: slices.Clone(s.Rows), Merges: slices.Clone(s.Merges), HiddenRows: maps.Clone(s.HiddenRows), HiddenCols: slices.Clone(s.HiddenCols), Comments: maps.Clone(s.Comments)}
		for k := range old {
			s.Rows[k].Cells = slices.Clone(old[k].Cells)
		}
	}
	return &c
}

// factsRead are the facts of a week, by horse and what they are of.
type factsRead map[[2]string]string

// unknownFact is a fact that is not known.
const unknownFact = "?"

func factsOfRead(w yard.Week) factsRead {
	out := factsRead{}
	for _, h := range w.Horses {
		if strings.HasPrefix(h.Name, "Row ") {
			continue // a row without a name, told of by its place
		}
		put := func(what, value string) { out[[2]string{h.Name, what}] = value }
		put("weight", figure(h.WeightKg, 10))
		for d, day := range h.Work {
			m := 0.0
			for _, s := range day.Sessions {
				m += s.Total()
			}
			switch {
			case day.Unknown || !h.WorkGiven:
				put(dayNames[d], unknownFact)
			default:
				put(dayNames[d], figure(yard.Known(m), 1))
			}
		}
		now, plan := hardFeedOf(w, h.Name)
		put("now", strings.ReplaceAll(now, "-", unknownFact))
		put("planned", strings.ReplaceAll(plan, "-", unknownFact))
		ills := []string{}
		for _, d := range h.Diagnoses {
			ills = append(ills, fmt.Sprint(d.Kind))
		}
		slices.Sort(ills)
		put("illness", strings.Join(slices.Compact(ills), ", "))
		put("gone", fmt.Sprint(len(h.NoCard) > 0))
	}
	out[[2]string{"", "week"}] = w.Beginning.Format(time.DateOnly)
	return out
}

var dayNames = [7]string{"day 1", "day 2", "day 3", "day 4", "day 5", "day 6", "day 7"}

func figure(n yard.Num, parts float64) string {
	x, ok := n.Get()
	if !ok {
		return unknownFact
	}
	return strconv.FormatFloat(math.Round(x*parts)/parts, 'f', -1, 64)
}

// near says whether two facts are the same but for what rounding to another unit does.
func near(a, b string) bool {
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	return a == b || errX == nil && errY == nil && math.Abs(x-y) <= 0.02+x/400
}

// rulesAbout are how the rules begin that ask about a fact; those about cells that were
// not used are about any.
var rulesAbout = map[string][]string{"weight": {"weight"}, "day": {"work", "minutes"}, "now": {"amount", "measure"}, "planned": {"amount", "measure"}, "week": {"week", "date"}, "illness": {"diagnosis"}, "gone": {"amount", "measure", "horse", "name"}}

// isAsked says whether a person is told that a fact is in doubt.
func isAsked(w yard.Week, horse, what string) bool {
	kind, _, _ := strings.Cut(what, " ")
	return slices.ContainsFunc(w.Findings, func(f yard.Finding) bool {
		if f.Horse != "" && horse != "" && f.Horse != horse {
			return false
		}
		begins := func(r string) bool { return strings.HasPrefix(string(f.Rule), r) }
		return slices.ContainsFunc(rulesAbout[kind], begins) || slices.ContainsFunc([]string{"column-", "sheet-", "cell-unused", "row-", "horse-name", "horse-unknown"}, begins)
	})
}

// outcome is what became of a fact.
type outcome int

const (
	readSame     outcome = iota
	askedAbout           // another value or none, and a person is told
	notKnown             // none, and nobody is told: nothing wrong is printed
	silentlyMore         // a value where none was before, and nobody is told
	silentlyWrong
)

func (o outcome) String() string {
	return [...]string{"the same", "asked about", "not known", "newly known", "silently another"}[o]
}

// compareFact says what became of a fact.
func compareFact(w yard.Week, horse, what, want, got string) outcome {
	switch {
	case near(want, got):
		return readSame
	case isAsked(w, horse, what), what == "gone" && got == "true": // why it has no card is always said
		return askedAbout
	case got == unknownFact:
		return notKnown
	case want == unknownFact:
		return silentlyMore
	}
	return silentlyWrong
}

// tally counts outcomes.
type tally struct {
	cases, refused int
	facts          [5]int
}

func (t tally) String() string {
	out := fmt.Sprintf("%5d workbooks, %d refused; facts", t.cases, t.refused)
	for o, n := range t.facts {
		out += fmt.Sprintf(" %d %s,", n, outcome(o))
	}
	return strings.TrimSuffix(out, ",")
}

// readChanged reads a book as it was changed.
func readChanged(t *testing.T, b aBook, book *xlsx.Book) (w yard.Week, err error) {
	t.Helper()
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("%s: %v", b.name, p)
		}
	}()
	return readBook(b.name, book, Options{})
}

// rngFor draws for one book and one change, always the same.
func rngFor(b aBook, change string, round int) *rand.Rand {
	n := uint64(round)
	for _, r := range b.name + change {
		n = n*31 + uint64(r)
	}
	return rand.New(rand.NewPCG(n, 19))
}

// A workbook that says the same in another shape is read the same, or a person is asked. How
// many facts may be silently another, and how many workbooks refused, stands with each change:
// no more than the program is at. With -v and -long everything that was not read the same is
// listed.
func TestWhatMeansTheSameIsReadTheSame(t *testing.T) {
	books := booksToChange(t)
	before := make([]factsRead, len(books))
	for i, b := range books {
		if w, err := readBook(b.name, b.copyOf(), Options{}); err == nil {
			before[i] = factsOfRead(w)
		}
	}
	for _, change := range sameMeaning {
		t.Run(change.name, func(t *testing.T) {
			t.Parallel()
			var n tally
			for i, b := range books {
				for round := range sample(1, change.rounds) {
					if before[i] == nil || !*long && (i+len(change.name))%4 != 0 {
						continue // a quick run tries a quarter of the books
					}
					book := b.copyOf()
					names, done := change.do(rngFor(b, change.name, round), book, before[i])
					if !done {
						continue
					}
					n.cases++
					w, err := readChanged(t, b, book)
					if err != nil {
						n.refused++
						t.Logf("%s, round %d: refused: %v %v", b.name, round, err, names)
						continue
					}
					got := factsOfRead(w)
					got.callAs(before[i], names)
					for _, key := range sortedFacts(before[i]) {
						horse := key[0]
						if as, ok := names[horse]; ok {
							horse = as
						}
						value, there := got[[2]string{horse, key[1]}]
						if !there {
							value = "no such horse"
						}
						o := compareFact(w, horse, key[1], before[i][key], value)
						n.facts[o]++
						if o == silentlyWrong || o == silentlyMore || *long && testing.Verbose() && o != readSame {
							t.Logf("%s, round %d: %s of %s is %s, was %s: %s %v", b.name, round, key[1], horse, value, before[i][key], o, names)
						}
					}
				}
			}
			t.Log(n)
			all := 0
			for _, k := range n.facts {
				all += k
			}
			if bad := n.facts[silentlyWrong] + n.facts[silentlyMore]; bad*100_000 > change.mostWrong*all || n.refused > 1+change.mostRefused*n.cases/100 || n.cases == 0 {
				t.Errorf("%d facts are silently another, %d of %d workbooks refused", bad, n.refused, n.cases)
			}
		})
	}
}

// callAs calls horses as they were called before, where one with the same facts is there
// by another of its names.
func (got factsRead) callAs(before factsRead, names map[string]string) {
	had, has := horsesOf(before), horsesOf(got)
	for _, h := range had {
		if as, ok := names[h]; ok {
			h = as
		}
		if slices.Contains(has, h) {
			continue
		}
		for _, x := range has {
			same := !isHorse(before, x)
			for key, want := range before {
				same = same && (key[0] != h || near(want, got[[2]string{x, key[1]}]))
			}
			if same {
				for key, v := range maps.Clone(got) {
					if key[0] == x {
						got[[2]string{h, key[1]}] = v
					}
				}
				break
			}
		}
	}
}

func sortedFacts(m factsRead) [][2]string {
	return slices.SortedFunc(maps.Keys(m), func(a, b [2]string) int {
		return strings.Compare(a[0]+"\x00"+a[1], b[0]+"\x00"+b[1])
	})
}
