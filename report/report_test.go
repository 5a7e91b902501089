package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"sort"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// TestMain draws fewer plans by chance under the race detector; the flag
// -rapid.checks still has the last word.
func TestMain(m *testing.M) {
	if raced {
		if err := flag.Set("rapid.checks", "10"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

// tool runs an outside program over a PDF; these tests need Debian's packages
// poppler-utils (pdftotext) and qpdf.
func tool(t testing.TB, pdf []byte, name string, args ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	for i := range args {
		if args[i] == "FILE" {
			args[i] = file
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s(needs poppler-utils and qpdf)", name, args, err, out)
	}
	return string(out)
}

// pages is the text of each page in the order it was drawn, without spaces: a
// line break tells nothing.
func pages(t testing.TB, pdf []byte) []string {
	t.Helper()
	all := strings.Split(tool(t, pdf, "pdftotext", "-raw", "-enc", "UTF-8", "FILE", "-"), "\f")
	for i := range all {
		all[i] = unspaced(all[i])
	}
	return all[:len(all)-1]
}

// bare is s as it is printed, without spaces.
func bare(s string) string {
	s, _ = draw.Printable(s)
	return unspaced(s)
}

func unspaced(s string) string { return strings.Join(strings.FieldsFunc(s, unicode.IsSpace), "") }

func named(t testing.TB, fs []File, name string) []byte {
	t.Helper()
	for _, f := range fs {
		if f.Name == name {
			return f.Bytes
		}
	}
	t.Fatalf("no %s was made", name)
	return nil
}

func files(t testing.TB, p yard.Plan, m Meta) []File {
	t.Helper()
	fs, err := Files(p, m)
	if err != nil {
		t.Fatal(err)
	}
	return fs
}

// Read back by poppler: what stands in the plan stands on that horse's card.
func TestEveryMealFeedAndAmountStandsOnItsHorsesCard(t *testing.T) {
	p := fixture()
	all := pages(t, named(t, files(t, p, Meta{CardsPerPage: 1}), "cards.pdf"))
	for _, h := range p.Horses {
		card := ""
		for _, pg := range all {
			if strings.HasPrefix(pg, bare(h.Horse.Name)) {
				card += pg
			}
		}
		want := []string{"Mon30Nov–Sun6Dec2026", "NOTAFTERSUN6DEC", "NellHarrow01632960123"}
		switch h.Status {
		case yard.Held:
			want = append(want, append([]string{"HELD"}, h.HeldWhy...)...)
		case yard.NoCard:
			want = append(want, append([]string{"NO COMPUTED CARD", "Keep hay and water in front of it"}, h.NoCardWhy...)...)
		default:
			if strings.Contains(card, "HELD") || strings.Contains(card, "NOCOMPUTED") {
				t.Errorf("%s is said to be held or without a card", h.Horse.Name)
			}
		}
		want = append(want, h.Cautions...)
		for _, s := range h.Servings {
			a := english().amountOf(s, false)
			want = append(want, s.Meal, s.Feed, a.String(), a.aside)
			if s.Weigh {
				want = append(want, "WEIGH"+a.String())
			}
		}
		for _, w := range want {
			if !strings.Contains(card, bare(w)) {
				t.Errorf("%s: %q is not on the card:\n%s", h.Horse.Name, w, card)
			}
		}
	}
}

// The same, by position on the page: each amount stands in its feed's row and its
// day's column, its unit and weight beside it, and stages in order.
func TestBramblesCardReadsRowByRow(t *testing.T) {
	p := fixture()
	p.Horses = p.Horses[:1]
	s, err := sketch("cards", cards, p, boxed(Meta{CardsPerPage: 2, Paper: "A4"}))
	if err != nil {
		t.Fatal(err)
	}
	var card []draw.Box
	for _, b := range s.d.Boxes {
		if b.Page >= firstCardPage(s) {
			b.Text = strings.ReplaceAll(b.Text, nb, " ")
			card = append(card, b)
		}
	}
	find := func(text string, nth int) draw.Box {
		t.Helper()
		for _, b := range card {
			if strings.TrimSpace(b.Text) == text {
				if nth--; nth < 0 {
					return b
				}
			}
		}
		t.Fatalf("no %q stands on the card", text)
		return draw.Box{}
	}
	rest := find("REST DAY", 0)
	mid := func(b draw.Box) float64 { return b.Y + b.Cap/2 }
	// all of a row's words in one column, from left to right and downwards
	words := func(from, to float64, work bool) string {
		var in []draw.Box
		for _, b := range card {
			if m := mid(b); m > from && m < to && b.X > find("WORK DAY", 0).X-1 && (b.X < rest.X-1) == work {
				in = append(in, b)
			}
		}
		slices.SortStableFunc(in, func(a, b draw.Box) int { // stages are 8 mm and more apart
			if math.Abs(mid(a)-mid(b)) > 6 {
				return cmp.Compare(mid(a), mid(b))
			}
			return cmp.Compare(a.X, b.X)
		})
		var all []string
		for _, b := range in {
			all = append(all, b.Text)
		}
		return strings.Join(all, " ")
	}
	if got := words(rest.Y-3, rest.Y+5, true); got != "WORK DAY Mon, Tue, Thu–Sat" {
		t.Errorf("over the first column stands %q", got)
	}
	rows := []struct {
		feed       string
		nth        int
		work, rest string
	}{
		{"Meadow hay", 0, "3.5 kg", "3.5 kg"},
		{"Conditioning", 0, "1 scoop 0.5 kg", "½ scoop 0.25 kg"},
		{"Chaff", 0, "1 scoop 0.2 kg", "1 scoop 0.2 kg"},
		{"Conditioning", 1, "Mon, Tue 1¼ scoops 0.63 kg from Thu 1½ scoops 0.75 kg", "¾ scoop 0.38 kg"},
		{"Meadow hay", 1, "5 kg", "5 kg"},
		{"Salt", 0, "25 g", "25 g"},
	}
	// Rows part between the feeds' names; one of two stages is twice as high.
	var centre, high []float64
	for _, r := range rows {
		b := find(r.feed, r.nth)
		c := mid(b)
		if r.feed == "Conditioning" {
			c = (b.Y + find("cubes", r.nth).Y + b.Cap) / 2
		}
		centre, high = append(centre, c), append(high, float64(1+strings.Count(r.work, "from")))
	}
	for i, r := range rows {
		from, to := centre[i]-5, centre[i]+5
		if i > 0 {
			from = centre[i] - (centre[i]-centre[i-1])*high[i]/(high[i]+high[i-1])
		}
		if i+1 < len(rows) {
			to = centre[i] + (centre[i+1]-centre[i])*high[i]/(high[i]+high[i+1])
		}
		if from >= to {
			t.Errorf("%s does not stand under the row before it", r.feed)
		}
		if work, rest := words(from, to, true), words(from, to, false); work != r.work || rest != r.rest {
			t.Errorf("%s: %q on a work day and %q on a rest day, want %q and %q", r.feed, work, rest, r.work, r.rest)
		}
	}
	find("Conditioning cubes: was 1½ scoops (0.75 kg) a day, now 2½ scoops (1.25 kg)", 0)
	find("from Thu 3 Dec", 0)
}

func TestWholeYardStandsOnTheFirstPages(t *testing.T) {
	p := fixture()
	text := strings.Join(pages(t, named(t, files(t, p, Meta{}), "cards.pdf")), "")
	who := text[:strings.Index(text, "Ring:")]
	for _, h := range p.Horses {
		if !strings.Contains(who, bare(h.Horse.Name)) {
			t.Errorf("%s is not in who gets what", h.Horse.Name)
		}
		for _, s := range h.Servings {
			if a := english().amountOf(s, false).String(); !strings.Contains(who, bare(a)) {
				t.Errorf("%s: %q is not in who gets what", h.Horse.Name, a)
			}
		}
	}
	for _, w := range []string{"HELD", "NO COMPUTED CARD", "Not after Sun 6 Dec", "Breakfast06:30"} {
		if !strings.Contains(who, bare(w)) {
			t.Errorf("%q is not in who gets what", w)
		}
	}
}

func TestOfficeSheetStartsWithDecisionsAndLeavesNothingOut(t *testing.T) {
	p := Proof(fixture())
	all := pages(t, named(t, files(t, p, Meta{Version: "9.9"}), "office.pdf"))
	text := strings.Join(all, "")
	for _, w := range []string{"Read: 6 sheets, 143 rows, 7 horses. Planned: 7 horses.", "Decide first", "Quillfeather", "HELD", "Old Tom", "NO CARD"} {
		if !strings.Contains(all[0], bare(w)) {
			t.Errorf("%q is not on the first page", w)
		}
	}
	for _, f := range p.Findings {
		for _, w := range []string{Message(f), where(f.Cell), string(f.Rule), f.Source} {
			if !strings.Contains(text, bare(w)) {
				t.Errorf("%q of a finding is missing", w)
			}
		}
	}
	for _, w := range []string{"at least 12.2", "at least 14.2", "name-print", "week 4", "warn above 2.6", "about 79 kg *", "15.5 bales", "21 days",
		"published bulk density of whole oats, 0.48 kg a litre", "NRC 2007", "hardfeed 9.9", "qualified nutritionist"} {
		if !strings.Contains(text, bare(w)) {
			t.Errorf("%q is missing", w)
		}
	}
}

// A hold must be seen on each card of a horse that needs more than one.
func TestHeldStandsOnEveryCardOfAHorse(t *testing.T) {
	p := fixture()
	n := 0
	for _, pg := range pages(t, named(t, files(t, onlyHorse(p, 3, yard.Held), Meta{CardsPerPage: 1}), "cards.pdf")) {
		if strings.HasPrefix(pg, "Ballymacarrett") {
			n++
			if !strings.Contains(pg, "HELD") {
				t.Errorf("card %d does not say HELD: %s", n, pg)
			}
		}
	}
	if n < 2 {
		t.Fatalf("%d cards, the case wants several", n)
	}
}

// onlyHorse is p with only its i-th horse, of status s.
func onlyHorse(p yard.Plan, i int, s yard.Status) yard.Plan {
	p.Horses = p.Horses[i : i+1]
	p.Horses[0].Status = s
	return p
}

func TestAnOverrideIsPrintedWithNameAndReason(t *testing.T) {
	p := onlyHorse(fixture(), 0, yard.Carded)
	p.Horses[0].Step.Verdict = yard.StepOverridden
	p.Horses[0].Horse.Override = yard.Override{Asked: true, Who: "Nell Harrow", Reason: "vet's advice of 24 Nov"}
	fs := files(t, p, Meta{})
	for _, f := range []string{"cards.pdf", "office.pdf"} {
		text := strings.Join(pages(t, named(t, fs, f)), "")
		if !strings.Contains(text, bare("Nell Harrow: vet's advice of 24 Nov")) {
			t.Errorf("%s does not say who decided and why", f)
		}
	}
}

// The program says what was compared; it never calls a ration safe.
func TestTheWordSafeIsNeverPrinted(t *testing.T) {
	for _, f := range files(t, fixture(), Meta{}) {
		text := string(f.Bytes)
		if strings.HasSuffix(f.Name, ".pdf") {
			text = strings.Join(pages(t, f.Bytes), "")
		}
		if strings.Contains(strings.ToLower(text), "safe") {
			t.Errorf("%s prints it", f.Name)
		}
	}
}

func TestScoopSheet(t *testing.T) {
	text := strings.Join(pages(t, named(t, files(t, fixture(), Meta{}), "scoops.pdf")), "")
	for _, w := range []string{
		"Conditioning cubes 1 level scoop = 0.5 kg = 1.1 lb", "Weighed on Sat 21 Nov 2026", "¼ 0.125 kg 0.28 lb", "3¾ 1.875 kg 4.13 lb", "4 2 kg",
		"0.75 kg 1½", "UNWEIGHED", "published bulk density of whole oats", "1 level mug: weight not known", "Initials",
	} {
		if !strings.Contains(text, bare(w)) {
			t.Errorf("%q is missing from\n%s", w, text)
		}
	}
	if strings.Contains(text, "Meadow") {
		t.Error("hay has no scoop, but stands on the sheet")
	}
}

// A mug of a fifth of the scoop's volume is drawn the cube root of a fifth as
// high, whatever is in it.
func TestMeasuresAreDrawnToSize(t *testing.T) {
	s, err := sketch("scoops.pdf", scoops, fixture(), boxed(Meta{Paper: "A4"}))
	if err != nil {
		t.Fatal(err)
	}
	scoop, mug := s.drawnMeasure("Scoop"), s.drawnMeasure("mug")
	if scoop == nil || mug == nil || s.drawnMeasure("jug") != nil {
		t.Fatal("a measure is not drawn, or one of unknown volume is")
	}
	text := strings.Join(pages(t, pdf(t, s)), "")
	for _, w := range []string{"scoop 2 l", "mug 0.4 l", "drawn to size against each other", "strike off the heap", "three level scoops"} {
		if !strings.Contains(text, bare(w)) {
			t.Errorf("%q is missing", w)
		}
	}
	for litres, high := range map[float64]float64{2: 1, 0.4: math.Cbrt(0.2), 0.25: 0.5} {
		p := fixture()
		p.Week.Measures[1].Litres = n(litres)
		s.p = p
		if got := s.measureHigh(litres) / s.measureHigh(2); math.Abs(got-high) > 1e-9 {
			t.Errorf("%v l is drawn %v as high as 2 l, want %v", litres, got, high)
		}
	}
	for _, odd := range []yard.Num{{}, n(0), n(-1), n(math.NaN()), n(math.Inf(1))} {
		s.p.Week.Measures[1].Litres = odd
		if s.drawnMeasure("mug") != nil {
			t.Errorf("a mug of %v l is drawn", odd)
		}
	}
}

// qpdf is a second opinion on the files' inner order.
func TestQpdfAcceptsEveryFile(t *testing.T) {
	for _, per := range []int{1, 2, 4} {
		for _, f := range files(t, fixture(), Meta{CardsPerPage: per}) {
			if strings.HasSuffix(f.Name, ".pdf") {
				tool(t, f.Bytes, "qpdf", "--check", "FILE")
			}
		}
	}
}

// Poppler finds every font embedded, as a subset, with its letters to be read back.
func TestFontsAreEmbeddedSubsets(t *testing.T) {
	for _, f := range files(t, fixture(), Meta{}) {
		if !strings.HasSuffix(f.Name, ".pdf") {
			continue
		}
		lines := strings.Split(strings.TrimSpace(tool(t, f.Bytes, "pdffonts", "FILE")), "\n")[2:]
		if len(lines) != 2 {
			t.Errorf("%s: %d fonts: %q", f.Name, len(lines), lines)
		}
		for _, l := range lines {
			if !regexp.MustCompile(`^[A-Z]{6}\+LiberationSans(-Bold)? .*\byes +yes +yes\b`).MatchString(l) {
				t.Errorf("%s: %s", f.Name, l)
			}
		}
	}
}

func TestEqualInputGivesEqualBytes(t *testing.T) {
	a, b := files(t, fixture(), Meta{}), files(t, fixture(), Meta{})
	for i := range a {
		if !bytes.Equal(a[i].Bytes, b[i].Bytes) {
			t.Errorf("%s differs between two runs", a[i].Name)
		}
	}
	p := fixture()
	p.Week.Beginning = p.Week.Beginning.AddDate(0, 0, 7)
	if c := files(t, p, Meta{}); bytes.Equal(a[0].Bytes, c[0].Bytes) {
		t.Error("another week gives the same cards")
	}
}

func TestFilesLeavesThePlanAlone(t *testing.T) {
	p := fixture()
	files(t, p, Meta{})
	if !reflect.DeepEqual(p, fixture()) {
		t.Error("the plan was changed")
	}
}

// boxed is m with the places of all text kept.
func boxed(m Meta) Meta {
	m.keepBoxes = true
	return m
}

// checkBoxes: no text nearer to the edge of its card or page than 5 mm, and no
// text on top of another.
func checkBoxes(t interface{ Errorf(string, ...any) }, s *sheet, firstCard, across, down int) {
	d := s.d
	if len(d.Boxes) == 0 {
		t.Errorf("no text was drawn")
	}
	byPage := map[int][]draw.Box{}
	for _, b := range d.Boxes {
		byPage[b.Page] = append(byPage[b.Page], b)
		w, h := d.PageW, d.PageH
		if firstCard > 0 && b.Page >= firstCard {
			w, h = w/float64(across), h/float64(down)
		}
		x, y := math.Mod(b.X, w), math.Mod(b.Y, h)
		if x < 5 || y < 5 || x+b.W > w-5 || y+b.H > h-5 {
			t.Errorf("page %d: %q at %.1f, %.1f (%.1f × %.1f) leaves the clear border of %.0f × %.0f", b.Page, b.Text, x, y, b.W, b.H, w, h)
		}
	}
	const touch = 0.05          // mm: the size of type is rounded to a hundredth of a point
	for _, m := range d.Marks { // drawings, in the same way; a foot and a page number have none
		w, h := d.PageW, d.PageH
		if firstCard > 0 && m.Page >= firstCard {
			w, h = w/float64(across), h/float64(down)
		}
		if x, y := math.Mod(m.X, w), math.Mod(m.Y, h); x < 5 || y < 5 || x+m.W > w-5 || y+m.H > h-5 {
			t.Errorf("page %d: a drawing of %.1f × %.1f at %.1f, %.1f leaves the clear border of %.0f × %.0f", m.Page, m.W, m.H, x, y, w, h)
		}
		m.Text = "a drawing"
		byPage[m.Page] = append(byPage[m.Page], m)
	}
	for _, bs := range byPage {
		for i, a := range bs {
			for _, b := range bs[i+1:] {
				if a.X+touch < b.X+b.W && b.X+touch < a.X+a.W && a.Y+touch < b.Y+b.H && b.Y+touch < a.Y+a.H {
					t.Errorf("page %d: %q and %q overlap (%+v, %+v)", a.Page, a.Text, b.Text, a, b)
				}
			}
		}
	}
}

// inPlace draws the sheets, sees that on none of them text leaves its place or covers
// other text, and hands each on, with the page of the first card.
func inPlace(t *testing.T, p yard.Plan, m Meta, look func(name string, s *sheet, firstCard int)) {
	t.Helper()
	across, down := 1, 1
	if m.CardsPerPage > 1 {
		down = 2
	}
	if m.CardsPerPage > 2 {
		across = 2
	}
	m.keepBoxes = true
	for name, doc := range map[string]func(*sheet) error{"cards": cards, "scoops": scoops, "office": office} {
		s, err := sketch(name, doc, p, m)
		if err != nil {
			t.Fatal(err)
		}
		first := 0
		if name == "cards" {
			if first = firstCardPage(s); first == 0 {
				t.Fatal("no card was found")
			}
		}
		checkBoxes(t, s, first, across, down)
		look(name, s, first)
	}
}

func firstCardPage(s *sheet) int {
	mark := strings.ToUpper(s.main.notAfter(s.p.Week)) // in capitals on cards only
	for _, b := range s.d.Boxes {
		if b.Text == mark || strings.HasPrefix(mark, b.Text) && len(b.Text) > 8 {
			return b.Page
		}
	}
	return 0
}

// tried are the languages cards are tried in: each alone, and pairs in which each
// stands second.
func tried() [][]string {
	out := [][]string{nil, {"en", "pl"}, {"de", "en"}, {"fr", "de"}, {"en", "es"}, {"pl", "fr"}, {"es", "pt"}}
	for _, code := range Languages() {
		out = append(out, []string{code})
	}
	return out
}

// Every language, alone and in pairs, on full and quarter cards.
func TestNoLanguageLeavesItsPlace(t *testing.T) {
	for i, in := range tried() {
		t.Run(strings.Join(in, "+"), func(t *testing.T) {
			for j, per := range []int{2, 4, 1} {
				if raced && j > 0 {
					break
				}
				m := Meta{CardsPerPage: per, Paper: []string{"A4", "Letter"}[(i+j)%2], Languages: in}
				p := fixture()
				p.Week.Imperial = (i+j)%2 == 0
				p.Horses[1].Cautions = everyCaution()
				if j < 2 { // half and quarter cards
					p.Horses = append(p.Horses, harsh().Horses[1:4]...)
				}
				inPlace(t, p, m, func(string, *sheet, int) {})
			}
		})
	}
}

// everyCaution is the sentences the program writes about a horse, filled in.
func everyCaution() (all []string) {
	for _, k := range english().Keys("caution.") {
		all = append(all, english().Say(k, "day", "Sat", "start", "10:00", "last", "06:00", "hours", "4", "days", "14", "kg", "0.67", "what", "heaves", "feeds", "Soaked unmolassed sugar beet pulp shreds"))
	}
	return all
}

func TestNoTextLeavesItsPlaceOrCoversAnother(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		for _, per := range []int{1, 2, 4} {
			t.Run(fmt.Sprint(paper, per), func(t *testing.T) {
				for _, imperial := range []bool{false, true} {
					if raced && imperial == (paper == "A4") {
						continue // each paper with one kind of units
					}
					p := fixture()
					p.Week.Imperial = imperial
					inPlace(t, p, Meta{CardsPerPage: per, Paper: paper}, func(string, *sheet, int) {})
				}
			})
		}
	}
}

// On the sheet of the whole yard and the scoop sheet no label shrinks out of sight
// in a language of long words, and no word of a name is broken that need not be.
func TestSmallestTypeOffTheCards(t *testing.T) {
	for _, in := range tried() {
		for _, paper := range []string{"A4", "Letter"} {
			for name, f := range map[string]func(*sheet) error{"cards": cards, "scoops": scoops} {
				s, err := sketch(name, f, harsh(), Meta{keepBoxes: true, CardsPerPage: 2, Paper: paper, Languages: in})
				if err != nil {
					t.Fatal(err)
				}
				last := math.MaxInt
				if name == "cards" {
					last = firstCardPage(s) - 1
				}
				const longest = "Featherstonehaugh"
				broken, whole := false, false
				for _, b := range s.d.Boxes {
					if b.Page > last {
						continue
					}
					if mm := b.Cap; mm < footFloor-0.01 {
						t.Errorf("%v, %s, %s: %q is %.2f mm high", in, paper, name, b.Text, mm)
					}
					whole = whole || strings.Contains(b.Text, longest)
					for i := 1; i < len(longest); i++ { // a line that starts within the word
						broken = broken || b.Text == longest[i:] || strings.HasPrefix(b.Text, longest[i:]+" ")
					}
				}
				if name == "cards" && (broken || !whole) {
					t.Errorf("%v, %s: a word of a name is broken", in, paper)
				}
			}
		}
	}
}

// Sizes of DESIGN §6, on full cards: names 9 mm, amounts 6 mm. Quarter cards are
// read from close by: their amounts are 3.5 mm at the least.
func TestTypeIsReadAtTwoMetres(t *testing.T) {
	p := fixture()
	p.Horses[3].Horse.Name = "Ballymacarrett Thunderstruck"
	for _, per := range []int{1, 2, 4} {
		s, err := sketch("cards", cards, p, Meta{keepBoxes: true, CardsPerPage: per, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		first := firstCardPage(s)
		capOf := func(b draw.Box) float64 { return b.Cap }
		names := map[string]float64{}
		for _, b := range s.d.Boxes {
			if b.Page < first {
				continue
			}
			names[b.Text] = max(names[b.Text], capOf(b))
			least := 6.0
			if per == 4 {
				least = 3.5
			}
			if amountText.MatchString(b.Text) && capOf(b) < least-0.01 {
				t.Errorf("%d a page: the amount %q is %.2f mm high", per, b.Text, capOf(b))
			}
		}
		if per == 4 {
			continue // quarter cards are for reading close by; only the amounts keep their floor
		}
		for _, want := range []string{"Bramble", "Quillfeather", "Old Tom", "Аврора", "Αστραπή", "Pony [?] Biscuit", "Ballymacarrett", "Thunderstruck"} {
			if names[want] < 9-0.01 {
				t.Errorf("%d a page: the name %q is %.2f mm high", per, want, names[want])
			}
		}
		for _, amount := range []string{"ad lib", "50", "2.25"} { // cards with room
			if names[amount] < 6-0.01 {
				t.Errorf("%d a page: the amount %q is %.2f mm high", per, amount, names[amount])
			}
		}
	}
}

func TestNamesThatCannotBePrintedAreFindings(t *testing.T) {
	p := Proof(fixture())
	n := 0
	for _, f := range p.Findings {
		if f.Rule == "name-print" {
			n++
			if f.Horse != emojiName || f.Severity != yard.Warn || !strings.Contains(f.Message, "Pony [?] Biscuit") || f.Cell.Ref != "A5" {
				t.Errorf("%+v", f)
			}
		}
	}
	if n != 1 {
		t.Errorf("%d findings for one name", n)
	}
	if again := Proof(p); len(again.Findings) != len(p.Findings) {
		t.Error("proofing twice adds findings")
	}
	if !slices.ContainsFunc(p.Horses[6].Findings, func(f yard.Finding) bool { return f.Rule == "name-print" }) {
		t.Error("the horse's own list lacks it")
	}
}

func TestAmountsInWords(t *testing.T) {
	for _, c := range []struct {
		s            yard.Serving
		imperial     bool
		words, aside string
	}{
		{sv{Kg: 1.25, Measure: "scoop", Measures: n(2.5)}, false, "2½ scoops", "1.25 kg"},
		{sv{Kg: 0.25, Measure: "scoop", Measures: n(0.5)}, false, "½ scoop", "0.25 kg"},
		{sv{Kg: 0.5, Measure: "scoop", Measures: n(1)}, true, "1 scoop", "1.1 lb / 0.5 kg"},
		{sv{Kg: 0.37, Measure: "scoop", Measures: n(0.68), Weigh: true}, false, "0.37 kg", "about 0.7 scoop"},
		{sv{Kg: 0.02, Measure: "scoop", Measures: n(0.02), Weigh: true}, false, "20 g", ""},
		{sv{Kg: 3.5, Class: yard.Forage}, false, "3.5 kg", ""},
		{sv{Kg: 3.5, Class: yard.Forage}, true, "7.7 lb", "3.5 kg"}, // the yard's own unit is the large one
		{sv{Kg: 0.37, Measure: "scoop", Measures: n(0.68), Weigh: true}, true, "0.82 lb", "0.37 kg, about 0.7 scoop"},
		{sv{Kg: 0.025, Class: yard.Salt}, true, "25 g", "0.06 lb"},
		{sv{Kg: 11, Class: yard.Forage, AdLib: true}, true, "ad lib", ""},
		{sv{Kg: 9.1, Class: yard.Forage, AdLib: true, Grazed: n(4.5)}, false, "4.5 h", ""}, // never "ad lib": that is out all day
		{sv{Kg: 0.046, Class: yard.Oil, Ml: n(50)}, false, "50 ml", ""},
		{sv{Kg: 0.025, Class: yard.Salt}, false, "25 g", ""},
		{sv{Kg: 0.15, Class: yard.Supplement}, false, "150 g", ""},
		{sv{Kg: 0.08, Class: yard.HardFeed, Measure: "scoop"}, false, "80 g", ""},
		{sv{Kg: 0, Measure: "scoop", Measures: n(0)}, false, "none", ""},
		{sv{Kg: 0.625, Class: yard.HardFeed}, false, "0.63 kg", ""},
	} {
		a := english().amountOf(c.s, c.imperial)
		if got := strings.ReplaceAll(a.String(), nb, " "); got != c.words {
			t.Errorf("%+v reads %q, want %q", c.s, got, c.words)
		}
		if got := strings.ReplaceAll(a.aside, nb, " "); got != c.aside {
			t.Errorf("%+v: beside it %q, want %q", c.s, got, c.aside)
		}
	}
}

func TestTextOfAFinding(t *testing.T) {
	got := Text(yard.Finding{Rule: "D-02", Severity: yard.Stop, Horse: "Bramble", Message: "Rises by\n2 kg.", Cell: yard.Cell{Sheet: "Rations", Ref: "F12"}, Source: "limits D-02"})
	if want := "STOP Bramble, Rations!F12: Rises by 2 kg. (D-02; limits D-02)"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := Text(yard.Finding{Severity: yard.Note, Message: "All read."}); got != "NOTE: All read." {
		t.Error(got)
	}
}

// The fields DESIGN.md promises under schema 1, path by path.
var promised = strings.Fields(`
schema program version yard week units standard work_model horses feeds findings
horses.name horses.status horses.body_weight_kg horses.body_weight_basis horses.condition_score horses.fitness
horses.work_class horses.work_minutes horses.de_mcal.maintenance horses.de_mcal.work horses.de_mcal.change
horses.de_mcal.cold horses.de_mcal.need horses.de_mcal.supply horses.de_mcal.class_need
horses.hard_feed_kg.now horses.hard_feed_kg.planned horses.hard_feed_kg.target horses.hard_feed_kg.card
horses.step.rise_kg horses.step.warn_kg horses.step.stop_kg horses.step.verdict horses.step.weeks_to_target
horses.forage_dm_pct_bw horses.starch_g_per_kg_meal_max
horses.ration.day horses.ration.meal horses.ration.feed horses.ration.kg horses.ration.measures horses.ration.measure horses.ration.from
horses.nutrients.nutrient horses.nutrients.unit horses.nutrients.need horses.nutrients.supply horses.nutrients.limit
horses.findings.rule horses.findings.severity horses.findings.message horses.findings.sheet horses.findings.cell horses.findings.source
feeds.feed feeds.kg_week feeds.units_week feeds.unit feeds.cost feeds.stock_days
findings.rule findings.severity findings.message findings.sheet findings.cell findings.source`)

func paths(v any, at string, into map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			into[strings.TrimPrefix(at+"."+k, ".")] = true
			paths(x, at+"."+k, into)
		}
	case []any:
		for _, x := range v {
			paths(x, at, into)
		}
	}
}

func TestRecordHasEveryPromisedField(t *testing.T) {
	b, err := JSON(fixture(), Meta{Version: "1.2"})
	if err != nil {
		t.Fatal(err)
	}
	if b[len(b)-1] != '\n' {
		t.Error("no newline at the end")
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	have := map[string]bool{}
	paths(v, "", have)
	sort.Strings(promised)
	for _, p := range promised {
		if !have[p] {
			t.Errorf("%s is missing", p)
		}
	}
}

// Each number of the plan comes back from the record, and what is unknown is
// null, never 0.
func TestRecordReadsBack(t *testing.T) {
	p := fixture()
	b, err := JSON(p, Meta{Version: "1.2"})
	if err != nil {
		t.Fatal(err)
	}
	var r record
	dec := json.NewDecoder(bytes.NewReader(b))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&r); err != nil {
		t.Fatal(err)
	}
	if r.Schema != 1 || r.Program != "hardfeed" || r.Version != "1.2" || r.Yard != "Withy Brook Yard" || *r.Week != "2026-11-30" ||
		r.Units != "metric" || r.Standard != "NRC 2007" || r.WorkModel != "pace" || r.Read != (recordRead{6, 143, 7}) {
		t.Errorf("head: %+v", r)
	}
	same := func(what string, got, want yard.Num) {
		t.Helper()
		g, ok1 := got.Get()
		w, ok2 := want.Get()
		if ok1 != ok2 || math.Abs(g-w) > 1e-6 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	for i, h := range p.Horses {
		g := r.Horses[i]
		if g.Name != h.Horse.Name || g.Status != string(h.Status) || g.BodyWeightBasis != string(h.WeightBasis) || g.Fitness != string(h.Horse.Fitness) ||
			g.Step.Verdict != string(h.Step.Verdict) || g.WorkMinutes != h.WorkMinutes || len(g.Ration) != len(h.Servings) {
			t.Errorf("%s: %+v", h.Horse.Name, g)
		}
		same("weight", g.BodyWeightKg, h.WeightKg)
		same("score", g.ConditionScore, h.Horse.Score)
		same("maintenance", g.DEMcal.Maintenance, h.Energy.Maintenance)
		same("work", g.DEMcal.Work, h.Energy.Work)
		same("change", g.DEMcal.Change, h.Energy.Change)
		same("cold", g.DEMcal.Cold, h.Energy.Cold)
		same("need", g.DEMcal.Need, h.Energy.Need)
		same("supply", g.DEMcal.Supply, h.Energy.Supply)
		same("class need", g.DEMcal.ClassNeed, h.Energy.ClassNeed)
		same("now", g.HardFeedKg.Now, h.HardFeed.Now)
		same("planned", g.HardFeedKg.Planned, h.HardFeed.Planned)
		same("target", g.HardFeedKg.Target, h.HardFeed.Target)
		same("card", g.HardFeedKg.Card, h.HardFeed.Card)
		same("rise", g.Step.RiseKg, h.Step.RiseKg)
		same("warn", g.Step.WarnKg, h.Step.WarnKg)
		same("stop", g.Step.StopKg, h.Step.StopKg)
		same("weeks", g.Step.WeeksToTarget, h.Step.WeeksToTarget)
		same("forage", g.ForageDMPctBW, h.ForageDMPct)
		same("starch", g.StarchPerMeal, h.StarchMax)
		for j, s := range h.Servings {
			q := g.Ration[j]
			same("kg", q.Kg, yard.Known(float64(s.Kg)))
			same("measures", q.Measures, s.Measures)
			if q.Day != string(s.Day) || q.Meal != s.Meal || q.Feed != s.Feed || q.Measure != s.Measure || q.From != [...]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}[s.From] {
				t.Errorf("serving %+v came back as %+v", s, q)
			}
		}
		for j, x := range h.Nutrients {
			q := g.Nutrients[j]
			same("nutrient need", q.Need, x.Need)
			same("nutrient supply", q.Supply, x.Supply)
			same("nutrient limit", q.Limit, x.Limit)
			if q.Nutrient != x.Name || q.Unit != x.Unit {
				t.Errorf("nutrient %+v came back as %+v", x, q)
			}
		}
	}
	for i, f := range p.Feeds {
		q := r.Feeds[i]
		same("kg a week", q.KgWeek, yard.Known(f.KgWeek))
		same("packs", q.UnitsWeek, f.Packs)
		same("cost", q.Cost, f.Cost)
		same("stock", q.StockDays, f.StockDays)
		if q.Feed != f.Feed.Name || q.Unit != f.Feed.PackName {
			t.Errorf("feed %+v", q)
		}
	}
	if len(r.Findings) != len(p.Findings)+1 || r.Findings[0].Sheet != "Horses" || r.Findings[0].Cell != "C9" || r.Findings[0].Severity != "stop" {
		t.Errorf("findings: %+v", r.Findings)
	}
	if r.Horses[2].WorkClass != nil {
		t.Error("a horse without a card has a work class")
	}
}

func TestBadSettingsAreErrors(t *testing.T) {
	for _, m := range []Meta{{CardsPerPage: 3}, {Paper: "A5"}, {Languages: []string{"xx"}}, {Languages: []string{"en", "de", "fr"}}} {
		if _, err := Files(fixture(), m); err == nil {
			t.Errorf("%+v was taken", m)
		}
	}
}

// A fault while drawing ends as an error that names the horse.
func TestAPanicNamesTheHorse(t *testing.T) {
	_, err := sketch("cards.pdf", func(s *sheet) error { s.horse = "Bramble"; panic("no such glyph") }, fixture(), Meta{})
	if err == nil || !strings.Contains(err.Error(), "Bramble") || !strings.Contains(err.Error(), "cards.pdf") {
		t.Error(err)
	}
	_, err = sketch("cards.pdf", func(s *sheet) error { return errors.New("full") }, fixture(), Meta{})
	if err == nil {
		t.Error("an error was lost")
	}
}

// Any plan at all is drawn without an error; every horse's name, as far as it
// can be printed, stands on its card, inside the border and under nothing.
func TestAnyPlanIsDrawn(t *testing.T) {
	text := rapid.OneOf(
		rapid.SampledFrom([]string{"", "Oats", "Bramble", "Аврора", "🐎", "Caf\xc3", "{nb}", "a\tb", "Wm-" + strings.Repeat("Long", 12), strings.Repeat("very long words ", 25)}),
		rapid.StringN(0, 30, -1))
	num := rapid.Custom(func(t *rapid.T) yard.Num {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			return yard.Num{}
		case 1:
			return n(rapid.Float64().Draw(t, "any"))
		case 2:
			return n(rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), -1}).Draw(t, "odd"))
		}
		return n(float64(rapid.IntRange(0, 40).Draw(t, "quarters")) / 4)
	})
	kind := rapid.SampledFrom([]yard.DayKind{yard.WorkDay, yard.RestDay, yard.EventDay})
	class := rapid.SampledFrom([]yard.FeedClass{yard.Forage, yard.HardFeed, yard.Oil, yard.Salt, yard.Unclassed})
	serving := rapid.Custom(func(t *rapid.T) yard.Serving {
		return yard.Serving{Day: kind.Draw(t, "day"), Meal: text.Draw(t, "meal"), Feed: text.Draw(t, "feed"), Class: class.Draw(t, "class"),
			AdLib: rapid.Bool().Draw(t, "adlib"), Kg: yard.KgFed(num.Draw(t, "kg").Or(0)), Ml: num.Draw(t, "ml"), Measure: text.Draw(t, "measure"),
			Measures: num.Draw(t, "measures"), Weigh: rapid.Bool().Draw(t, "weigh"), From: yard.Weekday(rapid.IntRange(0, 6).Draw(t, "from")), Changed: rapid.Bool().Draw(t, "changed")}
	})
	finding := rapid.Custom(func(t *rapid.T) yard.Finding {
		return yard.Finding{Rule: "x", Severity: yard.Warn, Message: text.Draw(t, "message"), Source: text.Draw(t, "source"), Cell: yard.Cell{Sheet: text.Draw(t, "sheet"), Ref: "A1", Text: text.Draw(t, "text")}}
	})
	horse := rapid.Custom(func(t *rapid.T) yard.HorsePlan {
		h := yard.HorsePlan{
			Horse:    yard.Horse{Name: text.Draw(t, "name"), Score: num.Draw(t, "score")},
			Status:   rapid.SampledFrom([]yard.Status{yard.Carded, yard.Held, yard.NoCard}).Draw(t, "status"),
			WeightKg: num.Draw(t, "weight"), NoCardWhy: rapid.SliceOfN(text, 0, 2).Draw(t, "why"), HeldWhy: rapid.SliceOfN(text, 0, 3).Draw(t, "held"),
			HardFeed: yard.HardFeedDay{Now: num.Draw(t, "now"), Planned: num.Draw(t, "planned"), Target: num.Draw(t, "target"), Card: num.Draw(t, "card")},
			Step:     yard.Step{WarnKg: num.Draw(t, "warn"), StopKg: num.Draw(t, "stop"), PathKg: []float64{num.Draw(t, "path").Or(1)}},
			Energy:   yard.Energy{Need: num.Draw(t, "need"), Supply: num.Draw(t, "supply"), SupplyAtLeast: num.Draw(t, "least").Or(0)},
			Servings: rapid.SliceOfN(serving, 0, 12).Draw(t, "servings"), Cautions: rapid.SliceOfN(text, 0, 3).Draw(t, "cautions"),
			Changes: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) yard.Change {
				return yard.Change{Feed: text.Draw(t, "feed"), FromKg: num.Draw(t, "from"), ToKg: num.Draw(t, "to"), From: 2}
			}), 0, 3).Draw(t, "changes"),
			Nutrients: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) yard.Nutrient {
				return yard.Nutrient{Name: text.Draw(t, "n"), Unit: "g", Need: num.Draw(t, "need"), Supply: num.Draw(t, "supply"), AtLeast: num.Draw(t, "least").Or(0), Limit: num.Draw(t, "limit")}
			}), 0, 3).Draw(t, "nutrients"),
			Findings: rapid.SliceOfN(finding, 0, 2).Draw(t, "findings"),
		}
		if rapid.Bool().Draw(t, "event") {
			at := rapid.IntRange(-300, 1800)
			h.Events = []yard.EventClock{{Day: 4, Start: at.Draw(t, "start"), LastHardFeed: at.Draw(t, "last"), NextHardFeed: at.Draw(t, "next")}}
		}
		for i := range h.Days {
			h.Days[i] = yard.DayPlan{Kind: kind.Draw(t, "kind"), Work: text.Draw(t, "work"), EnergyWork: num.Draw(t, "mcal"), HardFeedKg: num.Draw(t, "hard")}
		}
		return h
	})
	grids := map[int][2]int{1: {1, 1}, 2: {1, 2}, 4: {2, 2}}
	rapid.Check(t, func(t *rapid.T) {
		p := yard.Plan{
			Week: yard.Week{Yard: text.Draw(t, "yard"), Imperial: rapid.Bool().Draw(t, "imperial"),
				Meals:    []yard.Meal{{Name: text.Draw(t, "meal"), Minute: rapid.IntRange(-5, 2000).Draw(t, "minute")}},
				Contacts: []yard.Contact{{Role: text.Draw(t, "role"), Name: text.Draw(t, "who")}}},
			Horses:   rapid.SliceOfN(horse, 1, 3).Draw(t, "horses"),
			Findings: rapid.SliceOfN(finding, 0, 3).Draw(t, "findings"),
			Feeds:    []yard.FeedNeed{{Feed: yard.Feed{Name: text.Draw(t, "feed")}, MeasureKg: num.Draw(t, "measure"), KgWeek: num.Draw(t, "kg").Or(0), Packs: num.Draw(t, "packs"), Unweighed: rapid.Bool().Draw(t, "unweighed")}},
		}
		if rapid.Bool().Draw(t, "dated") {
			p.Week.Beginning = monday
		}
		m := Meta{CardsPerPage: rapid.SampledFrom([]int{1, 2, 4}).Draw(t, "per page"), Edition: rapid.IntRange(0, 3).Draw(t, "edition"),
			Languages: rapid.SampledFrom(tried()).Draw(t, "languages")}
		if m.Edition > 1 {
			names := []string{"", "Old Nick"}
			for _, h := range p.Horses {
				names = append(names, h.Horse.Name)
			}
			m.Changes = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) EditionChange {
				return EditionChange{rapid.SampledFrom(names).Draw(t, "whose"), text.Draw(t, "what changed")}
			}), 0, 8).Draw(t, "what the edition changed")
		}
		if _, err := Files(p, m); err != nil {
			t.Fatal(err)
		}
		m, _ = m.settled(p)
		s, err := sketch("cards", cards, p, boxed(m))
		if err != nil {
			t.Fatal(err)
		}
		first := firstCardPage(s)
		checkBoxes(t, s, first, grids[m.CardsPerPage][0], grids[m.CardsPerPage][1])
		for name, doc := range map[string]func(*sheet) error{"scoops": scoops, "office": office} {
			other, err := sketch(name, doc, p, boxed(m))
			if err != nil {
				t.Fatal(err)
			}
			checkBoxes(t, other, 0, 1, 1)
		}
		var b strings.Builder
		for _, x := range s.d.Boxes {
			if x.Page >= first {
				b.WriteString(x.Text)
			}
		}
		for _, h := range p.Horses {
			if !strings.Contains(unspaced(b.String()), bare(h.Horse.Name)) {
				t.Fatalf("%q is on no card", h.Horse.Name)
			}
		}
	})
}

// BenchmarkFiles draws the whole folder for a yard of 140 horses.
func BenchmarkFiles(b *testing.B) {
	p := fixture()
	one := p.Horses
	for range 19 {
		p.Horses = append(p.Horses, one...)
	}
	b.ReportMetric(float64(len(p.Horses)), "horses")
	for b.Loop() {
		if _, err := Files(p, Meta{}); err != nil {
			b.Fatal(err)
		}
	}
}

// pdf is a document, finished.
func pdf(t testing.TB, s *sheet) []byte {
	t.Helper()
	fonts := draw.ReadFonts()
	if err := fonts.Cut(s.d); err != nil {
		t.Fatal(err)
	}
	if err := s.d.Finish(fonts); err != nil {
		t.Fatal(err)
	}
	return s.out.(*bytes.Buffer).Bytes()
}

// sketch is a document drawn, to be looked at or finished by [pdf].
func sketch(name string, draw func(*sheet) error, p yard.Plan, m Meta) (*sheet, error) {
	return drawn(name, draw, p, m, new(bytes.Buffer))
}

// textOf is the text of one document of a plan.
func textOf(t testing.TB, doc func(*sheet) error, p yard.Plan, perPage int) string {
	t.Helper()
	s, err := sketch("a document", doc, p, Meta{keepBoxes: true, CardsPerPage: perPage, Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(pages(t, pdf(t, s)), "")
}

// cardOf is the text of the cards of the plan's i-th horse.
func cardOf(t testing.TB, p yard.Plan, i int) string {
	t.Helper()
	p.Horses = p.Horses[i : i+1]
	text := textOf(t, cards, p, 1)
	return text[strings.Index(text, "NOTAFTER"):]
}

// whoOf is the text of the first pages, who gets what.
func whoOf(t testing.TB, p yard.Plan) string {
	t.Helper()
	text := textOf(t, cards, p, 2)
	return text[:strings.Index(text, "NOTAFTER")]
}

func TestHardFeedNotCutOnDaysOffIsOneColumn(t *testing.T) {
	servingTable := func(p yard.Plan) string {
		text := textOf(t, office, p, 2)
		return text[strings.Index(text, "MealFeed"):]
	}
	has := func(where, text string, want bool, words ...string) {
		t.Helper()
		for _, w := range words {
			if strings.Contains(text, bare(w)) != want {
				t.Errorf("%s: %q stands there: %v, want %v, in\n%s", where, w, !want, want, text)
			}
		}
	}
	p := onlyHorse(fixture(), 0, yard.Carded)
	h := &p.Horses[0]
	h.Servings = slices.DeleteFunc(h.Servings, func(s yard.Serving) bool { return s.Day == yard.RestDay })

	// Rest days without servings are no order to feed nothing.
	has("card", cardOf(t, p, 0), true, "WORK DAY", "REST DAY", "not said: ask")
	has("card", cardOf(t, p, 0), false, "none")
	has("who gets what", whoOf(t, p), true, "REST Wed, Sun: not said: ask")
	has("office", servingTable(p), true, "not said: ask")

	h.RestAsWork = true
	has("card", cardOf(t, p, 0), true, "EVERY DAY Mon–Sun, days off too", "from Thu")
	has("card", cardOf(t, p, 0), false, "WORK DAY", "REST DAY", "none", "BUT THE EVENT")
	has("who gets what", whoOf(t, p), false, "REST Wed", "not said")
	has("office", servingTable(p), true, "every day")
	has("office", servingTable(p), false, "rest day: ", "not said")

	h.Days[5].Kind = yard.EventDay
	h.Servings = append(h.Servings, scoopsOf(yard.EventDay, "Breakfast", "Chaff", 0.25, 0.2, 0), scoopsOf(yard.RestDay, "Breakfast", "Chaff", 1, 0.2, 0))
	has("card", cardOf(t, p, 0), true, "EVERY DAY BUT THE EVENT", "Mon–Fri, Sun, days off too", "EVENT DAY")
	has("who gets what", whoOf(t, p), true, "EVENT Sat:", "no Conditioning cubes")
	b, err := JSON(p, Meta{})
	if err != nil || !strings.Contains(string(b), `"day": "rest"`) {
		t.Errorf("the record lost its rest rows: %v", err)
	}
}

func TestMeasuresNobodyHasWeighedSaySo(t *testing.T) {
	p := fixture()
	for i, want := range map[int]int{0: 0, 1: 7} { // Quillfeather: oats three times on a work day, twice at rest and at the show
		if got := strings.Count(cardOf(t, p, i), "UNWEIGHED"); got != want {
			t.Errorf("%s: the card says UNWEIGHED %d times, want %d", p.Horses[i].Horse.Name, got, want)
		}
	}
	if got := strings.Count(whoOf(t, p), "UNWEIGHED"); got != 1 {
		t.Errorf("who gets what explains its mark %d times", got)
	}
	if who := whoOf(t, p); !strings.Contains(who, bare("U 2½ scoops Oats")) {
		t.Errorf("no mark at the oats in\n%s", who)
	}
	if text := textOf(t, office, onlyHorse(fixture(), 1, yard.Held), 2); !strings.Contains(text, bare("2½ scoops, 1 kg, UNWEIGHED")) {
		t.Error("the office sheet's serving table does not say it")
	}
	b, err := JSON(p, Meta{})
	if err != nil {
		t.Fatal(err)
	}
	var r record
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	for i, h := range r.Horses {
		for j, q := range h.Ration {
			s := p.Horses[i].Servings[j]
			if want := (s.Feed == "Oats" || s.Feed == "Balancer") && !s.Weigh && s.Kg > 0; q.Unweighed != want {
				t.Errorf("%s, %+v: unweighed is %v in the record", h.Name, s, q.Unweighed)
			}
		}
	}
}

// A day belongs to one column: a stage's label names only that column's days.
func TestStagesNameOnlyTheirOwnDays(t *testing.T) {
	for _, c := range []struct {
		why    string
		days   string // w, r, e from Monday
		from   []yard.Weekday
		work   string
		rest   string
		asWork bool
	}{
		{"one stage", "wwwwwww", []yard.Weekday{0}, "1", "1", false},
		{"Monday off", "rwwwwww", []yard.Weekday{0, 2}, "Tue 1 | from Wed 2", "1", false},
		{"the first stage has no work day in it", "rwwwwww", []yard.Weekday{0, 1}, "2", "1", false},
		{"a day off in the middle", "wwrwwww", []yard.Weekday{0, 3}, "Mon, Tue 1 | from Thu 2", "1", false},
		{"rest in both stages", "rwwwwwr", []yard.Weekday{0, 4}, "Tue–Thu 1 | from Fri 2", "Mon 1 | Sun 2", false},
		{"a show at the end; no day off, so its column is laid out whole", "wwwwwwe", []yard.Weekday{0, 6}, "1", "Mon–Sat 1 | Sun 2", false},
		{"one day of the last stage is left", "wwwwwrr", []yard.Weekday{0, 4}, "Mon–Thu 1 | Fri 2", "2", false},
		{"none before the first", "rwwwwww", []yard.Weekday{3}, "Tue, Wed none | from Thu 1", "none", false},
		{"days off fed as days of work", "rwwwwwr", []yard.Weekday{0, 4}, "Mon–Thu 1 | from Fri 2", "", true},
	} {
		h := yard.HorsePlan{RestAsWork: c.asWork}
		for i := range h.Days {
			h.Days[i].Kind = map[byte]yard.DayKind{'w': yard.WorkDay, 'r': yard.RestDay, 'e': yard.EventDay}[c.days[i]]
		}
		for i, from := range c.from {
			for _, k := range []yard.DayKind{yard.WorkDay, yard.RestDay} {
				h.Servings = append(h.Servings, sv{Day: k, Meal: "Tea", Feed: "Hay", Class: yard.Forage, Kg: yard.KgFed(i + 1), From: from})
			}
		}
		s := newSheet(yard.Plan{Week: yard.Week{Beginning: monday}}, Meta{})
		got := map[yard.DayKind]string{}
		for _, col := range dayColumns(h) {
			var parts []string
			for _, st := range s.stages(col, mealsOf(s.p.Week, h)[0].feeds[0].on(col.kind)) {
				n := st.amount.number
				parts = append(parts, strings.ReplaceAll(join(" ", s.main.days(s.p.Week, st), n), nb, " "))
			}
			got[col.kind] = strings.Join(parts, " | ")
		}
		if got[yard.WorkDay] != c.work || got[yard.RestDay] != c.rest {
			t.Errorf("%s (%s): work %q, rest %q; want %q, %q", c.why, c.days, got[yard.WorkDay], got[yard.RestDay], c.work, c.rest)
		}
	}
}

// What stands under a meal is what its lines come to, added up here straight
// from the plan.
func TestTotalsOfAMealAddUp(t *testing.T) {
	p := fixture()
	s := newSheet(p, Meta{})
	meals, rest := s.yardMeals()
	if rest != nil {
		meals = append(meals, *rest)
	}
	for _, m := range meals {
		want := map[string]float64{}
		for _, h := range p.Horses {
			day := slices.IndexFunc(h.Days[:], func(d yard.DayPlan) bool { return d.Kind == yard.WorkDay })
			for _, v := range h.Servings {
				later := slices.ContainsFunc(h.Servings, func(o yard.Serving) bool {
					return o.Day == v.Day && o.Meal == v.Meal && o.Feed == v.Feed && o.From > v.From && int(o.From) <= day
				})
				if v.Day == yard.WorkDay && strings.EqualFold(cmp.Or(v.Meal, allDay), m.name) && int(v.From) <= day && !later && !v.AdLib && !v.Ml.IsKnown() {
					want[v.Feed] += float64(v.Kg)
				}
			}
		}
		sums, without := s.sums(m)
		for _, x := range sums {
			if math.Abs(x.kg-want[x.feed]) > 1e-9 {
				t.Errorf("%s, %s: %v kg, the plan comes to %v", m.name, x.feed, x.kg, want[x.feed])
			}
			delete(want, x.feed)
		}
		if len(want) > 0 {
			t.Errorf("%s: left out: %v", m.name, want)
		}
		if !slices.Equal(without, []string{"Old Tom"}) {
			t.Errorf("%s: left out and named: %q", m.name, without)
		}
	}
	who := whoOf(t, p)
	for _, w := range []string{
		"All together, a work day at the week's start, without Old Tom:",
		"Meadow hay 9.75 kg",                    // 3.5 + 4 + 2.25
		"Conditioning cubes 1½ scoops, 0.69 kg", // 1 of half a kilo and ½ of 0.37 from the third day
		"Linseed oil 50 ml", "Salt 25 g",
	} {
		if !strings.Contains(who, bare(w)) {
			t.Errorf("%q is not in\n%s", w, who)
		}
	}
	// What is fed all day is added up where it is more than one horse's.
	for _, horses := range []int{1, 2} {
		said := strings.Contains(whoOf(t, p), bare(fmt.Sprintf("Haylage ad lib for %d horse", horses)))
		if said != (horses > 1) {
			t.Errorf("haylage of %d horses is added up: %v", horses, said)
		}
		p.Horses = append(p.Horses, p.Horses[4])
	}
}

// A meal of eighteen ordinary horses is a page to carry along.
func TestWhoGetsWhatIsAPageAMeal(t *testing.T) {
	p := fixture()
	plain := p.Horses[0]
	p.Horses = nil
	for range 18 {
		p.Horses = append(p.Horses, plain)
	}
	s, err := sketch("cards", cards, p, Meta{keepBoxes: true, CardsPerPage: 2, Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	on := map[string]int{}
	first := firstCardPage(s)
	for _, b := range s.d.Boxes {
		if b.Page >= first {
			continue
		}
		on[b.Text] = max(on[b.Text], b.Page)
		if c := b.Cap; regexp.MustCompile(`^\d*[¼½¾]?\x{a0}(scoops?|kg)`).MatchString(b.Text) && c < 3-0.01 || b.Text == "Bramble" && c < 3.4-0.01 {
			t.Errorf("%q is %.2f mm high", b.Text, c)
		}
	}
	if first > 4 || on["Breakfast  06:30"] == 0 {
		t.Errorf("two meals of 18 horses take %d pages", first-1)
	}
}

// The office sheet of an ordinary horse can be handed to its vet as one page:
// three meals, an amount that climbs, rest and event days, all nutrients of
// NRC 2007 and a few findings.
func TestAnOrdinaryHorseIsOnePageOfTheOfficeSheet(t *testing.T) {
	for _, c := range []struct {
		paper string
		past  bool // its past weeks are drawn too, 17 mm
		more  int  // findings
	}{{"A4", false, 2}, {"Letter", false, 1}, {"A4", true, 1}, {"Letter", true, 0}} { // Letter is 18 mm shorter
		paper, more := c.paper, c.more
		p := onlyHorse(fixture(), 1, yard.Held)
		if !c.past {
			p.Horses[0].Horse.Past = nil
		}
		h := &p.Horses[0]
		h.Servings, h.Nutrients = nil, nil
		for _, k := range []yard.DayKind{yard.WorkDay, yard.RestDay, yard.EventDay} {
			for _, m := range []string{"Breakfast", "Lunch", "Tea"} {
				h.Servings = append(h.Servings, hay(k, m, 3), scoopsOf(k, m, "Oats", 1, 0.4, 0), scoopsOf(k, m, "Chaff", 1, 0.2, 0), scoopsOf(k, m, "Conditioning cubes", 0.5, 0.5, 0))
			}
			h.Servings = append(h.Servings, sv{Day: k, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.03})
		}
		for i := range 3 {
			h.Servings = append(h.Servings, scoopsOf(yard.WorkDay, "Tea", "Oats", 1.25+float64(i)/4, 0.4, yard.Weekday(i+1)))
		}
		for _, u := range []string{"g", "mg"} {
			for i := range 10 {
				h.Nutrients = append(h.Nutrients, yard.Nutrient{Name: fmt.Sprint("mineral ", i), Unit: u, Need: n(12345), AtLeast: 9876})
			}
		}
		for range more {
			h.Findings = append(h.Findings, h.Findings[0])
		}
		s, err := sketch("office", office, p, Meta{keepBoxes: true, Paper: paper})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range s.d.Boxes {
			if b.Text == "Order list" && b.Page != 3 {
				t.Errorf("%+v: the order list stands on page %d: the horse's block takes %d", c, b.Page, b.Page-2)
			}
		}
	}
}

// The clock of an event day: the hours without hard feed, the start, and what is
// fed at each meal of that kind of day.
func TestAnEventDayByTheClock(t *testing.T) {
	for _, c := range []struct {
		why   string
		clock yard.EventClock
		want  []string
	}{
		{"a morning", yard.EventClock{Day: 5, Start: 600, End: 690, LastHardFeed: 360, NextHardFeed: 750}, []string{
			"Event on Sat 5 Dec", "last hard feed by 06:00", "start 10:00", "hard feed again from 12:30", "Breakfast 06:30: Meadow hay 1 kg, Oats 1 scoop", "Tea 17:30: Oats 1½ scoops, Meadow hay 6 kg", "Lunch 12:30: nothing", "nothing heavy for an hour after the end"}},
		{"before four in the morning", yard.EventClock{Day: 5, Start: 180, End: 180, LastHardFeed: -60, NextHardFeed: 240}, []string{"start 03:00", "hard feed again from 04:00", "how long it lasts is not written"}},
		{"late at night", yard.EventClock{Day: 5, Start: 1400, End: 1430, LastHardFeed: 1160, NextHardFeed: 1490}, []string{"start 23:20", "hard feed again from the day after"}},
	} {
		p := onlyHorse(fixture(), 1, yard.Held)
		c.clock.Source = "a source"
		p.Horses[0].Events = []yard.EventClock{c.clock}
		s, err := sketch("office.pdf", office, p, boxed(Meta{Paper: "A4"}))
		if err != nil {
			t.Fatal(err)
		}
		checkBoxes(t, s, 0, 1, 1)
		text := strings.Join(pages(t, pdf(t, s)), "")
		for _, w := range append(c.want, "water always", "hours from a source") {
			if !strings.Contains(text, bare(w)) {
				t.Errorf("%s: %q is missing", c.why, w)
			}
		}
	}
}

func TestSentencesStartWithACapitalOnPaperOnly(t *testing.T) {
	p := fixture()
	p.Horses[1].HeldWhy = []string{"planned hard feed climbs"}
	p.Horses[1].Findings[0].Message, p.Findings[0].Message = "éclair climbs", "éclair climbs"
	fs := files(t, p, Meta{})
	for name, want := range map[string][]string{"cards.pdf": {"Planned hard feed climbs"}, "office.pdf": {"Planned hard feed climbs", "Éclair climbs"}} {
		text := strings.Join(pages(t, named(t, fs, name)), "")
		for _, w := range want {
			if !strings.Contains(text, bare(w)) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
	}
	if b := string(named(t, fs, "results.json")); strings.Contains(b, "Planned hard") || !strings.Contains(b, "éclair climbs") {
		t.Error("the record was changed")
	}
	if got := whose(yard.Finding{Rule: "D-02", Source: "D-02 of the table"}); got != "D-02 of the table" {
		t.Errorf("the rule is said twice: %q", got)
	}
}

// The line of changes is read at arm's length, the day of a change stands out,
// and what nobody knows is said once.
func TestChangesAreReadAtArmsLength(t *testing.T) {
	for _, per := range []int{1, 2, 4} {
		p := onlyHorse(fixture(), 0, yard.Carded)
		p.Horses[0].Changes = append(p.Horses[0].Changes,
			yard.Change{Feed: "Oats", ToKg: n(1), From: 0}, yard.Change{Feed: "Meadow hay", ToKg: n(8.5), From: 0}, yard.Change{Feed: "Chaff", From: 2})
		s, err := sketch("cards", cards, p, Meta{keepBoxes: true, CardsPerPage: per, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		text, said := "", 0
		for _, b := range s.d.Boxes {
			if b.Page < firstCardPage(s) {
				continue
			}
			text += b.Text + " "
			words := strings.TrimSpace(b.Text)
			if !regexp.MustCompile(`was 1½|^from\x{a0}Thu\x{a0}3|last week of these|^From\x{a0}`).MatchString(words) {
				continue
			}
			said++
			if c := b.Cap; c < 2.6-0.01 {
				t.Errorf("%d a page: %q is %.2f mm high", per, b.Text, c)
			}
			bold := s.d.Width(draw.Bold, b.Cap, b.Text)
			if dated := strings.HasPrefix(strings.ToLower(words), "from"); dated != (math.Abs(b.W-bold) < 1e-6) {
				t.Errorf("%d a page: %q is bold: %v", per, b.Text, !dated)
			}
		}
		if said < 5 {
			t.Errorf("%d a page: only %d pieces of the changes were found in %q", per, said, text)
		}
		text = unspaced(text)
		if strings.Count(text, bare("is not known.")) != 1 {
			t.Errorf("%d a page: what is not known is not said once:\n%s", per, text)
		}
		for _, w := range []string{
			"What was fed last week of these is not known. From Mon 30 Nov: Oats 2½ scoops (1 kg) a day; Meadow hay 8.5 kg a day. From Wed 2 Dec: Chaff amount not known, ask.",
		} {
			if !strings.Contains(text, bare(w)) {
				t.Errorf("%d a page: %q is not on the card:\n%s", per, w, text)
			}
		}
	}
}
