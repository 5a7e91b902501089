package phrase

import (
	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// amountPieces are what may begin at a token, in the order they are tried: each says
// how many tokens it took, 0 for none. What none takes is a feed with its amount.
var amountPieces = []func(*amountReader, int) int{
	(*amountReader).mark, (*amountReader).clockMeal, (*amountReader).phrase, (*amountReader).manner, (*amountReader).set, (*amountReader).condition, (*amountReader).qualifier,
}

// step reads what begins at token i and says how many tokens it took.
func (r *amountReader) step(i int) int {
	for _, take := range amountPieces {
		if n := take(r, i); n > 0 {
			return n
		}
	}
	return r.item(i)
}

// add puts an element behind those there are, and says how many tokens it took.
func (r *amountReader) add(e element, i, n int) int {
	e.span = spanOf(r.toks, i, n)
	r.els = append(r.els, e)
	return r.read(i, n)
}

// unread leaves n tokens unread, and says so.
func (r *amountReader) unread(i, n int) int {
	r.out.Unread = append(r.out.Unread, spanOf(r.toks, i, n))
	return n
}

// mark takes a sign.
func (r *amountReader) mark(i int) int {
	tok := r.toks[i]
	if tok.Kind != lexicon.Mark {
		return 0
	}
	switch tok.Text {
	case "?":
		r.out.Question = true
		return r.read(i, 1)
	case "+", "&", ",", ";", "/", "\n", "|":
		return r.separator(i)
	case "-":
		return r.dash(i)
	case "x":
		if n := r.multiplier(i); n > 0 {
			return n
		}
		return r.read(i, 1)
	case "(", "[":
		if p := r.last(); p != nil && p.Vague == "" && (p.Known || p.Feed != "") {
			r.bracket = len(r.els)
		}
		return r.read(i, 1)
	case ")", "]":
		r.closeBracket()
		return r.read(i, 1)
	case "~", ".", "!", ":", "=", "'", "\"", "*":
		return r.read(i, 1)
	}
	if s, n := r.w.t.Match(r.toks, i, "units", "times"); n > 0 && s.Section == "times" {
		return r.often(i, s, n)
	}
	return r.unread(i, 1)
}

// separator takes a sign between amounts, unless it is the sign of one ("+½") or begins
// a word ("/day").
func (r *amountReader) separator(i int) int {
	toks, text := r.toks, r.toks[i].Text
	if text == "+" && r.signed(i) {
		return r.item(i)
	}
	if s, n := r.w.t.Match(toks, i, "times"); n > 1 {
		return r.often(i, s, n)
	}
	if text == "/" && i+2 < len(toks) && toks[i+1].Whole && toks[i+1].Value == 100 { // "100 g/100 kg"
		return r.unread(i, 3)
	}
	return r.add(element{kind: aSeparator, text: text}, i, 1)
}

// dash takes a dash: less than now, nothing ("am –, pm 1 sc"), or a sign between
// amounts.
func (r *amountReader) dash(i int) int {
	if r.signed(i) {
		return r.item(i)
	}
	if i == 0 || len(r.els) > 0 && r.els[len(r.els)-1].kind == aMeal {
		return r.add(element{kind: anItem, part: Part{Known: true, Span: r.toks[i].Span, Vague: noFeed}}, i, 1)
	}
	return r.add(element{kind: aSeparator, text: "-"}, i, 1)
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

// phrase takes how often, a meal, and the words for "none", "same", "more".
func (r *amountReader) phrase(i int) int {
	t, toks := r.w.t, r.toks
	senses, n := t.Senses(toks, i, "times", "meals", "amounts")
	if n == 0 || n == 1 && toks[i].Kind == lexicon.Number {
		return 0
	}
	if m, k := t.Match(toks, i, "feeds", "measures", "vague"); k > n || k == n && m.Section == "measures" && toks[i].Kind == lexicon.Word && senses[0].Section == "meals" {
		return 0 // "feed oats" is not an amount word
	}
	switch s := preferred(senses, "times", "meals", "amounts"); s.Section {
	case "times":
		return r.often(i, s, n)
	case "meals":
		return r.colons(i, r.add(element{kind: aMeal, meal: s.Key}, i, n))
	case "amounts":
		return r.amountWord(i, s, n)
	}
	return 0
}

// colons takes the colons behind the n tokens from i on.
func (r *amountReader) colons(i, n int) int {
	for i+n < len(r.toks) && r.toks[i+n].Text == ":" {
		n += r.read(i+n, 1)
	}
	return n
}

// manner takes how it is fed, which changes nothing: "soaked".
func (r *amountReader) manner(i int) int {
	_, n := r.w.t.Match(r.toks, i, "manner")
	if n == 0 || len(r.els) == 0 {
		return 0
	}
	if _, f := r.w.t.Match(r.toks, i+n, "feeds"); f > 0 {
		return 0
	}
	return r.read(i, n)
}

// set takes "reduce to", and "erhöhen" behind "auf 2 kg".
func (r *amountReader) set(i int) int {
	s, n := r.w.t.Match(r.toks, i, "amounts")
	if n == 0 || s.Key != "set" {
		return 0
	}
	if _, k := quantity.ReadNumber(r.w.t, r.toks, i+n); k > 0 {
		if r.toks[i].Text == "up" && n == 2 {
			r.out.Question = true // "up to 2 scoops": at most, or from now on?
		}
		r.setTo = true
		return r.read(i, n)
	}
	if r.setTo {
		return r.read(i, n)
	}
	return 0
}

// condition leaves what holds only sometimes unread up to the next mark: "if working".
func (r *amountReader) condition(i int) int {
	toks := r.toks
	_, n := r.w.t.Match(toks, i, "breaks")
	if n == 0 || toks[i].Kind != lexicon.Word {
		return 0
	}
	if q, k := r.w.t.Match(toks, i, "qualifiers"); k > n && q.Key == "approx" {
		return 0
	}
	j := i + n
	for j < len(toks) && toks[j].Kind != lexicon.Mark {
		j++
	}
	return r.unread(i, j-i)
}

// qualifier takes "about", and the words that leave an amount open.
func (r *amountReader) qualifier(i int) int {
	s, n := r.w.t.Match(r.toks, i, "qualifiers")
	if n == 0 || r.toks[i].Kind != lexicon.Word {
		return 0
	}
	switch s.Key {
	case "or", "over":
		r.out.Question = true
	case "approx":
	default:
		return 0
	}
	return r.read(i, n)
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
