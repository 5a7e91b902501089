package phrase

import (
	"slices"

	"hardfeed/ingest/quantity"
)

// closeBracket settles amounts in a bracket behind an amount: they say how it is
// spread ("1 kg nuts (500 g am, 500 g pm)"), how much of it there is ("beet (1 sc
// dry)"), or nobody knows.
func (r *amountReader) closeBracket() {
	from := r.bracket
	r.bracket = -1
	if from < 1 || from >= len(r.els) {
		return
	}
	whole, inside := r.els[from-1].part, r.els[from:]
	sum, amounts, of := sumInside(whole, inside)
	switch {
	case of == anotherFeed || amounts == 0:
	case of == anotherUnit && whole.Known:
		r.out.Question = true
	case !whole.Known && amounts == 1 && len(inside) == 1:
		p := inside[0].part
		p.Feed, p.FeedKey, p.Span = whole.Feed, whole.FeedKey, whole.Span.Join(p.Span)
		r.els = append(r.els[:from-1], element{kind: anItem, part: p, span: p.Span})
	case !whole.Known:
	case amounts > 1 && exact(sum) == exact(whole.Value):
		for k := range inside {
			if inside[k].kind == anItem {
				inside[k].part.of(whole)
			}
		}
		r.els = slices.Delete(r.els, from-1, from)
	default:
		r.out.Question = true
	}
}

// insideOf is what the amounts in a bracket are of.
type insideOf int

const (
	theSame insideOf = iota
	anotherUnit
	anotherFeed // the bracket says something else: "1 sc nuts (+ ½ sc oats)"
)

// sumInside adds up the amounts in a bracket, in the unit of the whole.
func sumInside(whole Part, inside []element) (sum float64, amounts int, of insideOf) {
	for _, e := range inside {
		p := e.part
		if e.kind != anItem || !p.Known || p.Vague == noFeed {
			continue
		}
		if p.Feed != "" && (p.Feed != whole.Feed || !whole.Known) || p.Relative != 0 {
			return 0, 0, anotherFeed
		}
		a, ok1 := quantity.KgPer(p.Unit)
		b, ok2 := quantity.KgPer(whole.Unit)
		switch {
		case p.Unit == "" || p.Unit == whole.Unit:
			sum += p.Value
		case ok1 && ok2:
			sum += p.Value * a / b
		case whole.Known:
			return 0, 1, anotherUnit
		}
		amounts++
	}
	return sum, amounts, theSame
}

// of gives a part without a feed the feed of the whole, and its unit.
func (p *Part) of(whole Part) {
	if p.Feed != "" {
		return
	}
	p.Feed, p.FeedKey = whole.Feed, whole.FeedKey
	if p.Unit == "" {
		p.Unit, p.UnitWord, p.IsMeasure = whole.Unit, whole.UnitWord, whole.IsMeasure
	}
}
