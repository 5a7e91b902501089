package reporttest

import (
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// In is the language of a code.
func In(t testing.TB, code string) words.Language {
	t.Helper()
	w, err := words.LanguageOf(code)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Sayings are finished sentences as sayings of the engine.
func Sayings(texts ...string) (out []yard.Saying) {
	for _, t := range texts {
		out = append(out, yard.Verbatim(t))
	}
	return out
}
