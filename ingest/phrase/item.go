package phrase

import (
	"math"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

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
	// "2/day" behind an amount: how often.
	if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && r.els[k].part.Known && toks[i].Whole && toks[i].Value >= 1 && toks[i].Value <= 6 && i+1 < len(toks) && toks[i+1].Text == "/" {
		if s, n := t.Match(toks, i+1, "times"); n > 0 && s.Key == "day" {
			r.els = append(r.els, element{kind: aTimes, times: int(toks[i].Value), span: spanOf(toks, i, 1+n)})
			return r.read(i, 1+n)
		}
	}
	// "2x" at the end, "2x/day": how often.
	if toks[i].Whole && i+1 < len(toks) && toks[i+1].Text == "x" && toks[i].Value >= 1 && toks[i].Value <= 8 {
		s, n := t.Match(toks, i+2, "times")
		if n > 0 && s.Key == "day" || len(r.els) > 0 && (i+2 >= len(toks) || toks[i+2].Kind == lexicon.Mark && toks[i+2].Text != "/") {
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
	if _, k := t.Match(toks, i, "articles"); k > 0 && !p.Known { // "a good scoop"
		if _, s := t.Match(toks, i+k, "sizes"); s > 0 {
			if n := r.unit(i+k, &p); n > 0 {
				p.Value, p.Known = 1, true
				i += k + n
			}
		}
	}
	if !p.Known { // "kilo y medio", "medida y media", "pound and a half"
		u := p
		u.Known = true
		if n := r.unit(i, &u); n > 0 && u.Unit != "" {
			if f, m := quantity.ReadAndFraction(t, toks, i+n); m > 0 {
				p = u
				p.Value = 1 + f
				i += n + m
			}
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
		} else if more, n := quantity.Behind(t, toks, i, p.Unit); n > 0 && p.Value == math.Trunc(p.Value) && (n == len(toks)-i || !p.IsMeasure) {
			p.Value = exact(p.Value + more)
			i += n
		} else if _, k := t.Match(toks, i, "number joins"); k > 0 && p.Value == math.Trunc(p.Value) && i+k+1 == len(toks) && toks[i+k].Kind == lexicon.Number && !toks[i+k].Whole && toks[i+k].Value < 1 { // "1 kg y 1/2"
			p.Value += toks[i+k].Value
			i += k + 1
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
	if k := len(r.els) - 1; k > 0 && r.els[k].kind == anItem && r.els[k].part.Vague == noFeed && r.els[k-1].kind == anItem && p.Known && toks[start-1].Kind == lexicon.Word {
		r.out.Question = true // "1 sc no 1 cubes"
	}
	if k := len(r.els) - 1; k >= 0 && r.els[k].kind == anItem && p.Known && (p.Vague == "" || r.els[k].part.Unit != "") && r.els[k].part.Known && r.els[k].part.Vague == "" && !r.els[k].part.Same && (r.els[k].part.Feed == "" || p.Feed == "") && p.Relative == 0 && r.bracket < 0 {
		r.out.Question = true // two amounts with nothing between: "1..5 kg", "1 sc 50/50 nuts"
	}
	r.els = append(r.els, element{kind: anItem, part: p, span: p.Span})
	return r.read(start, i-start)
}

// feedRest takes nothing: words behind an amount that came behind its feed
// belong to what follows.
func (r *amountReader) feedRest(int) int { return 0 }

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

// bareUnit is [amountReader.unit] without the words for a size behind.
func (r *amountReader) bareUnit(i int, p *Part) int {
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
		if s, n := t.Match(toks, i, "sizes"); n > 0 {
			if _, m := t.Match(toks, i+n, "measures", "vague"); m > 0 || p.Known {
				r.size(i, n, s, p)
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
	if _, k := t.Match(toks, i+n, "articles"); n > 0 && k > 0 && p.Unit == "" && p.Known { // "a quarter of a scoop"
		if m := r.unit(i+n+k, p); m > 0 {
			return n + k + m + r.feed(i+n+k+m, p)
		}
	}
	from := i + n
	j := from
	key := ""
	for j < len(toks) {
		tok := toks[j]
		if _, k := t.Match(toks, j+1, "units"); k > 0 && tok.Kind == lexicon.Number && j == from && p.Known && p.Unit != "" && r.isPercent(j+1) {
			j += 1 + k // "1 scoop 12% nuts"
			continue
		}
		if s, k := t.Match(toks, j, "numbers"); k > 0 && (j > from || p.Known) && strings.HasPrefix(s.Key, "0.") {
			break // "half nuts half oats"
		}
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
		if _, k := t.Match(toks, j, "manner"); k > 0 && (j > from || j+k >= len(toks) || toks[j+k].Kind == lexicon.Mark) {
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

// isPercent says whether a sign or word for hundredths stands at token i.
func (r *amountReader) isPercent(i int) bool {
	s, n := r.w.t.Match(r.toks, i, "units")
	return n > 0 && s.Key == "percent"
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
