package reporttest

import (
	"testing"

	"hardfeed/report/words"
)

func In(t testing.TB, code string) words.Language {
	t.Helper()
	w, err := words.LanguageOf(code)
	if err != nil {
		t.Fatal(err)
	}
	return w
}
