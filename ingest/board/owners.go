package board

import "strings"

// nameAndBracket parts a name from what is in brackets behind it: "Juniper (Marsh)".
func nameAndBracket(text string) (name, bracket string, ok bool) {
	name, rest, ok := strings.Cut(strings.TrimSpace(text), "(")
	name, bracket = strings.TrimSpace(name), strings.TrimSpace(strings.TrimSuffix(rest, ")"))
	return name, bracket, ok && name != "" && bracket != "" && strings.HasSuffix(rest, ")") && !strings.ContainsAny(bracket, "()")
}

// ownersBehind says whether the brackets behind the names of a table hold who owns or rides
// the horse: the heading says so, or nearly all have one and some of them are the same.
func (who *names) ownersBehind(t *table) bool {
	if l := who.words.labelOf(t.g.at(t.head, t.name)); l.has("name") && l.has("owner") {
		return true
	}
	n, bracketed, digits := 0, 0, false
	count := map[string]int{}
	for r := t.h2 + 1; r < t.end; r++ {
		x := t.g.at(r, t.name)
		if x == nil || x.Kind != Text {
			continue
		}
		n++
		if _, b, ok := nameAndBracket(x.Text); ok {
			bracketed++
			count[foldName(b)]++
			digits = digits || hasDigit(b)
		}
	}
	again := false
	for _, k := range count {
		again = again || k > 1
	}
	return n >= 3 && bracketed*10 >= n*8 && again && !digits
}
