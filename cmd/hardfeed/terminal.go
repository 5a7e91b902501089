package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// visible makes a text from outside fit to be printed: a terminal obeys control
// letters, and letters that turn the reading direction make a line read as what it
// is not. They stand as marks instead: ␛ for escape, ⟨U+202E⟩ for what has no mark.
func visible(s string) string {
	if !strings.ContainsFunc(s, steers) && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, "⟨%02X⟩", s[i]) // a byte that is no text: some terminals obey 0x9B
		case !steers(r):
			b.WriteRune(r)
		case r < ' ':
			b.WriteRune('␀' + r)
		case r == 0x7f:
			b.WriteRune('␡')
		default:
			fmt.Fprintf(&b, "⟨U+%04X⟩", r)
		}
	}
	return b.String()
}

// steers says whether a letter does something to a terminal or to the letters around
// it instead of standing for itself. The joiners that some scripts need are let be.
func steers(r rune) bool {
	const zeroWidthNonJoiner, zeroWidthJoiner = '\u200c', '\u200d'
	switch {
	case r == zeroWidthNonJoiner || r == zeroWidthJoiner:
		return false
	case r == '\u2028' || r == '\u2029': // other ends of a line
		return true
	}
	return unicode.Is(unicode.Cc, r) || unicode.Is(unicode.Cf, r)
}

// console is where words for people go. Ends of lines and tabs are let through: they are
// ours, since [visible] or strings.Fields has been at every name.
type console struct{ io.Writer }

func (w console) Write(p []byte) (int, error) {
	var b strings.Builder
	for line := range strings.SplitAfterSeq(string(p), "\n") {
		text, end := strings.CutSuffix(line, "\n")
		parts := strings.Split(text, "\t")
		for i := range parts {
			parts[i] = visible(parts[i])
		}
		b.WriteString(strings.Join(parts, "\t"))
		if end {
			b.WriteByte('\n')
		}
	}
	if _, err := io.WriteString(w.Writer, b.String()); err != nil {
		return 0, err
	}
	return len(p), nil
}
