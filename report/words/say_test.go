package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

func TestValuesAreSaidInTheLanguage(t *testing.T) {
	french, err := LanguageOf("fr")
	if err != nil {
		t.Fatal(err)
	}
	monday := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	names := func(j yard.Joint, n int) yard.Value {
		return yard.Names("", j, yard.FeedName, []string{"Oats", "Beet", "Bran"}[:n]).Value
	}
	for _, c := range []struct {
		v               yard.Value
		English, french string
	}{
		{yard.Kg("", 1.205).Value, "1.21", "1,21"},
		{yard.Fixed("", 1.5, yard.Percent, 0).Value, "2", "2"},
		{yard.Figures("", 2.50, yard.Hours, 3).Value, "2.5", "2,5"},
		{yard.Count("", 7).Value, "7", "7"},
		{yard.Text{Kind: yard.FeedName, Text: "Oats 1.5"}, "Oats 1.5", "Oats 1.5"},
		{yard.DayOfWeek{Date: monday}, "Mon", "lun."},
		{yard.DayOfWeek{Number: 2}, "Day 3", "Jour 3"},
		{yard.Date{Date: monday, Year: true}, "30 Nov 2026", "30 nov. 2026"},
		{yard.Date{Date: monday}, "30 Nov", "30 nov."},
		{yard.Clock(9*60 + 5), "09:05", "09:05"},
		{names(yard.And, 1), "Oats", "Oats"},
		{names(yard.And, 2), "Oats and Beet", "Oats et Beet"},
		{names(yard.And, 3), "Oats, Beet and Bran", "Oats, Beet et Bran"},
		{names(yard.AndAll, 3), "Oats and Beet and Bran", "Oats et Beet et Bran"},
		{names(yard.Comma, 2), "Oats, Beet", "Oats, Beet"},
		{names(yard.Semicolon, 2), "Oats; Beet", "Oats; Beet"},
		{yard.Saying{}, "", ""},
		{yard.Verbatim("her {words}"), "her {words}", "her {words}"},
	} {
		if got := English().Value(c.v); got != c.English {
			t.Errorf("%#v in English: %q, want %q", c.v, got, c.English)
		}
		if got := french.Value(c.v); got != c.french {
			t.Errorf("%#v in French: %q, want %q", c.v, got, c.french)
		}
	}
	s := yard.Say("reason.step", yard.Kg("plan", 0.5), yard.Kg("now", 0.25), yard.Kg("mark", 1.4))
	if got := french.say(s); got != french.Say("reason.step", "plan", "0,5", "now", "0,25", "mark", "1,4") {
		t.Errorf("%q", got)
	}
}

// Every key that the engine or the reader says has its English text, and a finding
// of each rule that can be red on a card has its caution: a key that is put together
// is in the random yards of the other tests.
func TestEveryKeySaidHasItsWords(t *testing.T) {
	keys := 0
	for _, dir := range []string{"ration", "ingest", "report", "cmd"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				lit, ok := n.(*ast.BasicLit)
				if !ok || lit.Kind != token.STRING {
					return true
				}
				key, err := strconv.Unquote(lit.Value)
				if err != nil || !saidKey.MatchString(key) {
					return true
				}
				keys++
				if !English().Has(key) {
					t.Errorf("%s says %q, which has no words", path, key)
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if keys < 100 {
		t.Errorf("only %d keys were found: the walk is wrong", keys)
	}
	for _, r := range guard.Rules() {
		if row, ok := yard.RuleOf(r.ID); !ok && !guard.Holds(r.ID) {
			t.Errorf("%s is not in the register", r.ID)
		} else if row.May(yard.Stop) && guard.IsOfTheWeek(r.ID) && r.ID != "D-18" && r.ID != "D-29" && !English().Has("caution.red."+string(r.ID)) {
			t.Errorf("a stop of %s has no words on the card", r.ID)
		}
	}
}

var saidKey = regexp.MustCompile(`^(finding|part|working|why|caution|reason|field|refused|next|inbox|remedy)\.[^%]*[^.%]$`)

// A yard in pounds reads pounds and ounces in the engine's sentences too, once each.
func TestSentencesOfAYardInPounds(t *testing.T) {
	pounds := English().In(true)
	for _, c := range []struct {
		kg   float64
		want string
	}{{0.67, "1.48 lb"}, {0.2, "7.1 oz"}} {
		s := yard.Say("finding.climb", yard.Kg("kg", c.kg))
		want := strings.Replace(English().say(s), English().Value(yard.Kg("", c.kg).Value)+" kg", c.want, 1)
		if got := pounds.say(s); got != want || strings.Contains(got, "kg") {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, k := range English().Keys("caution.") { // no sentence says a number of kilos without its place
		if text := English().Text(k); regexp.MustCompile(`\d kg`).MatchString(text) {
			t.Errorf("%s: %q", k, text)
		}
	}
}

// The questions about a workbook laid out in the yard's own way have a key a rule,
// which is put together: each rule that is asked has its words.
func TestEveryQuestionHasItsWords(t *testing.T) {
	asked := map[string]bool{}
	err := filepath.WalkDir(filepath.Join("..", "..", "ingest", "board"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range askedRule.FindAllSubmatch(text, -1) {
			asked[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for rule := range asked {
		if len(English().Keys("finding.board."+rule)) == 0 {
			t.Errorf("%s is asked and has no words", rule)
		}
		if _, ok := yard.RuleOf(yard.RuleID(rule)); !ok {
			t.Errorf("%s is asked and is no rule", rule)
		}
	}
	if len(asked) < 15 {
		t.Errorf("only %d rules are asked: the walk is wrong", len(asked))
	}
}

var askedRule = regexp.MustCompile(`(?:rule: |askCell\(|ask\()"([a-z-]+)"`)

func TestASentenceIsSaidOnce(t *testing.T) {
	if got, want := Together("The limit is 10 %. Your vet has the last word.", "Have it tested. Your vet has the last word.", "It is sweet."), "The limit is 10 %. Your vet has the last word. Have it tested. It is sweet."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Numbers have the forms of the language. Source: CLDR's plural rules of Polish (few: 2 to 4
// but not 12 to 14).
func TestCountsHaveTheFormsOfTheLanguage(t *testing.T) {
	t.Parallel()
	pl, err := LanguageOf("pl")
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]string{1: "1 tydzień", 2: "2 tygodnie", 4: "4 tygodnie", 5: "5 tygodni", 12: "12 tygodni", 22: "22 tygodnie"} {
		key := "part.count.weeks"
		if n == 1 { // whoever says it chooses the one
			key += ".1"
		}
		if got := pl.AsWritten(yard.Say(key, yard.Count("n", n))); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
	if got := English().AsWritten(yard.Say("part.count.weeks", yard.Count("n", 3))); got != "3 weeks" {
		t.Errorf("English: %q", got)
	}
}
