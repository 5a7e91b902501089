package board

import (
	"strings"
)

// A number before a name: of a stable, a peg, a lot; with or without a word for it, and what is
// between them. And one behind it.
var (
	numberBefore = lazily(`^(?:([\pL]+[.:°º]*|n[°º]|#)\s*)?(\d{1,3}[a-zA-Z]?)\s*([.:)\]/–—-]*)\s+(\pL.*)$`)
	numberBehind = lazily(`^(\pL.*?)\s*([–—,/(\[-]*)\s*(?:([\pL]+[.:]?|n[°º]|#)\s*)?(\d{1,3}[a-zA-Z]?)\s*[)\]]?$`)
)

// numbered takes a text that is a name with the number of a stable or a lot apart: "No. 3
// Juno", "Box 4 – Larkin", "7. Otter", "Otter (7)". The name of "1 Larkin" is all of it, as
// nothing says that the number is not part of it.
func (who *names) numbered(text string) (name string, ok bool) {
	text = strings.Join(strings.Fields(text), " ")
	if len(text) > 40 || !hasDigit(text) {
		return "", false
	}
	place := func(word string) bool {
		return word == "#" || strings.HasPrefix(strings.ToLower(word), "n°") || strings.HasPrefix(strings.ToLower(word), "nº") || who.words.read(word).has("box")
	}
	if m := numberBefore().FindStringSubmatch(text); m != nil && !hasDigit(m[4]) && (m[1] == "" || place(m[1])) && who.callsAHorse(m[4]) {
		if m[1] == "" && m[3] == "" {
			return text, true
		}
		return m[4], true
	}
	if m := numberBehind().FindStringSubmatch(text); m != nil && !hasDigit(m[1]) && (m[3] != "" && place(m[3]) || m[3] == "" && strings.ContainsAny(m[2], "([")) && who.callsAHorse(m[1]) {
		return m[1], true
	}
	return "", false
}

// callsAHorse says whether words beside a number may be what a horse is called: no unit, no
// day's work, no empty stable.
func (who *names) callsAHorse(text string) bool {
	c := &Cell{Kind: Text, Text: text}
	return who.mayBeName(c) && who.words.labelOf(c).unit == "" && !who.lang.isWork(text) && !who.lang.emptyStable(text) && !who.lang.saysSame(text)
}
