package draw

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/jung-kurt/gofpdf"
	"github.com/klauspost/compress/zlib"
)

// gofpdf writes numbers by fmt, keeps every page of a document uncompressed until
// its end and reads its fonts anew for each document. What the pages show is
// therefore written here (page.go); gofpdf makes a document of one page that
// holds the letters of all documents made together, and its page is replaced by
// ours: the fonts and their subsets, the catalogue and the properties are its work. Text stands
// in the pages as Unicode, so that the subset need not be known before.

// sink takes what gofpdf writes, which is the whole document in one piece,
// without copying it.
type sink struct {
	take func(pdf []byte) error
	err  error
}

func (s *sink) Write(pdf []byte) (int, error) {
	s.err = s.take(pdf)
	return len(pdf), s.err
}

// Fonts are our two fonts for the documents that share them, which is read and cut
// once for them all: for small documents that is half of the work.
type Fonts struct {
	pdf     *gofpdf.Fpdf   // has read them
	objects map[int][]byte // of gofpdf's document once they are cut, by number
	trailer []byte
}

// aTitle is in gofpdf's document for the titles of ours.
const aTitle = "T"

// ReadFonts reads the fonts.
func ReadFonts() *Fonts {
	pdf := gofpdf.New("P", "mm", "A4", "")
	pdf.SetCompression(false)
	pdf.SetCatalogSort(true)
	pdf.SetTitle(aTitle, true)
	// gofpdf appends padding to the slice it is given (a data race when two
	// documents share it), so each gets its own copy.
	pdf.AddUTF8FontFromBytes("sans", "", slices.Clone(liberationsansregular.TTF))
	pdf.AddUTF8FontFromBytes("sans", "B", slices.Clone(liberationsansbold.TTF))
	return &Fonts{pdf: pdf}
}

// Cut cuts the fonts down to the letters of documents on which everything has been
// drawn, all of one author, program and date. Fonts are cut once.
func (f *Fonts) Cut(docs ...*Doc) error {
	author, _ := Printable(docs[0].about.Author)
	f.pdf.SetAuthor(author, true)
	f.pdf.SetProducer(docs[0].about.Producer, true)
	f.pdf.SetCreationDate(docs[0].about.Date)
	f.pdf.SetModificationDate(docs[0].about.Date)
	f.pdf.AddPage()
	for face := range faceNames {
		var letters []rune
		for _, d := range docs {
			letters = append(letters, d.Set.sizes[face].letters()...)
		}
		slices.Sort(letters)
		f.pdf.SetFont("sans", [2]string{"", "B"}[face], 1)
		f.pdf.Text(0, 0, string(slices.Compact(letters)))
	}
	s := &sink{take: func(b []byte) (err error) {
		if f.objects, f.trailer, err = objectsOf(b); err != nil {
			return err
		}
		if last := slices.Max(slices.Collect(maps.Keys(f.objects))); last >= ourObject {
			return fmt.Errorf("the PDF library wrote %d objects where %d were expected", last, ourObject-1)
		}
		return ourFontNames(f.objects)
	}}
	if err := f.pdf.Output(s); err != nil {
		return err
	}
	f.pdf = nil
	return s.err
}

// ourFontNames has the fonts be called in the pages by the names we use there.
func ourFontNames(objects map[int][]byte) error {
	page, err := streamOf(objects[firstPageObject+1])
	if err != nil {
		return err
	}
	for f := range faceNames {
		_, after, _ := bytes.Cut(page, []byte("BT /F"))
		name, rest, ok := bytes.Cut(after, []byte(" 1.00 Tf"))
		if !ok || !bytes.Contains(objects[resourcesObject], slices.Concat([]byte("/F"), name, []byte(" "))) {
			return errors.New("the PDF library wrote a page without fonts")
		}
		objects[resourcesObject] = bytes.Replace(objects[resourcesObject], slices.Concat([]byte("/F"), name, []byte(" ")), []byte(faceNames[f]+" "), 1)
		page = rest
	}
	return nil
}

// In gofpdf's files the tree of pages is object 1, what they use is object 2, and
// then each page has one for itself and one for its content. With one page and two
// fonts there are twenty in all, so that ours have the numbers from there on.
const treeObject, resourcesObject, firstPageObject, ourObject = 1, 2, 3, 21

// objectsOf cuts a file of gofpdf's into its objects, by the file's own table.
func objectsOf(pdf []byte) (objects map[int][]byte, trailer []byte, err error) {
	fault := func(what string) error { return fmt.Errorf("the PDF library wrote %s", what) }
	i := bytes.LastIndex(pdf, []byte("startxref\n"))
	if i < 0 {
		return nil, nil, fault("no table of its objects")
	}
	at, err := strconv.Atoi(string(bytes.TrimSpace(bytes.TrimSuffix(bytes.TrimSpace(pdf[i+len("startxref\n"):]), []byte("%%EOF")))))
	if err != nil || at < 0 || at > len(pdf) {
		return nil, nil, fault("a table of its objects that is nowhere")
	}
	lines := bytes.Split(pdf[at:i], []byte("\n"))
	if len(lines) < 3 || string(lines[0]) != "xref" {
		return nil, nil, fault("a table of its objects that cannot be read")
	}
	type place struct{ number, offset int }
	var places []place
	for n, l := range lines[2:] {
		if string(l) == "trailer" {
			trailer = bytes.Join(lines[2+n:], []byte("\n"))
			break
		}
		if len(l) < 18 || n == 0 {
			continue
		}
		off, err := strconv.Atoi(string(l[:10]))
		if err != nil || off <= 0 || off > at {
			return nil, nil, fault("an object that is nowhere")
		}
		places = append(places, place{n, off})
	}
	slices.SortFunc(places, func(a, b place) int { return a.offset - b.offset })
	objects = map[int][]byte{}
	for k, p := range places {
		end := at
		if k+1 < len(places) {
			end = places[k+1].offset
		}
		o := pdf[p.offset:end]
		head := []byte(strconv.Itoa(p.number) + " 0 obj\n")
		if !bytes.HasPrefix(o, head) {
			return nil, nil, fault(fmt.Sprintf("something else in the place of object %d", p.number))
		}
		objects[p.number] = o[len(head):]
	}
	if trailer == nil {
		return nil, nil, fault("no trailer")
	}
	return objects, trailer, nil
}

// streamOf is the uncompressed stream of an object.
func streamOf(object []byte) ([]byte, error) {
	dict, rest, ok := bytes.Cut(object, []byte("\nstream\n"))
	text, ok2 := bytes.CutPrefix(dict, []byte("<</Length "))
	n, err := strconv.Atoi(string(bytes.TrimSuffix(text, []byte(">>"))))
	if !ok || !ok2 || err != nil || n > len(rest) {
		return nil, errors.New("the PDF library wrote a page without content")
	}
	return rest[:n], nil
}

// packer compresses pages one after the other.
type packer struct {
	zip *zlib.Writer
	out bytes.Buffer
}

var packers = sync.Pool{New: func() any {
	p := new(packer)
	var err error
	if p.zip, err = zlib.NewWriterLevel(&p.out, zlib.BestSpeed); err != nil {
		panic(err) // only for a level that does not exist
	}
	return p
}}

// drawings are what pages are drawn into before they are compressed.
var drawings = sync.Pool{New: func() any { return new([]byte) }}

func compressed(b []byte) ([]byte, error) {
	p := packers.Get().(*packer)
	defer packers.Put(p)
	p.out.Reset()
	p.zip.Reset(&p.out)
	if _, err := p.zip.Write(b); err != nil {
		return nil, err
	}
	if err := p.zip.Close(); err != nil {
		return nil, err
	}
	return bytes.Clone(p.out.Bytes()), nil
}

// packed is a compressed stream, or why there is none.
type packed struct {
	stream []byte
	err    error
}

// file is the document as far as it is written.
type file struct {
	out     *counted
	begins  []int           // where in out each object begins, by its number; 0: nowhere
	packing []<-chan packed // streams being compressed, the next to be written first
	err     error           // the first of compressing
}

// taken is what has been drawn; the page is empty then.
func (c *content) taken() []byte {
	drawn := c.buf
	c.buf = (*drawings.Get().(*[]byte))[:0]
	return drawn
}

// stream is the number of a new stream of what has been drawn. It is compressed while
// drawing goes on, which waits rather than have streams heap up.
func (f *file) stream(drawn []byte) int {
	done := make(chan packed, 1)
	go func() {
		stream, err := compressed(drawn)
		drawings.Put(&drawn)
		done <- packed{stream, err}
	}()
	f.begins = append(f.begins, 0) // known when it is written
	if f.packing = append(f.packing, done); len(f.packing) > runtime.GOMAXPROCS(0) {
		f.writeStream()
	}
	return len(f.begins) - 1
}

// writeStream writes the first of the streams that are being compressed.
func (f *file) writeStream() {
	p := <-f.packing[0]
	if f.err == nil {
		f.err = p.err
	}
	f.object(len(f.begins)-len(f.packing), fmt.Appendf(nil, "<</Filter /FlateDecode /Length %d>>\nstream\n", len(p.stream)), p.stream, []byte("\nendstream\nendobj\n"))
	f.packing = slices.Delete(f.packing, 0, 1)
}

// object writes an object in pieces.
func (f *file) object(number int, pieces ...[]byte) {
	f.begins[number] = f.out.n
	fmt.Fprintf(f.out, "%d 0 obj\n", number)
	for _, b := range pieces {
		f.out.Write(b)
	}
}

// begin begins the file.
func (f *file) begin(w io.Writer) {
	f.out = &counted{Writer: bufio.NewWriterSize(w, 64<<10)} // which keeps the first error to its end
	fmt.Fprint(f.out, "%PDF-1.4\n")
	f.begins = make([]int, ourObject)
}

// assemble writes the rest of the file: our pages, of which the streams are written,
// what gofpdf's document has beside its one page, and the table of all objects.
func (d *Doc) assemble(fonts *Fonts) error {
	var kids strings.Builder
	var pages []int
	for _, streams := range d.pages {
		var refs []string
		for _, number := range streams {
			refs = append(refs, fmt.Sprintf("%d 0 R", number))
		}
		fmt.Fprintf(&kids, "%d 0 R ", len(d.file.begins))
		pages = append(pages, len(d.file.begins))
		d.file.begins = append(d.file.begins, 0)
		d.file.object(len(d.file.begins)-1, fmt.Appendf(nil, "<</Type /Page\n/Parent %d 0 R\n/Resources %d 0 R\n/Contents [%s]>>\nendobj\n",
			treeObject, resourcesObject, strings.Join(refs, " ")))
	}
	outlines := d.writeBookmarks(pages)
	objects := maps.Clone(fonts.objects)
	objects[resourcesObject] = bytes.Replace(objects[resourcesObject], []byte("/XObject <<\n"), []byte("/XObject <<\n"+d.writeShapes()), 1)
	delete(objects, firstPageObject)
	delete(objects, firstPageObject+1)
	objects[treeObject] = fmt.Appendf(nil, "<</Type /Pages\n/Kids [%s]\n/Count %d\n/MediaBox [0 0 %.2f %.2f]\n>>\nendobj\n",
		kids.String(), len(d.pages), d.PageW/mmPerPoint, d.PageH/mmPerPoint)
	for _, number := range slices.Sorted(maps.Keys(objects)) {
		d.file.object(number, withFontNames(d.withAbout(objects[number], outlines)))
	}
	table := d.file.out.n
	fmt.Fprintf(d.file.out, "xref\n0 %d\n", len(d.file.begins))
	// Numbers left over are listed as free, each naming the next; 0 always is.
	var free []int
	for number, at := range d.file.begins {
		if at == 0 {
			free = append(free, number)
		}
	}
	free, generation := append(free, 0), 65535
	for _, at := range d.file.begins {
		if at > 0 {
			fmt.Fprintf(d.file.out, "%010d 00000 n \n", at)
			continue
		}
		free = free[1:]
		fmt.Fprintf(d.file.out, "%010d %05d f \n", free[0], generation)
		generation = 0
	}
	lines := strings.Split(strings.TrimSpace(string(fonts.trailer)), "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, "/Size ") {
			lines[i] = fmt.Sprintf("/Size %d", len(d.file.begins))
		}
	}
	fmt.Fprintf(d.file.out, "%s\nstartxref\n%d\n%%%%EOF\n", strings.Join(lines, "\n"), table)
	return errors.Join(d.file.err, d.file.out.Flush())
}

// counted counts what is written to a file of ours.
type counted struct {
	*bufio.Writer
	n int
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.Writer.Write(b)
	c.n += n
	return n, err
}

// fontNames are the fonts' own names for those gofpdf makes up, each with the six
// letters that mark a subset (ISO 32000-1, 9.6.4). The bold one's is the longer.
var fontNames = [][2][]byte{
	{[]byte("/utf8sansB"), []byte("/HFEEDB+LiberationSans-Bold")},
	{[]byte("/utf8sans"), []byte("/HFEEDA+LiberationSans")},
}

func withFontNames(object []byte) []byte {
	dict, stream := object, []byte(nil)
	if i := bytes.Index(object, []byte("stream\n")); i >= 0 { // what is in a stream is not ours
		dict, stream = object[:i], object[i:]
	}
	if !bytes.Contains(dict, fontNames[1][0]) {
		return object
	}
	for _, n := range fontNames {
		dict = bytes.ReplaceAll(dict, n[0], n[1])
	}
	return slices.Concat(dict, stream)
}

// withAbout puts the document's title in the place of [aTitle], and says in the
// catalogue where its bookmarks are and which language it is in, for those who have it
// read aloud; gofpdf cannot.
func (d *Doc) withAbout(object []byte, outlines string) []byte {
	title, _ := Printable(d.about.Title)
	object = bytes.Replace(object, titleEntry(aTitle), titleEntry(title), 1)
	if d.about.Language != "" {
		outlines += "\n/Lang (" + d.about.Language + ")"
	}
	return bytes.Replace(object, []byte("/Type /Catalog"), []byte("/Type /Catalog"+outlines), 1)
}

// titleEntry is how a title is written in the properties (ISO 32000-1, 7.9.2.2).
func titleEntry(title string) []byte {
	return append(titleText(title), "\n/Author"...)
}

func titleText(title string) []byte {
	b := []byte("/Title (\xfe\xff")
	for _, r := range title {
		b = escaped(escaped(b, byte(r>>8)), byte(r))
	}
	return append(b, ')')
}
