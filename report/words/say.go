package words

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"hardfeed/ration/yard"
	"hardfeed/templates/wording"
)

// Message is what a finding says, in English.
func Message(f yard.Finding) string {
	if f.Saying.Empty() {
		return Sentence(f.Message)
	}
	return Said(f.Saying)
}

// Said is a saying in English.
func Said(s yard.Saying) string { return English().Said(s) }

// AsWritten is a saying in English as its text has it: no capital and no full stop are
// added, so that a file's name at its head stays as it is.
func AsWritten(s yard.Saying) string { return English().AsWritten(s) }

// AsWritten is a saying in the language as its text has it.
func (t Language) AsWritten(s yard.Saying) string { return t.say(s) }

// Told is what an error says, in English: the words of one that has them in the
// tables, else those of whoever made it.
func Told(err error) string {
	if _, ok := errors.AsType[yard.Teller](err); ok {
		return AsWritten(yard.Telling(err))
	}
	return err.Error()
}

// Message is what a finding says in the language, as far as it has the words.
func (t Language) Message(f yard.Finding) string {
	if f.Saying.Empty() {
		return Sentence(f.Message)
	}
	return t.Said(f.Saying)
}

// Still says for how many weeks a warning has been told; empty where it is new.
func (t Language) Still(f yard.Finding) string {
	if !f.Still() {
		return ""
	}
	return t.Said(yard.Say("finding.still", yard.Said("weeks", yard.Say("part.count.weeks", yard.Count("n", f.Weeks)))))
}

// Said is a saying in the language, as far as it has the words.
func (t Language) Said(s yard.Saying) string { return Sentence(t.say(s)) }

// SaidAll is some sayings in the language, one after the other.
func (t Language) SaidAll(all []yard.Saying) string {
	var said []string
	for _, s := range all {
		said = append(said, t.Said(s))
	}
	return strings.Join(said, " ")
}

// HeldWhy are the reasons of a reduced card in English, the last with what the card
// prints instead.
func HeldWhy(h yard.HorsePlan) []string { return English().heldWhy(h) }

func (t Language) heldWhy(h yard.HorsePlan) (out []string) {
	for _, why := range h.HeldWhy {
		out = append(out, t.Said(why))
	}
	if n := len(out) - 1; n >= 0 && !h.Instead.Empty() {
		out[n] += " " + t.Said(h.Instead)
	}
	return out
}

// NoCardWhy are the reasons why no card was computed, in English.
func NoCardWhy(h yard.HorsePlan) []string { return English().noCardWhy(h) }

func (t Language) noCardWhy(h yard.HorsePlan) (out []string) {
	for _, why := range byEnglish(h.NoCardWhy) {
		out = append(out, t.Said(why))
	}
	return out
}

// Why are a card's reasons of both kinds, in English.
func Why(h yard.HorsePlan) []string { return English().Why(h) }

// Why are a card's reasons of both kinds in the language, in full.
func (t Language) Why(h yard.HorsePlan) []string { return append(t.heldWhy(h), t.noCardWhy(h)...) }

// byEnglish puts sayings in the order of their English sentences, so that they stand
// in one order in every language.
func byEnglish(all []yard.Saying) []yard.Saying {
	return slices.SortedFunc(slices.Values(all), func(a, b yard.Saying) int { return strings.Compare(Said(a), Said(b)) })
}

// Cautions are a horse's cautions in English.
func Cautions(h yard.HorsePlan) (out []string) {
	for _, c := range h.Cautions {
		out = append(out, English().Caution(c))
	}
	return out
}

// say is a saying in the language, in English where the language has no text of
// that key; "" of one that says nothing.
func (t Language) say(s yard.Saying) string {
	if s.Empty() {
		return ""
	}
	if !t.Has(s.Key) {
		t = English().In(t.imperial)
	}
	if short := "wall." + s.Key; t.wall && t.Has(short) {
		s.Key = short
	}
	text := t.Text(t.counted(s))
	args := make([]string, 0, 2*len(s.Args))
	for _, a := range s.Args {
		value := t.Value(a.Value)
		// The unit is in the text: both are the yard's.
		if q, ok := a.Value.(yard.Quantity); ok && t.imperial {
			switch place := "{" + a.Name + "}"; {
			case q.Unit == yard.Kilograms && strings.Contains(text, place+" kg"):
				text, value = strings.ReplaceAll(text, place+" kg", place), t.inPounds(q)
			case q.Unit == yard.Litres && strings.Contains(text, place+" l"):
				text, value = strings.ReplaceAll(text, place+" l", place), strings.ReplaceAll(t.Litres(q.Value), NoBreak, " ")
			}
		}
		args = append(args, a.Name, value)
	}
	said := wording.Fill(text, args...)
	if isSentence(s.Key) && beginsWithASaying(text, s) { // such as "the weight"; a file's name keeps its letters
		said = Capital(said)
	}
	return said
}

// counted is the key of a saying, in the form its number asks for where there are several:
// Polish has one of its own for two, three and four (CLDR, as x/text carries it).
func (t Language) counted(s yard.Saying) string {
	n, ok := s.Arg("n").(yard.Quantity)
	if !strings.HasPrefix(s.Key, "part.count.") || !ok || n.Value != math.Trunc(n.Value) || n.Value < 0 || n.Value > 1e6 {
		return s.Key
	}
	if key := s.Key + ".few"; t.Has(key) && plural.Cardinal.MatchPlural(language.Make(t.Code), int(n.Value), 0, 0, 0, 0) == plural.Few {
		return key
	}
	return s.Key
}

// beginsWithASaying says whether the first thing in a text is the place of a saying.
func beginsWithASaying(text string, s yard.Saying) bool {
	name, _, ok := strings.Cut(strings.TrimPrefix(text, "{"), "}")
	_, is := s.Arg(name).(yard.Saying)
	return ok && is && strings.HasPrefix(text, "{")
}

// isSentence says whether the texts of a key are whole sentences.
func isSentence(key string) bool {
	return strings.HasPrefix(key, "finding.") || strings.HasPrefix(key, "why.") || strings.HasPrefix(key, "wall.")
}

// inPounds is a weight of a sentence in the yard's units, with its unit.
func (t Language) inPounds(q yard.Quantity) string {
	weight := t.Weight(q.Value)
	switch {
	case q.Significant || q.Digits > 1:
	case q.Digits == 0:
		weight = t.BodyWeight(q.Value)
	default:
		weight = t.Figure(q.Value*LbPerKg, q.Digits) + NoBreak + "lb"
	}
	weight = strings.ReplaceAll(weight, NoBreak, " ")
	if q.Least {
		return t.say(yard.Say("part.at least", yard.Arg{Name: "value", Value: yard.Text{Text: weight}}))
	}
	return weight
}

// Value is what fills a place.
func (t Language) Value(v yard.Value) string {
	switch v := v.(type) {
	case yard.Quantity:
		if v.Least {
			v.Least = false
			return t.say(yard.Say("part.at least", yard.Arg{Name: "value", Value: v}))
		}
		return t.pointed(digits(v))
	case yard.Text:
		switch v.Kind {
		case yard.Term:
			return t.Term(v.Text)
		case yard.MealName:
			return t.Name("meal.", v.Text)
		case yard.Cited:
			return t.Source(v.Text)
		}
		return v.Text
	case yard.DayOfWeek:
		if v.Date.IsZero() {
			return t.Say("day.numbered", "n", strconv.Itoa(int(v.Number)+1))
		}
		return t.weekdayOf(v.Date)
	case yard.Date:
		return t.Day(v.Date, v.Year)
	case yard.Clock:
		return Clock(int(v))
	case yard.List:
		items := make([]string, 0, len(v.Items))
		for _, i := range v.Items {
			items = append(items, t.Value(i))
		}
		return t.joined(v.Joint, items)
	case yard.Saying:
		return t.say(v)
	}
	return ""
}

// Term is a word of the trade that is in the tables under its English name; any
// other stays as it is.
func (t Language) Term(name string) string {
	for _, key := range []string{"term." + name, "measure." + strings.ToLower(name) + ".1"} {
		if t.Has(key) {
			return t.Say(key)
		}
	}
	return name
}

// digits is a quantity's number as its digits ask, with a decimal point and no idle
// zeros: 1.4 kg, as hands say it.
func digits(q yard.Quantity) string {
	if q.Significant {
		return strconv.FormatFloat(q.Value, 'g', q.Digits, 64)
	}
	text := strconv.FormatFloat(q.Value, 'f', q.Digits, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

func (t Language) joined(j yard.Joint, items []string) string {
	and := " " + t.Say("joint.and") + " "
	switch n := len(items); {
	case j == yard.Comma:
		return strings.Join(items, ", ")
	case j == yard.Semicolon:
		return strings.Join(items, "; ")
	case j == yard.Sentences:
		for i := range items {
			items[i] = Sentence(items[i])
		}
		return strings.Join(items, " ")
	case j == yard.And && n > 2:
		return strings.Join(items[:n-1], ", ") + and + items[n-1]
	}
	return strings.Join(items, and)
}
