package yard

import "encoding/json"

// KgFed is kilograms as fed: what the scoop and the scale see.
type KgFed float64

// KgDM is kilograms of dry matter.
type KgDM float64

// Num is a number that may be unknown. The zero value is unknown, never 0.
type Num struct {
	v  float64
	ok bool
}

// Known makes a Num that is known.
func Known(v float64) Num { return Num{v, true} }

// Get returns the number and whether it is known.
func (n Num) Get() (float64, bool) { return n.v, n.ok }

// IsKnown says whether there is a number at all.
func (n Num) IsKnown() bool { return n.ok }

// Or returns the number, or d where it is unknown. Use it only where d is
// shown to the reader as an assumption.
func (n Num) Or(d float64) float64 {
	if n.ok {
		return n.v
	}
	return d
}

// Range is a figure with a low and a high end, both in the same unit. Either
// end may be unknown: "at least 36".
type Range struct {
	Low  Num `json:"low"`
	High Num `json:"high"`
}

// MarshalJSON writes null for unknown.
func (n Num) MarshalJSON() ([]byte, error) {
	if !n.ok {
		return []byte("null"), nil
	}
	return json.Marshal(n.v)
}

// UnmarshalJSON reads null as unknown.
func (n *Num) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*n = Num{}
		return nil
	}
	n.ok = true
	return json.Unmarshal(b, &n.v)
}
