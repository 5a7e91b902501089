package board

import "hardfeed/ration/yard"

// understood writes down how each horse was read, and what was not used.
func (b *book) understood(w *yard.Week) {
	asked := make([][]yard.Cell, len(b.horses))
	for _, a := range b.asks.asked {
		if a.note || a.sheet == nil || a.cell == nil {
			continue
		}
		for _, h := range a.horses {
			asked[h] = append(asked[h], place(a.sheet, a.cell))
		}
	}
	for i, h := range b.horses {
		y := w.Horses[i]
		r := yard.HorseRead{Horse: h.name, WeightKg: y.WeightKg, Basis: y.WeightBasis, Diagnoses: y.Diagnoses, Notes: y.Notes, Gone: h.fate != "" || h.struck, Asked: asked[i],
			NowKg: b.hardKg(h.now), PlannedKg: b.hardKg(h.plan)}
		for d, day := range y.Work {
			if day.Unknown || !y.WorkGiven {
				continue
			}
			min := 0.0
			for _, s := range day.Sessions {
				min += s.Total()
			}
			r.WorkMin[d] = yard.Known(min)
		}
		w.Understood = append(w.Understood, r)
	}
	for _, s := range b.sheets {
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.fate.what == "unused" {
				w.NotUsed = append(w.NotUsed, place(s, c))
			}
		}
	}
}

// hardKg is the hard feed of a ration in kilograms a day; unknown where nothing is
// said or a part of it could not be read.
func (b *book) hardKg(r ration) yard.Num {
	if !r.said || r.unknown {
		return yard.Num{}
	}
	sum := 0.0
	for _, p := range r.portions {
		switch {
		case p.vague || !b.isHard(p.feed):
		case !p.known:
			return yard.Num{}
		default:
			sum += p.kg
		}
	}
	return yard.Known(sum)
}
