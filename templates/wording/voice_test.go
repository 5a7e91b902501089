package wording

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// The voice: a person in the yard says it to another person in the yard. What this test
// can see of that is words and patterns nobody says (testdata/banned.txt), how long a
// sentence is, and semicolons and chains of colons.

// Most words in a sentence: on the wall it is read once, by somebody tired; elsewhere it
// may be a little longer. Ours, after the plain-language guides' 15 to 20.
const (
	mostWordsOnTheWall = 20
	mostWordsElsewhere = 30
)

// onTheWall begin the keys that are printed on cards, on who gets what and on the scoop
// sheet.
var onTheWall = []string{"amount.", "ask.", "basis.", "before.", "card.", "caution.", "change.", "column.", "days.", "edition", "foot.", "held.", "nocard.", "nofeed", "notes", "override", "reason.",
	"ring", "scoops.", "spare.", "status.", "week.", "weight.", "who.", "why."}

type ban struct {
	is   *regexp.Regexp
	says string // instead
}

func bans(t testing.TB) []ban {
	t.Helper()
	out := bansIn(t, "banned.txt")
	if len(out) < 20 {
		t.Fatalf("only %d words are banned", len(out))
	}
	return out
}

// bansIn are those of a file of testdata.
func bansIn(t testing.TB, name string) (out []ban) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if line := lines.Text(); line != "" && !strings.HasPrefix(line, "#") {
			pattern, says, ok := strings.Cut(line, "\t")
			if !ok {
				t.Fatalf("%q has no tab and no word instead", line)
			}
			exact, ok := strings.CutPrefix(pattern, "=")
			if !ok {
				exact = "(?i)" + exact
			}
			out = append(out, ban{regexp.MustCompile(exact), strings.TrimSpace(says)})
		}
	}
	return out
}

// faults are what is wrong with a text; most is how many words a sentence of it may have.
func faults(banned []ban, text string, wall bool) (out []string) {
	for _, b := range banned {
		if found := b.is.FindString(text); found != "" {
			out = append(out, fmt.Sprintf("%q, say: %s", found, b.says))
		}
	}
	most := mostWordsElsewhere
	if wall {
		most = mostWordsOnTheWall
		if strings.Contains(text, ";") {
			out = append(out, "a semicolon on the wall")
		}
	}
	for _, s := range sentencesOf(text) {
		if n := len(wordsOf(s)); n > most {
			out = append(out, fmt.Sprintf("a sentence of %d words, %d at most: %s", n, most, s))
		}
		if strings.Count(s, ": ") > 1 {
			out = append(out, "a chain of colons: "+s)
		}
	}
	return out
}

var place = regexp.MustCompile(`\{[^}]*\}`)

// sentencesOf parts a text into sentences; a number's point and "e.g." end none.
func sentencesOf(text string) (out []string) {
	text = place.ReplaceAllString(text, "x")
	at := 0
	for i, r := range text {
		if next := i + 1; strings.ContainsRune(".!?", r) && (next == len(text) || text[next] == ' ' || text[next] == '\n' || text[next] == '"' || text[next] == ')') {
			out = append(out, strings.TrimSpace(text[at:next]))
			at = next
		}
	}
	return slices.DeleteFunc(append(out, strings.TrimSpace(text[at:])), func(s string) bool { return len(wordsOf(s)) == 0 })
}

// wordsOf are a sentence's words; numbers and places count, signs do not.
func wordsOf(s string) []string {
	return slices.DeleteFunc(strings.Fields(s), func(w string) bool {
		return !strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) })
	})
}

// syllables of an English word, by its groups of vowels, the silent e at its end left out.
func syllables(word string) int {
	word = strings.ToLower(strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }))
	n, in := 0, false
	for _, r := range word {
		vowel := strings.ContainsRune("aeiouy", r)
		if vowel && !in {
			n++
		}
		in = vowel
	}
	if strings.HasSuffix(word, "e") && !strings.HasSuffix(word, "le") && n > 1 {
		n--
	}
	return max(1, n)
}

// ease is how easily texts are read.
type ease struct{ words, sentences, syllables float64 }

func (e *ease) add(text string) {
	for _, s := range sentencesOf(text) {
		e.sentences++
		for _, w := range wordsOf(s) {
			e.words++
			e.syllables += float64(syllables(w))
		}
	}
}

// String gives words a sentence, syllables a word and Flesch's reading ease (Flesch 1948,
// from memory: 206.835 − 1.015 words a sentence − 84.6 syllables a word; 60 to 70 is plain).
func (e ease) String() string {
	w, s := e.words/e.sentences, e.syllables/e.words
	return fmt.Sprintf("%.1f words a sentence, %.2f syllables a word, reading ease %.0f", w, s, 206.835-1.015*w-84.6*s)
}

func isOnTheWall(key string) bool {
	return slices.ContainsFunc(onTheWall, func(p string) bool { return strings.HasPrefix(key, p) })
}

func TestTheTablesVoice(t *testing.T) {
	banned := bans(t)
	en, err := In(Original)
	if err != nil {
		t.Fatal(err)
	}
	var wall, office ease
	for _, key := range en.Keys("") {
		text := en.Text(key)
		if OnlyInOriginal(key) || key == "awaiting" {
			continue
		}
		for _, f := range faults(banned, text, isOnTheWall(key)) {
			t.Errorf("%s: %s", key, f)
		}
		switch {
		case len(wordsOf(text)) < 4: // a label
		case isOnTheWall(key):
			wall.add(text)
		default:
			office.add(text)
		}
	}
	t.Logf("on the wall: %s (before 30 November 2026: 11.1 words, 1.19 syllables, 95)", wall)
	t.Logf("elsewhere: %s (before: 13.4 words, 1.20 syllables, 91)", office)
}

// The checker finds what it is there for.
func TestABannedSentenceIsFound(t *testing.T) {
	banned := bans(t)
	for _, c := range []struct {
		text string
		wall bool
		says string // "": nothing is wrong
	}{
		{"Feed 2 kg a day this week. 3.6 kg would be too big a jump from 1.3 kg.", true, ""},
		{"Soak for an hour before feeding.", true, ""},
		{"hard feed is 2.28 kg over what is fed now, the stop mark is 1.40 kg", false, "stop mark"},
		{"HELD, feed what this card says", true, "HELD"},
		{"Change it a quarter at a time.", true, "quarter at a time"},
		{"This is safe to feed.", false, "safe"},
		{"Delete the row.", false, "Delete"},
		{"The weight is not believed.", false, "not believed"},
		{"75 kg is taken for the rider.", false, "is taken"},
		{"Juniper stands twice on the sheet.", false, "stands twice"},
		{"Set it to nought.", true, "nought"},
		{"Small hay is kept; water always.", true, "semicolon"},
		{"Small hay is kept; water always.", false, ""},
		{"Next: mend it: at once.", false, "Next:"},
		{"Sat: event: feed early.", true, "chain of colons"},
		{strings.Repeat("word ", 21) + ".", true, "21 words"},
		{strings.Repeat("word ", 21) + ".", false, ""},
		{strings.Repeat("word ", 31) + ".", false, "31 words"},
	} {
		got := strings.Join(faults(banned, c.text, c.wall), "\n")
		if c.says == "" && got != "" || c.says != "" && !strings.Contains(got, c.says) {
			t.Errorf("%q on the wall %v: %q, want %q", c.text, c.wall, got, c.says)
		}
	}
	// Source: counted by hand.
	var e ease
	e.add("The gut takes longer to adapt than the muscles. Give it 2.5 kg.")
	if e.words != 13 || e.sentences != 2 || e.syllables != 17 {
		t.Errorf("%+v", e)
	}
}
