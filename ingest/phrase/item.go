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
