package words

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
)

// NoBreak is a no-break space: a number is never parted from its unit.
const NoBreak = "\u00a0"

// LbPerKg: the international pound is 0.45359237 kg exactly (1959 agreement).
const LbPerKg = 1 / 0.45359237

// LitresPerQuart: the US liquid quart is 0.946352946 l exactly (NIST Handbook 44, appendix C).
const LitresPerQuart = 0.946352946

// Figure is v with at most dec decimals, halves rounded up as people do, and no
// idle zeros.
func Figure(v float64, dec int) string {
	if p := math.Pow10(dec); math.Abs(v) < 1e9 {
		v = math.Round(v*p+math.Copysign(1e-7, v)) / p
	}
	s := strconv.FormatFloat(v, 'f', dec, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// Known is n as a figure, or "unknown".
func Known(n yard.Num, dec int, unit string) string {
	v, ok := n.Get()
	if !ok {
		return "unknown"
	}
	if unit != "" {
		unit = NoBreak + unit
	}
	return Figure(v, dec) + unit
}

// heavy writes a weight of feed as drug charts do (LE-09 to LE-13): the unit is chosen so
// that there is no part of a one to misread. Under a kilo it is whole grams, under ten
// grams tenths of one; above, kilos to a hundredth, or to the gram where it is exact: what
// a scale must show. In a yard that counts in pounds it is ounces and pounds.
func heavy(kg float64, imperial, exact bool) (number, unit string) {
	large, of, name, fine := kg, 1000.0, "kg", 0
	unit = "g"
	if imperial {
		large, of, name, fine = kg*LbPerKg, ozPerLb, "lb", 1
		unit = "oz"
	}
	small := large * of
	if math.Abs(small) < 10 {
		fine = 1
	}
	p := math.Pow10(fine)
	switch {
	case math.Round(small*p)/p < of: // as it is written: 999.7 g is a kilo
		return Figure(small, fine), unit
	case exact && !imperial:
		return Figure(large, 3), name
	}
	return Figure(large, 2), name
}

// ozPerLb: 16 avoirdupois ounces to the pound.
const ozPerLb = 16

// Weight is a weight of feed, in kilos or grams.
func Weight(kg float64) string {
	n, u := heavy(kg, false, false)
	return n + NoBreak + u
}

// count writes a number of measures with quarters as fractions: "2½".
func count(n float64) string {
	q := math.Round(n * 4)
	if math.Abs(q-n*4) > 1e-6 || n < 0 || n > 1e6 {
		return Figure(n, 2)
	}
	whole, part := int(q)/4, [...]string{"", "¼", "½", "¾"}[int(q)%4]
	if whole == 0 && part != "" {
		return part
	}
	return strconv.Itoa(whole) + part
}

// Amount is a serving in words: "2½" "scoops", and "1.25 kg" beside it.
type Amount struct {
	Number, Unit string // unit may be empty
	Aside        string // the weight beside a measure, or the measures beside a weight
	None         bool
	Weigh        bool
	byMeasure    bool // dished out by the measure
	Unweighed    bool // … of which nobody has weighed one: its weight is a published density
}

// String is the number with its unit.
func (a Amount) String() string {
	s := a.Number
	if a.Unit != "" {
		s += NoBreak + a.Unit
	}
	return s
}

// ByMeasure says whether a serving is dished out by the measure, and how many.
func ByMeasure(v yard.Serving) (n float64, ok bool) {
	n, ok = v.Measures.Get()
	ok = ok && v.Measure != "" && !v.Weigh && !v.AdLib && !v.Ml.IsKnown() && (v.Kg != 0 || n != 0)
	return n, ok
}

// Join joins what is not empty.
func Join(sep string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}

// Num makes a number ready for the record: rounded to a millionth, so that a
// sum of tenths reads as it was meant, and unknown where it is not a number.
func Num(v float64) yard.Num {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return yard.Num{}
	}
	if r := math.Round(v * 1e6); math.Abs(r) < 1e15 {
		v = r / 1e6
	}
	return yard.Known(v)
}

// Clean is [Num] of a number that may not be known.
func Clean(n yard.Num) yard.Num {
	if v, ok := n.Get(); ok {
		return Num(v)
	}
	return yard.Num{}
}
