package board

import (
	"hardfeed/ration/yard"
)

// understood writes down how each horse was read, and what was not used.
func understood(asks *questions, hd *herd, room *feedRoom, sheets []*sheetData, w *yard.Week) {
	asked := make([][]yard.Cell, len(hd.horses))
	for _, a := range asks.asked {
		if a.note || a.sheet == nil || a.cell == nil {
			continue
		}
		for _, h := range a.horses {
			asked[h] = append(asked[h], place(a.sheet, a.cell))
		}
	}
	w.Understood = make([]yard.HorseRead, 0, len(hd.horses))
	for i, h := range hd.horses {
		y := w.Horses[i]
		r := yard.HorseRead{Horse: h.name, WeightKg: y.WeightKg, Basis: y.WeightBasis, Diagnoses: y.Diagnoses, Notes: y.Notes, Gone: h.fate != "" || h.struck, Asked: asked[i],
			NowKg: room.hardKg(h.now), PlannedKg: room.hardKg(h.plan)}
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
	for _, s := range sheets {
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.fate.what == "unused" {
				w.NotUsed = append(w.NotUsed, place(s, c))
			}
		}
	}
}
