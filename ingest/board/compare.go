package board

import (
	"fmt"
	"math"
	"slices"

	"hardfeed/ingest/quantity"
)

// missingFeed asks, once for all horses it is about, where the feed of some is written
// and of others nothing could be read.
func (ck *checks) missingFeed() {
	asked := map[int]bool{}
	for _, a := range ck.asks.asked {
		if a.rule == "amount-blank" {
			for _, h := range a.horses {
				asked[h] = true
			}
		}
	}
	nobody := false
	for _, kind := range []struct {
		key string
		of  func(*horse) ration
	}{{"now", func(h *horse) ration { return h.now }}, {"planned", func(h *horse) ration { return h.plan }}} {
		said := false
		var without []int
		for i, h := range ck.herd.horses {
			r := kind.of(h)
			switch {
			case r.said:
				said = true
			case !r.unknown && !h.struck && !asked[i]:
				without = append(without, i)
			}
		}
		if kind.key == "now" {
			nobody = !said
		}
		if !said && !(kind.key == "planned" && nobody) || len(without) == 0 {
			continue // one list of feeds may be of now alone, or of the plan
		}
		if nobody && !said {
			kind.key = "none"
		}
		h := ck.herd.horses[without[0]]
		ck.asks.add("missing\x00"+kind.key, ask{rule: "amount-missing", why: kind.key, word: h.name, cell: h.cell, sheet: h.sheet, horses: without})
	}
}

// compareTotals holds the totals she writes against the feeds they add up. Where most of
// a column agree with what was read and some do not, those are asked about.
func (ck *checks) compareTotals(totals []total) {
	byCol := map[*column][]total{}
	var order []*column
	for _, t := range totals {
		if !ck.countsHere(t) {
			continue // of a week before
		}
		if byCol[t.col] == nil {
			order = append(order, t.col)
		}
		byCol[t.col] = append(byCol[t.col], t)
	}
	for _, k := range order {
		unit := k.unit
		if unit == "" {
			unit = "kg"
		}
		per, mass := quantity.KgPer(unit)
		if !mass {
			continue
		}
		type sum func(*horse) (float64, bool)
		best, most := sum(nil), 0
		for _, s := range []sum{
			func(h *horse) (float64, bool) { return sumOf(h.now, func(portion) bool { return true }) },
			func(h *horse) (float64, bool) { return sumOf(h.plan, func(portion) bool { return true }) },
			func(h *horse) (float64, bool) {
				return sumOf(h.now, func(p portion) bool { return ck.room.isHard(p.feed) })
			},
			func(h *horse) (float64, bool) {
				return sumOf(h.plan, func(p portion) bool { return ck.room.isHard(p.feed) })
			},
		} {
			agree := 0
			for _, t := range byCol[k] {
				if x, ok := s(ck.herd.horses[t.horse]); ok && close(x, t.value*per) {
					agree++
				}
			}
			if agree > most {
				best, most = s, agree
			}
		}
		if most < 2 || most*2 < len(byCol[k]) {
			continue
		}
		for _, t := range byCol[k] {
			h := ck.herd.horses[t.horse]
			x, ok := best(h)
			if !ok || close(x, t.value*per) {
				continue
			}
			t.sheet.remark(t.cell, "asked", "")
			h.now.unknown, h.plan.unknown = true, true
			ck.asks.add("sum\x00"+t.cell.Ref()+t.sheet.Name, ask{rule: "amount-sum", word: t.cell.Text, near: fmt.Sprintf("%.3g %s", x/per, unit), cell: t.cell, sheet: t.sheet, horses: []int{t.horse}})
		}
	}
}

// countsHere says whether a total is on the sheet of what it could add up.
func (ck *checks) countsHere(t total) bool {
	h := ck.herd.horses[t.horse]
	return slices.ContainsFunc(slices.Concat(h.now.portions, h.plan.portions), func(p portion) bool { return p.cell.sheet == t.sheet })
}

// close says whether two weights of feed are the same but for rounding.
func close(x, y float64) bool { return math.Abs(x-y) <= 0.06+0.02*math.Abs(y) }
