package lexicon

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/templates/words"
)

func describe(toks []Token) string {
	var out []string
	for _, t := range toks {
		switch t.Kind {
		case Number:
			s := fmt.Sprintf("%g", math.Round(t.Value*1000)/1000)
			if t.Other != 0 {
				s += fmt.Sprintf("|%g", t.Other)
			}
			out = append(out, s)
		case Clock:
			out = append(out, fmt.Sprintf("@%d", t.Minute))
		default:
			out = append(out, t.Text)
		}
	}
	return strings.Join(out, " ")
}

func TestScan(t *testing.T) {
	for text, want := range map[string]string{
		"520": "520", "1,5": "1.5", "1.5": "1.5", ".5": "0.5", "½": "0.5", "2½": "2.5", "2 ½": "2.5", "1 1/2": "1.5", "1-1/2": "1.5", "1/2": "0.5", "1⁄2": "0.5", "¾": "0.75", "1,250": "1250|1.25", "1.250": "1.25|1250", "1,250.5": "1250.5", "1.250,5": "1250.5", "0,250": "0.25", "12/11": "12 / 11", "30/11": "30 / 11", "6/7": "6 / 7",
		"14:30": "@870", "25:00": "25 : 0", "1h15": "1 h 15", "W30": "w 30", "45'": "45 '", "2x30": "2 x 30", "2 × 30": "2 x 30", "x": "x", "½–1": "0.5 - 1", "1.2.3": "NaN",
		"Führanlage": "fuhranlage", "œsophage": "oesophage", "groß": "gross", "MÜSLI": "musli", "d'orge": "d orge", "l’avoine": "l avoine", "b'fast": "bfast", "horse's": "horses", "long-rein": "long - rein", "w/c": "w / c", "sc.": "sc", "c.500": "c 500", "h.h": "h h",
		"a\u00a0b": "a b", "a\u200bb": "a b", "a\nb\n\nc": "a \n b \n c", "“same”": `" same "`, "〃": `"`, "≈5": "~ 5", "": "", " \t ": "",
	} {
		if got := describe(Scan(text)); got != want {
			t.Errorf("%q is cut into %q, want %q", text, got, want)
		}
	}
}

// Tokens are in order, do not overlap, and hold every character that shows
// but the full stops behind words and apostrophes inside them.
func TestScanLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("abcDEÜß 019½¼.,/-–x×:'’\"(+?\n\u00a0é")), 0, 40, -1).Draw(t, "text")
		end := 0
		for _, k := range Scan(text) {
			if k.Start < end || k.End > len(text) || k.Start >= k.End {
				t.Fatalf("%q: token %+v behind %d", text, k, end)
			}
			if lost := strings.Trim(text[end:k.Start], " \u00a0\n.'’"); lost != "" {
				t.Fatalf("%q loses %q", text, lost)
			}
			end = k.End
		}
		if lost := strings.Trim(text[end:], " \u00a0\n.'’"); lost != "" {
			t.Fatalf("%q loses %q at its end", text, lost)
		}
	})
}

// The files of words: every section and key is known in English, no phrase is
// empty, and none is under two keys of a section, but where a word is used
// for both in the trade.
func TestTables(t *testing.T) {
	english := sectionsOf("en")
	both := map[string]bool{}
	for _, pair := range usedForBoth {
		both[pair] = true
	}
	for _, l := range words.Languages() {
		s := sectionsOf(l)
		for section, keys := range s {
			if english[section] == nil {
				t.Errorf("%s: the section %q is not in English", l, section)
			}
			seen := map[string]string{}
			for _, key := range sortedKeys(keys) {
				if section != "measures" && english[section][key] == "" && !slices.Contains([]string{"numbers", "units"}, section) {
					t.Errorf("%s: %s has a key %q that English does not", l, section, key)
				}
				for p := range strings.SplitSeq(keys[key], ",") {
					var parts []string
					for _, tok := range Scan(p) {
						parts = append(parts, word(tok))
					}
					folded := strings.Join(parts, " ")
					if folded == "" {
						t.Errorf("%s: %s: %s has an empty phrase %q", l, section, key, p)
					}
					if other := seen[folded]; other != "" && other != key && !both[section] {
						t.Errorf("%s: %s: %q is both %s and %s", l, section, strings.TrimSpace(p), other, key)
					}
					seen[folded] = key
				}
			}
		}
	}
}

// usedForBoth are the sections in which a word may mean two things at once:
// a heading "Vet" is health and notes, "kg" a weight and its unit.
var usedForBoth = []string{"columns", "stages", "sheets", "marks", "fillers", "visits", "illness", "feeds", "legend"}

func TestMatch(t *testing.T) {
	table := Load("en", "de")
	for _, c := range []struct {
		text, in, key string
		n             int
	}{
		{"level scoops of nuts", "measures", "scoop", 2}, {"SCOOP", "measures", "scoop", 1}, {"horse walker 30", "work", "walker", 2}, {"long-rein", "work", "long rein", 3}, {"Fuehranlage", "work", "walker", 1}, {"führanlage", "work", "walker", 1}, {"scoopy", "measures", "", 0}, {"ems", "illness", "EMS", 1}, {"seems", "illness", "", 0},
	} {
		if s, n := table.Match(Scan(c.text), 0, c.in); s.Key != c.key || n != c.n {
			t.Errorf("%q is %s over %d, want %s over %d", c.text, s.Key, n, c.key, c.n)
		}
	}
	// Her own words win, and the table she began with stays as it was.
	own := table.With(map[string]Sense{"kelly": {"measures", "kelly", ""}, "scoop": {"measures", "tin", ""}})
	if s, _ := own.Match(Scan("scoop"), 0, "measures"); s.Key != "tin" {
		t.Errorf("her scoop is %+v", s)
	}
	if s, _ := table.Match(Scan("scoop"), 0, "measures"); s.Key != "scoop" {
		t.Errorf("our scoop became %+v", s)
	}
	shadow := table.With(map[string]Sense{"sb": {"own work", "sb", ""}})
	if s, n := shadow.Match(Scan("SB"), 0, "feeds"); n != 0 {
		t.Errorf("SB of her legend is still %+v", s)
	}
	if s, _ := table.Match(Scan("SB"), 0, "feeds"); s.Key != "beet" {
		t.Errorf("SB without her legend is %+v", s)
	}
	if own.Nearest("kely", "measures") != "kelly" || table.Nearest("scooop", "measures") != "scoop" || table.Nearest("xyzzy", "measures") != "" {
		t.Errorf("nearest: %q, %q", own.Nearest("kely", "measures"), table.Nearest("scooop", "measures"))
	}
}

func TestParse(t *testing.T) {
	for _, bad := range []string{"[a]\n[a]", "[a]\nno key", "[a]\nk: x\nk: y", "[a]\n: x"} {
		if _, err := Parse([]byte(bad)); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
	s, err := Parse([]byte("# said\n[a]\nk: x, y: z\n"))
	if err != nil || s["a"]["k"] != " x, y: z" {
		t.Errorf("%v %v", s, err)
	}
}
