package report

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/pdftest"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// TestMain collects garbage seldom, and draws fewer plans by chance than rapid would,
// fewer still under the race detector; the flag -rapid.checks has the last word.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	checks := "25"
	if reporttest.Raced {
		checks = "10"
	}
	if err := flag.Set("rapid.checks", checks); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

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

func files(t testing.TB, p yard.Plan, m words.Meta) []File {
	t.Helper()
	fs, err := Files(p, m)
	if err != nil {
		t.Fatal(err)
	}
	return fs
}

// The program says what was compared; it never calls a ration safe.
func TestTheWordSafeIsNeverPrinted(t *testing.T) {
	for _, f := range files(t, reporttest.Fixture(), words.Meta{}) {
		text := string(f.Bytes)
		if strings.HasSuffix(f.Name, ".pdf") {
			text = strings.Join(reporttest.Pages(t, f.Bytes), "")
		}
		if strings.Contains(strings.ToLower(text), "safe") {
			t.Errorf("%s prints it", f.Name)
		}
	}
}

func TestScoopSheet(t *testing.T) {
	text := strings.Join(reporttest.Pages(t, named(t, files(t, reporttest.Fixture(), words.Meta{}), "scoops.pdf")), "")
	for _, w := range []string{
		"¼ ½ ¾ 1 1½ 2", "Weighed on Sat 21 Nov 2026", "125 g 250 g 375 g 500 g 750 g 1 kg",
		"UNWEIGHED", "From a book, not weighed here", "100 g 200 g 300 g 400 g 600 g 800 g", "Nobody knows what one weighs", "? ? ? ? ? ?", "Initials",
	} {
		if !strings.Contains(text, reporttest.Bare(w)) {
			t.Errorf("%q is missing from\n%s", w, text)
		}
	}
	if strings.Contains(text, "Meadow") {
		t.Error("hay has no scoop, but is on the sheet")
	}
}

// Another reader than ours is satisfied with the files' inner order.
func TestEveryFileIsSound(t *testing.T) {
	for _, per := range []int{1, 2, 4} {
		for _, f := range files(t, reporttest.Fixture(), words.Meta{CardsPerPage: per}) {
			if strings.HasSuffix(f.Name, ".pdf") {
				pdftest.Check(t, f.Bytes)
			}
		}
	}
}

// Every file of a finished folder is made, by the row that names it, and has in it what
// a reader opens it for: each horse by name, and nobody else's file under its name.
func TestEveryFileHasWhatItShould(t *testing.T) {
	p := reporttest.Fixture()
	all := files(t, p, words.Meta{Version: "1", Season: true})
	if len(all) != len(outputs()) {
		t.Fatalf("%d files were made of %d", len(all), len(outputs()))
	}
	var plain []string
	for _, f := range files(t, p, words.Meta{Version: "1"}) {
		plain = append(plain, f.Name)
	}
	if slices.Contains(plain, SeasonName) || len(plain) != len(all)-1 || !slices.Equal(plain, NamesFor(words.Meta{})) {
		t.Errorf("where no season is asked for, the files are %v", plain)
	}
	for i, f := range all {
		if f.Name != outputs()[i].name || slices.Index(Names(), f.Name) != i {
			t.Errorf("file %d is %s, its row is %s", i, f.Name, outputs()[i].name)
		}
		var text string
		begins := map[string]string{".pdf": "%PDF-", ".xlsx": "PK\x03\x04", ".json": "{\n", ".html": "<!DOCTYPE html>"}[filepath.Ext(f.Name)]
		if begins == "" || !strings.HasPrefix(string(f.Bytes), begins) {
			t.Errorf("%s, %d bytes, is not what its name says", f.Name, len(f.Bytes))
			continue
		}
		switch filepath.Ext(f.Name) {
		case ".pdf":
			text = strings.Join(reporttest.Pages(t, f.Bytes), "")
		case ".xlsx":
			book := reporttest.Opened(t, f.Bytes)
			for _, sheet := range book.GetSheetList() {
				rows, err := book.GetRows(sheet)
				if err != nil || len(rows) < 2 {
					t.Errorf("%s: the sheet %s has %d rows (%v)", f.Name, sheet, len(rows), err)
				}
				for _, r := range rows {
					text += strings.Join(r, " ")
				}
			}
		default:
			text = string(f.Bytes)
		}
		text = reporttest.Unspaced(text)
		if f.Name == "scoops.pdf" { // knows feeds only
			for _, n := range p.Feeds {
				if n.MeasureKg.IsKnown() && !strings.Contains(text, reporttest.Bare(n.Feed.Name)) {
					t.Errorf("%s lacks %s", f.Name, n.Feed.Name)
				}
			}
			continue
		}
		for _, h := range p.Horses {
			if name := h.Horse.Name; !strings.Contains(text, reporttest.Bare(name)) && !strings.Contains(text, reporttest.Unspaced(name)) {
				t.Errorf("%s lacks %s", f.Name, name)
			}
		}
	}
	// No two rows begin at once, or the order of work is chance.
	turns := map[int]bool{}
	for _, o := range outputs() {
		if turns[o.turn] || (o.Document == nil) == (o.write == nil) {
			t.Errorf("the row of %s", o.name)
		}
		turns[o.turn] = true
	}
}

// Every font is embedded, as a subset, with its letters to be read back.
func TestFontsAreEmbeddedSubsets(t *testing.T) {
	for _, f := range files(t, reporttest.Fixture(), words.Meta{}) {
		if !strings.HasSuffix(f.Name, ".pdf") {
			continue
		}
		fonts := pdftest.Fonts(t, f.Bytes)
		if len(fonts) != 2 {
			t.Errorf("%s: %d fonts: %+v", f.Name, len(fonts), fonts)
		}
		for _, font := range fonts {
			if !regexp.MustCompile(`^[A-Z]{6}\+LiberationSans(-Bold)?$`).MatchString(font.Name) || !font.Embedded || !font.Readable {
				t.Errorf("%s: %+v", f.Name, font)
			}
		}
	}
}

func TestEqualInputGivesEqualBytes(t *testing.T) {
	a, b := files(t, reporttest.Fixture(), words.Meta{}), files(t, reporttest.Fixture(), words.Meta{})
	for i := range a {
		if !bytes.Equal(a[i].Bytes, b[i].Bytes) {
			t.Errorf("%s differs between two runs", a[i].Name)
		}
	}
	p := reporttest.Fixture()
	p.Week.Beginning = p.Week.Beginning.AddDate(0, 0, 7)
	if c := files(t, p, words.Meta{}); bytes.Equal(a[0].Bytes, c[0].Bytes) {
		t.Error("another week gives the same cards")
	}
}

func TestFilesLeavesThePlanAlone(t *testing.T) {
	p := reporttest.Fixture()
	files(t, p, words.Meta{})
	if !reflect.DeepEqual(p, reporttest.Fixture()) {
		t.Error("the plan was changed")
	}
}

func TestBadSettingsAreErrors(t *testing.T) {
	for _, m := range []words.Meta{{CardsPerPage: 3}, {Paper: "A5"}, {Languages: []string{"xx"}}, {Languages: []string{"en", "de", "fr"}}} {
		if _, err := Files(reporttest.Fixture(), m); err == nil {
			t.Errorf("%+v was taken", m)
		}
	}
}

// A fault while drawing ends as an error that names the horse.
func TestAPanicNamesTheHorse(t *testing.T) {
	_, err := reporttest.Sketch("cards.pdf", drawnBy(func(d *draw.Doc) error { d.Drawing = "Bramble"; panic("no such glyph") }), reporttest.Fixture(), words.Meta{Paper: "A4"})
	if err == nil || !strings.Contains(err.Error(), "Bramble") || !strings.Contains(err.Error(), "cards.pdf") {
		t.Error(err)
	}
	_, err = reporttest.Sketch("cards.pdf", drawnBy(func(*draw.Doc) error { return errors.New("full") }), reporttest.Fixture(), words.Meta{Paper: "A4"})
	if err == nil {
		t.Error("an error was lost")
	}
}

// BenchmarkFiles draws the whole folder for a yard of 140 horses.
func BenchmarkFiles(b *testing.B) {
	p := reporttest.Fixture()
	one := p.Horses
	for range 19 {
		p.Horses = append(p.Horses, one...)
	}
	b.ReportMetric(float64(len(p.Horses)), "horses")
	for b.Loop() {
		if _, err := Files(p, words.Meta{}); err != nil {
			b.Fatal(err)
		}
	}
}

// drawnBy is a document with no more on it than f draws.
func drawnBy(f func(*draw.Doc) error) *flow.Document {
	doc := *wall.Cards()
	doc.Draw = func(_ *words.Sheet, d *draw.Doc) error { return f(d) }
	return &doc
}
