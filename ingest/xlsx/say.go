package xlsx

import (
	"regexp"
	"strings"
	"sync"
	"unicode"

	"hardfeed/ration/yard"
)

// lazily compiles an expression when it is first used.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

// stands is what is in a file, on one line and cut where it is long.
func stands(name, text string) yard.Arg {
	if r := []rune(text); len(r) > 60 {
		text = string(r[:60]) + "…"
	}
	return yard.Words(name, strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
}
