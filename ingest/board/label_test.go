package board

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Words picked by hand are those of the pattern, whatever is in a cell.
func TestWordsByHandAreThoseOfThePattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringMatching(`[a-cN0-9 .,'%$#/:°-]{0,20}`), rapid.String()).Draw(t, "text")
		var want [][2]int
		for _, at := range wordPattern().FindAllStringIndex(text, -1) {
			want = append(want, [2]int{at[0], at[1]})
		}
		if got := placesOfWords(text); !slices.Equal(got, want) {
			t.Fatalf("%q: words at %v, by the pattern at %v", text, got, want)
		}
	})
}

// What a look at a text rules out is not in it: no pattern for dates finds one there.
func TestTextsWithoutDatesHoldNone(t *testing.T) {
	v := newVocabulary()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`([0-9]{1,4}|[ ./-]|st|ND|th|of|de|'|,|mar|Sept|x|may){0,12}`),
			rapid.String()).Draw(t, "text")
		marked, counted := figures(text)
		if !marked && numericDate().MatchString(text) || !counted && dayOnly().MatchString(text+" ") {
			t.Fatalf("%q: figures say marked %v, counted %v", text, marked, counted)
		}
		if v.mayNameMonth(text) {
			return
		}
		for _, m := range worded().FindAllStringSubmatch(text, -1) {
			if _, ok := v.month(foldWord(m[2])); ok {
				t.Fatalf("%q names a month", text)
			}
		}
		for _, m := range wordedUS().FindAllStringSubmatch(text, -1) {
			if _, ok := v.month(foldWord(m[1])); ok {
				t.Fatalf("%q names a month", text)
			}
		}
	})
}
