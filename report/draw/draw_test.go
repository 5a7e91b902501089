package draw

import (
	"bytes"
	"fmt"
	"hardfeed/report/pdftest"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"
)

func newDoc(t testing.TB) (*Doc, *bytes.Buffer) {
	t.Helper()
	out := new(bytes.Buffer)
	d, err := New("A4", false, About{Title: "test", Date: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)}, out)
	if err != nil {
		t.Fatal(err)
	}
	d.KeepBoxes = true
	d.AddPage()
	return d, out
}

func TestPrintable(t *testing.T) {
	for _, c := range []struct {
		why, in, out string
		whole        bool
	}{
		{"plain", "Bramble", "Bramble", true},
		{"Polish, Welsh, Turkish, Vietnamese", "Żółć Ŵyn Işık Đặng", "Żółć Ŵyn Işık Đặng", true},
		{"Greek", "Αστραπή", "Αστραπή", true},
		{"Cyrillic", "Аврора Їжак", "Аврора Їжак", true},
		{"fractions and signs a yard writes", "2½ × 1¼ kg – ±3 % “°C”", "2½ × 1¼ kg – ±3 % “°C”", true},
		{"accents apart are put together", "Cafe\u0301", "Café", true},
		{"emoji", "Pony 🐎🏆", "Pony [?]", false},
		{"a joined emoji is one mark", "A 👩\u200d🌾 B", "A [?] B", false},
		{"Chinese", "馬 Ma", "[?] Ma", false},
		{"a tick box must not pass for one of ours", "☐ done", "[?] done", false},
		{"Hebrew would print backwards", "סוס", "[?]", false},
		{"cut UTF-8", "Caf\xc3", "Caf[?]", false},
		{"first rune gofpdf panics on", "\U00010000", "[?]", false},
		{"controls", "a\tb\nc\x00d\u2028e", "a b c d e", true},
		{"invisible and direction marks", "A\u202eB\u200bC", "ABC", true},
		{"hyphen that does not break", "A\u2011B", "A-B", true},
		{"empty", "", "", true},
	} {
		got, whole := Printable(c.in)
		if got != c.out || whole != c.whole {
			t.Errorf("%s: %q gave %q, %v; want %q, %v", c.why, c.in, got, whole, c.out, c.whole)
		}
		if again, _ := Printable(got); again != got {
			t.Errorf("%s: a second pass changed %q to %q", c.why, got, again)
		}
	}
}

// The quick way must not let through what the slow one would not.
func TestPlainTextIsDrawable(t *testing.T) {
	var buf sfnt.Buffer
	for r := rune(0); r <= 0x10ffff; r++ {
		if utf8.ValidRune(r) && plain(string(r)) && !drawable(r, &buf) {
			t.Errorf("%U passes for plain, but the fonts lack it", r)
		}
	}
	if plain("a\xff") || plain("a\u00ad") {
		t.Error("damaged text or a soft hyphen passes for plain")
	}
}

// FuzzPrintable: whatever text comes, gofpdf takes what Printable gives, by
// every way of drawing it that we use.
func FuzzPrintable(f *testing.F) {
	for _, s := range []string{"Bramble", "🐎", "\U00010000", "Caf\xc3", "a\x00b", "\\(x)\r", "čĊ\u0d00", "☐⚠", "\uffff\ufffe\ufffd", strings.Repeat("W", 300), "e\u0301\u0301", "{nb}", "a\U000110bd\u0300{"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, _ := Printable(s)
		if !utf8.ValidString(got) {
			t.Fatalf("%q is not UTF-8", got)
		}
		if again, _ := Printable(got); again != got {
			t.Fatalf("%q is made %q, and that is made %q", s, got, again)
		}
		for _, r := range got {
			if r > 0xffff || r < ' ' {
				t.Fatalf("%q holds %U", got, r)
			}
		}
		out := new(bytes.Buffer)
		d, err := New("A4", false, About{Title: s, Author: s, Date: time.Unix(0, 0).UTC()}, out)
		if err != nil {
			t.Fatal(err)
		}
		d.AddPage()
		d.Place(10, 10, d.Set.Line(Bold, 3, Black, s))
		d.Place(10, 30, d.Set.Para(Regular, 3, 40, Black, s))
		d.Place(10, 50, d.Set.Number(Regular, 3, 20, Black, s))
		written(t, d, out)
	})
}

// The proportions are read again from the fonts' own tables by x/image, which
// had no hand in writing them down here.
func TestProportionsAgainstTheFonts(t *testing.T) {
	var buf sfnt.Buffer
	for i, f := range faces() {
		if f.UnitsPerEm() != 2048 {
			t.Fatalf("face %d: %d units to the em", i, f.UnitsPerEm())
		}
		m, err := f.Metrics(&buf, fixed.I(2048), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(m.CapHeight) / 64; math.Abs(got-capPerEm*2048) > 1 {
			t.Errorf("face %d: capitals %v units high, want %v", i, got, capPerEm*2048)
		}
		if got := float64(m.Descent) / 64; math.Abs(got-434) > 1 {
			t.Errorf("face %d: descender %v units, want %v", i, got, 434)
		}
	}
}

// gofpdf measures text by its own reading of the font; ours must agree, or text
// would leave the place it was given.
func TestWidthAgreesWithGofpdf(t *testing.T) {
	d, _ := newDoc(t)
	pdf := ReadFonts().pdf
	for _, s := range []string{"2½ scoops", "Quillfeather", "Αστραπή", "Аврора", "1,234.56 kg", "W–W…“x”"} {
		for f := range Face(2) {
			pdf.SetFont("sans", [2]string{"", "B"}[f], 20)
			theirs := pdf.GetStringWidth(s)
			ours := d.Set.Width(f, 20*mmPerPoint*capPerEm, s)
			if math.Abs(theirs-ours) > 0.005*theirs {
				t.Errorf("%q face %d: ours %.3f mm, gofpdf %.3f mm", s, f, ours, theirs)
			}
		}
	}
}

func drawnText(d *Doc) string {
	var b strings.Builder
	for _, x := range d.Boxes {
		b.WriteString(x.Text)
	}
	return b.String()
}

func squeeze(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\u00a0' }), "")
}

// Nothing is cut and nothing is wider than its place, whatever the text.
func TestWrappedTextIsWholeAndInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.RuneFrom([]rune("aWi ½é-–Жλ1.\u00a0"))).Draw(t, "text")
		w := rapid.Float64Range(8, 120).Draw(t, "width")
		c := rapid.Float64Range(1.5, 5).Draw(t, "cap")
		d, err := New("A4", false, About{Title: "t", Date: time.Unix(0, 0).UTC()}, io.Discard)
		if err != nil {
			t.Fatal(err)
		}
		d.KeepBoxes = true
		d.AddPage()
		g := d.Set.Para(Bold, c, w, Black, s)
		d.Place(10, 10, g)
		want, _ := Printable(s)
		if squeeze(drawnText(d)) != squeeze(want) {
			t.Fatalf("wrote %q of %q", drawnText(d), want)
		}
		for _, b := range d.Boxes {
			if b.X < 10 || b.X+b.W > 10+w+1e-6 || b.Y < 10 || b.Y+b.H > 10+g.H+1e-6 {
				t.Fatalf("%+v is outside %v × %v", b, w, g.H)
			}
		}
	})
}

func TestNumbersStayOnOneLineAndInside(t *testing.T) {
	d, _ := newDoc(t)
	for _, s := range []string{"1234567.89 kg", "2½", "at least 123 456 789.1"} {
		g := d.Set.Number(Bold, 9, 12, Black, s)
		if g.W > 12 {
			t.Errorf("%q is %.2f mm wide, its place 12", s, g.W)
		}
		d.Boxes = nil
		d.Place(0, 0, g)
		if len(d.Boxes) != 1 || d.Boxes[0].Text != s {
			t.Errorf("%q was drawn as %+v", s, d.Boxes)
		}
	}
}

func TestNameKeepsItsFloorWhileThereIsRoom(t *testing.T) {
	d, _ := newDoc(t)
	for _, c := range []struct {
		name  string
		floor float64
	}{{"Bo", 12}, {"Quillfeather the Second", 9}, {strings.Repeat("Longer ", 40), 0.3}} {
		d.Boxes = nil
		g := d.Set.Name(12, 9, 120, 34, c.name)
		d.Place(0, 0, g)
		if g.H > 34+1e-6 {
			t.Errorf("%q is %.1f mm high", c.name, g.H)
		}
		for _, b := range d.Boxes {
			if capMM := b.Cap; capMM < c.floor-0.01 {
				t.Errorf("%q has capitals of %.2f mm, want at least %v", c.name, capMM, c.floor)
			}
		}
		if squeeze(drawnText(d)) != squeeze(c.name) {
			t.Errorf("%q was drawn as %q", c.name, drawnText(d))
		}
	}
}

// Two and a half scoops must look like two and a half: the black in each cup is counted.
func TestScoopsLookLikeTheirNumber(t *testing.T) {
	black := func(n float64) int {
		d, out := newDoc(t)
		d.Place(10, 10, d.Set.Scoops(n, 20))
		return pdftest.Ink(t, written(t, d, out))
	}
	outline := black(0.001)
	full := black(1) - outline
	for _, n := range []float64{0.25, 0.5, 0.75, 1.25, 2.5, 3} {
		cups := math.Ceil(n)
		got := float64(black(n)) - cups*float64(outline)
		// The cup is narrower at its foot, and its outline covers part of the
		// filling, so a part by height is a little less by area.
		if share := got / float64(full); math.Abs(share-n) > 0.1 {
			t.Errorf("%v scoops are drawn with the black of %.2f", n, share)
		}
	}
	for _, n := range []float64{0, -1, math.NaN(), math.Inf(1), 7} {
		if g := new(Typesetter).Scoops(n, 10); g.W != 0 {
			t.Errorf("%v scoops: something is drawn", n)
		}
	}
}

// written is the finished document, with fonts of its own.
func written(t *testing.T, d *Doc, out *bytes.Buffer) []byte {
	t.Helper()
	fonts := ReadFonts()
	if err := fonts.Cut(d); err != nil {
		t.Fatal(err)
	}
	if err := d.Finish(fonts); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestMarksTakeAnyNumber(t *testing.T) {
	odd := []float64{0, -3, 1e300, math.NaN(), math.Inf(1), math.Inf(-1), 2.5}
	d, _ := newDoc(t)
	for _, a := range odd {
		for _, b := range odd {
			d.Place(10, 10, Bar(50, 4, a, b, a, a, b))
			d.Place(10, 30, NumberLine(d.Set, 80, a, b, 2, []Mark{{At: a, Label: "a"}, {At: b, Label: "b", Above: true, Kind: Tick}, {At: b, Label: "c"}, {At: a, Label: "d", Kind: Ring}}))
			d.Place(10, 80, Steps(d.Set, 80, 10, 2, []StepWeek{{Value: a, Figure: "1"}, {Value: b, Figure: "2", Fill: Mid}, {Gap: true}}, []StepMark{{At: a, Label: "warn", Below: true}, {At: b, Label: "stop"}}))
			d.Place(10, 60, Columns(d.Set, 80, 10, 2, []float64{a, b}, []string{"1", "2"}, []string{"Mon", "Tue"}))
		}
	}
	if bytes.Contains(d.on.buf, []byte("NaN")) || bytes.Contains(d.on.buf, []byte("Inf ")) {
		t.Error("something that is no number reached the page")
	}
}

// A document of many pages reads like one: every page has its own text,
// its foot and the letters of both faces, and another program finds no fault.
func TestADocumentOfManyPages(t *testing.T) {
	out := new(bytes.Buffer)
	d, err := New("A4", true, About{Title: "Many pages", Author: "Pine Yard", Language: "en-GB", Date: time.Unix(0, 0).UTC()}, out)
	if err != nil {
		t.Fatal(err)
	}
	const pages = 259
	for i := range pages {
		d.AddPage()
		if d.Page() != i+1 {
			t.Fatalf("page %d says it is %d", i+1, d.Page())
		}
		d.Place(20, 20, d.Set.Line(Bold, 4, Black, fmt.Sprintf("Żaba %d Привет", i+1)))
		d.Place(20, 40, d.Set.Line(Regular, 4, Black, fmt.Sprintf("line %c", 'a'+rune(i%26))))
	}
	d.OnEachPage(func(page, n int) {
		d.Place(20, 190, d.Set.Line(Regular, 3, Black, fmt.Sprintf("page %d of %d ½", page, n)))
	})
	data := written(t, d, out)
	pdftest.Check(t, data)
	got := strings.Split(pdftest.Layout(t, data), "\f")
	if len(got) != pages+1 {
		t.Fatalf("%d pages", len(got)-1)
	}
	for i := range pages {
		want := []string{fmt.Sprintf("Żaba %d Привет", i+1), fmt.Sprintf("line %c", 'a'+rune(i%26)), fmt.Sprintf("page %d of %d ½", i+1, pages)}
		if lines := strings.Fields(got[i]); strings.Join(lines, " ") != strings.Join(want, " ") {
			t.Errorf("page %d reads %q, want %q", i+1, lines, want)
		}
	}
	if title := pdftest.Property(t, data, "Title"); title != "Many pages" || pdftest.Property(t, data, "Author") != "Pine Yard" || !bytes.Contains(data, []byte("/Lang (en-GB)")) {
		t.Errorf("the title is %q, or the language is not said", title)
	}
}

// Numbers in pages are what strconv makes of them, but for idle zeros.
func TestNumbersAreRoundedAsStrconvRounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 3).Draw(t, "decimals")
		v := rapid.OneOf(
			rapid.Float64(), rapid.Float64Range(-1000, 1000),
			rapid.Map(rapid.IntRange(-20_000, 20_000), func(n int) float64 { return float64(n) / 2000 }), // halves of the last place
			rapid.Map(rapid.IntRange(-20_000, 20_000), func(n int) float64 { return math.Nextafter(float64(n)/2000, 100) }),
		).Draw(t, "number")
		want := strconv.FormatFloat(v, 'f', decimals, 64)
		if strings.Contains(want, ".") {
			want = strings.TrimRight(strings.TrimRight(want, "0"), ".")
		}
		if got := string(decimal([]byte("10 "), v, decimals)); got != "10 "+want {
			t.Fatalf("%v with %d decimals is written %q, want %q", v, decimals, got, want)
		}
	})
}

// A word that is too wide is broken where it is tied or has a hyphen, and never between a
// number and its unit.
func TestWhereATooWideWordIsBroken(t *testing.T) {
	for word, want := range map[string]string{
		"1\u00a0=\u00a01.32\u00a0kg":               "1\u00a0=|\u00a01.32\u00a0kg",
		"Hattie\u00a0Marsh\u00a001632\u00a0960101": "Hattie|\u00a0Marsh|\u00a001632\u00a0960101",
		"Low-starch": "Low-|starch",
		"whole":      "whole",
	} {
		if got := strings.Join(pieces(word), "|"); got != want {
			t.Errorf("%q is broken as %q, want %q", word, got, want)
		}
	}
	d, err := New("A4", false, About{}, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	lines := d.Set.Lines(Regular, 2.4, d.Set.Width(Regular, 2.4, "1.32\u00a0kg")+0.1, Black, "1\u00a0=\u00a01.32\u00a0kg")
	if len(lines) != 2 {
		t.Errorf("%d lines", len(lines))
	}
}

// A number with a fraction is read back in one piece, its sign and not the figures the
// sign is drawn of; what is drawn are the font's own figures.
func TestFractionsAreReadInOnePiece(t *testing.T) {
	d, out := newDoc(t)
	numbers := []string{"¼", "½", "¾", "1¼", "10½", "2¾ to go"}
	for i, n := range numbers {
		g := d.Set.Figures(Bold, 6, 4.7, n)
		d.Place(20, 20+15*float64(i), g)
		if g.H < 6 || g.W < 5 {
			t.Errorf("%s is %.1f × %.1f mm", n, g.W, g.H)
		}
	}
	for _, b := range d.Boxes {
		if strings.ContainsAny(b.Text, "¼½¾") && b.Cap < 4.7-0.01 {
			t.Errorf("the figures of %s are %.2f mm high", b.Text, b.Cap)
		}
	}
	file := written(t, d, out)
	if got := strings.ReplaceAll(pdftest.Pages(t, file)[0], "  ", " "); got != strings.Join(numbers, "\n") {
		t.Errorf("read back as %q", got)
	}
	pdftest.Check(t, file)
	content := pdftest.Contents(t, file)[0]
	for name, n := range map[string]int{"/B1 Do": 4, "/B2 Do": 2, "/B3 Do": 2, "/B4 Do": 4} {
		if got := strings.Count(content, name); got != n {
			t.Errorf("%s is drawn %d times, want %d", name, got, n)
		}
	}
}

// The outline of each figure is where the font has it: x/image's own bounds of it.
func TestOutlinesAgainstTheFont(t *testing.T) {
	d, _ := newDoc(t)
	for _, f := range []Face{Regular, Bold} {
		for figure := '0'; figure <= '9'; figure++ {
			var low, high, right float64
			for _, l := range strings.Split(strings.TrimSuffix(string(outline(f, figure)), "f"), "\n") {
				at := strings.Fields(l)
				for i := 0; i+1 < len(at); i += 2 {
					x, _ := strconv.ParseFloat(at[i], 64)
					y, _ := strconv.ParseFloat(at[i+1], 64)
					low, high, right = min(low, y), max(high, y), max(right, x)
				}
			}
			above, below := d.Set.extent(f, figure)
			if math.Abs(high-above) > 0.04 || math.Abs(-low-below) > 0.04 || right > d.Set.Width(f, 1, string(figure)) || right < 0.5*d.Set.Width(f, 1, string(figure)) {
				t.Errorf("face %d, %c: from %.3f to %.3f, %.3f wide; the font has %.3f to %.3f, %.3f wide", f, figure, low, high, right, -below, above, d.Set.Width(f, 1, string(figure)))
			}
		}
	}
}
