// Package draw is what a feed-room page needs on top of gofpdf: embedded
// fonts, text that is measured before it is drawn, scoop marks, bars, number
// lines, tick boxes, arrows and hatching. It knows nothing of rations.
//
// Build [Group] values with a [Doc]'s [Typesetter], then [Doc.Place] them.
// A group knows its size before anything is drawn, so a page can be filled by
// whole blocks and nothing is ever cut.
//
// # Units
//
// Lengths are millimetres, y grows downwards. Type is sized by the height of
// its capitals, because that is what legibility at a distance is judged by.
//
// # Black and white
//
// [Ink] is a grey level. Meaning never hangs on it alone: what is shown by a
// tone is also said in words or shown by shape.
package draw

import (
	"fmt"
	"io"
	"time"
)

// Ink is a grey level, 0 black to 255 white.
type Ink int

const (
	Black Ink = 0
	Dark  Ink = 70  // secondary text: still black after a photocopy
	Mid   Ink = 140 // rules
	Light Ink = 225 // fills behind black text; may vanish on a copy, nothing hangs on it
	White Ink = 255
)

// Box is the place of one line of text, from the top of its capitals to the foot
// of the letters that hang lowest; or of a drawing, which has no text.
type Box struct {
	Page       int // from 1
	X, Y, W, H float64
	Cap        float64 // height of the text's capitals
	Text       string
}

// Doc is a PDF being made. It is not for concurrent use.
type Doc struct {
	PageW, PageH float64  // mm, of every page
	Drawing      string   // whose part is being drawn, for errors; "": nobody's
	KeepBoxes    bool     // for tests: remember where text was drawn
	Boxes        []Box    // every line of text drawn so far, in order, if they are kept
	Cuts         []Box    // the lines along which a page is cut, if they are kept
	Marks        []Box    // the same of scoops, bales and other drawings
	Broken       []Broken // words broken between letters, if boxes are kept

	about About

	Bookmarks []Bookmark // the list that viewers show beside the pages, in order

	// Set sets the text that is drawn.
	Set *Typesetter

	pages [][]int // finished: the numbers of the streams that are drawn over each other
	fresh bool    // a page is being drawn that is not yet among them
	over  int     // the page being drawn over; 0: none
	on    content // of the page being drawn
	file  file
}

// Broken is a word that was too wide for its place and goes on in the next line.
type Broken struct {
	Page int
	Word string
}

// Papers lists the papers in portrait, width and height in mm (ISO 216 and
// ANSI/ASME Y14.1; values from memory).
var papers = map[string][2]float64{"A4": {210, 297}, "Letter": {215.9, 279.4}}

// About is what a document's properties say of it.
type About struct {
	Title, Author string
	Producer      string    // the program and its version
	Language      string    // BCP 47: "en-GB"
	Date          time.Time // given, not the clock's, so that equal input gives equal bytes
}

// New starts a document without pages on "A4" or "Letter" paper. It is written to w
// while it is drawn; [Doc.Finish] tells of what went wrong with that.
func New(paper string, landscape bool, about About, w io.Writer) (*Doc, error) {
	size, ok := papers[paper]
	if !ok {
		return nil, fmt.Errorf("paper %q is not known: say A4 or Letter", paper)
	}
	d := &Doc{PageW: size[0], PageH: size[1], about: about, Set: new(Typesetter)}
	if landscape {
		d.PageW, d.PageH = d.PageH, d.PageW
	}
	d.on.high = d.PageH
	d.file.begin(w)
	return d, nil
}

// AddPage starts a page; all drawing goes to the newest page.
func (d *Doc) AddPage() {
	d.endPage()
	d.fresh, d.on.state = true, untold
}

// endPage puts the page being drawn behind those there are.
func (d *Doc) endPage() {
	if d.fresh {
		d.pages = append(d.pages, []int{d.file.stream(d.on.taken())})
		d.fresh = false
	}
}

// Page is the number of the page being drawn, 0 before the first.
func (d *Doc) Page() int {
	switch {
	case d.over > 0:
		return d.over
	case d.fresh:
		return len(d.pages) + 1
	}
	return len(d.pages)
}

// OnEachPage draws on every page made so far, told its number and how many
// there are: for feet that say "page 2 of 5".
func (d *Doc) OnEachPage(draw func(page, pages int)) {
	d.endPage()
	for i := range d.pages {
		d.over, d.on.state = i+1, untold
		draw(i+1, len(d.pages))
		d.pages[i] = append(d.pages[i], d.file.stream(d.on.taken()))
	}
	d.over = 0
}

// Finish writes what of the document is not yet written, with fonts that were cut for
// it; nothing can be drawn on it afterwards.
func (d *Doc) Finish(fonts *Fonts) error {
	if d.Page() == 0 {
		return fmt.Errorf("no page was drawn")
	}
	d.endPage()
	for len(d.file.packing) > 0 {
		d.file.writeStream()
	}
	return d.assemble(fonts)
}

// Group is a block of drawing with a known size, not yet on a page.
type Group struct {
	W, H float64
	text *textLine // drawn first; most groups are a line of text, or hold such
	ops  []op
}

// op is a drawing step of a group: another group at its place in it, or
// whatever draw does there.
type op struct {
	dx, dy float64
	g      *Group
	draw   func(d *Doc, x, y float64)
}

// Space is an empty group.
func Space(w, h float64) *Group { return &Group{W: w, H: h} }

// SpaceFor is [Space] for so many steps, about: groups of many are most of what a page
// takes of memory while it is laid out.
func SpaceFor(w, h float64, steps int) *Group { return &Group{W: w, H: h, ops: make([]op, 0, steps)} }

// Draw adds a drawing step; it is called with the group's top left corner.
func (g *Group) Draw(draw func(d *Doc, x, y float64)) *Group {
	g.ops = append(g.ops, op{draw: draw})
	return g
}

// Add puts o inside g at dx, dy, and grows g to hold it.
func (g *Group) Add(dx, dy float64, o *Group) *Group {
	g.W, g.H = max(g.W, dx+o.W), max(g.H, dy+o.H)
	g.ops = append(g.ops, op{dx: dx, dy: dy, g: o})
	return g
}

// Stack puts groups under each other with a gap between.
func Stack(gap float64, groups ...*Group) *Group {
	s := &Group{ops: make([]op, 0, len(groups))}
	for i, g := range groups {
		y := s.H
		if i > 0 {
			y += gap
		}
		s.Add(0, y, g)
	}
	return s
}

// Beside puts groups side by side, centred on the tallest.
func Beside(gap float64, groups ...*Group) *Group {
	s := &Group{ops: make([]op, 0, len(groups))}
	for _, g := range groups {
		s.H = max(s.H, g.H)
	}
	for i, g := range groups {
		x := s.W
		if i > 0 {
			x += gap
		}
		s.Add(x, (s.H-g.H)/2, g)
	}
	return s
}

// Pad puts g inside margins.
func Pad(g *Group, left, top, right, bottom float64) *Group {
	s := Space(g.W+left+right, g.H+top+bottom)
	return s.Add(left, top, g)
}

// Place draws g with its top left corner at x, y on the current page.
func (d *Doc) Place(x, y float64, g *Group) {
	if g.text != nil {
		g.text.draw(d, x, y)
	}
	for _, o := range g.ops {
		if o.g != nil {
			d.Place(x+o.dx, y+o.dy, o.g)
		} else {
			o.draw(d, x, y)
		}
	}
}
