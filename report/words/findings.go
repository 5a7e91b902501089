package words

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// Text is f on one line for the console: how serious, which horse, where, what,
// whose figure.
func Text(f yard.Finding) string {
	var b strings.Builder
	b.WriteString(strings.ToUpper(f.Severity.String()))
	if f.Horse != "" {
		b.WriteString(" " + f.Horse)
	}
	if w := Where(f.Cell); w != "" {
		b.WriteString(", " + w)
	}
	b.WriteString(": " + Message(f))
	if t := Whose(f); t != "" {
		b.WriteString(" (" + t + ")")
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// Where is a cell as a person finds it; empty where there is none.
func Where(c yard.Cell) string {
	if c.Sheet == "" && c.Ref == "" {
		return ""
	}
	return c.String()
}

// Whose is a finding's rule and source; the rule once.
func Whose(f yard.Finding) string {
	if f.Rule != "" && strings.HasPrefix(f.Source, string(f.Rule)) {
		return f.Source
	}
	return Join("; ", string(f.Rule), f.Source)
}

// Whose is [Whose] in the language; a rule's name is the same in all.
func (t Language) Whose(f yard.Finding) string {
	if f.Rule != "" && strings.HasPrefix(f.Source, string(f.Rule)) {
		return t.Source(f.Source)
	}
	return Join("; ", string(f.Rule), t.Source(f.Source))
}

// Sentence is text as a whole sentence: with a capital and a full stop. What tables say
// has both; what a reader of workbooks says may have neither.
func Sentence(text string) string {
	text = Capital(strings.TrimRightFunc(text, unicode.IsSpace))
	if text == "" || strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") || strings.HasSuffix(text, "?") || strings.HasSuffix(text, "…") {
		return text
	}
	return text + "."
}

// Together are texts one after the other, a sentence that was said before left out: what a
// finding says and what to do may both send to the vet.
func Together(texts ...string) string {
	said := ""
	for _, t := range texts {
		for s := range strings.SplitAfterSeq(t, ". ") {
			if s = strings.TrimSpace(s); s != "" && (said == "" || !strings.Contains(said+" ", " "+s+" ")) {
				said = Join(" ", said, s)
			}
		}
	}
	return said
}

// Capital is t with its first letter upper-cased, as findings and reasons begin on
// paper; the record keeps them as they came.
func Capital(t string) string {
	r, n := utf8.DecodeRuneInString(t)
	if r == utf8.RuneError || unicode.ToUpper(r) == r {
		return t
	}
	return string(unicode.ToUpper(r)) + t[n:]
}
