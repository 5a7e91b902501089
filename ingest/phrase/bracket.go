package phrase

import (
	"slices"

	"hardfeed/ingest/quantity"
)

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
