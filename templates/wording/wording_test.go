package wording

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

func tables(t *testing.T) map[string]Table {
	t.Helper()
	all := map[string]Table{}
	for _, code := range Codes() {
		w, err := In(code)
		if err != nil {
			t.Fatal(err)
		}
		all[code] = w
	}
	return all
}

func TestTheLanguagesOfTheCards(t *testing.T) {
	if got := strings.Join(Codes(), " "); got != "en de es fr pl pt" {
		t.Errorf("the languages are %s", got)
	}
	for _, bad := range []string{"", "xx", "EN", "../wording/en"} {
		if _, err := In(bad); err == nil {
			t.Errorf("%q was taken for a language", bad)
		}
	}
}

// Every language says what it says with the same places to fill in, and nothing else.
func TestEveryKeyInEveryLanguage(t *testing.T) {
	all := tables(t)
	place := regexp.MustCompile(`\{[^}]*\}`)
	places := func(s string) string {
		found := place.FindAllString(s, -1)
		slices.Sort(found)
		return strings.Join(slices.Compact(found), " ")
	}
	for code, w := range all {
		for _, k := range all[Original].Keys("") {
			if !w.Has(k) { // report counts those
				continue
			}
			text := w.Say(k)
			if text == "" && (k != "awaiting" || code != Original) {
				t.Errorf("%s: %q is empty", code, k)
			}
			if got, want := places(text), places(all[Original].Say(k)); got != want {
				t.Errorf("%s: %q has the places %q, English has %q", code, k, got, want)
			}
		}
		for _, k := range w.Keys("") {
			if !all[Original].Has(k) {
				t.Errorf("%s has %q, which English has not", code, k)
			}
		}
	}
}

// A translation says that nobody has read it yet; the original does not.
func TestTranslationsAwaitANativeReader(t *testing.T) {
	for code, w := range tables(t) {
		data, err := files.ReadFile(code + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		head, _, _ := strings.Cut(string(data), "\n")
		if said := strings.Contains(head, "awaiting a native reader"); said == (code == Original) || (w.Say("awaiting") != "") == (code == Original) {
			t.Errorf("%s: its head is %q, its foot %q", code, head, w.Say("awaiting"))
		}
		tag, err := language.Parse(w.Say("language"))
		if base, _ := tag.Base(); err != nil || base.String() != code {
			t.Errorf("%s calls itself %q", code, w.Say("language"))
		}
	}
}

// The decimal sign is the one CLDR gives, as x/text carries it.
func TestDecimalSignsAreCLDRs(t *testing.T) {
	for code, w := range tables(t) {
		tag := language.MustParse(w.Say("language"))
		if got := message.NewPrinter(tag).Sprint(number.Decimal(1.5)); got != "1"+w.Say("decimal")+"5" {
			t.Errorf("%s: one and a half is %q in CLDR, the table's sign is %q", code, got, w.Say("decimal"))
		}
	}
}

func TestPlacesAreFilledInOnce(t *testing.T) {
	w := tables(t)[Original]
	if got := w.Say("change.new", "feed", "{now}", "now", "2 kg"); got != "{now}: new, 2 kg a day" {
		t.Errorf("a feed called {now} reads %q", got)
	}
	if got := w.Called("meal.", " TEA "); got != "meal.tea" {
		t.Errorf("TEA is %q", got)
	}
	if got := w.Called("meal.", "Elevenses"); got != "" {
		t.Errorf("elevenses are %q", got)
	}
}

// What a language has no words for is said in the original's.
func TestWhatIsNotTranslatedIsSaidInTheOriginal(t *testing.T) {
	all := tables(t)
	fr := all["fr"]
	delete(fr.text, "ring")
	if got, want := fr.Say("ring", "who", "Ines"), all[Original].Say("ring", "who", "Ines"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestATableThatCannotBeRead(t *testing.T) {
	for _, bad := range []string{"no equals sign", "= text", "a = b\na = c"} {
		if _, err := parse(bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// The word safe is printed in no language.
func TestNothingIsCalledSafe(t *testing.T) {
	word := regexp.MustCompile(`(?i)\b(safe|sicher|sûr|segur|bezpieczn)`)
	for code, w := range tables(t) {
		for _, k := range w.Keys("") {
			if word.MatchString(w.Say(k)) {
				t.Errorf("%s: %q says %q", code, k, w.Say(k))
			}
		}
	}
}
