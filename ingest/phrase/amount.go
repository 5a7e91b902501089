package phrase

import (
	"math"
	"slices"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
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
	Question bool // a question mark or "maybe" stands there
	// Alternative is a second reading that fits as well; nil where there is none.
	Alternative []Part
	Why         string // why there is one: a key, such as "times"
	Read        []Span
	Unread      []Span

	excluded int // feeds that are left out: "no oats"
}

// Empty says whether nothing at all stands there.
func (a Amount) Empty() bool {
	return len(a.Parts) == 0 && !a.Same && !a.Ditto && !a.None && !a.AdLib && !a.Question && len(a.Unread) == 0
}

// element is a piece of an amount's text: an item, a meal, how often, a mark.
type element struct {
	kind  elementKind
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
}

// Amounts reads a cell of feed: "2", "1½ sc nuts + handful chaff", "1 sc am /
// 1.5 sc pm", "4kg x3", "+½ sc", "same", "½ cubes ½ oats", "breakfast: 1 lb
// oats, tea: 2 lb", "1 scoop mix, twice a day", "ad lib", "none".
func (w *Words) Amounts(text string, ctx AmountContext) Amount {
	if len(text) > LongestCell {
		return Amount{Unread: []Span{{Start: 0, End: len(text)}}}
	}
	r := &amountReader{w: w, text: text, toks: lexicon.Scan(text), ctx: ctx}
	if r.whole() {
		return r.out
	}
	for i := r.byMeals(); i < len(r.toks); {
		i += r.step(i)
	}
	r.assemble()
	r.out.Read, r.out.Unread = merged(text, r.out.Read), merged(text, r.out.Unread)
	return r.out
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

// byMeals reads "1-0-1" and "1 - ½ - 1 - 0" at the beginning of a cell, an amount
// for each meal in turn, and says how many tokens it took.
func (r *amountReader) byMeals() int {
	var nums []quantity.Number
	i := 0
	for {
		num, n := quantity.ReadNumber(r.w.t, r.toks, i)
		if n == 0 {
			return 0
		}
		nums = append(nums, num)
		i += n
		if i < len(r.toks) && r.toks[i].Text == "-" {
			i++
			continue
		}
		break
	}
	if len(nums) < 3 || len(nums) > 5 {
		return 0
	}
	for k, num := range nums {
		p := Part{Span: num.Span, Value: num.Value, Known: true}
		if k == len(nums)-1 {
			// A unit and a feed behind the last are those of all.
			var last Part
			j := r.unit(i, &last)
			j += r.feed(i+j, &last)
			for e := range r.els {
				r.els[e].part.Unit, r.els[e].part.UnitWord, r.els[e].part.IsMeasure, r.els[e].part.Feed, r.els[e].part.FeedKey = last.Unit, last.UnitWord, last.IsMeasure, last.Feed, last.FeedKey
			}
			p.Unit, p.UnitWord, p.IsMeasure, p.Feed, p.FeedKey = last.Unit, last.UnitWord, last.IsMeasure, last.Feed, last.FeedKey
			i += j
		}
		if k > 0 {
			r.els = append(r.els, element{kind: aSeparator, text: "/"})
		}
		r.els = append(r.els, element{kind: anItem, part: p, span: num.Span})
	}
	return r.read(0, i)
}

// step reads what begins at token i and says how many tokens it took.
func (r *amountReader) step(i int) int {
	t, toks := r.w.t, r.toks
	tok := toks[i]
	if tok.Kind == lexicon.Mark {
		switch tok.Text {
		case "?":
			r.out.Question = true
			return r.read(i, 1)
		case "+", "&", ",", ";", "/", "\n", "|":
			if tok.Text == "+" && r.signed(i) {
				return r.item(i)
			}
			if s, n := t.Match(toks, i, "times"); n > 1 { // "/day"
				return r.often(i, s, n)
			}
			if tok.Text == "/" && i+2 < len(toks) && toks[i+1].Whole && toks[i+1].Value == 100 { // "100 g/100 kg"
				r.out.Unread = append(r.out.Unread, spanOf(toks, i, 3))
				return 3
			}
			r.els = append(r.els, element{kind: aSeparator, text: tok.Text, span: tok.Span})
			return r.read(i, 1)
		case "-":
			if r.signed(i) {
				return r.item(i)
			}
			if i == 0 || len(r.els) > 0 && r.els[len(r.els)-1].kind == aMeal { // "am –, pm 1 sc"
				r.els = append(r.els, element{kind: anItem, part: Part{Known: true, Span: tok.Span, Vague: noFeed}, span: tok.Span})
				return r.read(i, 1)
			}
			r.els = append(r.els, element{kind: aSeparator, text: "-", span: tok.Span})
			return r.read(i, 1)
		case "x":
			if n := r.multiplier(i); n > 0 {
				return n
			}
			return r.read(i, 1)
		case "~", "(", ")", "[", "]", ".", "!", ":", "=", "'", "\"", "*":
			return r.read(i, 1)
		}
		if s, n := t.Match(toks, i, "units", "times"); n > 0 && s.Section == "times" {
			return r.often(i, s, n)
		}
		r.out.Unread = append(r.out.Unread, tok.Span)
		return 1
	}
	if n := r.clockMeal(i); n > 0 {
		return n
	}
	senses, n := t.Senses(toks, i, "times", "meals", "amounts")
	if m, k := t.Match(toks, i, "feeds", "measures", "vague"); k > n || k == n && n > 0 && m.Section == "measures" && tok.Kind == lexicon.Word && len(senses) > 0 && senses[0].Section == "meals" {
		n = 0 // "feed oats" is no amount word
	}
	if n > 0 && tok.Kind == lexicon.Number && n == 1 {
		n = 0
	}
	if n > 0 {
		switch s := preferred(senses, "times", "meals", "amounts"); s.Section {
		case "times":
			return r.often(i, s, n)
		case "meals":
			r.els = append(r.els, element{kind: aMeal, meal: s.Key, span: spanOf(toks, i, n)})
			n = r.read(i, n)
			for i+n < len(toks) && toks[i+n].Text == ":" {
				n += r.read(i+n, 1)
			}
			return n
		case "amounts":
			if k := r.amountWord(i, s, n); k > 0 {
				return k
			}
		}
	}
	if _, n := t.Match(toks, i, "manner"); n > 0 && len(r.els) > 0 {
		if _, f := t.Match(toks, i+n, "feeds"); f == 0 {
			return r.read(i, n)
		}
	}
	if s, n := t.Match(toks, i, "amounts"); n > 0 && s.Key == "set" {
		if _, k := quantity.ReadNumber(t, toks, i+n); k > 0 {
			if tok.Text == "up" && n == 2 {
				r.out.Question = true // "up to 2 scoops": at most, or from now on?
			}
			return r.read(i, n)
		}
	}
	if _, n := t.Match(toks, i, "breaks"); n > 0 && tok.Kind == lexicon.Word {
		// What follows up to the next mark is a condition: it is not read.
		if q, k := t.Match(toks, i, "qualifiers"); k <= n || q.Key != "approx" {
			j := i + n
			for j < len(toks) && toks[j].Kind != lexicon.Mark {
				j++
			}
			r.out.Unread = append(r.out.Unread, spanOf(toks, i, j-i))
			return j - i
		}
	}
	if _, n := t.Match(toks, i, "qualifiers"); n > 0 && tok.Kind == lexicon.Word {
		if s, _ := t.Match(toks, i, "qualifiers"); s.Key == "approx" {
			return r.read(i, n)
		} else if s.Key == "or" || s.Key == "over" {
			r.out.Question = true
			return r.read(i, n)
		}
	}
	return r.item(i)
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

// signed says whether the + or - at token i says more or less than now: it
// begins the cell or a piece of it, and a number follows right behind it.
func (r *amountReader) signed(i int) bool {
	if i+1 >= len(r.toks) {
		return false
	}
	if i > 0 {
		last := r.toks[i-1]
		afterSame := len(r.els) > 0 && r.els[len(r.els)-1].part.Same
		if !(last.Text == "/" || last.Text == ";" || last.Text == "\n" || last.Text == "," || last.Text == ":" || afterSame || len(r.els) > 0 && r.els[len(r.els)-1].kind == aMeal) {
			return false
		}
	}
	_, n := quantity.ReadNumber(r.w.t, r.toks, i+1)
	return n > 0 && (r.toks[i+1].Glued || i == 0)
}

// clockMeal reads an hour as a meal: "7am", "17h", "6 Uhr", "6.30:".
func (r *amountReader) clockMeal(i int) int {
	toks := r.toks
	minute, n := ReadClock(r.w.t, r.text, toks, i)
	if m, ok := dotted(toks[i].Of(r.text)); n == 0 && ok && m%15 == 0 && len(r.els) > 0 && r.els[len(r.els)-1].kind == anItem && r.els[len(r.els)-1].part.Known &&
		(i+1 >= len(toks) || toks[i+1].Kind == lexicon.Mark) {
		minute, n = m, 1 // "1 kg nuts 12.00"
	}
	if n == 0 {
		return 0
	}
	r.els = append(r.els, element{kind: aMeal, meal: ClockMeal(minute), span: spanOf(toks, i, n)})
	n = r.read(i, n)
	for i+n < len(toks) && toks[i+n].Text == ":" {
		n += r.read(i+n, 1)
	}
	return n
}

// often takes a word for how often a day.
func (r *amountReader) often(i int, s lexicon.Sense, n int) int {
	e := element{kind: aTimes, span: spanOf(r.toks, i, n)}
	switch s.Key {
	case "day":
		e.day = true
	case "feed":
		e.feed = true
	case "split":
		e.day = true
	default:
		e.times = int(s.Key[0] - '0')
	}
	r.els = append(r.els, e)
	return r.read(i, n)
}

// multiplier takes "x2" or "x 3" behind something.
func (r *amountReader) multiplier(i int) int {
	if i+1 < len(r.toks) && r.toks[i+1].Whole && r.toks[i+1].Value >= 1 && r.toks[i+1].Value <= 8 && len(r.els) > 0 {
		r.els = append(r.els, element{kind: aTimes, times: int(r.toks[i+1].Value), text: "x", span: spanOf(r.toks, i, 2)})
		n := r.read(i, 2)
		if s, k := r.w.t.Match(r.toks, i+2, "times"); k > 0 && s.Key == "day" { // "x2 a day", "x3 daily"
			n += r.read(i+2, k)
		}
		return n
	}
	return 0
}

// amountWord takes "none", "same", "ad lib", "more" and the like inside a cell.
func (r *amountReader) amountWord(i int, s lexicon.Sense, n int) int {
	switch s.Key {
	case "same":
		r.els = append(r.els, element{kind: anItem, part: Part{Span: spanOf(r.toks, i, n), Same: true}, span: spanOf(r.toks, i, n)})
	case "ditto":
		if r.toks[i].Upper && !r.toks[i].Dot {
			return 0
		}
		r.out.Ditto = true
	case "ad lib":
		if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && !r.els[k].part.Known {
			r.els[k].part.AdLib = true
			break
		}
		r.els = append(r.els, element{kind: anItem, part: Part{Span: spanOf(r.toks, i, n), AdLib: true}, span: spanOf(r.toks, i, n)})
	case "none":
		r.els = append(r.els, element{kind: anItem, part: Part{Known: true, Span: spanOf(r.toks, i, n), Vague: noFeed}, span: spanOf(r.toks, i, n)})
	case "more", "less":
		sign := 1
		if s.Key == "less" {
			sign = -1
		}
		// "½ sc more" looks back, "up ½ sc" forward.
		if _, k := quantity.ReadNumber(r.w.t, r.toks, i+n); k > 0 && (i == 0 || r.toks[i-1].Kind == lexicon.Mark || len(r.els) == 0 || r.els[len(r.els)-1].kind != anItem) {
			before := len(r.els)
			m := r.item(i + n)
			if len(r.els) > before {
				r.els[before].part.Relative = sign
			}
			return r.read(i, n) + m
		}
		if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.Known && r.els[k].part.Relative == 0 && (s.Key == "less" || r.toks[i].Text != "plus" && r.toks[i].Text != "add" && r.toks[i].Text != "y") {
			p := &r.els[k].part
			p.Relative = sign
			m := 0
			if p.Feed == "" { // "0,5 kg mehr Hafer"
				m = r.feed(i+n, p)
			}
			return r.read(i, n+m)
		}
		if s.Key == "less" || len(r.els) == 0 { // "less oats": how much less?
			r.out.Unread = append(r.out.Unread, spanOf(r.toks, i, n))
			return n
		}
		r.els = append(r.els, element{kind: aSeparator, text: "+", span: spanOf(r.toks, i, n)})
	case "only", "of":
	case "with":
		r.els = append(r.els, element{kind: aSeparator, text: "+", span: spanOf(r.toks, i, n)})
	case "to taste":
		r.out.Question = true
	default:
		return 0
	}
	return r.read(i, n)
}

// item reads a feed with its amount, in either order.
func (r *amountReader) item(i int) int {
	t, toks := r.w.t, r.toks
	start := i
	var p Part
	sign := 0
	if i+1 < len(toks) && (toks[i].Text == "+" || toks[i].Text == "-") {
		sign = map[string]int{"+": 1, "-": -1}[toks[i].Text]
		i++
	}
	// "2x" at the end, "2x/day": how often.
	if len(r.els) > 0 && toks[i].Whole && i+1 < len(toks) && toks[i+1].Text == "x" && toks[i].Value >= 1 && toks[i].Value <= 8 {
		s, n := t.Match(toks, i+2, "times")
		if n > 0 && s.Key == "day" || i+2 >= len(toks) || toks[i+2].Kind == lexicon.Mark && toks[i+2].Text != "/" {
			r.els = append(r.els, element{kind: aTimes, times: int(toks[i].Value), span: spanOf(toks, i, 2+n)})
			return r.read(i, 2+n)
		}
	}
	// "2 x": so many of what follows.
	if i+1 < len(toks) && toks[i].Whole && toks[i+1].Text == "x" && toks[i].Value >= 1 && toks[i].Value <= 8 {
		if _, n := quantity.ReadNumber(t, toks, i+2); n > 0 { // "2 x 1 scoop"
			p.Times = int(toks[i].Value)
			i += 2
		} else if _, n := t.Match(toks, i+2, "measures", "units"); n > 0 { // "2 x scoop"
			p.Value, p.Known = toks[i].Value, true
			i += 2
		}
	}
	if !p.Known {
		if num, n := quantity.ReadRange(t, toks, i); n > 0 {
			p.Value, p.High, p.Other, p.Known = num.Value, num.High, num.Other, true
			i += n
		}
	}
	unitAt := func() { i += r.unit(i, &p) }
	unitAt()
	if p.Unit != "" && p.Known && p.High == 0 { // "3 lb 8 oz", "1 kg 500 g"
		if f, n := quantity.ReadAndFraction(t, toks, i); n > 0 && p.Value == math.Trunc(p.Value) { // "une mesure et demie"
			if _, k := t.Match(toks, i+n, "units", "measures", "vague"); k == 0 {
				p.Value += f
				i += n
			}
		} else if more, n := quantity.ReadNumber(t, toks, i); n > 0 {
			if u, k := quantity.ReadUnit(t, toks, i+n, quantity.Mass); k > 0 {
				big, _ := quantity.KgPer(p.Unit)
				small, _ := quantity.KgPer(u)
				if small > 0 && big > small && more.Value*small < big {
					p.Value = exact(p.Value + more.Value*small/big)
					i += n + k
				}
			}
		}
	}
	i += r.feed(i, &p)
	// Feed first: "nuts 1 sc".
	if p.Feed != "" && !p.Known && p.Vague == "" {
		j := i
		if j < len(toks) && (toks[j].Text == ":" || toks[j].Text == "-" && !toks[j].Glued || toks[j].Text == "=") {
			j++
		}
		if num, n := quantity.ReadRange(t, toks, j); n > 0 {
			if _, isClock := ReadClock(t, r.text, toks, j); isClock == 0 {
				p.Value, p.High, p.Other, p.Known = num.Value, num.High, num.Other, true
				i = j + n
				unitAt()
				if more := r.feedRest(i); more > 0 {
					i += more
				}
			}
		} else if s, n := t.Match(toks, j, "vague"); n > 0 {
			p.Vague = s.Key
			i = j + n
		}
	}
	if per, isMass := quantity.KgPer(p.Unit); isMass && p.Known && p.Feed == "" && start > 0 && (toks[start-1].Text == "(" || toks[start-1].Text == "=") {
		if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.IsMeasure && r.els[k].part.GivenKg == 0 { // "2 scoops (3 kg)"
			r.els[k].part.GivenKg = exact(p.Value * per)
			return r.read(start, i-start)
		}
	}
	// Words alone that are no feed anybody knows are none: they are left unread.
	if !p.Known && p.Vague == "" && p.Unit == "" && p.FeedKey == "" && p.Feed != "" && (r.ctx.Feeds == nil || !r.ctx.Feeds(p.Feed)) {
		r.out.Unread = append(r.out.Unread, spanOf(toks, start, i-start))
		return i - start
	}
	if i == start || !p.Known && p.Feed == "" && p.Vague == "" && p.Unit == "" {
		i = max(i, start+1)
		r.out.Unread = append(r.out.Unread, spanOf(toks, start, i-start))
		return i - start
	}
	if p.Unit != "" && !p.Known {
		p.Value, p.Known = 1, true // "scoop nuts"
	}
	p.Relative = sign
	// "no oats": none of it.
	if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.Vague == noFeed && toks[start-1].End == r.els[k].part.End && p.Feed != "" && !p.Known && toks[start-1].Kind == lexicon.Word {
		p.Known, p.Value = true, 0
		r.els = r.els[:k]
		r.out.excluded++
	}
	p.Span = spanOf(toks, start, i-start)
	r.els = append(r.els, element{kind: anItem, part: p, span: p.Span})
	return r.read(start, i-start)
}

// feedRest takes nothing: words behind an amount that came behind its feed
// belong to what follows.
func (r *amountReader) feedRest(int) int { return 0 }

// unit reads the unit or measure at token i into p, and says how many tokens it
// took.
func (r *amountReader) unit(i int, p *Part) int {
	t, toks, from := r.w.t, r.toks, i
	if p.Unit != "" {
		return 0
	}
	for i < len(toks) { // "1 level scoop", "2 big sc", "un demi-litre"
		if s, n := t.Match(toks, i, "measures", "vague"); n > 0 {
			if s.Section == "vague" {
				p.Vague = s.Key
			} else {
				p.Unit, p.IsMeasure = s.Key, true
			}
			p.UnitWord = r.text[toks[i].Start:toks[i+n-1].End]
			return i + n - from
		}
		if u, n := quantity.ReadUnit(t, toks, i, quantity.Mass, quantity.Volume); n > 0 && p.Known && u != "st" {
			p.Unit, p.UnitWord = u, r.text[toks[i].Start:toks[i+n-1].End]
			return i + n - from
		}
		if toks[i].Text == "c" && p.Known { // American: "1 c oats"
			if _, n := t.Match(toks, i+1, "feeds"); n > 0 {
				p.Unit, p.UnitWord, p.IsMeasure = "cup", "c", true
				return i + 1 - from
			}
		}
		if toks[i].Text == "-" && toks[i].Glued && i > 0 && i+1 < len(toks) && toks[i+1].Glued && p.Known {
			i++
			continue
		}
		if _, n := t.Match(toks, i, "sizes"); n > 0 {
			if _, m := t.Match(toks, i+n, "measures", "vague"); m > 0 || p.Known {
				i += n
				continue
			}
		}
		break
	}
	return 0
}

// feed reads the name of a feed at token i into p.
func (r *amountReader) feed(i int, p *Part) int {
	t, toks := r.w.t, r.toks
	n := 0
	for i+n < len(toks) {
		if s, k := t.Match(toks, i+n, "amounts"); k > 0 && s.Key == "of" && n == 0 {
			n += k
			continue
		}
		break
	}
	from := i + n
	j := from
	key := ""
	for j < len(toks) {
		tok := toks[j]
		if tok.Text == "&" && tok.Glued && j > from && j+1 < len(toks) && toks[j+1].Glued { // "A&P mix"
			j += 2
			continue
		}
		if tok.Kind != lexicon.Word && !(tok.Kind == lexicon.Number && tok.Glued && j > from && toks[j-1].Kind == lexicon.Word) {
			if tok.Text == "-" && tok.Glued && j+1 < len(toks) && toks[j+1].Glued && toks[j+1].Kind == lexicon.Word && j > from {
				j++
				continue
			}
			break
		}
		if s, k := t.Match(toks, j, "feeds"); k > 0 {
			if s.Key == "hay" && (key == "hard" || key == "balancer") && r.endsItem(j+k) {
				break // "2 scoops cubes hay ad lib"
			}
			if key == "" || key == "hard" && s.Key != "hay" {
				key = s.Key
			}
			j += k
			continue
		}
		if r.ctx.Feeds != nil && r.ctx.Feeds(r.text[tok.Start:tok.End]) {
			j++
			continue
		}
		if _, k := t.Match(toks, j, "times", "meals"); k > 0 {
			break
		}
		if _, k := t.Match(toks, j, "breaks"); k > 0 {
			break
		}
		if _, k := t.Match(toks, j, "manner"); k > 0 && j > from {
			break
		}
		if s, k := t.Match(toks, j, "amounts"); k > 0 {
			switch s.Key {
			case "of":
				j += k
				continue
			case "to taste", "vet":
			}
			break
		}
		if _, k := t.Match(toks, j, "weekdays", "qualifiers"); k > 0 && j == from {
			break
		}
		if s, k := t.Match(toks, j, "qualifiers"); k > 0 && (s.Key == "or" || s.Key == "approx" || s.Key == "over") {
			break
		}
		if _, k := t.Match(toks, j, "measures"); k > 0 && key != "" && !p.Known {
			break // "nuts scoop"
		}
		j++
	}
	if j == from {
		return 0
	}
	// A trailing "de" or hyphen is not part of the name.
	p.Feed = strings.Join(strings.Fields(r.text[toks[from].Start:toks[j-1].End]), " ")
	p.FeedKey = key
	return j - i
}

// endsItem says whether what stands at token j is no further word of a feed's name:
// the end, a number, a mark, or a word of amounts.
func (r *amountReader) endsItem(j int) bool {
	if j >= len(r.toks) || r.toks[j].Kind != lexicon.Word {
		return true
	}
	_, n := r.w.t.Match(r.toks, j, "amounts", "vague", "manner", "times", "meals")
	return n > 0
}

// assemble gives each item its meals and how often, and puts the feeds where
// they are left out.
func (r *amountReader) assemble() {
	els := r.els
	leading := len(els) > 0 && els[0].kind == aMeal
	type group struct {
		items []int
		meals []string
	}
	var groups []group
	var cur group
	flush := func() {
		if len(cur.items) > 0 {
			groups = append(groups, cur)
		}
		cur = group{}
	}
	var meals []string // of a leading meal, in force
	for k := 0; k < len(els); k++ {
		e := &els[k]
		switch e.kind {
		case aMeal:
			// Meals with nothing but marks between them belong together.
			list := []string{e.meal}
			j := k + 1
			for j < len(els) {
				if els[j].kind == aMeal {
					list = append(list, els[j].meal)
					j++
					continue
				}
				if els[j].kind == aSeparator && j+1 < len(els) && els[j+1].kind == aMeal && els[j].text != "\n" && (j+2 >= len(els) || !leading || els[j+2].kind == aMeal || els[j+2].kind == anItem) {
					// "am / pm": one more of the same
					list = append(list, els[j+1].meal)
					j += 2
					continue
				}
				break
			}
			toNext := leading || len(cur.items) == 0 && j < len(els) && els[j].kind == anItem
			if toNext {
				flush()
				meals = list
				cur.meals = list
			} else {
				cur.meals = list
				flush()
			}
			k = j - 1
		case anItem:
			if leading && cur.meals == nil {
				cur.meals = meals
			}
			cur.items = append(cur.items, k)
		}
	}
	flush()
	// How often: behind all items it is for all of them, else for those before it
	// since the last mark of the outer kind.
	all := []int{}
	for k, e := range els {
		switch e.kind {
		case anItem:
			all = append(all, k)
		case aTimes:
			last := !slices.ContainsFunc(els[k:], func(x element) bool { return x.kind == anItem })
			to := all
			if !last {
				to = nil
				for b := len(all) - 1; b >= 0; b-- {
					to = append(to, all[b])
					if all[b] > 0 && els[all[b]-1].kind == aSeparator && strings.Contains(";/\n", els[all[b]-1].text) {
						break
					}
				}
			}
			for _, i := range to {
				p := &els[i].part
				switch {
				case e.day:
					p.PerDay = true
				case e.feed:
					p.PerFeed = true
				case p.Times == 0:
					p.Times = e.times
				}
			}
			if e.text == "x" && last && len(all) > 1 && (k == 0 || els[k-1].kind != aSeparator) {
				r.out.Why = "times"
			}
		}
	}
	feed, key := "", ""
	// A number without a unit has that of the part before it in the cell, else of
	// the first part that has one.
	unit := struct {
		Unit      string
		IsMeasure bool
		from      int
	}{from: len(els)}
	for k, e := range els {
		if e.kind == anItem && e.part.Unit != "" && e.part.UnitFrom == "" {
			unit.Unit, unit.IsMeasure, unit.from = e.part.Unit, e.part.IsMeasure, k
			break
		}
	}
	var parts []Part
	for _, g := range groups {
		for _, k := range g.items {
			p := els[k].part
			if p.Vague == noFeed {
				continue
			}
			// "same + ½ sc nuts"
			b, plus := k-1, false
			for b >= 0 && els[b].kind == aSeparator {
				plus = plus || els[b].text == "+"
				b--
			}
			if plus && b >= 0 && els[b].part.Same && p.Known && p.Relative == 0 {
				p.Relative = 1
			}
			if p.Feed != "" {
				feed, key = p.Feed, p.FeedKey
			} else if p.Known && !p.Same {
				p.Feed, p.FeedKey = feed, key
			}
			if p.Unit == "" && p.Vague == "" && p.Known && p.Value != 0 && unit.Unit != "" && (unit.from < k || r.ctx.Unit == "") {
				p.Unit, p.IsMeasure, p.UnitFrom = unit.Unit, unit.IsMeasure, "cell"
			} else if p.Unit == "" && p.Vague == "" && p.Known {
				p.Unit = r.ctx.Unit
				_, m := quantity.KgPer(p.Unit)
				_, v := quantity.LitresPer(p.Unit)
				p.IsMeasure = p.Unit != "" && !m && !v
			}
			if els[k].part.Unit != "" {
				unit.Unit, unit.IsMeasure, unit.from = els[k].part.Unit, els[k].part.IsMeasure, k
			}
			if p.Relative != 0 && p.Unit == "" && p.Known && p.Value < 1 && r.ctx.Unit == "" {
				r.out.Question = true // "half less"
			}
			ms := g.meals
			if len(ms) == 0 {
				ms = []string{r.ctx.Meal}
			}
			for _, m := range ms {
				q := p
				q.Meal = m
				parts = append(parts, q)
			}
		}
	}
	if r.out.Why == "times" {
		alt := slices.Clone(parts)
		for i := range alt[:len(alt)-1] {
			alt[i].Times = 0
		}
		r.out.Alternative = alt
	}
	if len(all) > 0 && len(parts) == 0 {
		r.out.None = true
	}
	// Alone and of no meal it is said of the whole cell.
	whole := func(p Part) bool { return p.Feed == "" && p.Meal == r.ctx.Meal && p.Unit == "" }
	if len(parts) == 1 && parts[0].AdLib && whole(parts[0]) {
		r.out.AdLib, parts = true, nil
	}
	if k := slices.IndexFunc(parts, func(p Part) bool { return p.Same && whole(p) }); k >= 0 {
		r.out.Same, parts = true, slices.Delete(parts, k, k+1)
	}
	if r.out.excluded > 0 && r.out.excluded == len(parts) {
		r.out.Question = true // "no oats" alone says nothing of the rest
	}
	r.out.Parts = parts
}
