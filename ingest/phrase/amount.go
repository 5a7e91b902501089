package phrase

import (
	"hardfeed/ingest/lexicon"
)

// AmountContext is what stands about a cell of feed: in its heading, the title,
// a legend, the tab's name. Empty fields are not said there.
type AmountContext struct {
	Unit string // a unit's or a measure's key: "kg", "lb", "scoop"
	Feed string // the feed's name
	Meal string // the meal's key
	// Feeds says whether words are the name of a feed of this yard; nil: only the
	// tables know.
	Feeds func(words string) bool
}

// Times is how often a day an amount is fed.
type Part struct {
	Span
	Feed string // as written, "" where it is the heading's or the one before
	// FeedKey is the class of the tables ("hard", "chaff", "hay", …), "" where
	// they do not know the feed.
	FeedKey string
	// Value is the number; Known is false where none was written ("chaff").
	Value float64
	Known bool
	High  float64 // the upper end of a range, else 0
	Other float64 // a second reading of the figures, else 0
	// Unit is the key of a unit or measure; "" where neither the cell nor its
	// heading says. UnitWord is as written, "" where it is the heading's.
	Unit, UnitWord string
	Size           string  // a word for its size, where it may not be the usual one: "heaped"
	IsMeasure      bool    // Unit is a measure, not a unit of weight or volume
	Vague          string  // "handful", "some": no amount that can be weighed
	Meal           string  // key of the meal, "" where none is said
	Times          int     // so often a day; 0 where it is not said
	PerDay         bool    // the amount is the day's ("a day")
	PerFeed        bool    // the amount is each meal's ("per feed")
	Relative       int     // +1: so much more than now; -1: less
	Same           bool    // as now, for this meal
	UnitFrom       string  // "" where the unit is its own or the heading's; "cell" where another part of the cell says it
	GivenKg        float64 // what she says it weighs: "1 scoop (1.2 kg)"; else 0
	AdLib          bool
}

// Amount is what a cell of feed says.
type Amount struct {
	Parts    []Part
	Same     bool // as now, no change (with parts that are Relative: changed by these)
	Ditto    bool // as in the cell above
	None     bool // nothing is fed
	AdLib    bool
	Question bool // a question mark or "maybe" is there
	// Alternative is a second reading that fits as well; nil where there is none.
	Alternative []Part
	Why         string // why there is one: a key, such as "times"
	Read        []Span
	Unread      []Span

	excluded int // feeds that are left out: "no oats"
}

// Empty says whether nothing at all is there.
func (a Amount) Empty() bool {
	return len(a.Parts) == 0 && !a.Same && !a.Ditto && !a.None && !a.AdLib && !a.Question && len(a.Unread) == 0
}

// element is a piece of an amount's text: an item, a meal, how often, a mark.
type element struct {
	kind  elementKind
	small bool // an hour whose figures may be an amount: "2 pm"
	part  Part
	meal  string
	times int
	day   bool // "a day"
	feed  bool // "per feed"
	text  string
	span  Span
}

type elementKind int

const (
	anItem elementKind = iota
	aMeal
	aTimes
	aSeparator
)

// amountReader walks over an amount's tokens.
type amountReader struct {
	w    *Words
	text string
	toks []lexicon.Token
	ctx  AmountContext
	els  []element
	out  Amount

	// bracket is how many elements there were where a bracket opened behind an
	// amount; -1 outside.
	bracket int
	setTo   bool // "auf 2 kg erhöhen": the word at the end says it again
	noClock bool // "1 am 2 pm" are amounts
}

// Amounts reads a cell of feed: "2", "1½ sc nuts + handful chaff", "1 sc am /
// 1.5 sc pm", "4kg x3", "+½ sc", "same", "½ cubes ½ oats", "breakfast: 1 lb
// oats, tea: 2 lb", "1 scoop mix, twice a day", "ad lib", "none".
func (w *Words) Amounts(text string, ctx AmountContext) Amount {
	if len(text) > LongestCell {
		return Amount{Unread: []Span{{Start: 0, End: len(text)}}}
	}
	r := &amountReader{w: w, text: text, toks: lexicon.Scan(text), ctx: ctx, bracket: -1}
	if r.whole() {
		return r.out
	}
	r.walk()
	if r.hoursMayBeAmounts() {
		o := &amountReader{w: w, text: text, toks: r.toks, ctx: ctx, bracket: -1, noClock: true}
		o.walk()
		if len(o.out.Unread) == 0 {
			r = o
		} else {
			r.out.Question = true
		}
	}
	r.out.Read, r.out.Unread = merged(text, r.out.Read), merged(text, r.out.Unread)
	return r.out
}

// walk reads the whole cell.
func (r *amountReader) walk() {
	i := r.mealList()
	if i == 0 {
		i = r.byMeals()
	}
	for i < len(r.toks) {
		i += r.step(i)
	}
	r.closeBracket()
	r.assemble()
}

func (r *amountReader) read(i, n int) int {
	r.out.Read = append(r.out.Read, spanOf(r.toks, i, n))
	return n
}

// whole reads a cell that is one word for all: a dash, "same", "none".
func (r *amountReader) whole() bool {
	toks := r.toks
	if len(toks) == 0 {
		return true
	}
	end := len(toks)
	for end > 1 && (toks[end-1].Text == "." || toks[end-1].Text == "!") {
		end--
	}
	all := spanOf(toks, 0, len(toks))
	if end == 1 && toks[0].Text == "-" || end == 1 && toks[0].Kind == lexicon.Number && toks[0].Value == 0 {
		r.out.None, r.out.Read = true, []Span{all}
		return true
	}
	if dittoMark(toks) {
		r.out.Ditto, r.out.Read = true, []Span{all}
		return true
	}
	s, n := r.w.t.Match(toks, 0, "amounts")
	if n != end || s.Key == "ditto" && toks[0].Upper && !toks[0].Dot { // "DO" is a day off
		return false
	}
	switch s.Key {
	case "same":
		r.out.Same = true
	case "ditto":
		r.out.Ditto = true
	case "none":
		r.out.None = true
	case "ad lib":
		r.out.AdLib = true
	default:
		return false
	}
	r.out.Read = []Span{all}
	return true
}

// dittoMark says whether a cell is a ditto mark with dashes about it: -"-.
func dittoMark(toks []lexicon.Token) bool {
	quotes := 0
	for _, t := range toks {
		switch t.Text {
		case `"`, "'":
			quotes++
		case "-":
		default:
			return false
		}
	}
	return quotes > 0
}

// noFeed marks a dash among meals.
const noFeed = "nothing"

func preferred(senses []lexicon.Sense, order ...string) lexicon.Sense {
	for _, section := range order {
		for _, s := range senses {
			if s.Section == section {
				return s
			}
		}
	}
	return lexicon.Sense{}
}
