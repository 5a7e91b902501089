package lexicon

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"hardfeed/templates/words"
)

// maxWord is how long a word may be to be compared with others, in bytes.
const maxWord = 25

// Sense is one meaning of a phrase: a key of a section of the word tables, and
// the language whose word it is ("" for the yard's own).
type Sense struct {
	Section, Key, Language string
}

// node is a word of a phrase; the phrases that go on from it hang on it.
type node struct {
	word   string
	senses []Sense
	first  *node // of the words that may follow: few, so that a look at each is quick
	beside *node // another word that may stand in its place
}

// next is the node of a word that follows; nil where none does.
func (n *node) next(word string) *node {
	at := n.first
	for at != nil && at.word != word {
		at = at.beside
	}
	return at
}

// add is next, made where it is missing.
func (n *node) add(word string) *node {
	at := n.next(word)
	if at == nil {
		at = &node{word: word, beside: n.first}
		n.first = at
	}
	return at
}

// begins are the words phrases begin with.
type begins map[string]*node

func (b begins) add(word string) *node {
	if b[word] == nil {
		b[word] = &node{word: word}
	}
	return b[word]
}

// after is where the phrases go on from a place in them, nil their beginning, with a word.
func (b begins) after(at *node, word string) *node {
	if at == nil {
		return b[word]
	}
	return at.next(word)
}

// Table is the words of some languages, ready to be found. It does not change
// once it is made and may be shared.
type Table struct {
	begins    begins
	languages []string
	own       *Table                   // words of the yard's own, which win; nil if there are none
	yards     bool                     // it is the yard's own
	byLength  func() [maxWord][]string // the first words of phrases, for [Table.Nearest]
}

var tables sync.Map // languages joined by blanks -> func() *Table

// Load gives the words of some languages, all of them where none is named. The
// first is the yard's own: where a phrase means different things in two
// languages, its meaning comes first. It is compiled once.
func Load(languages ...string) *Table {
	if len(languages) == 0 {
		languages = words.Languages()
	}
	make, _ := tables.LoadOrStore(strings.Join(languages, " "), sync.OnceValue(func() *Table { return compile(languages) }))
	return make.(func() *Table)()
}

// sections is a file of words: section, key, phrases between commas.
type sections = map[string]map[string]string

var parsed sync.Map // language -> func() sections

func sectionsOf(language string) sections {
	f, _ := parsed.LoadOrStore(language, sync.OnceValue(func() sections {
		s, err := Parse(words.Language(language))
		if err != nil {
			panic(fmt.Sprintf("the words of %s: %v", language, err)) // they are part of the program, and tested
		}
		return s
	}))
	return f.(func() sections)()
}

// Parse reads a file of words: "[section]" lines, and "key: phrase, phrase".
// Lines that begin with # and empty ones do not count.
func Parse(file []byte) (map[string]map[string]string, error) {
	s, in, n := sections{}, "", 0
	for line := range strings.Lines(string(file)) {
		n++
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if strings.HasPrefix(line, "[") && strings.HasSuffix(line, "]") {
			in = line[1 : len(line)-1]
			if s[in] != nil {
				return nil, fmt.Errorf("line %d: the section %s stands twice", n, in)
			}
			s[in] = map[string]string{}
			continue
		}
		key, phrases, ok := strings.Cut(line, ":")
		if key = strings.TrimSpace(key); !ok || key == "" || in != "" && s[in][key] != "" {
			return nil, fmt.Errorf("line %d: %q is no new key with its phrases", n, line)
		}
		if s[in] == nil {
			s[in] = map[string]string{}
		}
		s[in][key] = phrases
	}
	return s, nil
}

func compile(languages []string) *Table {
	t := &Table{begins: make(begins, 5000), languages: languages} // of some four thousand first words
	toks := make([]Token, 0, 32)
	for _, l := range languages {
		s := sectionsOf(l)
		for _, section := range sortedKeys(s) {
			for _, key := range sortedKeys(s[section]) {
				for phrase := range strings.SplitSeq(s[section][key], ",") {
					toks = t.add(toks, phrase, Sense{section, key, l})
				}
			}
		}
	}
	t.byLength = sync.OnceValue(t.begins.byLength)
	return t
}

// byLength sorts the words that are phrases by their length.
func (b begins) byLength() (out [maxWord][]string) {
	for _, w := range sortedKeys(b) {
		if len(w) < maxWord && len(b[w].senses) > 0 {
			out[len(w)] = append(out[len(w)], w)
		}
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// add puts a phrase into the table. A word with an umlaut is known in its
// spelling without one too: ue for ü. toks is where its tokens are put meanwhile.
func (t *Table) add(toks []Token, phrase string, s Sense) []Token {
	toks = appendTokens(toks[:0], phrase)
	t.addTokens(toks, s)
	if strings.ContainsAny(phrase, "äöüÄÖÜ") {
		toks = appendTokens(toks[:0], noUmlauts.Replace(phrase))
		t.addTokens(toks, s)
	}
	return toks
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

var noUmlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae", "Ö", "Oe", "Ü", "Ue")

func (t *Table) addTokens(toks []Token, s Sense) {
	if len(toks) == 0 {
		return
	}
	n := t.begins.add(word(toks[0]))
	for k, tok := range toks {
		if k > 0 && !hyphen(toks, k) { // "long-rein" is "long rein"
			n = n.add(word(tok))
		}
	}
	if !slices.Contains(n.senses, s) {
		n.senses = append(n.senses, s)
	}
}

// hyphen says whether token k joins two words.
func hyphen(toks []Token, k int) bool {
	return toks[k].Text == "-" && toks[k].Glued && k > 0 && toks[k-1].Kind == Word && k+1 < len(toks) && toks[k+1].Glued && toks[k+1].Kind == Word
}

// word is how a token is looked up: whole numbers by their figures.
func word(t Token) string {
	if t.Kind == Number {
		if t.Whole && t.Value < 200 {
			return small[int(t.Value)]
		}
		return ""
	}
	return t.Text
}

var small = func() (s [200]string) {
	for i := range s {
		s[i] = fmt.Sprint(i)
	}
	return s
}()

// With is the table with more phrases, which win over those it has: the yard's
// own legend. The table itself stays as it is.
func (t *Table) With(phrases map[string]Sense) *Table {
	own := &Table{begins: begins{}, languages: t.languages, yards: true}
	if t.own != nil {
		for w, n := range t.own.begins {
			own.begins[w] = n.clone()
		}
	}
	for _, p := range sortedKeys(phrases) {
		own.addTokens(Scan(p), phrases[p])
	}
	own.byLength = sync.OnceValue(own.begins.byLength)
	return &Table{begins: t.begins, languages: t.languages, own: own, byLength: t.byLength}
}

func (n *node) clone() *node {
	c := &node{word: n.word, senses: slices.Clone(n.senses)}
	for k := n.first; k != nil; k = k.beside {
		kid := k.clone()
		kid.beside, c.first = c.first, kid
	}
	return c
}

// Languages are those of the table, the yard's own first.
func (t *Table) Languages() []string { return t.languages }

// longest is how many tokens a phrase may have, hyphens aside.
const longest = 8

// Match finds the longest phrase from token i on that has a sense in one of the
// sections, and how many tokens it takes; 0 where there is none. The yard's own
// words win over longer ones of the tables.
func (t *Table) Match(toks []Token, i int, in ...string) (Sense, int) {
	senses, n := t.Senses(toks, i, in...)
	if n == 0 {
		return Sense{}, 0
	}
	return senses[0], n
}

// Senses is [Table.Match] with every sense of the phrase found, in the order of
// the languages.
func (t *Table) Senses(toks []Token, i int, in ...string) ([]Sense, int) {
	if t.own != nil {
		if s, n := t.own.Senses(toks, i, in...); n > 0 {
			return s, n
		}
	}
	best, n := t.longestAt(toks, i, in)
	if n == 0 {
		return nil, 0
	}
	short := n == 1 && toks[i].End-toks[i].Start <= shortWord
	hidden := t.own != nil && slices.ContainsFunc(in, shadowed) && t.own.reach(toks, i) >= n
	best = slices.DeleteFunc(slices.Clone(best), func(s Sense) bool {
		return !slices.Contains(in, s.Section) || hidden && shadowed(s.Section) || short && t.foreign(s)
	})
	if hidden && len(best) == 0 {
		return nil, 0
	}
	return best, n
}

// longestAt is the longest phrase from token i on that has a sense in one of the sections,
// with all its senses.
func (t *Table) longestAt(toks []Token, i int, in []string) (best []Sense, n int) {
	var at *node
	for k := i; k < len(toks) && k < i+longest; k++ {
		if k > i && (t.bracketOfHers(at, toks[k]) || hyphen(toks, k)) {
			continue
		}
		if at = t.begins.after(at, word(toks[k])); at == nil {
			break
		}
		short := k == i && toks[k].End-toks[k].Start <= shortWord
		for _, s := range at.senses {
			if slices.Contains(in, s.Section) && !(short && t.foreign(s)) {
				best, n = at.senses, k+1-i
				break
			}
		}
	}
	return best, n
}

// bracketOfHers says whether a mark inside a phrase of her own does not count: "Long hack
// (B)" may be one name.
func (t *Table) bracketOfHers(at *node, tok Token) bool {
	return t.yards && (tok.Text == "(" || tok.Text == ")" || tok.Text == "-") && at.next(tok.Text) == nil
}

// shadowed says whether words of a section give way to her own of the same
// spelling: where "SB" is a piece of work in her legend it is no sugar beet.
func shadowed(section string) bool {
	switch section {
	case "feeds", "measures", "vague", "amounts", "meals":
		return true
	}
	return false
}

// reach is how many tokens from i on are a phrase of the table, of any section.
func (t *Table) reach(toks []Token, i int) int {
	n, at := 0, (*node)(nil)
	for k := i; k < len(toks) && k < i+longest; k++ {
		if k > i && hyphen(toks, k) {
			continue
		}
		if at = t.begins.after(at, word(toks[k])); at == nil {
			break
		}
		if len(at.senses) > 0 {
			n = k + 1 - i
		}
	}
	return n
}

// shortWord is how long an abbreviation of a measure may be, in bytes; in another
// language than the yard's own it would be anything: "Sch" is a scoop in German
// and schooling in English.
const shortWord = 4

func (t *Table) foreign(s Sense) bool {
	return s.Section == "measures" && s.Language != "" && s.Language != t.languages[0]
}

// Has says whether a whole text, case and accents aside, is a phrase of a
// section, and its key.
func (t *Table) Has(text string, in ...string) (string, bool) {
	toks := Scan(text)
	s, n := t.Match(toks, 0, in...)
	return s.Key, n > 0 && n == len(toks)
}

// MayBegin says whether a phrase may begin with a word. It says no only of a word of
// plain small letters, or of figures, that no phrase begins with: a look that spares
// [Table.Has] for most words.
func (t *Table) MayBegin(w string) bool {
	if w == "" || w == "x" {
		return true
	}
	letters, figures := 0, 0
	for i := range len(w) {
		switch {
		case w[i] >= 'a' && w[i] <= 'z':
			letters++
		case digit(w, i):
			figures++
		}
	}
	switch len(w) {
	case letters:
	case figures:
		if n, err := strconv.Atoi(w); err == nil && n < len(small) {
			w = small[n]
		} else {
			w = "" // as word knows it
		}
	default:
		return true
	}
	return t.begins[w] != nil || t.own != nil && t.own.begins[w] != nil
}

// Nearest is the one-word phrase of the sections that differs least from a word:
// in one letter, or two for a word of seven letters and more; "" where there is
// none. Of several it is the first in the alphabet.
func (t *Table) Nearest(word string, in ...string) string {
	most := 1
	if len(word) >= 7 {
		most = 2
	}
	if len(word) < 4 || len(word)+most >= maxWord {
		return ""
	}
	best, n := "", most+1
	for _, table := range []*Table{t, t.own} {
		if table == nil {
			continue
		}
		lengths := table.byLength()
		for l := len(word) - most; l <= len(word)+most; l++ {
			for _, w := range lengths[l] {
				if w[0] != word[0] && w[1] != word[1] && w[0] != word[1] {
					continue
				}
				d := distance(word, w, min(most, n))
				if d > n || d > most || d == n && w != best && best != "" {
					continue
				}
				if slices.ContainsFunc(table.begins[w].senses, func(s Sense) bool { return slices.Contains(in, s.Section) }) {
					best, n = w, d
				}
			}
		}
	}
	return best
}

// distance is how many letters have to be put in, left out, changed or swapped
// with their neighbour; more than most is most+1.
func distance(a, b string, most int) int {
	var rows [3][32]int
	if len(a) > 30 || len(b) > 30 {
		return most + 1
	}
	for j := range len(b) + 1 {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		row, up, two := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		row[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			c := 1
			if a[i-1] == b[j-1] {
				c = 0
			}
			v := min(up[j]+1, row[j-1]+1, up[j-1]+c)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				v = min(v, two[j-2]+1)
			}
			row[j] = v
			least = min(least, v)
		}
		if least > most {
			return most + 1
		}
	}
	return rows[len(a)%3][len(b)]
}

// Phrases are all phrases of a section as the files have them, in the order of
// the languages.
func (t *Table) Phrases(section string) []string {
	var out []string
	for _, l := range t.languages {
		s := sectionsOf(l)
		for _, key := range sortedKeys(s[section]) {
			for p := range strings.SplitSeq(s[section][key], ",") {
				out = append(out, strings.TrimSpace(p))
			}
		}
	}
	return out
}

// Keys are the keys of a section in all languages, sorted.
func (t *Table) Keys(section string) []string {
	seen := map[string]bool{}
	for _, l := range t.languages {
		for key := range sectionsOf(l)[section] {
			seen[key] = true
		}
	}
	return sortedKeys(seen)
}
