package report

import (
	"bufio"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode"

	"hardfeed/ration"
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
	"hardfeed/report/flow"
	"hardfeed/report/office"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
	"hardfeed/templates/wording"
)

// No sentence of one language is in another's output. Each language has little words
// that no other of the six has, which hardly a sentence does without.

// functionWords are those of each language, from memory; one that is a word of another of
// the six as well, such as "des" or "los", is in no list but where it can be told.
var functionWords = map[string]string{
	"en": "the and of is are not with this that these what which from your has have would when before after each every than don't it its they them their there how who isn't can't",
	"de": "der und nicht ist wird werden mit von für eine einen einem einer auf wenn oder kein keine keinen dem den bei nach vor sich ohne nur noch wurde welche dieses diese dieser",
	"fr": "est et une pas dans pour avec cette ces aux sont vous votre sans avant après chaque plus il elle leur mais cela",
	"es": "el las con del una más muy pero sus sin antes después desde hasta este estos al caballo son",
	"pt": "não uma com são dos das pelo pela ao aos em às há antes depois desde até este estes cavalo mas",
	"pl": "jest się dla oraz lub przed przez tego być jak że czy albo tylko gdy są nie jego tym dzień każdy",
}

// ownWords are the words of each language that no other's list has.
var ownWords = sync.OnceValue(func() map[string]map[string]bool {
	own := map[string]map[string]bool{}
	for code := range functionWords {
		own[code] = only(code)
	}
	return own
})

func only(code string) map[string]bool {
	others := map[string]bool{}
	for c, list := range functionWords {
		for _, w := range strings.Fields(list) {
			others[w] = others[w] || c != code
		}
	}
	// Words of one list that are words of another language too, though not in its list.
	for _, w := range strings.Fields("nie con plus mais son las des der den vor dos das em estas") {
		others[w] = true
	}
	out := map[string]bool{}
	for _, w := range strings.Fields(functionWords[code]) {
		if !others[w] {
			out[w] = true
		}
	}
	return out
}

// places are where a sentence is filled in.
var places = regexp.MustCompile(`\{[^}]*\}`)

// quoted are words as they are in the workbook, whose own language they are in.
var quoted = regexp.MustCompile(`„[^“”]*[“”]|«[^»]*»`)

// titles are names of books and bodies, which are cited as they are.
var titles = regexp.MustCompile(`USDA National Nutrient Database for Standard Reference|North Dakota State Univ\.|Feeding Straw|British Equestrian|Alabama Extension`)

// foreign are the words of a text that are another language's.
func foreign(code, text string) (found []string) {
	text = titles.ReplaceAllString(quoted.ReplaceAllString(places.ReplaceAllString(text, ""), ""), "")
	for w := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' }) {
		for other, theirs := range ownWords() {
			if other != code && theirs[w] {
				found = append(found, other+": "+w)
			}
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

func TestForeignWordsAreFound(t *testing.T) {
	for _, c := range []struct{ code, text, want string }{
		{"de", "Vor dem Kraftfutter fragen. Das ist ein zu großer Sprung.", ""},
		{"de", "Ask the manager before giving hard feed.", "en: before, en: the"},
		{"pl", "The plan was 4 kg. To za duży skok.", "en: the"},
		{"en", "Vor dem Kraftfutter fragen, wenn nicht gewogen.", "de: dem, de: nicht, de: wenn"},
		{"en", "No quite un Pferd avec une selle.", "fr: avec, fr: une"},
		{"fr", "El caballo no come.", "es: caballo, es: el"},
		{"es", "O cavalo não come.", "pt: cavalo, pt: não"},
		{"pt", "Gdy koń jest chory.", "pl: gdy, pl: jest"},
	} {
		if got := strings.Join(foreign(c.code, c.text), ", "); got != c.want {
			t.Errorf("%s %q: %q, want %q", c.code, c.text, got, c.want)
		}
	}
	for code := range functionWords {
		if n := len(only(code)); n < 12 {
			t.Errorf("%s has only %d words of its own", code, n)
		}
	}
}

// A table's sentences are all in its language, and none is the English one.
func TestNoSentenceOfATableIsForeign(t *testing.T) {
	for _, code := range wording.Codes() {
		w := reporttest.In(t, code)
		for _, key := range w.Keys("") {
			text := w.Text(key)
			for _, f := range foreign(code, text) {
				t.Errorf("%s, %s: %s in %q", code, key, f, text)
			}
			if code != wording.Original && len(strings.Fields(places.ReplaceAllString(text, ""))) >= 4 && text == words.English().Text(key) {
				t.Errorf("%s, %s is the English sentence: %q", code, key, text)
			}
		}
	}
}

// onScreen are the beginnings of keys that are in English only: what is said on the
// screen, which speaks English (testdata/screen.txt).
func onScreen(t *testing.T) (out []string) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "screen.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if line := strings.TrimSpace(lines.Text()); line != "" && !strings.HasPrefix(line, "#") {
			out = append(out, line)
		}
	}
	return out
}

// Every key is in every language, but for those of the screen; a rule's what and who are
// printed nowhere.
func TestEveryLanguageIsWhole(t *testing.T) {
	waiting := onScreen(t)
	used := map[string]bool{}
	for _, code := range wording.Codes()[1:] {
		w, missing := reporttest.In(t, code), 0
		for _, key := range words.English().Keys("") {
			if w.Has(key) || wording.OnlyInOriginal(key) {
				continue
			}
			missing++
			i := slices.IndexFunc(waiting, func(p string) bool { return strings.HasPrefix(key, p) })
			if i < 0 {
				t.Errorf("%s has no %q", code, key)
				continue
			}
			used[waiting[i]] = true
		}
		t.Logf("%s: %d sentences are in English only", code, missing)
	}
	for _, p := range waiting {
		if !used[p] && len(words.English().Keys(p)) > 0 {
			t.Logf("%q is in every language: take it out of testdata/screen.txt", p)
		}
	}
}

// Whatever the rules say of drawn yards, and every page that is made of them, has no word
// of another language.
func TestNothingSaidOfAnyYardIsForeign(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(23, 6))
	waiting := onScreen(t)
	waits := func(s yard.Saying) bool {
		return slices.ContainsFunc(keysOf(s), func(key string) bool {
			return key == yard.VerbatimKey || slices.ContainsFunc(waiting, func(p string) bool { return strings.HasPrefix(key, p) })
		})
	}
	yards, drawn, said := sample(100, 300), sample(2, 6), map[string]bool{}
	if reporttest.Raced {
		yards, drawn = 20, 1
	}
	for i := range yards {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		for _, code := range words.Languages() {
			w := reporttest.In(t, code)
			check := func(s yard.Saying) {
				if s.Empty() || waits(s) && code != wording.Original {
					return
				}
				said[s.Key] = true
				if f := foreign(code, w.Said(s)); f != nil {
					t.Errorf("%s: %v in %q", code, f, w.Said(s))
				}
			}
			for _, f := range p.Findings {
				check(f.Saying)
				check(f.Why)
				check(f.Next)
			}
			for _, h := range p.Horses {
				for _, s := range slices.Concat(h.HeldWhy, h.NoCardWhy, h.Cautions, []yard.Saying{h.Instead}) {
					check(s)
				}
			}
		}
		if i >= drawn {
			continue
		}
		withoutTheYardsOwnWords(&p)
		for _, code := range words.Languages() {
			for name, doc := range map[string]*flow.Document{"cards.pdf": wall.Cards(), "scoops.pdf": wall.Scoops(), "office.pdf": office.Document()} {
				s, err := reporttest.Sketch(name, doc, p, words.Meta{CardsPerPage: 2, Paper: "A4", Languages: []string{code}, KeepBoxes: true})
				if err != nil {
					t.Fatal(err)
				}
				for _, b := range s.D.Boxes {
					if f := foreign(code, b.Text); f != nil {
						t.Errorf("%s, %s: %v in %q", code, name, f, b.Text)
					}
				}
			}
		}
	}
	if len(said) < 60 {
		t.Errorf("only %d sentences were said", len(said))
	}
}

// Whose a figure is, is said in the language too: all of it is in the tables but for
// names, which begin with a capital letter, and units.
func TestSourcesAreSaidInTheLanguage(t *testing.T) {
	t.Parallel()
	from := map[string]bool{}
	for _, r := range guard.Rules() {
		from[r.Source] = true
	}
	for _, n := range need.Nutrients() {
		from[n.Source] = true
		if most, ok := need.MaxTolerable(n.Name); ok {
			from[most.Source] = true
		}
	}
	for _, g := range feeds.Load().All() {
		for _, s := range []string{g.Name, g.Source, g.EnergySource, g.DensitySource} {
			from[s] = true
		}
	}
	r := rand.New(rand.NewPCG(23, 7))
	for range sample(60, 400) {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		for _, f := range p.Findings {
			from[f.Source] = true
		}
		for _, f := range p.Feeds {
			from[f.CompFrom], from[f.DensityFrom] = true, true
		}
		for _, h := range p.Horses {
			for _, e := range h.Events {
				from[e.Source] = true
			}
		}
	}
	word := regexp.MustCompile(`^\p{Ll}.*\p{L}\p{L}`)
	english := words.English()
	for s := range from {
		for _, phrase := range words.SourcePhrases(titles.ReplaceAllString(s, "")) {
			// "eXtension" is a name; nutrients are terms.
			if !word.MatchString(phrase) || phrase == "eXtension" || english.Has("source."+phrase) || english.Has("term."+phrase) {
				continue
			}
			t.Errorf("no language has words for %q, in %q", phrase, s)
		}
		for _, code := range wording.Codes()[1:] {
			if f := foreign(code, reporttest.In(t, code).Source(s)); f != nil {
				t.Errorf("%s: %v in %q", code, f, reporttest.In(t, code).Source(s))
			}
		}
	}
	if len(from) < 120 {
		t.Errorf("only %d sources were looked at", len(from))
	}
	// Source: written out by hand.
	de := reporttest.In(t, "de")
	if got, want := de.Source("MS-24, MS-25 (MS-26 from memory); 4.2 Mcal a kg of starch or sugar, NRC 2007"), "MS-24, MS-25 (MS-26 aus dem Gedächtnis); 4,2 Mcal je kg Stärke oder Zucker, NRC 2007"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// keysOf are the keys of a saying and of all that is said in it.
func keysOf(v yard.Value) (out []string) {
	switch v := v.(type) {
	case yard.Saying:
		if !v.Empty() {
			out = append(out, v.Key)
		}
		for _, a := range v.Args {
			out = append(out, keysOf(a.Value)...)
		}
	case yard.List:
		for _, i := range v.Items {
			out = append(out, keysOf(i)...)
		}
	}
	return out
}

// withoutTheYardsOwnWords takes out what a person wrote.
func withoutTheYardsOwnWords(p *yard.Plan) {
	for i := range p.Horses {
		h := &p.Horses[i]
		h.Horse.Notes = ""
		h.NoCardWhy = slices.DeleteFunc(slices.Clone(h.NoCardWhy), func(s yard.Saying) bool { return s.Key == yard.VerbatimKey })
		for j := range h.Days {
			h.Days[j].Work = ""
		}
	}
}
