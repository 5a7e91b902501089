// Package pdftest reads PDFs back for tests, by libraries in Go, so that the tests need
// nothing but Go: text and where it stands, properties, page contents, and whether the
// file is sound. What is read is held against other programs' reading
// with the flag -pdftools, for whatever the tests of any package read.
package pdftest

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"github.com/ledongthuc/pdf"
	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// Run is a piece of text as it was drawn: where its baseline begins and how long it is,
// in points from the page's lower left.
type Run struct {
	X, Y, Width, Size float64
	Text              string
}

// Runs are the pieces of text of each page, in the order they were drawn.
func Runs(t testing.TB, file []byte) [][]Run {
	t.Helper()
	r := open(t, file)
	var pages [][]Run
	for i := range r.NumPage() {
		pages = append(pages, runsOf(t, r.Page(i+1).V))
	}
	return pages
}

// Pages is the text of each page in the order it was drawn, a line for each new
// baseline.
func Pages(t testing.TB, file []byte) []string {
	t.Helper()
	var pages []string
	for _, runs := range Runs(t, file) {
		pages = append(pages, joined(runs))
	}
	if *tools {
		secondReading(t, file, pages)
	}
	return pages
}

// Layout is the text as it is on the pages: what is on one baseline is on one line,
// from left to right, with the lines from the top down. A form feed ends each page.
func Layout(t testing.TB, file []byte) string {
	t.Helper()
	var all strings.Builder
	for _, runs := range Runs(t, file) {
		slices.SortStableFunc(runs, func(a, b Run) int { return cmp.Compare(b.Y, a.Y) })
		for i := 0; i < len(runs); {
			n := i + 1
			for n < len(runs) && runs[i].Y-runs[n].Y < 0.2*max(runs[i].Size, runs[n].Size) {
				n++
			}
			line := runs[i:n]
			slices.SortStableFunc(line, func(a, b Run) int { return cmp.Compare(a.X, b.X) })
			for j := range line {
				line[j].Y = line[0].Y
			}
			all.WriteString(joined(line) + "\n")
			i = n
		}
		all.WriteByte('\f')
	}
	return all.String()
}

// joined puts pieces together: with a blank where there is room for one between them.
func joined(runs []Run) string {
	var b strings.Builder
	for i, r := range runs {
		if i > 0 {
			last := runs[i-1]
			gap := r.X - last.X - last.Width
			switch {
			case math.Abs(r.Y-last.Y) > 0.2*max(r.Size, last.Size):
				b.WriteByte('\n')
			case gap > 2*max(r.Size, last.Size):
				b.WriteString("   ")
			case gap > 0.1*min(r.Size, last.Size) || gap < -0.1*r.Size:
				b.WriteByte(' ')
			}
		}
		b.WriteString(strings.ReplaceAll(r.Text, "\u00a0", " ")) // on paper a blank is a blank
	}
	return b.String()
}

// Font is a font as the file has it.
type Font struct {
	Name     string // a subset's begins with six letters and a plus sign (ISO 32000-1 §9.6.4)
	Embedded bool
	Readable bool // it says which letters its codes stand for
}

// Fonts are the fonts of all pages, in order of names.
func Fonts(t testing.TB, file []byte) []Font {
	t.Helper()
	r := open(t, file)
	var all []Font
	for i := range r.NumPage() {
		fonts := resourcesOf(r.Page(i + 1).V).Key("Font")
		for _, name := range fonts.Keys() {
			v := fonts.Key(name)
			down := v.Key("DescendantFonts").Index(0)
			f := Font{v.Key("BaseFont").Name(), !down.Key("FontDescriptor").Key("FontFile2").IsNull(), !v.Key("ToUnicode").IsNull()}
			if !slices.Contains(all, f) {
				all = append(all, f)
			}
		}
	}
	slices.SortFunc(all, func(a, b Font) int { return cmp.Compare(a.Name, b.Name) })
	if *tools {
		secondFonts(t, file, all)
	}
	return all
}

// resourcesOf are a page's, or those it has from above (§7.7.3.4).
func resourcesOf(page pdf.Value) pdf.Value { return inherited(page, "Resources") }

func inherited(page pdf.Value, key string) pdf.Value {
	for v := page; !v.IsNull(); v = v.Key("Parent") {
		if r := v.Key(key); !r.IsNull() {
			return r
		}
	}
	return pdf.Value{}
}

// Paper is the size of each page, its short side first, in whole millimetres.
func Paper(t testing.TB, file []byte) (sizes [][2]int) {
	t.Helper()
	r := open(t, file)
	for i := range r.NumPage() {
		box := inherited(r.Page(i+1).V, "MediaBox")
		if box.Len() != 4 {
			t.Fatalf("page %d has no size", i+1)
		}
		mm := func(a, b int) int {
			return int(math.Round((box.Index(b).Float64() - box.Index(a).Float64()) * 25.4 / 72))
		}
		w, h := mm(0, 2), mm(1, 3)
		sizes = append(sizes, [2]int{min(w, h), max(w, h)})
	}
	return sizes
}

// Property is an entry of the document's information, such as Title.
func Property(t testing.TB, file []byte, name string) string {
	t.Helper()
	return open(t, file).Trailer().Key("Info").Key(name).Text()
}

// Contents are the drawing instructions of each page, unpacked.
func Contents(t testing.TB, file []byte) []string {
	t.Helper()
	r := open(t, file)
	var pages []string
	for i := range r.NumPage() {
		pages = append(pages, stream(t, r.Page(i+1).V.Key("Contents")))
	}
	return pages
}

func stream(t testing.TB, v pdf.Value) string {
	t.Helper()
	var b strings.Builder
	parts := []pdf.Value{v}
	if v.Kind() == pdf.Array {
		parts = nil
		for i := range v.Len() {
			parts = append(parts, v.Index(i))
		}
	}
	for _, p := range parts {
		r := p.Reader()
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatalf("a page's contents: %v", err)
		}
		r.Close()
		b.Write(append(data, '\n'))
	}
	return b.String()
}

var quiet = sync.OnceFunc(func() { model.ConfigPath = "disable" }) // no settings file in the home of whoever runs the tests

// Check fails unless the file keeps to ISO 32000 as far as pdfcpu looks, every object is
// where the file's own table says, and every stream can be unpacked.
func Check(t testing.TB, file []byte) {
	t.Helper()
	quiet()
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationStrict
	if err := api.Validate(bytes.NewReader(file), conf); err != nil {
		t.Errorf("the PDF is not sound: %v", err)
	}
	if err := inPlace(file); err != nil {
		t.Errorf("the PDF is not sound: %v", err)
	}
	if *tools {
		secondCheck(t, file)
	}
}

// inPlace reads the table of objects (ISO 32000-1 §7.5.4) and sees that each stands
// where it says; a library that finds a wrong table looks for the objects itself.
func inPlace(file []byte) error {
	i := bytes.LastIndex(file, []byte("startxref"))
	if i < 0 {
		return fmt.Errorf("it does not say where its table of objects is")
	}
	at, err := strconv.Atoi(string(bytes.TrimSpace(bytes.TrimSuffix(bytes.TrimSpace(file[i+len("startxref"):]), []byte("%%EOF")))))
	if err != nil || at < 0 || at >= len(file) || !bytes.HasPrefix(file[at:], []byte("xref\n")) {
		return fmt.Errorf("its table of objects is not where it says")
	}
	lines := strings.Split(string(file[at:i]), "\n")
	var first, n int
	if _, err := fmt.Sscanf(lines[1], "%d %d", &first, &n); err != nil || first != 0 || n < 2 || len(lines) < n+2 {
		return fmt.Errorf("its table of objects cannot be read: %q", lines[1])
	}
	for object := 1; object < n; object++ {
		line := lines[2+object]
		if strings.Contains(line, " f") {
			continue // not in use
		}
		offset, err := strconv.Atoi(line[:min(len(line), 10)])
		if want := fmt.Sprintf("%d 0 obj", object); err != nil || offset >= len(file) || !bytes.HasPrefix(file[offset:], []byte(want)) {
			return fmt.Errorf("object %d is not where the table says: %q", object, line)
		}
	}
	return nil
}

func open(t testing.TB, file []byte) *pdf.Reader {
	t.Helper()
	r, err := pdf.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatalf("the PDF cannot be read: %v", err)
	}
	return r
}

// matrix is a transformation (ISO 32000-1 §8.3.3): a, b, c, d, e, f.
type matrix [6]float64

func (m matrix) times(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[1]*n[2], m[0]*n[1] + m[1]*n[3], m[2]*n[0] + m[3]*n[2], m[2]*n[1] + m[3]*n[3],
		m[4]*n[0] + m[5]*n[2] + n[4], m[4]*n[1] + m[5]*n[3] + n[5],
	}
}

var identity = matrix{1, 0, 0, 1, 0, 0}

// state is what of the graphics state (§8.4, §9.3) matters for text.
type state struct {
	place      matrix
	font       *font
	size       float64
	char, word float64
}

func runsOf(t testing.TB, page pdf.Value) (runs []Run) {
	t.Helper()
	resources := resourcesOf(page)
	fonts := map[string]*font{}
	now := state{place: identity}
	var saved []state
	var at, line matrix
	show := func(pieces ...pdf.Value) {
		if now.font == nil {
			t.Fatal("text is drawn without a font")
		}
		m := at.times(now.place)
		r := Run{X: m[4], Y: m[5], Size: now.size * math.Hypot(m[2], m[3])}
		long := 0.0
		for _, p := range pieces {
			if p.Kind() != pdf.String {
				long -= p.Float64() / 1000 * now.size
				continue
			}
			for _, code := range now.font.codes(p.RawString()) {
				r.Text += now.font.text(code)
				long += now.font.width(code)/1000*now.size + now.char
				if code == ' ' && now.font.single {
					long += now.word
				}
			}
		}
		at = matrix{1, 0, 0, 1, long, 0}.times(at)
		r.Width = long * math.Hypot(m[0], m[1])
		if r.Text != "" {
			runs = append(runs, r)
		}
	}
	pdf.Interpret(page.Key("Contents"), func(stack *pdf.Stack, op string) {
		args := make([]pdf.Value, stack.Len())
		for i := range args {
			args[len(args)-1-i] = stack.Pop()
		}
		numbers := func() (m matrix) {
			for i := range min(len(args), 6) {
				m[i] = args[i].Float64()
			}
			return m
		}
		move := func(x, y float64) {
			line = matrix{1, 0, 0, 1, x, y}.times(line)
			at = line
		}
		switch op {
		case "q":
			saved = append(saved, now)
		case "Q":
			if len(saved) > 0 {
				now, saved = saved[len(saved)-1], saved[:len(saved)-1]
			}
		case "cm":
			now.place = numbers().times(now.place)
		case "BT":
			at, line = identity, identity
		case "Tf":
			name := args[0].Name()
			if fonts[name] == nil {
				fonts[name] = readFont(t, resources.Key("Font").Key(name))
			}
			now.font, now.size = fonts[name], args[1].Float64()
		case "Tc":
			now.char = args[0].Float64()
		case "Tw":
			now.word = args[0].Float64()
		case "Tm":
			line = numbers()
			at = line
		case "Td", "TD":
			move(args[0].Float64(), args[1].Float64())
		case "Tj":
			show(args[0])
		case "TJ":
			var pieces []pdf.Value
			for i := range args[0].Len() {
				pieces = append(pieces, args[0].Index(i))
			}
			show(pieces...)
		case "Do": // a drawing
			if drawn := stream(t, resources.Key("XObject").Key(args[0].Name())); strings.Contains(drawn, "BT") {
				t.Fatal("the page uses text within a drawing, which these tests do not read")
			}
		case "T*", "'", "\"", "TL", "Ts", "Tz", "BDC":
			t.Fatalf("the page uses %s, which these tests do not read", op)
		}
	})
	return runs
}

// font is how the codes of a font's strings are read (§9.6, §9.7, §9.10.3).
type font struct {
	single  bool // one byte a code; else two
	letters map[int]string
	ranges  [][3]int // first, last, and what the first stands for
	widths  map[int]float64
	usual   float64
}

func (f *font) codes(s string) (codes []int) {
	if f.single {
		for i := range len(s) {
			codes = append(codes, int(s[i]))
		}
		return codes
	}
	for i := 0; i+1 < len(s); i += 2 {
		codes = append(codes, int(s[i])<<8|int(s[i+1]))
	}
	return codes
}

// text of a code the font does not map is seen as a mark, so that a test fails.
func (f *font) text(code int) string {
	if s, ok := f.letters[code]; ok {
		return s
	}
	for _, r := range f.ranges {
		if code >= r[0] && code <= r[1] {
			return string(rune(r[2] + code - r[0]))
		}
	}
	return "\ufffd"
}

func (f *font) width(code int) float64 {
	if w, ok := f.widths[code]; ok {
		return w
	}
	return f.usual
}

func readFont(t testing.TB, v pdf.Value) *font {
	t.Helper()
	f := &font{letters: map[int]string{}, widths: map[int]float64{}, usual: 1000}
	down := v.Key("DescendantFonts").Index(0)
	if v.Key("Encoding").Name() != "Identity-H" || down.IsNull() {
		t.Fatalf("the font %s is none of the kind these tests read", v.Key("BaseFont").Name())
	}
	if dw := down.Key("DW"); !dw.IsNull() {
		f.usual = dw.Float64()
	}
	w := down.Key("W")
	for i := 0; i < w.Len(); { // first [w w …], or first last w
		first := int(w.Index(i).Int64())
		if list := w.Index(i + 1); list.Kind() == pdf.Array {
			for j := range list.Len() {
				f.widths[first+j] = list.Index(j).Float64()
			}
			i += 2
			continue
		}
		for code := first; code <= int(w.Index(i+1).Int64()); code++ {
			f.widths[code] = w.Index(i + 2).Float64()
		}
		i += 3
	}
	f.readMap(stream(t, v.Key("ToUnicode")))
	return f
}

var (
	mapped = regexp.MustCompile(`(?s)beginbf(char|range)(.*?)endbf`)
	mapRow = map[string]*regexp.Regexp{
		"char":  regexp.MustCompile(`<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>`),
		"range": regexp.MustCompile(`<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>`),
	}
)

// readMap takes in which letters the codes stand for (§9.10.3). A range that lists its
// letters one by one is of no use to the fonts read here and is left unmapped.
func (f *font) readMap(text string) {
	number := func(hex string) int {
		n, _ := strconv.ParseInt(hex, 16, 32)
		return int(n)
	}
	for _, block := range mapped.FindAllStringSubmatch(text, -1) {
		for _, row := range mapRow[block[1]].FindAllStringSubmatch(block[2], -1) {
			if block[1] == "range" {
				f.ranges = append(f.ranges, [3]int{number(row[1]), number(row[2]), number(row[3])})
				continue
			}
			var units []uint16
			for hex := row[2]; len(hex) >= 4; hex = hex[4:] {
				units = append(units, uint16(number(hex[:4])))
			}
			f.letters[number(row[1])] = string(utf16.Decode(units))
		}
	}
}
