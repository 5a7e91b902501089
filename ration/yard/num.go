package yard

import (
	"encoding/json"
	"math"
	"strconv"
)

// KgFed is kilograms as fed: what the scoop and the scale see.
type KgFed float64

// KgDM is kilograms of dry matter.
type KgDM float64

// Num is a number that may be unknown. The zero value is unknown, never 0.
//
// A plan is numbers for the most part, so that one takes no more room than a
// float64: it holds the number's bits changed by those of unknown, which no
// calculation gives.
type Num struct{ bits uint64 }

// unknown are the bits of a float64 that is not a number, of our own making.
const unknown = 0x7FF8_5EED_0FEE_D000

// Known makes a Num that is known.
func Known(v float64) Num { return Num{math.Float64bits(v) ^ unknown} }

// Get returns the number and whether it is known; 0 where it is not.
func (n Num) Get() (float64, bool) {
	if n.bits == 0 {
		return 0, false
	}
	return math.Float64frombits(n.bits ^ unknown), true
}

// IsKnown says whether there is a number at all.
func (n Num) IsKnown() bool { return n.bits != 0 }

// Or returns the number, or d where it is unknown. Use it only where d is
// shown to the reader as an assumption.
func (n Num) Or(d float64) float64 {
	if v, ok := n.Get(); ok {
		return v
	}
	return d
}

// String is the number, or "unknown": for errors and tests.
func (n Num) String() string {
	if v, ok := n.Get(); ok {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return "unknown"
}

// Range is a figure with a low and a high end, both in the same unit. Either
// end may be unknown: "at least 36".
type Range struct {
	Low  Num `json:"low"`
	High Num `json:"high"`
}

// MarshalJSON writes null for unknown.
func (n Num) MarshalJSON() ([]byte, error) {
	v, ok := n.Get()
	if !ok {
		return []byte("null"), nil
	}
	if size := math.Abs(v); size == 0 || size >= 1e-6 && size < 1e21 { // as package json writes it, which costs more
		return strconv.AppendFloat(make([]byte, 0, 24), v, 'f', -1, 64), nil
	}
	return json.Marshal(v)
}

// UnmarshalJSON reads null as unknown.
func (n *Num) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*n = Num{}
		return nil
	}
	var v float64
	if err := json.Unmarshal(b, &v); err != nil {
		return err
	}
	*n = Known(v)
	return nil
}
