package pdftest

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/jung-kurt/gofpdf"
)

// sample is a document with pages, letters of several scripts, and text
// beside text.
func sample(t testing.TB) []byte {
	t.Helper()
	p := gofpdf.New("P", "mm", "A4", "")
	p.SetTitle("Pine Yard", true)
	p.AddUTF8FontFromBytes("go", "", slices.Clone(liberationsansregular.TTF))
	for _, lines := range [][]string{{"Żaba 1 Привет ½", "second line – 2,25 kg"}, {"page two"}} {
		p.AddPage()
		for i, l := range lines {
			p.SetFont("go", "", 12)
			p.Text(20, 30+20*float64(i), l)
			p.SetFont("go", "", 8)
			p.Text(120, 30+20*float64(i), "beside")
		}
	}
	var out bytes.Buffer
	if err := p.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestReadsWhatWasDrawn(t *testing.T) {
	file := sample(t)
	pages := Pages(t, file)
	if want := []string{"Żaba 1 Привет ½   beside\nsecond line – 2,25 kg   beside", "page two   beside"}; !slices.Equal(pages, want) {
		t.Errorf("read %q, want %q", pages, want)
	}
	if got := Layout(t, file); strings.Count(got, "\f") != 2 || !strings.HasPrefix(got, "Żaba 1 Привет ½   beside\nsecond line") {
		t.Errorf("laid out: %q", got)
	}
	if got := Property(t, file, "Title"); got != "Pine Yard" {
		t.Errorf("the title is %q", got)
	}
	if got := Contents(t, file); len(got) != 2 || !strings.Contains(got[0], " Tj") {
		t.Errorf("contents: %q", got)
	}
	if got := Paper(t, file); len(got) != 2 || got[0] != [2]int{210, 297} { // ISO 216
		t.Errorf("the paper is %v", got)
	}
	Check(t, file)
	r := Runs(t, file)[0][0]
	// 20 mm from the left and 30 mm down an A4 page, in points.
	if near := func(a, b float64) bool { return a-b < 0.1 && b-a < 0.1 }; !near(r.X, 20*72/25.4) || !near(r.Y, (297-30)*72/25.4) || !near(r.Size, 12) || r.Width < 60 || r.Width > 120 {
		t.Errorf("the first piece stands at %+v", r)
	}
}

// quietT takes what a check has to say.
type quietT struct {
	testing.TB
	failed bool
}

func (q *quietT) Helper()               {}
func (q *quietT) Errorf(string, ...any) { q.failed = true }

// A file that is damaged must be found out, or the check is none.
func TestCheckFindsDamage(t *testing.T) {
	file := sample(t)
	end := bytes.LastIndex(file, []byte("startxref"))
	for name, bad := range map[string][]byte{
		"cut short":                 file[:len(file)/2],
		"a table that is not there": append(slices.Clone(file[:end]), "startxref\n17\n%%EOF\n"...),
		"no table":                  bytes.Replace(file, []byte("startxref"), []byte("startxxxx"), 1),
		"a page of another type":    bytes.Replace(file, []byte("/Type /Page\n"), []byte("/Type /Pag \n"), 1),
		"a byte more in the middle": append(append(slices.Clone(file[:len(file)/2]), ' '), file[len(file)/2:]...),
	} {
		if bytes.Equal(bad, file) {
			t.Fatalf("%s: nothing was damaged", name)
		}
		q := &quietT{TB: t}
		Check(q, bad)
		if !q.failed {
			t.Errorf("%s: it is said to be sound", name)
		}
	}
}
