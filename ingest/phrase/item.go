package phrase

import (
	"math"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// itemReader reads one feed with its amount, in either order.
type itemReader struct {
	*amountReader
	start, i int // the first token, and the next one
	p        Part
}

// item reads a feed with its amount at token i: "1½ sc nuts", "2 x scoop", "nuts 1
// sc", "a good scoop of nuts", "kilo y medio". It takes at least one token.
func (r *amountReader) item(i int) int {
	x := itemReader{amountReader: r, start: i, i: i}
	sign := x.sign()
	if n := r.howOften(x.i); n > 0 {
		return n
	}
	x.amount()
	x.i += r.feed(x.i, &x.p)
	x.amountBehind()
	if x.weighsSoMuch() {
		return r.read(x.start, x.i-x.start)
	}
	if x.nothing() {
		x.i = max(x.i, x.start+1)
		r.out.Unread = append(r.out.Unread, spanOf(r.toks, x.start, x.i-x.start))
		return x.i - x.start
	}
	p := &x.p
	if p.Unit != "" && !p.Known {
		p.Value, p.Known = 1, true // "scoop nuts"
	}
	p.Relative = sign
	x.denied()
	p.Span = spanOf(r.toks, x.start, x.i-x.start)
	if x.besideAnother() {
		r.out.Question = true
	}
	r.els = append(r.els, element{kind: anItem, part: x.p, span: p.Span})
	return r.read(x.start, x.i-x.start)
}

// sign takes the + or - of an amount that is more or less than now.
func (x *itemReader) sign() int {
	if x.i+1 >= len(x.toks) {
		return 0
	}
	sign := map[string]int{"+": 1, "-": -1}[x.toks[x.i].Text]
	if sign != 0 {
		x.i++
	}
	return sign
}

// howOften reads "2/day" behind an amount, "2x" at the end, and "2x a day".
func (r *amountReader) howOften(i int) int {
	t, toks := r.w.t, r.toks
	if !toks[i].Whole || toks[i].Value < 1 || toks[i].Value > 8 || i+1 >= len(toks) {
		return 0
	}
	times := func(n int) int {
		r.els = append(r.els, element{kind: aTimes, times: int(toks[i].Value), span: spanOf(toks, i, n)})
		return r.read(i, n)
	}
	switch toks[i+1].Text {
	case "/":
		if s, n := t.Match(toks, i+1, "times"); n > 0 && s.Key == "day" && r.behindAmount() && toks[i].Value <= 6 {
			return times(1 + n)
		}
	case "x":
		s, n := t.Match(toks, i+2, "times")
		end := i+2 >= len(toks) || toks[i+2].Kind == lexicon.Mark && toks[i+2].Text != "/"
		if n > 0 && s.Key == "day" || len(r.els) > 0 && end {
			return times(2 + n)
		}
	}
	return 0
}

// last is the element read last where it is an item, else nil.
func (r *amountReader) last() *Part {
	if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem {
		return &r.els[k].part
	}
	return nil
}

// behindAmount says whether what was read last is an amount.
func (r *amountReader) behindAmount() bool { p := r.last(); return p != nil && p.Known }

// amount reads the number and the unit, as far as they are before the feed.
func (x *itemReader) amount() {
	x.count()
	if !x.p.Known {
		x.number()
	}
	if !x.p.Known {
		x.sizedMeasure()
	}
	if !x.p.Known {
		x.unitAndAHalf()
	}
	x.i += x.unit(x.i, &x.p)
	x.rest()
}

// count reads "2 x 1 scoop" and "2 x scoop": so many of what follows.
func (x *itemReader) count() {
	t, toks, i := x.w.t, x.toks, x.i
	if i+1 >= len(toks) || !toks[i].Whole || toks[i+1].Text != "x" || toks[i].Value < 1 || toks[i].Value > 8 {
		return
	}
	if _, n := quantity.ReadNumber(t, toks, i+2); n > 0 {
		x.p.Times = int(toks[i].Value)
		x.i += 2
	} else if _, n := t.Match(toks, i+2, "measures", "units"); n > 0 {
		x.p.Value, x.p.Known = toks[i].Value, true
		x.i += 2
	}
}

// number reads a number or a range of two.
func (x *itemReader) number() {
	if num, n := quantity.ReadRange(x.w.t, x.toks, x.i); n > 0 {
		x.p.Value, x.p.High, x.p.Other, x.p.Known = num.Value, num.High, num.Other, true
		x.i += n
	}
}

// sizedMeasure reads "a good scoop": an article is a number there too.
func (x *itemReader) sizedMeasure() {
	t, toks := x.w.t, x.toks
	_, k := t.Match(toks, x.i, "articles")
	if k == 0 {
		return
	}
	if _, s := t.Match(toks, x.i+k, "sizes"); s == 0 {
		return
	}
	if n := x.unit(x.i+k, &x.p); n > 0 {
		x.p.Value, x.p.Known = 1, true
		x.i += k + n
	}
}

// unitAndAHalf reads "kilo y medio", "medida y media", "pound and a half".
func (x *itemReader) unitAndAHalf() {
	u := x.p
	u.Known = true
	n := x.unit(x.i, &u)
	if n == 0 || u.Unit == "" {
		return
	}
	if f, m := quantity.ReadAndFraction(x.w.t, x.toks, x.i+n); m > 0 {
		x.p = u
		x.p.Value = 1 + f
		x.i += n + m
	}
}

// rest reads what belongs to a number from behind its unit: "3 lb 8 oz", "1 kg 500
// g", "une mesure et demie", "1l5", "1 kg y 1/2".
func (x *itemReader) rest() {
	p, t, toks, i := &x.p, x.w.t, x.toks, x.i
	if p.Unit == "" || !p.Known || p.High != 0 {
		return
	}
	whole := p.Value == math.Trunc(p.Value)
	if f, n := quantity.ReadAndFraction(t, toks, i); n > 0 && whole {
		if _, k := t.Match(toks, i+n, "units", "measures", "vague"); k == 0 {
			p.Value += f
			x.i += n
		}
		return
	}
	if more, n := quantity.Behind(t, toks, i, p.Unit); n > 0 && whole && (n == len(toks)-i || !p.IsMeasure) {
		p.Value = exact(p.Value + more)
		x.i += n
		return
	}
	if _, k := t.Match(toks, i, "number joins"); k > 0 && whole && i+k+1 == len(toks) && toks[i+k].Kind == lexicon.Number && !toks[i+k].Whole && toks[i+k].Value < 1 {
		p.Value += toks[i+k].Value
		x.i += k + 1
		return
	}
	x.smallerUnit()
}

// smallerUnit reads the ounces behind pounds and the grams behind kilograms.
func (x *itemReader) smallerUnit() {
	p, t, toks := &x.p, x.w.t, x.toks
	more, n := quantity.ReadNumber(t, toks, x.i)
	if n == 0 {
		return
	}
	u, k := quantity.ReadUnit(t, toks, x.i+n, quantity.Mass)
	if k == 0 {
		return
	}
	big, _ := quantity.KgPer(p.Unit)
	small, _ := quantity.KgPer(u)
	if small > 0 && big > small && more.Value*small < big {
		p.Value = exact(p.Value + more.Value*small/big)
		x.i += n + k
	}
}

// amountBehind reads an amount that is behind its feed: "nuts 1 sc", "nuts: 2",
// "chaff handful".
func (x *itemReader) amountBehind() {
	p, t, toks := &x.p, x.w.t, x.toks
	if p.Feed == "" || p.Known || p.Vague != "" {
		return
	}
	j := x.i
	if j < len(toks) && (toks[j].Text == ":" || toks[j].Text == "-" && !toks[j].Glued || toks[j].Text == "=") {
		j++
	}
	if num, n := quantity.ReadRange(t, toks, j); n > 0 {
		if _, isClock := ReadClock(t, x.text, toks, j); isClock == 0 {
			p.Value, p.High, p.Other, p.Known = num.Value, num.High, num.Other, true
			x.i = j + n
			x.i += x.unit(x.i, p)
		}
	} else if s, n := t.Match(toks, j, "vague"); n > 0 {
		p.Vague = s.Key
		x.i = j + n
	}
}

// weighsSoMuch takes a weight in brackets as what the amount before it weighs: "2
// scoops (3 kg)".
func (x *itemReader) weighsSoMuch() bool {
	per, isMass := quantity.KgPer(x.p.Unit)
	if !isMass || !x.p.Known || x.p.Feed != "" || x.start == 0 {
		return false
	}
	if before := x.toks[x.start-1].Text; before != "(" && before != "=" {
		return false
	}
	last := x.last()
	if last == nil || !last.IsMeasure || last.GivenKg != 0 {
		return false
	}
	last.GivenKg = exact(x.p.Value * per)
	return true
}

// nothing says whether no item was read: words alone that are no feed anybody knows
// are none.
func (x *itemReader) nothing() bool {
	p := &x.p
	if p.Known || p.Vague != "" || p.Unit != "" {
		return x.i == x.start
	}
	if p.Feed == "" {
		return true
	}
	return x.i == x.start || p.FeedKey == "" && (x.ctx.Feeds == nil || !x.ctx.Feeds(p.Feed))
}

// denied takes "no oats": none of it.
func (x *itemReader) denied() {
	last := x.last()
	if last == nil || last.Vague != noFeed || x.p.Feed == "" || x.p.Known {
		return
	}
	if before := x.toks[x.start-1]; before.End == last.End && before.Kind == lexicon.Word {
		x.p.Known, x.p.Value = true, 0
		x.els = x.els[:len(x.els)-1]
		x.out.excluded++
	}
}

// besideAnother says whether the item is beside another amount with nothing
// between, so that nobody knows what is meant: "1..5 kg", "1 sc 50/50 nuts", "1 sc no
// 1 cubes".
func (x *itemReader) besideAnother() bool {
	p, last := &x.p, x.last()
	if last == nil || !p.Known {
		return false
	}
	if k := len(x.els) - 1; k > 0 && last.Vague == noFeed && x.els[k-1].kind == anItem && x.toks[x.start-1].Kind == lexicon.Word {
		return true
	}
	return (p.Vague == "" || last.Unit != "") && last.Known && last.Vague == "" && !last.Same &&
		(last.Feed == "" || p.Feed == "") && p.Relative == 0 && x.bracket < 0
}

// unit reads the unit or measure at token i into p with the words for its size
// before and behind, and says how many tokens it took.
func (r *amountReader) unit(i int, p *Part) int {
	n := r.bareUnit(i, p)
	if n == 0 || !p.IsMeasure {
		return n
	}
	for {
		s, k := r.w.t.Match(r.toks, i+n, "sizes")
		if k == 0 {
			return n
		}
		if _, m := r.w.t.Match(r.toks, i+n, "feeds"); m > k {
			return n
		}
		r.size(i+n, k, s, p)
		n += k
	}
}

// size keeps a word for the size of a measure.
func (r *amountReader) size(i, n int, s lexicon.Sense, p *Part) {
	if s.Key == unlike && p.Size == "" {
		p.Size = lexicon.Fold(spanOf(r.toks, i, n).Of(r.text))
	}
}

// unlike is the key of sizes that are more or less than the usual measure.
const unlike = "unlike"

// bareUnit is [amountReader.unit] without the words for a size behind: "1 level
// scoop", "2 big sc", "un demi-litre".
func (r *amountReader) bareUnit(i int, p *Part) int {
	if p.Unit != "" {
		return 0
	}
	for from := i; i < len(r.toks); {
		if n := r.unitHere(i, p); n > 0 {
			return i + n - from
		}
		n := r.beforeUnit(i, p)
		if n == 0 {
			break
		}
		i += n
	}
	return 0
}

// unitHere reads the unit or measure at token i itself.
func (r *amountReader) unitHere(i int, p *Part) int {
	t, toks := r.w.t, r.toks
	if s, n := t.Match(toks, i, "measures", "vague"); n > 0 {
		if s.Section == "vague" {
			p.Vague = s.Key
		} else {
			p.Unit, p.IsMeasure = s.Key, true
		}
		p.UnitWord = spanOf(toks, i, n).Of(r.text)
		return n
	}
	if !p.Known {
		return 0
	}
	if u, n := quantity.ReadUnit(t, toks, i, quantity.Mass, quantity.Volume); n > 0 && u != "st" {
		p.Unit, p.UnitWord = u, spanOf(toks, i, n).Of(r.text)
		return n
	}
	if toks[i].Text == "c" { // American: "1 c oats"
		if _, n := t.Match(toks, i+1, "feeds"); n > 0 {
			p.Unit, p.UnitWord, p.IsMeasure = "cup", "c", true
			return 1
		}
	}
	return 0
}

// beforeUnit takes a hyphen or a word for a size that is before a unit.
func (r *amountReader) beforeUnit(i int, p *Part) int {
	toks := r.toks
	if toks[i].Text == "-" && toks[i].Glued && i > 0 && i+1 < len(toks) && toks[i+1].Glued && p.Known {
		return 1
	}
	s, n := r.w.t.Match(toks, i, "sizes")
	if n == 0 {
		return 0
	}
	if _, m := r.w.t.Match(toks, i+n, "measures", "vague"); m == 0 && !p.Known {
		return 0
	}
	r.size(i, n, s, p)
	return n
}

// isPercent says whether a sign or word for hundredths is at token i.
func (r *amountReader) isPercent(i int) bool {
	s, n := r.w.t.Match(r.toks, i, "units")
	return n > 0 && s.Key == "percent"
}

// joined is the name between two tokens with single blanks.
func (r *amountReader) joined(from, to int) string {
	return strings.Join(strings.Fields(r.text[r.toks[from].Start:r.toks[to-1].End]), " ")
}
