package yard

import (
	"errors"
	"fmt"
	"strings"
)

// Teller is an error that a person is told of: what it says is data, like all that
// is said. Whoever prints it chooses the words.
type Teller interface {
	error
	Told() Saying
}

// Trouble is an error that says no more than its Saying.
type Trouble struct {
	Saying Saying
	Cause  error // the technical reason, where there is one
}

// Troubled is an error that says a thing.
func Troubled(s Saying) error { return &Trouble{Saying: s} }

// Error is the key and its arguments, for a log; people are shown the words of Told.
func (t *Trouble) Error() string { return t.Saying.String() }

// Told is what it says.
func (t *Trouble) Told() Saying { return t.Saying }

// Unwrap gives the technical reason.
func (t *Trouble) Unwrap() error { return t.Cause }

// Telling is what an error says: the words of one that has them in the tables, else
// those of whoever made it.
func Telling(err error) Saying {
	if t, ok := errors.AsType[Teller](err); ok {
		return t.Told()
	}
	return Verbatim(err.Error())
}

// Failure is what an error says, inside another saying.
func Failure(name string, err error) Arg { return Said(name, Telling(err)) }

// String is the key and its arguments as a log shows them; no words for people.
func (s Saying) String() string {
	if len(s.Args) == 0 {
		return s.Key
	}
	parts := make([]string, 0, len(s.Args))
	for _, a := range s.Args {
		parts = append(parts, fmt.Sprintf("%s: %v", a.Name, plainValue(a.Value)))
	}
	return s.Key + " (" + strings.Join(parts, ", ") + ")"
}

func plainValue(v Value) any {
	switch v := v.(type) {
	case Quantity:
		return v.Value
	case Text:
		return v.Text
	case Date:
		return v.Date.Format("2006-01-02")
	}
	return v
}
