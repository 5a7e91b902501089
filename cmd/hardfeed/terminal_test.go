package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"Gannet":                   "Gannet",
		"Żółta Łąka ½ – 日本":        "Żółta Łąka ½ – 日本",
		"\x1b[2J\x1b]0;title\x07":  "␛[2J␛]0;title␇",
		"a\rb\nc\td":               "a␍b␊c␉d",
		"\x7f\u0085\u009b31m":      "␡⟨U+0085⟩⟨U+009B⟩31m",
		"rats \u202e5 kg\u2066":    "rats ⟨U+202E⟩5 kg⟨U+2066⟩",
		"\u2028\u2029\ufeff\u00ad": "⟨U+2028⟩⟨U+2029⟩⟨U+FEFF⟩⟨U+00AD⟩",
		"bad\x9b31m":               "bad⟨9B⟩31m",
		"a real \ufffd":            "a real \ufffd",
		"नी\u200dक":                "नी\u200dक", // joiners that scripts need
		"tag \U000e0041":           "tag ⟨U+E0041⟩",
	} {
		if got := visible(in); got != want {
			t.Errorf("%q is printed as %q, want %q", in, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		if rapid.Bool().Draw(t, "letters") {
			s = rapid.String().Draw(t, "text")
		}
		got := visible(s)
		if !utf8.ValidString(got) || strings.ContainsFunc(got, steers) || visible(got) != got {
			t.Errorf("%q is printed as %q", s, got)
		}
	})
}

// Whatever a workbook calls its yard, horses and feeds, no command lets it steer the
// terminal or begin a line of its own.
func TestNamesSteerNoTerminal(t *testing.T) {
	book, err := workbookOf(strings.ReplaceAll(`
[yard]
Yard | EVIL yard
Week beginning | 2026-11-30
Meals | Breakfast 7:00, Tea 17:00
[horses]
Horse | Weight (kg) | How weighed | Score | Fitness | Diagnoses
EVIL | 500 | scale | five | hard | EVIL word
EVIL2 | | | 5 | hard |
[work]
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
EVIL | hack 60 | EVIL work | hack 60 | rest | hack 60 | hack 60 | rest
EVIL2 | hack 60 | rest | hack 60 | rest | hack 60 | hack 60 | rest
[feeds]
Feed | Kind | What it is | One measure (kg)
Hay | forage | grass hay |
EVIL oats | hard feed | oats | 1
[rations]
Horse | Feed | Now | Planned
EVIL | Hay | 9 kg | 9 kg
EVIL | EVIL oats | 1 kg | 4 kg
EVIL2 | Hay | 9 kg | 9 kg
`, "EVIL", "Gannet"))
	if err != nil {
		t.Fatal(err)
	}
	// A spreadsheet keeps such letters as _x001B_; those XML can hold stand as they are.
	book = inParts(t, book, func(part string) string {
		return strings.ReplaceAll(part, "Gannet", "Gan_x001B_net\u009b2J\u202eq\u2028z_x000A_MORE")
	})
	dir := t.TempDir()
	t.Chdir(dir)
	file := "week \x1b]0;t\x07.xlsx"
	writeTo(t, file, book)
	var horse string
	for _, args := range [][]string{{"check", file}, {"run", file}, {file}, {"why", file, "Gan\x1bnet\u009b2Jq z MORE"}, {"why", file, "no \x1bone"}, {"run", "none\x1b.xlsx"}, {"watch", "none\x1b"}, {"send", "none\x1b"}, {"\x1bno"}, {"check", "--\x1b"}} {
		var out, words bytes.Buffer
		run(t.Context(), args, nil, &out, &words)
		for name, text := range map[string]string{"standard output": out.String(), "standard error": words.String()} {
			for line := range strings.Lines(text) {
				if line = strings.TrimRight(line, "\n"); strings.HasPrefix(line, "MORE") {
					t.Errorf("%q: a name began a line of its own on %s: %q", args, name, line)
				}
				if line = strings.ReplaceAll(line, "\t", ""); strings.ContainsFunc(line, steers) || !utf8.ValidString(line) {
					t.Errorf("%q: on %s: %q", args, name, line)
				}
			}
			horse += text
		}
	}
	if !strings.Contains(horse, "Gan␛net⟨U+009B⟩2Jq") {
		t.Errorf("the name is not to be seen: %s", horse)
	}
}
