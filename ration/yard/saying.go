package yard

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Saying is something to be said, as data: a key of the tables of words and what
// fills the places of its text. Whoever prints it chooses the language. The zero
// Saying says nothing.
type Saying struct {
	Key  string // in templates/wording; English has every one
	Args []Arg  // as many as the text has places, each name once
}

// Arg fills one place of a text.
type Arg struct {
	Name  string // of the place
	Value Value
}

// Value is what an [Arg] holds: a [Quantity], [Text], [DayOfWeek], [Date],
// [Clock], [List] or another [Saying].
type Value interface {
	compare(Value) int // orders values of one type; only called with its own
	kind() int
}

// Unit is what a [Quantity] is measured in. The text of a saying names it too;
// whoever converts an amount goes by this one.
type Unit string

const (
	NoUnit          Unit = ""
	Kilograms       Unit = "kg"
	Grams           Unit = "g"
	Milligrams      Unit = "mg"
	IU              Unit = "IU"
	Litres          Unit = "l"
	Millilitres     Unit = "ml"
	Percent         Unit = "%"
	Mcal            Unit = "Mcal"
	Megajoules      Unit = "MJ"
	Hours           Unit = "h"
	Minutes         Unit = "min"
	Days            Unit = "days"
	Weeks           Unit = "weeks"
	Years           Unit = "years"
	Celsius         Unit = "°C"
	Metres          Unit = "m"
	Centimetres     Unit = "cm"
	Kilometres      Unit = "km"
	GPerKgBW        Unit = "g/kg BW"
	MetresPerMinute Unit = "m/min"
)

// Quantity is a number with its unit and the digits it is printed with.
type Quantity struct {
	Value       float64
	Unit        Unit
	Digits      int  // decimals; figures in all where Significant
	Significant bool // trailing zeros are then left out, as in 2.5 and 3
	Least       bool // at least that: a part of it is not known
}

// Kind says what a [Text] is the name of.
type Kind string

const (
	FeedName   Kind = "feed"
	HorseName  Kind = "horse"
	PersonName Kind = "person"
	MealName   Kind = "meal"
	HerWords   Kind = "words" // as they stand in the workbook
	Place      Kind = "place" // a cell, a sheet, a file
	RuleName   Kind = "rule"  // a [RuleID]
	Term       Kind = "term"  // a word of the trade or of ours that no language translates yet
	Cited      Kind = "cited" // whose a figure is, in English
	Sentence   Kind = "text"  // a finished sentence, in the language it was written in
)

// Text is a name or somebody's words: it is printed as it is.
type Text struct {
	Kind Kind
	Text string
}

// DayOfWeek is a day of the plan's week. Date is zero in a week without one; then
// its number counts.
type DayOfWeek struct {
	Date   time.Time
	Number Weekday
}

// Date is a day of the calendar; Year says whether its year is printed.
type Date struct {
	Date time.Time
	Year bool
}

// Clock is a time of day, minutes after midnight.
type Clock int

// Joint is how a [List] is joined.
type Joint string

const (
	And       Joint = "and"       // a, b and c
	AndAll    Joint = "ands"      // a and b and c
	Comma     Joint = "comma"     // a, b, c
	Semicolon Joint = "clause"    // a; b; c
	Sentences Joint = "sentences" // whole sentences, one after the other
)

// List is several values.
type List struct {
	Joint Joint
	Items []Value
}

const (
	kindQuantity = iota
	kindText
	kindDay
	kindDate
	kindClock
	kindList
	kindSaying
)

func (Quantity) kind() int  { return kindQuantity }
func (Text) kind() int      { return kindText }
func (DayOfWeek) kind() int { return kindDay }
func (Date) kind() int      { return kindDate }
func (Clock) kind() int     { return kindClock }
func (List) kind() int      { return kindList }
func (Saying) kind() int    { return kindSaying }

func (q Quantity) compare(v Value) int {
	o := v.(Quantity)
	return cmp.Or(cmp.Compare(q.Value, o.Value), cmp.Compare(q.Unit, o.Unit), cmp.Compare(q.Digits, o.Digits), cmp.Compare(boolInt(q.Least), boolInt(o.Least)))
}

func (t Text) compare(v Value) int {
	o := v.(Text)
	return cmp.Or(cmp.Compare(t.Text, o.Text), cmp.Compare(t.Kind, o.Kind))
}

func (d DayOfWeek) compare(v Value) int {
	o := v.(DayOfWeek)
	return cmp.Or(d.Date.Compare(o.Date), cmp.Compare(d.Number, o.Number))
}

func (d Date) compare(v Value) int  { return d.Date.Compare(v.(Date).Date) }
func (c Clock) compare(v Value) int { return cmp.Compare(c, v.(Clock)) }

func (l List) compare(v Value) int {
	o := v.(List)
	return cmp.Or(slices.CompareFunc(l.Items, o.Items, compareValues), cmp.Compare(l.Joint, o.Joint))
}

func (s Saying) compare(v Value) int { return s.Compare(v.(Saying)) }

func compareValues(a, b Value) int {
	switch {
	case a == nil || b == nil:
		return cmp.Compare(boolInt(a != nil), boolInt(b != nil))
	case a.kind() != b.kind():
		return cmp.Compare(a.kind(), b.kind())
	}
	return a.compare(b)
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Compare orders sayings, so that equal input gives equal order; 0 where both
// say the same.
func (s Saying) Compare(o Saying) int {
	return cmp.Or(strings.Compare(s.Key, o.Key), slices.CompareFunc(s.Args, o.Args, func(a, b Arg) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), compareValues(a.Value, b.Value))
	}))
}

// Empty says whether there is nothing to say.
func (s Saying) Empty() bool { return s.Key == "" }

// Arg is the value of a place, nil where there is none of that name.
func (s Saying) Arg(name string) Value {
	for _, a := range s.Args {
		if a.Name == name {
			return a.Value
		}
	}
	return nil
}

// Say puts a saying together.
func Say(key string, args ...Arg) Saying { return Saying{Key: key, Args: args} }

// VerbatimKey is the key of a finished sentence.
const VerbatimKey = "verbatim"

// Verbatim is a finished sentence in the language it was written in.
func Verbatim(sentence string) Saying {
	return Say(VerbatimKey, Arg{"text", Text{Sentence, sentence}})
}

// Fixed is a quantity printed with so many decimals.
func Fixed(name string, v float64, unit Unit, decimals int) Arg {
	return Arg{name, Quantity{Value: v, Unit: unit, Digits: decimals}}
}

// Figures is a quantity printed with so many figures in all at most.
func Figures(name string, v float64, unit Unit, figures int) Arg {
	return Arg{name, Quantity{Value: v, Unit: unit, Digits: figures, Significant: true}}
}

// Kg is an amount of feed in kilograms to the ten grams.
func Kg(name string, v float64) Arg { return Fixed(name, v, Kilograms, 2) }

// Count is a whole number of things.
func Count(name string, n int) Arg { return Fixed(name, float64(n), NoUnit, 0) }

// Named is the name of something, or somebody's words.
func Named(name string, kind Kind, text string) Arg { return Arg{name, Text{kind, text}} }

// FeedArg is a feed's name.
func FeedArg(name, feed string) Arg { return Named(name, FeedName, feed) }

// Words are somebody's own words.
func Words(name, text string) Arg { return Named(name, HerWords, text) }

// Said is a saying inside another; the empty one leaves its place empty.
func Said(name string, s Saying) Arg { return Arg{name, s} }

// Listed are several values, joined.
func Listed(name string, joint Joint, items ...Value) Arg { return Arg{name, List{joint, items}} }

// Names are several names of a kind, joined.
func Names(name string, joint Joint, kind Kind, texts []string) Arg {
	l := List{Joint: joint, Items: make([]Value, 0, len(texts))}
	for _, t := range texts {
		l.Items = append(l.Items, Text{kind, t})
	}
	return Arg{name, l}
}

// SayingList is several sayings as a value.
func SayingList(name string, joint Joint, sayings []Saying) Arg {
	l := List{Joint: joint, Items: make([]Value, 0, len(sayings))}
	for _, s := range sayings {
		l.Items = append(l.Items, s)
	}
	return Arg{name, l}
}
