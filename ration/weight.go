package ration

import (
	"math"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// weight is a horse's body weight.
type weight struct {
	known           bool // one can be used
	basis           yard.WeightBasis
	bodyKg          float64
	ceilingWeightKg float64 // the lowest estimate of it: ceilings go by it
}

// weigh chooses the body weight: scale, then girth and length, then tape, then
// stated (design §5.1). Girth and length need both; the formula does not hold
// for donkeys. The reasons say why none can be used.
func weigh(h yard.Horse, say *log) (w weight, reasons []yard.Saying) {
	stated, haveStated := h.WeightKg.Get()
	g, okG := h.GirthCm.Get()
	l, okL := h.LengthCm.Get()
	byTape := okG && okL && h.Type != yard.TypeDonkey
	switch {
	case haveStated && h.WeightBasis == yard.ByScale:
		w.bodyKg, w.basis = stated, yard.ByScale
	case byTape:
		w.bodyKg, w.basis = need.GirthLengthKg(g, l, h.Type), yard.ByGirthLength
		if haveStated && (stated < 0.9*w.bodyKg || stated > 1.1*w.bodyKg) {
			say.find("weight-differs", yard.Warn, h.Cell, "requirements §10", yard.Say("finding.weight-differs", kg0("kg", w.bodyKg), kg0("stated", stated)))
		}
	case haveStated:
		w.bodyKg, w.basis = stated, h.WeightBasis
		if w.basis != yard.ByTape {
			w.basis = yard.Stated
		}
	default:
		w.basis = yard.NoWeight
		say.find("weight-unknown", yard.Stop, h.Cell, "", yard.Say("finding.weight-unknown"))
		return w, []yard.Saying{yard.Say("reason.weight")}
	}
	if low, high, known := believedKg(h); known && (w.bodyKg < low || w.bodyKg > high) {
		cell, told := h.Cells["weight"]
		if w.basis == yard.ByGirthLength {
			cell, told = h.Cells["girth"]
		}
		if !told {
			cell = h.Cell
		}
		w.basis = yard.NoWeight
		if !h.HeightCm.IsKnown() {
			say.find("weight-height", yard.Stop, cell, "ours; common practice, no source", yard.Say("finding.weight-height.no height", kg0("kg", w.bodyKg), yard.Named("type", yard.Term, string(h.Type)), kg0("most", high)))
			return w, []yard.Saying{yard.Say("why.weight.no height", kg0("kg", w.bodyKg))}
		}
		say.find("weight-height", yard.Stop, cell, "ours; common practice, no source", yard.Say("finding.weight-height", kg0("kg", w.bodyKg), yard.Named("type", yard.Term, string(h.Type)), yard.Fixed("cm", h.HeightCm.Or(0), yard.Centimetres, 0), kg0("low", low), kg0("high", high)))
		return w, []yard.Saying{yard.Say("why.weight.height", kg0("kg", w.bodyKg))}
	}
	w.known = true
	w.ceilingWeightKg = lowestWeight(h, w.basis, w.bodyKg)
	if w.basis == yard.ByGirthLength {
		say.work(func() yard.Working {
			return yard.Working{Key: "body weight.girth", Result: yard.Known(w.bodyKg), Unit: unitKg, Source: "Carroll and Huntington 1988; pony: girth² × length / 299 in inches and pounds (requirements §10)",
				Inputs: []yard.Input{in("girth", g, unitOf("cm"), cellOf(h, "girth")), in("length", l, unitOf("cm"), cellOf(h, "length")),
					in("divisor", need.GirthLengthDivisor(h.Type), unitCalled("divisor"), cited("requirements §10"))}}
		})
	} else {
		say.work(func() yard.Working {
			return yard.Working{Key: "body weight", Args: []yard.Arg{yard.Said("basis", yard.Say("working.basis."+string(w.basis)))}, Result: yard.Known(w.bodyKg), Unit: unitKg,
				Inputs: []yard.Input{in("weight", stated, unitKg, cellOf(h, "weight"))}}
		})
	}
	return w, nil
}

// believedKg is the range of body weights believed at a horse's height: 60 to 210
// kg per cubic metre of height, to 320 where the build is heavy, as of draught
// horses, donkeys and animals under 115 cm. Riding horses lie at 100 to 150, the
// fattest cobs near 195, draught horses and Shetlands up to 290 (common practice,
// no source); pounds read as kilograms make 220 and more of most. Without a height
// a riding horse can weigh up to 850 kg and a pony up to 500 (common practice, no source).
func believedKg(h yard.Horse) (low, high float64, known bool) {
	cm, ok := h.HeightCm.Get()
	switch {
	case ok:
	case h.Type == yard.TypeHorse:
		return 0, 850, true
	case h.Type == yard.TypePony:
		return 0, 500, true
	default:
		return 0, 0, false
	}
	most := 210.0
	if h.Type == yard.TypeDraught || h.Type == yard.TypeDonkey || cm < 115 {
		most = 320
	}
	cubed := math.Pow(cm/100, 3)
	return 60 * cubed, most * cubed, true
}

// lowestWeight is the lowest estimate of the body weight: ceilings go by it, so
// that a tape or a slip of the pen makes no horse heavier than it is (limits
// D-30). A scale is used unless the weighing before it disagrees.
func lowestWeight(h yard.Horse, basis yard.WeightBasis, kg float64) float64 {
	if before, last, odd := guard.OddWeighing(h); odd && last.Kg == h.WeightKg {
		kg = min(kg, before.Kg.Or(kg))
	}
	if basis == yard.ByScale {
		return kg
	}
	if stated, ok := h.WeightKg.Get(); ok {
		kg = min(kg, stated)
	}
	return kg
}

// cellOf says where a number of a horse is on the sheet.
func cellOf(h yard.Horse, key string) yard.Saying { return place(h.Cells[key].String()) }
