package report

import (
	"strconv"
	"strings"

	"hardfeed/ration/yard"
)

// Message is what a finding says, in English.
func Message(f yard.Finding) string {
	if f.Saying.Empty() {
		return f.Message
	}
	return Said(f.Saying)
}

// Said is a saying in English.
func Said(s yard.Saying) string { return english().say(s) }

// say is a saying in the language, in English where the language has no text of
// that key; "" of one that says nothing.
func (t tongue) say(s yard.Saying) string {
	if s.Empty() {
		return ""
	}
	if !t.Has(s.Key) {
		t = english()
	}
	args := make([]string, 0, 2*len(s.Args))
	for _, a := range s.Args {
		args = append(args, a.Name, t.value(a.Value))
	}
	return t.Say(s.Key, args...)
}

// value is what fills a place.
func (t tongue) value(v yard.Value) string {
	switch v := v.(type) {
	case yard.Quantity:
		return t.pointed(digits(v))
	case yard.Text:
		return v.Text
	case yard.DayOfWeek:
		if v.Date.IsZero() {
			return t.Say("day.numbered", "n", strconv.Itoa(int(v.Number)+1))
		}
		return t.weekdayOf(v.Date)
	case yard.Date:
		form := "2 January"
		if v.Year {
			form = "2 January 2006"
		}
		return v.Date.Format(form)
	case yard.Clock:
		return clock(int(v))
	case yard.List:
		items := make([]string, 0, len(v.Items))
		for _, i := range v.Items {
			items = append(items, t.value(i))
		}
		return t.joined(v.Joint, items)
	case yard.Saying:
		return t.say(v)
	}
	return ""
}

// digits is a quantity's number as its digits ask, with a decimal point.
func digits(q yard.Quantity) string {
	if q.Significant {
		return strconv.FormatFloat(q.Value, 'g', q.Digits, 64)
	}
	return strconv.FormatFloat(q.Value, 'f', q.Digits, 64)
}

func (t tongue) joined(j yard.Joint, items []string) string {
	and := " " + t.Say("joint.and") + " "
	switch n := len(items); {
	case j == yard.Comma:
		return strings.Join(items, ", ")
	case j == yard.Semicolon:
		return strings.Join(items, "; ")
	case j == yard.And && n > 2:
		return strings.Join(items[:n-1], ", ") + and + items[n-1]
	}
	return strings.Join(items, and)
}

// argsOf are a saying's arguments for programs: an amount with its unit, a list as
// one, all else as text.
func argsOf(s yard.Saying) map[string]any {
	out := make(map[string]any, len(s.Args))
	for _, a := range s.Args {
		out[a.Name] = argOf(a.Value)
	}
	return out
}

type recordQuantity struct {
	Value yard.Num `json:"value"`
	Unit  string   `json:"unit"`
}

func argOf(v yard.Value) any {
	switch v := v.(type) {
	case yard.Quantity:
		return recordQuantity{num(v.Value), string(v.Unit)}
	case yard.Date:
		return v.Date.Format("2006-01-02")
	case yard.List:
		out := make([]any, 0, len(v.Items))
		for _, i := range v.Items {
			out = append(out, argOf(i))
		}
		return out
	case yard.Saying:
		if v.Empty() {
			return ""
		}
	}
	return strings.ToValidUTF8(english().value(v), "\uFFFD")
}
