package post

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"maps"
	"mime"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"text/template"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"hardfeed/report/words"
	"hardfeed/templates/wording"
)

// mailWords are the mail's real templates. The package itself knows none.
func mailWords(t testing.TB, name string) *template.Template {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "templates", "mail", name))
	if err != nil {
		t.Fatal(err)
	}
	english, err := wording.In("en")
	if err != nil {
		t.Fatal(err)
	}
	return template.Must(template.New(name).Funcs(Functions(english, true)).Parse(string(data)))
}

func say(t testing.TB, results string) (subject, text string) {
	t.Helper()
	l, err := ReadLetter([]byte(results))
	if err != nil {
		t.Fatal(err)
	}
	if subject, err = l.Subject(mailWords(t, "subject.txt")); err != nil {
		t.Fatal(err)
	}
	if text, err = l.Text(mailWords(t, "text.txt")); err != nil {
		t.Fatal(err)
	}
	return subject, text
}

const twoHorses = `{"schema":1,"program":"hardfeed","yard":"Cold Brook Yard","week":"2026-11-30","units":"metric","edition":3,
 "read":{"sheets":6,"rows":147,"horses":4},
 "changes_since_last_edition":[{"horse":"Kestrel","what":"a held card, was a card"},{"horse":"Kestrel","what":"body weight 540 kg, was 500 kg"},{"horse":"","what":"one feed more"}],
 "horses":[
  {"name":"Kestrel","status":"held","held_why":["planned hard feed is over the top limit"],"no_card_why":[],
   "changes":[{"feed":"Cubes","from_kg":1.3,"to_kg":2,"from":"Sat"},{"feed":"Chaff","from_kg":null,"to_kg":0.28,"from":""},{"feed":"Oats","from_kg":0.72,"to_kg":0,"from":"Mon"},{"feed":"Hay","from_kg":9.5,"to_kg":10,"from":"Mon"}]},
  {"name":"Nettle","status":"held","held_why":["We don't know what was fed last week."],"step":{"verdict":"unknown","rise_kg":null},"ration":[{"class":"hard feed","kg":0.65}],"changes":[]},
  {"name":"Moss","status":"held","held_why":["Only hay."],"step":{"verdict":"unknown","rise_kg":null},"ration":[{"class":"forage","kg":5}],"changes":[]},
  {"name":"Gannet","status":"no_card","held_why":[],"no_card_why":["no body weight"],"changes":[]},
  {"name":"Juniper","status":"carded","changes":[]},{"name":"Hob","status":"carded","changes":[]}],
 "findings":[{"severity":"stop"},{"severity":"warn"},{"severity":"warn"},{"severity":"note"}],
 "contacts":[{"role":"Yard manager","name":"Hattie Marsh","phone":"01632 960101"},{"role":"Vet","name":"Ines Okafor","phone":"01632 960144"}]}`

// What somebody in a lorry at five in the morning needs of it.
func TestTheTextHelpsOnATelephone(t *testing.T) {
	subject, text := say(t, twoHorses)
	if want := "Feed cards, Cold Brook Yard, week from 30 Nov 2026, version 3, less than planned: 2, ask first: 1, no card: 1"; subject != want {
		t.Errorf("the subject is %q, want %q", subject, want)
	}
	for _, must := range []string{
		"THIS IS VERSION 3 (replaces version 2). Take the old cards down.",
		"- Kestrel: a held card, was a card; body weight 540 kg, was 500 kg\n- one feed more\n",
		"Feed cards for the week from 30 Nov 2026, Cold Brook Yard. Horses: 4.\nAs planned: 2. Not as planned: 3. No card: 1.\nCheck that every horse",
		"Read from the workbook: sheets 6, rows 147, horses 4.",
		"NO CARD – ASK BEFORE YOU FEED:\n- Gannet: no body weight\n",
		"LESS THAN PLANNED – FEED THE AMOUNTS ON THE CARD:\n- Kestrel: planned hard feed is over the top limit\n- Moss: Only hay.\n",
		"ASK FIRST – BEFORE YOU GIVE HARD FEED:\n- Nettle: We don't know what was fed last week.\n",
		"- Kestrel: Cubes: from 1.3 kg to 2 kg a day, reached on Sat; Chaff: 280 g a day (last week not known); Oats: taken out, was 720 g a day; Hay: from 9.5 kg to 10 kg a day\n",
		"Ring: Yard manager Hattie Marsh 01632 960101; Vet Ines Okafor 01632 960144\n",
		"For the office to decide: 1. Ring if you are unsure.",
		"Follow the cards, not this text.", "Hay first, water always.", "ring the vet", "Vets, nutritionists and local rules come first",
	} {
		if !strings.Contains(text, must) {
			t.Errorf("the text does not say %q:\n%s", must, text)
		}
	}
	if strings.Contains(strings.ToLower(text), "safe") {
		t.Error("the text says safe")
	}
	at := -1
	for _, part := range []string{"Horses: 4", "THIS IS VERSION 3", "CHANGED", "NO CARD –", "ASK FIRST –", "LESS THAN PLANNED –", "Ring: ", "Take care"} {
		if i := strings.Index(text, part); i <= at {
			t.Errorf("%q stands at %d, after %d", part, i, at)
		} else {
			at = i
		}
	}
}

func TestAFirstEditionWithoutAnythingOdd(t *testing.T) {
	subject, text := say(t, `{"schema":1,"program":"hardfeed","yard":"","week":null,"read":{"sheets":3,"rows":9,"horses":1},
 "horses":[{"name":"Hob","status":"carded"}],"findings":[]}`)
	if want := "Feed cards, the yard"; subject != want {
		t.Errorf("the subject is %q, want %q", subject, want)
	}
	for _, not := range []string{"VERSION", "NO CARD", "LESS THAN", "CHANGED", "office"} {
		if strings.Contains(text, not) {
			t.Errorf("the text says %q:\n%s", not, text)
		}
	}
	if !strings.Contains(text, "Ring: the yard manager\n") || strings.Contains(text, "\n\n\n") {
		t.Errorf("the text is\n%s", text)
	}
}

func TestPoundsForAYardThatWeighsInPounds(t *testing.T) {
	_, text := say(t, strings.Replace(twoHorses, `"metric"`, `"imperial"`, 1))
	// 2 kg and 1.3 kg, by the 0.45359237 kg of the international pound.
	if !strings.Contains(text, "Cubes: from 2.87 lb to 4.41 lb a day") {
		t.Errorf("the text is\n%s", text)
	}
}

func TestResultsThatAreNotOurs(t *testing.T) {
	for name, c := range map[string]struct{ results, says string }{
		"nothing":          {``, "damaged"},
		"no JSON":          {`horses`, "damaged"},
		"cut short":        {twoHorses[:len(twoHorses)/2], "damaged"},
		"another program":  {`{"schema":1,"program":"other"}`, "not from this program"},
		"a later schema":   {`{"schema":2,"program":"hardfeed"}`, "schema 2"},
		"a week of words":  {`{"schema":1,"program":"hardfeed","week":"next\r\nBcc: x"}`, `its week "next Bcc: x" is no date`},
		"an unknown state": {`{"schema":1,"program":"hardfeed","horses":[{"name":"Hob","status":"dead"}]}`, "the status of Hob"},
		"numbers as words": {`{"schema":"1","program":"hardfeed"}`, "damaged"},
	} {
		if _, err := ReadLetter([]byte(c.results)); err == nil || !strings.Contains(words.Told(err), c.says) {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
	}
}

// nasty are names that have broken mail programs: line ends, ends of messages and
// commands, encoded words, direction marks, what is no UTF-8, and much of it.
var nasty = []string{
	"=?UTF-8?q?Hob?=", "Hob =?utf-8?b?SG9i?= Hob",
	"Cold Brook\r\nBcc: everyone@example.org", "Hob\nSubject: free hay", "Hob\rTo: x@example.org", "\r\n\r\nbody", "\r\n.\r\nMAIL FROM:<x@example.org>", ".", "..", ".\n.",
	"=?UTF-8?q?=0D=0ABcc:_x@example.org?=", "=?utf-8?b?DQpCY2M6IHhAZXhhbXBsZS5vcmc=?=", "\u202egnp.exe", "\u2028Bcc: x", "\u0085Bcc: x", "\x00\x01\x1b[31m", "\xff\xfe", "\xc3\x28",
	`"Hob" <x@example.org>, y@example.org`, "Hob;", "%0d%0aBcc: x", "{{.Yard}}", "{{template \"entries\"}}", strings.Repeat("é", 2000), strings.Repeat("x", 3000), strings.Repeat("Hob ", 999),
	"--hardfeed-0000", "Content-Type: text/plain", "\r\nContent-Type: text/plain\r\n\r\n", "../../etc/passwd", "CON", "a\tb", "🐴", "Žižkov", "",
}

func nastyResults(yard, horse, feed, why, ring string) []byte {
	data, err := json.Marshal(map[string]any{"schema": 1, "program": "hardfeed", "yard": yard, "week": "2026-11-30",
		"read": map[string]int{"sheets": 1, "rows": 1, "horses": 1},
		"horses": []any{map[string]any{"name": horse, "status": "held", "held_why": []string{why},
			"changes": []any{map[string]any{"feed": feed, "from_kg": 1, "to_kg": 2, "from": feed}}}},
		"contacts":                   []any{map[string]any{"role": ring, "name": ring, "phone": ring}},
		"changes_since_last_edition": []any{map[string]any{"horse": horse, "what": why}}, "edition": 2})
	if err != nil {
		panic(err)
	}
	return data
}

type complainer interface {
	Errorf(string, ...any)
}

// wholeMessage fails unless a message made of these names has the headers it
// should have and no other, is all ASCII in lines that fit, and reads back.
func wholeMessage(t *testing.T, c complainer, yard, horse, feed, why, ring string) {
	results := nastyResults(yard, horse, feed, why, ring)
	subject, text := say(t, string(results))
	l, err := ReadLetter(results)
	if err != nil {
		c.Errorf("%v", err)
		return
	}
	m := messageTo(hattie)
	m.Key, m.Subject, m.Text = l.KeyOf(results, hattie), subject, text
	eml, at, err := m.bytes()
	if err != nil {
		c.Errorf("%q: %v", yard, err)
		return
	}
	for i, r := range eml {
		if r > '~' || r < ' ' && r != '\r' && r != '\n' || r == '\n' && eml[i-1] != '\r' || r == '\r' && eml[i+1] != '\n' {
			c.Errorf("%q: byte %d is %q", yard, i, r)
			return
		}
	}
	for _, ln := range bytes.Split(eml, []byte("\r\n")) {
		if len(ln) > 78 { // RFC 5322 §2.1.1
			c.Errorf("a line has %d characters: %q", len(ln), ln)
		}
	}
	p := parse(t, eml)
	if got, want := slices.Sorted(maps.Keys(p.header)), []string{"Auto-Submitted", "Content-Type", "Date", "From", "Message-Id", "Mime-Version", "Subject", "To"}; !slices.Equal(got, want) {
		c.Errorf("%q: headers are %v", yard, got)
	}
	for name, values := range p.header {
		if len(values) != 1 {
			c.Errorf("%d times %s", len(values), name)
		}
	}
	if got, err := new(mime.WordDecoder).DecodeHeader(p.header.Get("Subject")); err != nil || got != subject {
		c.Errorf("the subject %q is read as %q, %v", subject, got, err)
	}
	to, err := p.header.AddressList("To")
	if err != nil || len(to) != 1 || to[0].Address != hattie {
		c.Errorf("it goes to %v, %v", to, err)
	}
	if p.text != text || len(p.files) != 1 || !bytes.Equal(p.files[0].Bytes, m.Attachments[0].Bytes) {
		c.Errorf("%q: the text or the file came back another", yard)
	}
	if want := "<body>\n<div lang=\"en\" style=\"white-space: pre-line\">\n" + html.EscapeString(text) + "</div>\n<h1>"; !strings.Contains(p.page, want) || !strings.HasSuffix(p.page, aPage[strings.Index(aPage, "<h1>"):]) {
		c.Errorf("%q: the page came back another: %q", yard, p.page)
	}
	for _, ln := range strings.Split(text, "\n") {
		for _, forged := range []string{"Bcc:", "Subject:", "To:", "MAIL", ".", "Content-Type"} {
			if strings.HasPrefix(ln, forged) {
				c.Errorf("a line of the text is %q", ln)
			}
		}
	}
	if strings.ContainsFunc(text, func(r rune) bool { return r != '\n' && !unicode.IsPrint(r) && r != '\u00a0' }) || !utf8.ValidString(text) {
		c.Errorf("the text holds what cannot be read: %q", text)
	}
	second := parse(t, again(eml, at))
	if !strings.HasPrefix(second.text, "YOU MAY ALREADY HAVE THIS.\n") || !strings.HasSuffix(second.text, "\n\n"+text) {
		c.Errorf("with the notice the text is %q", second.text)
	}
	if !strings.Contains(second.page, "<body>\n<p><strong>YOU MAY ALREADY HAVE THIS.\n") || len(second.files) != 1 {
		c.Errorf("with the notice the page is %q", second.page)
	}
}

func TestOneLine(t *testing.T) {
	for in, want := range map[string]string{
		"Hob\u00adby \u200bHorse": "Hobby Horse", "a\r\n\r\nb": "a b", "\u202eHob": "Hob", "Hob\ue000": "Hob\ufffd", "\xffHob": "\ufffdHob",
		"  Old\u00a0 Wilfred\t": "Old Wilfred", "Žižkov 🐴": "Žižkov 🐴", "\x1b[31mHob": "[31mHob",
	} {
		if got := line(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}

// What looks encoded already is shown as it was written, not decoded.
func TestSubjectsReadBack(t *testing.T) {
	for _, s := range append(slices.Clone(nasty), "=?UTF-8?q?Hob?=", "Feed cards", strings.Repeat("a", 60), strings.Repeat("a", 61), strings.Repeat("é", 18)+"a") {
		s = line(s)
		if got, err := new(mime.WordDecoder).DecodeHeader(encoded(s)); err != nil || got != s {
			t.Errorf("%q is read as %q, %v", s, got, err)
		}
	}
}

func TestNoNameBreaksAMessage(t *testing.T) {
	for i, name := range nasty {
		t.Run(fmt.Sprint(i), func(t *testing.T) { wholeMessage(t, t, name, name, name, name, name) })
	}
}

func TestNoTextBreaksAMessage(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		any := rapid.OneOf(rapid.String(), rapid.SampledFrom(nasty), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		wholeMessage(t, r, any.Draw(r, "yard"), any.Draw(r, "horse"), any.Draw(r, "feed"), any.Draw(r, "why"), any.Draw(r, "ring"))
	})
}

func TestAddresses(t *testing.T) {
	for _, good := range []string{"hattie@example.org", "Hattie Marsh <hattie@example.org>", `"Marsh, Hattie" <hattie@example.org>`, "h.m+cards@mail.example.org", "Žofie <zofie@example.org>", "x@localhost"} {
		if err := Address(good); err != nil {
			t.Errorf("%v", err)
		}
	}
	for _, bad := range []string{"", "hattie", "hattie@", "@example.org", "hattie@example.org, sam@example.org", "hattie@example.org\r\nBcc: sam@example.org",
		"hattie@example.org>\r\nRCPT TO:<sam@example.org", `"a b"@example.org`, `"a> RCPT TO:<x"@example.org`, "Hattie\r\n <hattie@example.org>", "hattie@exam ple.org", "žofie@example.org",
		"hattie@žofie.org", "hattie@[127.0.0.1]", "a..b@example.org", strings.Repeat("x", 250) + "@example.org", "Hattie <hattie@example.org> <sam@example.org>", "=?utf-8?q?a=0D=0AB?= <hattie@example.org>"} {
		if err := Address(bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

func FuzzReadLetter(f *testing.F) {
	f.Add([]byte(twoHorses))
	for _, n := range nasty {
		f.Add(nastyResults(n, n, n, n, n))
	}
	subject, text := mailWords(f, "subject.txt"), mailWords(f, "text.txt")
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := ReadLetter(data)
		if err != nil {
			return
		}
		for _, fill := range []func() (string, error){func() (string, error) { return l.Subject(subject) }, func() (string, error) { return l.Text(text) }} {
			s, err := fill()
			if err != nil || !utf8.ValidString(s) || strings.ContainsAny(s, "\r\x00") {
				t.Errorf("%q, %v", s, err)
			}
		}
	})
}

func FuzzAddress(f *testing.F) {
	for _, s := range append(slices.Clone(nasty), hattie, "Hattie Marsh <hattie@example.org>", `"Marsh, H" <h@example.org>`) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if Address(s) != nil {
			return
		}
		m := messageTo(s)
		eml, _, err := m.bytes()
		if err != nil {
			t.Fatalf("%q was taken, and no message can be made: %v", s, err)
		}
		h := header(t, eml)
		to, err := h.AddressList("To")
		if err != nil || len(h) != 8 || len(to) != 1 || to[0].Address != Bare(s) || strings.ContainsAny(to[0].Address, " <>\r\n") {
			t.Errorf("%q goes to %v, %v, with the headers %v", s, to, err, h)
		}
	})
}
