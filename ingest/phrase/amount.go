package phrase

import (
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

// hoursMayBeAmounts says whether what was read as an hour may be an amount and its
// meal: "1 am 2 pm" without another amount, "am 1 pm 2", "1 sc am & 2 pm".
func (r *amountReader) hoursMayBeAmounts() bool {
	small, items := false, false
	var before *element // a meal with nothing but marks behind it
	for k := range r.els {
		switch e := &r.els[k]; e.kind {
		case aMeal:
			if before != nil && (e.small && (before.small || before.word()) || before.small && e.word()) {
				return true
			}
			small, before = small || e.small, e
		case anItem:
			items, before = items || e.part.Known, nil
		case aTimes:
			before = nil
		}
	}
	return small && !items
}

// word says whether a meal is said by its name.
func (e *element) word() bool { return !strings.Contains(e.meal, ":") }

// mealList reads meals and then as many amounts: "morgens/mittags/abends 1/0,5/1 kg".
func (r *amountReader) mealList() int {
	t, toks := r.w.t, r.toks
	var meals []element
	i := 0
	for i < len(toks) {
		s, n := t.Match(toks, i, "meals")
		if n == 0 {
			break
		}
		meals = append(meals, element{kind: aMeal, meal: s.Key, span: spanOf(toks, i, n)})
		i += n
		if i < len(toks) && (toks[i].Text == "/" || toks[i].Text == "-" || toks[i].Text == ",") {
			i++
		}
	}
	if i < len(toks) && toks[i].Text == ":" {
		i++
	}
	var nums []quantity.Number
	for len(meals) > 1 {
		num, n := quantity.ReadNumber(t, toks, i)
		if n == 0 {
			break
		}
		nums = append(nums, num)
		i += n
		if i >= len(toks) || toks[i].Text != "/" && toks[i].Text != "-" {
			break
		}
		i++
	}
	if len(nums) < 2 || len(nums) != len(meals) {
		return 0
	}
	var last Part // a unit and a feed behind the last are those of all
	i += r.unit(i, &last)
	i += r.feed(i, &last)
	for k, num := range nums {
		p := last
		p.Span, p.Value, p.Known = num.Span, num.Value, true
		r.els = append(r.els, meals[k], element{kind: anItem, part: p, span: num.Span})
	}
	return r.read(0, i)
}

// closeBracket settles amounts in a bracket behind an amount: they say how it is
// dealt out ("1 kg nuts (500 g am, 500 g pm)"), or nobody knows.
func (r *amountReader) closeBracket() {
	from := r.bracket
	r.bracket = -1
	if from < 1 || from >= len(r.els) {
		return
	}
	whole, inside := r.els[from-1].part, r.els[from:]
	in := func(p Part) (float64, bool) { // in the unit of the whole
		if p.Unit == "" || p.Unit == whole.Unit {
			return p.Value, true
		}
		a, ok1 := quantity.KgPer(p.Unit)
		b, ok2 := quantity.KgPer(whole.Unit)
		return p.Value * a / b, ok1 && ok2
	}
	sum, amounts := 0.0, 0
	for _, e := range inside {
		if e.kind != anItem || !e.part.Known || e.part.Vague == noFeed {
			continue
		}
		v, ok := in(e.part)
		if e.part.Feed != "" && e.part.Feed != whole.Feed || !whole.Known && e.part.Feed != "" || e.part.Relative != 0 {
			return
		}
		if !ok && whole.Known {
			r.out.Question = true
			return
		}
		sum += v
		amounts++
	}
	switch {
	case amounts == 0:
	case !whole.Known && amounts == 1 && len(inside) == 1: // "beet (1 sc dry)"
		p := inside[0].part
		p.Feed, p.FeedKey, p.Span = whole.Feed, whole.FeedKey, whole.Span.Join(p.Span)
		r.els = append(r.els[:from-1], element{kind: anItem, part: p, span: p.Span})
	case !whole.Known:
	case amounts > 1 && exact(sum) == exact(whole.Value):
		for k := range inside {
			if p := &inside[k].part; inside[k].kind == anItem && p.Feed == "" {
				p.Feed, p.FeedKey = whole.Feed, whole.FeedKey
				if p.Unit == "" {
					p.Unit, p.UnitWord, p.IsMeasure = whole.Unit, whole.UnitWord, whole.IsMeasure
				}
			}
		}
		r.els = slices.Delete(r.els, from-1, from)
	default:
		r.out.Question = true
	}
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
		case "(", "[":
			if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.Vague == "" && (r.els[k].part.Known || r.els[k].part.Feed != "") {
				r.bracket = k + 1
			}
			return r.read(i, 1)
		case ")", "]":
			r.closeBracket()
			return r.read(i, 1)
		case "~", ".", "!", ":", "=", "'", "\"", "*":
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
			r.setTo = true
			return r.read(i, n)
		}
		if r.setTo {
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
	small := n == 2 && toks[i].Whole && toks[i].Value <= 4 && (toks[i+1].Text == "am" || toks[i+1].Text == "pm")
	if small && r.noClock {
		return 0
	}
	r.els = append(r.els, element{kind: aMeal, meal: ClockMeal(minute), small: small, span: spanOf(toks, i, n)})
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
	if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.Feed != "" && !r.els[k].part.Known && r.els[k].part.Vague == "" {
		if num, n := quantity.ReadNumber(r.w.t, r.toks, i+1); n > 0 { // "nuts x 2 scoops"
			p := r.els[k].part
			if u := r.unit(i+1+n, &p); u > 0 {
				p.Value, p.Known = num.Value, true
				r.els[k].part = p
				return r.read(i, 1+n+u)
			}
		}
	}
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
