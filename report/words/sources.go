package words

import (
	"regexp"
	"strings"

	"hardfeed/templates/wording"
)

// sourceMark are the marks, numbers and row names that part what is said of a source.
var sourceMark = regexp.MustCompile(`§\d+(?:\.\d+)?|[;:(),§%&]|\b[A-Z]{1,2}-\d+|\d+(?:\.\d+)?`)

// Source is whose a figure is, in the language: names, titles, rows and years stay as they
// are, and what is said between them, such as "from memory" or "no source", is in the
// tables under "source.".
func (t Language) Source(text string) string {
	if t.Code == wording.Original {
		return text
	}
	var b strings.Builder
	at := 0
	part := func(to int) {
		phrase := strings.TrimSpace(text[at:to])
		said := t.sourcePhrase(phrase)
		b.WriteString(strings.Replace(text[at:to], phrase, said, 1))
	}
	for _, m := range sourceMark.FindAllStringIndex(text, -1) {
		part(m[0])
		mark := text[m[0]:m[1]]
		if !strings.HasPrefix(mark, "§") { // a section's number is a name
			mark = t.pointed(mark)
		}
		b.WriteString(mark)
		at = m[1]
	}
	part(len(text))
	return b.String()
}

// SourcePhrases are what is said in a source, without its marks, numbers and row names.
func SourcePhrases(text string) (out []string) {
	for _, p := range sourceMark.Split(text, -1) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// sourcePhrase is what a phrase of a source is in the language; a name stays as it is.
func (t Language) sourcePhrase(phrase string) string {
	if key := "source." + phrase; phrase != "" && t.Has(key) {
		return t.Say(key)
	}
	return t.Term(phrase)
}
