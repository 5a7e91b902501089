package ingest

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// names finds a horse by how its name is written on another sheet. Case,
// blanks, accents and marks do not count. What is in brackets or quotation
// marks behind a name may be left out or stand alone: "Bramble (mare)", "Lady
// Jane 'Jinny'". Anything else is not the same name, only a likely one.
type names struct {
	at    map[string]int   // plain name -> index
	loose map[string][]int // plain name without brackets, and what is in them -> indexes
	all   []string
	plain []string       // the keys of both, sorted; nil: to be gathered
	exact map[string]int // name as it is written -> index

	asked, likely string // the name near was last asked for, and its answer
}

func newNames() names {
	return names{at: map[string]int{}, loose: map[string][]int{}, exact: map[string]int{}}
}

// plainName makes two spellings of one name equal: case, blanks, accents and
// marks other than brackets do not count.
func plainName(name string) string {
	if isPlain(name) && !strings.ContainsAny(name, "'`.-,;:/&\"!?#*+_[]{}<>|~^$%=@\\") {
		return fold(name)
	}
	var b strings.Builder
	for _, r := range norm.NFD.String(strings.ToLower(tidy(name))) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r == 'ß':
			b.WriteString("ss")
		case r == 'ø':
			b.WriteByte('o')
		case r == 'æ':
			b.WriteString("ae")
		case r == 'ł':
			b.WriteByte('l')
		case r == '\'' || r == '’' || r == '‘' || r == '`' || r == '´' || r == '.':
		case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '(' || r == ')' || unicode.IsSymbol(r):
			b.WriteRune(r)
		default:
			b.WriteByte(' ')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// notNicknames are in brackets behind many a name.
var notNicknames = map[string]bool{"mare": true, "gelding": true, "stallion": true, "colt": true, "filly": true, "pony": true, "horse": true, "cob": true, "foal": true,
	"m": true, "g": true, "f": true, "s": true, "grey": true, "gray": true, "bay": true, "chestnut": true, "black": true, "livery": true, "school": true, "new": true, "old": true, "big": true, "little": true,
	"young": true, "retired": true, "box rest": true, "lame": true}

// loosely gives the other ways of writing a name: without what stands in
// brackets or quotation marks, and that alone if it is a name.
func loosely(name string) []string {
	base, nick := name, ""
	for _, pair := range []string{"()", "[]", "“”", "‘’", "\"\"", "''"} {
		rs := []rune(pair)
		i := strings.IndexRune(name, rs[0])
		if i < 0 {
			continue
		}
		rest := name[i+len(string(rs[0])):]
		j := strings.IndexRune(rest, rs[1])
		if j < 0 || pair == "''" && (i == 0 || name[i-1] != ' ') {
			continue
		}
		base, nick = name[:i]+" "+rest[j+len(string(rs[1])):], rest[:j]
		break
	}
	if base == name {
		return nil
	}
	all := []string{plainName(base)}
	if n := plainName(nick); n != "" && !notNicknames[n] && strings.IndexFunc(n, unicode.IsLetter) >= 0 {
		all = append(all, n)
	}
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

func (n *names) add(name string, i int) {
	n.at[plainName(name)], n.exact[name] = i, i
	n.all = append(n.all, name)
	n.plain, n.asked = nil, ""
	for _, k := range loosely(name) {
		n.loose[k] = append(n.loose[k], i)
	}
}

// find returns the horse's index, or -1; exact is false where something in
// brackets was left out or stands alone. Where two horses fit, none does.
func (n *names) find(name string) (i int, exact bool) {
	if i, ok := n.exact[name]; ok { // which most are
		return i, true
	}
	k := plainName(name)
	if k == "" {
		return -1, false
	}
	if i, ok := n.at[k]; ok {
		return i, true
	}
	fits := slices.Clone(n.loose[k])
	for _, l := range loosely(name) {
		if i, ok := n.at[l]; ok {
			fits = append(fits, i)
		}
		fits = append(fits, n.loose[l]...)
	}
	slices.Sort(fits)
	if fits = slices.Compact(fits); len(fits) == 1 {
		return fits[0], false
	}
	return -1, false
}

// near is the likeliest name meant, or "".
func (n *names) near(name string) string {
	if name == n.asked { // of one row twice
		return n.likely
	}
	if n.plain == nil {
		n.plain = slices.Concat(slices.Collect(maps.Keys(n.at)), slices.Collect(maps.Keys(n.loose)))
		slices.Sort(n.plain)
		n.plain = slices.Compact(n.plain)
	}
	n.asked, n.likely = name, ""
	if k := nearest(plainName(name), n.plain); k != "" {
		i, ok := n.at[k]
		if !ok {
			i = n.loose[k][0]
		}
		n.likely = n.all[i]
	}
	return n.likely
}
