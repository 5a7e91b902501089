package draw

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// Face is one of the two embedded fonts.
type Face int

const (
	Regular Face = iota
	Bold
)

// Proportions of Liberation Sans, from its OS/2 and hhea tables (units of 2048
// to the em): capitals 1409, descender 434. Checked by a test.
const (
	capPerEm = 1409.0 / 2048

	mmPerPoint = 25.4 / 72
)

// Leading is the height of a line of text, and baseline where its feet stand,
// both in cap heights. They leave room for accents on capitals.
const (
	Leading  = 1.62
	baseline = 1.22
)

// Unprintable is what stands for letters the fonts cannot draw.
const Unprintable = "[?]"

var faces = sync.OnceValue(func() [2]*sfnt.Font {
	var out [2]*sfnt.Font
	for i, ttf := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic(fmt.Sprintf("the font built into the program is damaged: %v", err))
		}
		out[i] = f
	}
	return out
})

// Printable makes s fit to print: valid UTF-8, composed (NFC), controls turned
// into spaces, invisible formatting dropped, and every run of letters that the
// fonts lack, or that is written from right to left (gofpdf cannot set it),
// replaced by [Unprintable]. It says whether anything was replaced so.
//
// gofpdf v1.16.2 panics on runes above U+FFFF and on damaged UTF-8, and draws
// missing letters as an empty box that reads as a tick box; so every string on
// its way to a page goes through here.
func Printable(s string) (text string, whole bool) {
	if plain(s) {
		return s, true
	}
	whole = true
	// Composed last: letters that an invisible one kept apart come together.
	s = norm.NFC.String(strings.Map(func(r rune) rune {
		switch {
		case r == '\u2011': // non-breaking hyphen: the font has only the plain one
			return '-'
		case unicode.IsControl(r) || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD")))
	var b strings.Builder
	var buf sfnt.Buffer
	marked := false // the last thing written was the mark
	for _, r := range s {
		if r == utf8.RuneError || !drawable(r, &buf) {
			whole = false
			if !marked {
				b.WriteString(Unprintable)
			}
			marked = true
			continue
		}
		marked = false
		b.WriteRune(r)
	}
	return b.String(), whole
}

// plain says that s holds only letters known to be in the fonts and composed:
// the quick way for nearly all text. Soft hyphens (U+00AD) are not among them.
func plain(s string) bool {
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~', r >= 0xA0 && r <= 0xFF && r != 0xAD, r == '–', r == '“', r == '”':
		default:
			return false
		}
	}
	return true
}

func drawable(r rune, buf *sfnt.Buffer) bool {
	if r >= ' ' && r <= '~' {
		return true
	}
	if r > 0xFFFE || unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) {
		return false
	}
	for _, f := range faces() {
		if i, err := f.GlyphIndex(buf, r); err != nil || i == 0 {
			return false
		}
	}
	return true
}

// metrics remembers how wide each letter of one face is, in em.
type metrics struct {
	near  [0x180]float64 // Latin; 0: not asked for, or of no width
	asked [0x180]bool
	far   map[rune]float64
	reach [0x180][2]float64 // above and below the line, of those asked for; zero: not asked for
	rest  map[rune][2]float64
	buf   sfnt.Buffer
}

// letters are those that were measured, which is before they are drawn.
func (m *metrics) letters() []rune {
	var out []rune
	for r, asked := range m.asked {
		if asked {
			out = append(out, rune(r))
		}
	}
	return append(out, slices.Sorted(maps.Keys(m.far))...)
}

// Typesetter measures text and lays it out in lines; nothing is drawn yet.
type Typesetter struct {
	sizes  [2]metrics
	breaks int // letters set of words that had to be broken, also of what is not drawn
	made   map[look]laid
}

// look is all that decides what is laid out.
type look struct {
	what            kind
	face            Face
	ink             Ink
	capMM, other, w float64 // other: of a fraction, how many measures, or the floor
	text            string
}

// kind is what a [look] is of.
type kind uint8

const (
	trimmed kind = iota
	figured
	number
	measures
	whole
)

// laid is what was laid out, and how many letters of broken words are in it.
type laid struct {
	groups []*Group
	breaks int
}

// mostMade is how much is kept to be used again: more than a card's tries take, and about
// a megabyte (ours).
const mostMade = 2000

// once is what lay lays out, the same groups for the same look: a card is laid out several
// times, and a yard's amounts and words are few. They go into other groups, and nothing is
// added to them.
func (t *Typesetter) once(l look, lay func() []*Group) []*Group {
	if m, ok := t.made[l]; ok {
		t.breaks += m.breaks
		return m.groups
	}
	if t.made == nil {
		t.made = map[look]laid{}
	}
	if len(t.made) >= mostMade {
		clear(t.made)
	}
	before := t.breaks
	groups := slices.Clip(lay())
	t.made[l] = laid{groups, t.breaks - before}
	return groups
}

// Breaks says whether a word had to be broken in what lay lays out.
func (t *Typesetter) Breaks(lay func()) bool {
	before := t.breaks
	lay()
	return t.breaks > before
}

func (t *Typesetter) advance(f Face, r rune) float64 {
	m := &t.sizes[f]
	if near := int(r) < len(m.near); near && m.asked[r] {
		return m.near[r]
	} else if a, ok := m.far[r]; !near && ok {
		return a
	}
	a := 0.0
	ft := faces()[f]
	if i, err := ft.GlyphIndex(&m.buf, r); err == nil {
		upem := ft.UnitsPerEm()
		if w, err := ft.GlyphAdvance(&m.buf, i, fixed.I(int(upem)), font.HintingNone); err == nil {
			a = float64(w) / 64 / float64(upem)
		}
	}
	if int(r) < len(m.near) {
		m.near[r], m.asked[r] = a, true
	} else {
		if m.far == nil {
			m.far = map[rune]float64{}
		}
		m.far[r] = a
	}
	return a
}

// Width is the width of s in mm with capitals capMM high.
func (t *Typesetter) Width(f Face, capMM float64, s string) float64 {
	w := 0.0
	for _, r := range s {
		w += t.advance(f, r)
	}
	return w * capMM / capPerEm
}

// reach is how far the letters of s are above the line and hang below it, in
// cap heights. Round letters, which overshoot both a little, do not count for it.
func (t *Typesetter) reach(f Face, s string) (above, below float64) {
	above = 1
	for _, r := range s {
		a, b := t.extent(f, r)
		above, below = max(above, a), max(below, b)
	}
	const overshoot = 0.06
	if above < 1+overshoot {
		above = 1
	}
	if below < overshoot {
		below = 0
	}
	return above, below
}

// extent is how far one letter reaches above and below the line, in cap heights.
func (t *Typesetter) extent(f Face, r rune) (above, below float64) {
	m := &t.sizes[f]
	near := int(r) < len(m.reach)
	if near && m.reach[r] != [2]float64{} {
		return m.reach[r][0], m.reach[r][1]
	}
	if e, ok := m.rest[r]; ok {
		return e[0], e[1]
	}
	e := [2]float64{0, -1} // a space's: nothing
	ft := faces()[f]
	if i, err := ft.GlyphIndex(&m.buf, r); err == nil {
		upem := ft.UnitsPerEm()
		if b, _, err := ft.GlyphBounds(&m.buf, i, fixed.I(int(upem)), font.HintingNone); err == nil && !b.Empty() {
			em := 64 * float64(upem) * capPerEm
			e = [2]float64{-float64(b.Min.Y) / em, float64(b.Max.Y) / em}
		}
	}
	if near {
		m.reach[r] = e
	} else {
		if m.rest == nil {
			m.rest = map[rune][2]float64{}
		}
		m.rest[r] = e
	}
	return e[0], e[1]
}

// Trim is s on one line, as high as its letters are: without the room that
// [Typesetter.Line] leaves for accents above and letters that hang below.
// It is shared, see [Typesetter.once].
func (t *Typesetter) Trim(f Face, capMM float64, ink Ink, s string) *Group {
	return t.once(look{what: trimmed, face: f, ink: ink, capMM: capMM, text: s}, func() []*Group {
		s, _ := Printable(s)
		above, below := t.reach(f, s)
		return []*Group{t.textLine(f, capMM, ink, s, (above+below)*capMM, above*capMM)}
	})[0]
}

// Close is [Typesetter.Para] with less between the lines than their own leading: letters
// that hang down just clear the capitals below.
func (t *Typesetter) Close(f Face, capMM, w float64, ink Ink, s string) *Group {
	shown, _ := Printable(s)
	_, below := t.reach(f, shown)
	leading := max(1.36, 1.05+below)
	return Stack((leading-Leading)*capMM, t.Lines(f, capMM, w, ink, s)...)
}

// Line is s on one line, however long.
func (t *Typesetter) Line(f Face, capMM float64, ink Ink, s string) *Group {
	s, _ = Printable(s)
	return t.textLine(f, capMM, ink, s, capMM*Leading, baseline*capMM)
}

// textLine is a line of text with the group it is.
type textLine struct {
	group Group
	face  Face
	ink   Ink
	capMM float64
	feet  float64 // of its letters, below the group's top
	text  string

	broken string // the word that did not fit, of which the line has letters
}

func (l *textLine) draw(d *Doc, x, y float64) {
	d.text(l.face, l.capMM, l.ink, x, y+l.feet, l.text)
	if d.KeepBoxes && l.broken != "" {
		d.Broken = append(d.Broken, Broken{Page: d.Page(), Word: l.broken})
	}
}

// textLine is a line of what is printable, high with its feet so far down.
func (t *Typesetter) textLine(f Face, capMM float64, ink Ink, s string, high, feet float64) *Group {
	l := &textLine{group: Group{W: t.Width(f, capMM, s), H: high}, face: f, ink: ink, capMM: capMM, feet: feet, text: s}
	if strings.TrimSpace(s) != "" {
		l.group.text = l
	}
	return &l.group
}

// text draws s with its feet on y. Sizes are written with two decimals of a
// point, so the size is rounded down to that to stay within what was measured.
func (d *Doc) text(f Face, capMM float64, ink Ink, x, y float64, s string) {
	d.on.write(f, points(capMM), ink, x, y, s)
	if d.KeepBoxes {
		const descender = 434.0 / 1409 // what hangs lower are signs that no language here writes
		_, below := d.Set.reach(f, s)
		below = min(below, descender)
		d.Boxes = append(d.Boxes, Box{
			Page: d.Page(), X: x, Y: y - capMM, W: d.Set.Width(f, capMM, s), H: capMM * (1 + below), Cap: capMM, Text: s,
		})
	}
}

// tied keeps a number's unit from standing alone on the next line.
var tied = strings.NewReplacer(" kg", "\u00a0kg", " Mcal", "\u00a0Mcal", " ml", "\u00a0ml", " lb", "\u00a0lb", " g ", "\u00a0g ")

// tie ties the numbers of s to their units; most texts have neither.
func tie(s string) string {
	for _, unit := range []string{" kg", " g ", " Mcal", " ml", " lb"} {
		if strings.Contains(s, unit) {
			return tied.Replace(s)
		}
	}
	return s
}

// breaks says that a line may be broken at r.
func breaks(r rune) bool { return r == ' ' || r != '\u00a0' && unicode.IsSpace(r) }

// Lines breaks s at spaces into lines no wider than w; a word wider than that
// is broken where it is tied or after a hyphen, or failing that between letters. Nothing is
// left out.
func (t *Typesetter) Lines(f Face, capMM, w float64, ink Ink, s string) []*Group {
	return t.Runs(capMM, w, ink, Run{f, s})
}

// Run is a piece of running text in one face.
type Run struct {
	Face Face
	Text string
}

// Runs is [Typesetter.Lines] for text of both faces. A run starts a new word.
func (t *Typesetter) Runs(capMM, w float64, ink Ink, runs ...Run) []*Group {
	var out []*Group
	// Of the length most lines keep to, so that nothing is allocated for them.
	faces := make([]Face, 0, 4) // of the line's pieces, one after the other
	starts := make([]int, 0, 4) // where each begins in text
	text := make([]byte, 0, 200)
	lineW := 0.0
	broken := "" // the word a line was ended in
	end := func() {
		var g *Group
		for i, f := range faces {
			to := len(text)
			if i+1 < len(faces) {
				to = starts[i+1]
			}
			piece := t.textLine(f, capMM, ink, string(text[starts[i]:to]), capMM*Leading, baseline*capMM)
			if piece.text != nil {
				piece.text.broken = broken
			}
			switch {
			case len(faces) == 1:
				g = piece
			case i == 0:
				g = Space(0, 0).Add(0, 0, piece)
			default:
				g.Add(g.W, 0, piece)
			}
		}
		if g != nil {
			out = append(out, g)
		}
		faces, starts, text, lineW, broken = faces[:0], starts[:0], text[:0], 0, ""
	}
	add := func(f Face, before, word string, width float64) {
		if n := len(faces); n == 0 || faces[n-1] != f {
			faces, starts = append(faces, f), append(starts, len(text))
		}
		text = append(append(text, before...), word...)
		lineW += width
	}
	for _, run := range runs {
		f := run.Face
		s, _ := Printable(run.Text)
		space := t.Width(f, capMM, " ")
		for rest := tie(s); ; {
			rest = strings.TrimLeftFunc(rest, breaks)
			if rest == "" {
				break
			}
			n, ww := t.word(f, capMM, rest)
			word := rest[:n]
			rest = rest[n:]
			if len(faces) > 0 && lineW+space+ww <= w {
				add(f, " ", word, space+ww)
				continue
			}
			end()
			if ww <= w {
				add(f, "", word, ww)
				continue
			}
			for _, part := range pieces(word) {
				pw := t.Width(f, capMM, part)
				if len(faces) > 0 && lineW+pw > w {
					end()
				}
				if len(faces) == 0 && strings.HasPrefix(part, tieSign) {
					part = part[len(tieSign):]
					pw = t.Width(f, capMM, part)
				}
				if pw <= w {
					add(f, "", part, pw)
					continue
				}
				for i, r := range part {
					broken = part
					t.breaks++
					rw := t.advance(f, r) * capMM / capPerEm
					if len(faces) > 0 && lineW+rw > w {
						end()
					}
					add(f, "", part[i:i+utf8.RuneLen(r)], rw)
				}
			}
		}
	}
	end()
	return out
}

// tieSign keeps two words on one line, where a line holds them.
const tieSign = "\u00a0"

// pieces are what a word that is wider than its line is broken into: at the ties within it,
// but for those of a number to its unit, and after its hyphens. A tie begins its piece.
func pieces(word string) (out []string) {
	if !strings.Contains(word, tieSign) && !strings.Contains(word, "-") {
		return []string{word}
	}
	from, before := 0, rune(0)
	for i, r := range word {
		if string(r) == tieSign && !unicode.IsDigit(before) || before == '-' {
			out, from = append(out, word[from:i]), i
		}
		before = r
	}
	return append(out, word[from:])
}

// word is how long, in bytes, the word is that s begins with, and how wide.
func (t *Typesetter) word(f Face, capMM float64, s string) (n int, wide float64) {
	w := 0.0
	for i, r := range s {
		if breaks(r) {
			return i, w * capMM / capPerEm
		}
		w += t.advance(f, r)
	}
	return len(s), w * capMM / capPerEm
}

// Unbroken is the height of type, between floor and top, at which no word of s has to be
// broken between letters to fit w; the floor where there is none.
func (t *Typesetter) Unbroken(f Face, top, floor, w float64, s string) float64 {
	shown, _ := Printable(s)
	for _, word := range strings.FieldsFunc(tie(shown), breaks) {
		if t.Width(f, top, word) <= w {
			continue
		}
		for _, part := range pieces(word) {
			if full := t.Width(f, top, strings.TrimPrefix(part, tieSign)); full > w {
				top *= w / full * 0.999
			}
		}
	}
	return max(top, floor)
}

// Whole is [Typesetter.Lines] in type that is as much smaller as no word is broken, down to
// floor. The lines are shared, see [Typesetter.once].
func (t *Typesetter) Whole(f Face, capMM, floor, w float64, ink Ink, s string) []*Group {
	return t.once(look{whole, f, ink, capMM, floor, w, s}, func() []*Group {
		return t.Lines(f, t.Unbroken(f, capMM, floor, w, s), w, ink, s)
	})
}

// Para is s wrapped to width w.
func (t *Typesetter) Para(f Face, capMM, w float64, ink Ink, s string) *Group {
	return Stack(0, t.Lines(f, capMM, w, ink, s)...)
}

// Fit is s on one line as large as fits w, between floor and capMM; where even
// the floor is too wide it is wrapped at the floor.
func (t *Typesetter) Fit(f Face, capMM, floor, w float64, ink Ink, s string) *Group {
	s, _ = Printable(s)
	full := t.Width(f, capMM, s)
	if full <= w {
		return t.Line(f, capMM, ink, s)
	}
	if c := capMM * w / full * 0.999; c >= floor {
		return t.Line(f, c, ink, s)
	}
	return t.Para(f, floor, w, ink, s)
}

// Number is s on one line, never wrapped and never cut: it shrinks as far as
// it must to fit w. It is shared, see [Typesetter.once].
func (t *Typesetter) Number(f Face, capMM, w float64, ink Ink, s string) *Group {
	return t.once(look{what: number, face: f, ink: ink, capMM: capMM, w: w, text: s}, func() []*Group {
		s, _ := Printable(s)
		if full := t.Width(f, capMM, s); full > w {
			capMM *= w / full * 0.999
		}
		return []*Group{t.Line(f, capMM, ink, s)}
	})[0]
}

// Name is s as large as fits w and h: on one line between top and floor, then
// on as many lines at the floor as h holds, then smaller still.
func (t *Typesetter) Name(top, floor, w, h float64, s string) *Group {
	g := t.Fit(Bold, top, floor, w, Black, s)
	for c := floor; g.H > h && c > 0.2; c *= 0.93 {
		g = t.Para(Bold, c, w, Black, s)
	}
	return g
}
