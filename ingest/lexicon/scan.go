// Package lexicon cuts the text of a cell into tokens and finds the words of
// the trade in them.
//
// Every token knows where it stands, so that whoever reads the cell can say
// which part of the text was understood and which was not.
package lexicon

import (
	"math"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Span is a part of a text, in bytes: Start belongs to it, End does not.
type Span struct{ Start, End int }

// Join is the shortest span with both in it; an empty one counts for nothing.
func (s Span) Join(o Span) Span {
	switch {
	case s.Start == s.End:
		return o
	case o.Start == o.End:
		return s
	}
	return Span{min(s.Start, o.Start), max(s.End, o.End)}
}

// Of is what is there in text.
func (s Span) Of(text string) string {
	if s.Start < 0 || s.End > len(text) || s.Start > s.End {
		return ""
	}
	return text[s.Start:s.End]
}

// Kind is what a token is.
type Kind int8

const (
	Word   Kind = iota // letters
	Number             // figures, fractions, and both together
	Clock              // 14:30
	Mark               // anything else that shows
)

// Token is a piece of a cell's text.
type Token struct {
	Span
	Kind Kind
	// Text is a word in lower case without accents, or a mark; all dashes are
	// "-", all signs for times "x", all quotation marks `"`, a line break "\n".
	Text string
	// Value is a number's value. Other is its second reading where a mark
	// before three figures can be a decimal mark or part thousands ("1,250"),
	// else 0.
	Value, Other float64
	Minute       int  // of a clock: minutes after midnight
	Whole        bool // a number of figures only
	Glued        bool // no blank is before it
	Dot          bool // a full stop is behind the word
	Upper        bool // a word in capitals
}

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅓': 1. / 3, '⅔': 2. / 3,
	'⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5, '⅙': 1. / 6, '⅚': 5. / 6,
	'⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
}

// Fold is a word as the tables know it: lower case, without accents.
func Fold(s string) string {
	for i := range len(s) {
		if s[i] >= 0x80 || s[i] >= 'A' && s[i] <= 'Z' {
			return foldSlow(s)
		}
	}
	return s
}

func foldSlow(s string) string {
	s = strings.ToLower(s)
	for i := range len(s) {
		if s[i] >= 0x80 {
			return withoutAccents(s)
		}
	}
	return s
}

func withoutAccents(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		if r >= latinEnd {
			return decomposed(s)
		}
		b.WriteString(latin()[r])
	}
	return b.String()
}

// latinEnd ends the letters of which [latin] knows how each is written without accents.
const latinEnd = 0x180

var latin = sync.OnceValue(func() []string {
	plain := make([]string, latinEnd)
	for r := range plain {
		plain[r] = decomposed(string(rune(r)))
	}
	return plain
})

// decomposed is a text without accents, by the tables of Unicode.
func decomposed(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range norm.NFD.String(s) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r == 'ß':
			b.WriteString("ss")
		case r == 'œ':
			b.WriteString("oe")
		case r == 'æ':
			b.WriteString("ae")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func digit(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }

func digitsEnd(s string, i int) int {
	for digit(s, i) {
		i++
	}
	return i
}

func shows(r rune) bool {
	switch {
	case unicode.IsSpace(r), unicode.Is(unicode.Zs, r), r == '\u200b', r == '\ufeff', r == '\u00ad', r == '\u2060',
		r == '\u200e', r == '\u200f', r == '\u061c', r >= '\u202a' && r <= '\u202e', r >= '\u2066' && r <= '\u2069',
		r == '\ufe0e', r == '\ufe0f', r == '\u200d':
		return false
	}
	return true
}

// Scan cuts a text into tokens. Every character that shows is in one of them,
// but for the full stop of an abbreviation, which its word keeps.
func Scan(text string) []Token { return appendTokens(make([]Token, 0, 2+len(text)/4), text) }

func appendTokens(toks []Token, text string) []Token {
	glued := false
	for i := 0; i < len(text); {
		r, n := rune(text[i]), 1
		if r >= utf8.RuneSelf {
			r, n = utf8.DecodeRuneInString(text[i:])
		}
		if r == '\n' || r == '\r' {
			if k := len(toks); k > 0 && toks[k-1].Text != "\n" {
				toks = append(toks, Token{Span: Span{i, i + n}, Kind: Mark, Text: "\n"})
			}
			i, glued = i+n, false
			continue
		}
		if !shows(r) {
			i, glued = i+n, false
			continue
		}
		var t Token
		switch {
		case digit(text, i), vulgar[r] != 0, r == '.' && digit(text, i+1) && (i == 0 || !digit(text, i-1)) && !(glued && len(toks) > 0 && toks[len(toks)-1].Kind == Word):
			t = scanNumber(text, i, r, n)
		case unicode.IsLetter(r):
			t = scanWord(text, i)
		default:
			t = Token{Span: Span{i, i + n}, Kind: Mark, Text: mark(r, text[i:i+n])}
		}
		t.Glued = glued
		if t.Kind == Word {
			toks = appendWord(toks, text, t)
		} else {
			toks = append(toks, t)
		}
		i, glued = toks[len(toks)-1].End, true
		if toks[len(toks)-1].Dot {
			i++
		}
	}
	return toks
}

// mark gives one sign for all that look alike.
func mark(r rune, as string) string {
	switch r {
	case '−', '–', '—', '‐', '‑', '‒', '―':
		return "-"
	case '×', '✕', '*':
		return "x"
	case '"', '“', '”', '„', '″', '〃', '«', '»':
		return `"`
	case '\'', '’', '‘', '′', '´', '`':
		return "'"
	case '≈', '∼':
		return "~"
	case '⁄', '∕':
		return "/"
	}
	return as
}

// scanWord takes letters, and an apostrophe between letters.
func scanWord(text string, i int) Token {
	j, upper, letters := i, true, 0
	for j < len(text) {
		r, n := utf8.DecodeRuneInString(text[j:])
		if unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) {
			upper = upper && !unicode.IsLower(r)
			letters++
			j += n
			continue
		}
		if r == '\'' || r == '’' || r == '‘' || r == '´' {
			if r2, _ := utf8.DecodeRuneInString(text[j+n:]); unicode.IsLetter(r2) {
				j += n
				continue
			}
		}
		break
	}
	return Token{Span: Span{i, j}, Kind: Word, Text: Fold(text[i:j]), Upper: upper && letters > 0}
}

// appendWord parts what an apostrophe joins ("d'orge"), knows the sign for
// times, and keeps an abbreviation's full stop with it.
func appendWord(toks []Token, text string, t Token) []Token {
	if k := apostrophe(t.Text); k >= 0 {
		switch head := t.Text[:k]; head {
		case "d", "l", "qu", "jusqu":
			cut := strings.IndexAny(text[t.Start:t.End], "'’‘´")
			_, n := utf8.DecodeRuneInString(text[t.Start+cut:])
			first, rest := t, t
			first.End, first.Text = t.Start+cut, head
			rest.Start, rest.Text, rest.Glued = t.Start+cut+n, t.Text[k+n:], true
			if rest.Text == "" {
				return append(toks, first)
			}
			return appendWord(append(toks, first), text, rest)
		}
		t.Text = strings.Map(func(r rune) rune {
			if strings.ContainsRune("'’‘´", r) {
				return -1
			}
			return r
		}, t.Text)
	}
	if t.Text == "x" {
		t.Kind, t.Text = Mark, "x"
		return append(toks, t)
	}
	if t.End < len(text) && text[t.End] == '.' && !digit(text, t.End+1) {
		t.Dot = true
	}
	if t.End < len(text) && text[t.End] == '.' && digit(text, t.End+1) && len(t.Text) <= 6 { // "c.500", "env.600"
		t.Dot = true
	}
	return append(toks, t)
}

// apostrophe is where the first one stands; -1 where there is none, as in most words.
func apostrophe(word string) int {
	if ascii(word) {
		return strings.IndexByte(word, '\'')
	}
	return strings.IndexAny(word, "'’‘´")
}

// scanNumber takes figures with their decimal mark, a fraction, a whole number
// with a fraction, or a time of day.
func scanNumber(text string, i int, r rune, n int) Token {
	t := Token{Kind: Number}
	if f := vulgar[r]; f != 0 {
		t.Span, t.Value = Span{i, i + n}, f
		return t
	}
	end := digitsEnd(text, i)
	if v, j, ok := fraction(text, i, end); ok {
		t.Span, t.Value = Span{i, j}, v
		return t
	}
	if c, ok := clock(text, i, end); ok {
		return c
	}
	// Figures with marks between them.
	j := end
	for j < len(text) && (text[j] == '.' || text[j] == ',') && digit(text, j+1) {
		j = digitsEnd(text, j+1)
	}
	t.Span, t.Whole = Span{i, j}, j == end
	t.Value, t.Other = decimal(text[i:j])
	if t.Whole {
		if v, end, ok := fractionBehind(text, j); ok {
			t.Value, t.End, t.Whole = t.Value+v, end, false
		}
	}
	return t
}

// clock reads a time of day whose hours stand from i to end: "14:30", "14:30:00".
func clock(text string, i, end int) (Token, bool) {
	if end-i > 2 || end >= len(text) || text[end] != ':' || !digit(text, end+1) || !digit(text, end+2) || digit(text, end+3) {
		return Token{}, false
	}
	h, _ := strconv.Atoi(text[i:end])
	m, _ := strconv.Atoi(text[end+1 : end+3])
	if h >= 24 || m >= 60 {
		return Token{}, false
	}
	end += 3
	if strings.HasPrefix(text[end:], ":00") && !digit(text, end+3) {
		end += 3
	}
	return Token{Kind: Clock, Span: Span{i, end}, Minute: h*60 + m}, true
}

// fractionBehind reads the fraction behind a whole number that ends at j: 2½, 2 ½, 1 1/2,
// 1-1/2.
func fractionBehind(text string, j int) (v float64, end int, ok bool) {
	k := j
	for {
		if strings.HasPrefix(text[k:], " ") {
			k++
		} else if strings.HasPrefix(text[k:], "\u00a0") {
			k += len("\u00a0")
		} else {
			break
		}
	}
	if f, m := utf8.DecodeRuneInString(text[k:]); vulgar[f] != 0 {
		return vulgar[f], k + m, true
	}
	if k == j && k < len(text) && text[k] == '-' {
		k++
	}
	if k == j || !digit(text, k) {
		return 0, 0, false
	}
	return fraction(text, k, digitsEnd(text, k))
}

// fraction reads "1/2" at i, whose upper part ends at end: halves, thirds,
// quarters, fifths, sixths, eighths, tenths and sixteenths below one. Anything
// else ("6/7", "30/11") is more likely a date or a pair of numbers.
func fraction(text string, i, end int) (float64, int, bool) {
	if end-i > 2 || end >= len(text) || text[end] != '/' && !strings.HasPrefix(text[end:], "⁄") {
		return 0, 0, false
	}
	low := end + 1
	if text[end] != '/' {
		low = end + len("⁄")
	}
	j := digitsEnd(text, low)
	switch text[low:j] {
	case "2", "3", "4", "5", "6", "8", "10", "16":
	default:
		return 0, 0, false
	}
	if j < len(text) && (text[j] == '/' || (text[j] == '.' || text[j] == ',') && digit(text, j+1)) {
		return 0, 0, false
	}
	a, _ := strconv.Atoi(text[i:end])
	b, _ := strconv.Atoi(text[low:j])
	if a == 0 || a >= b {
		return 0, 0, false
	}
	return float64(a) / float64(b), j, true
}

// decimal reads figures with points and commas, in one or two ways. What has no
// reading is NaN.
func decimal(s string) (v, other float64) {
	parse := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || len(s) > 18 {
			return math.NaN()
		}
		return v
	}
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	if points+commas == 0 {
		return parse(s), 0
	}
	mark, dec := ",", "."
	if points > commas || points == 1 && commas == 1 && strings.IndexByte(s, '.') < strings.IndexByte(s, ',') {
		mark, dec = ".", ","
	}
	grouped := thousands(s, mark, dec)
	whole := math.NaN()
	if grouped {
		whole = parse(strings.Replace(strings.ReplaceAll(s, mark, ""), dec, ".", 1))
	}
	if points+commas == 1 {
		one := parse(strings.Replace(s, ",", ".", 1))
		if strings.HasPrefix(s, ".") || strings.HasPrefix(s, ",") {
			return one, 0
		}
		switch {
		case !grouped || strings.HasPrefix(s, "0"):
			return one, 0
		case commas == 1:
			return whole, one
		default:
			return one, whole
		}
	}
	return whole, 0
}

// thousands says whether s is groups of three parted by mark, with at most one
// decimal mark behind them, as in 1,250.5 or 1.250.000,5.
func thousands(s, mark, dec string) bool {
	whole, _, _ := strings.Cut(s, dec)
	groups := strings.Split(whole, mark)
	if len(groups) < 2 || len(groups[0]) < 1 || len(groups[0]) > 3 || strings.Contains(s[len(whole):], mark) || strings.Count(s, dec) > 1 {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}
