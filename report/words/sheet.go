package words

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/templates/wording"
)

// Meta is what the printed files need to know beside the plan.
type Meta struct {
	Version      string // of the program
	CardsPerPage int    // 1, 2 or 4; 0 counts as 2
	Paper        string // "A4" or "Letter"; "" follows the week's paper
	// Edition counts the times this week's sheets were made from an edited
	// workbook; 0 and 1 print nothing.
	Edition int
	Changes []EditionChange // against the edition before, by [EditionChanges]

	// Languages of the cards and the scoop sheet, one or two of [Languages]: the
	// first is large, the second is beside it. None is English. The office
	// sheet and the results are always in English.
	Languages []string

	Season bool // season.pdf is wanted

	KeepBoxes bool // for tests
}

// Languages are the codes of the languages the cards can be printed in.
func Languages() []string { return wording.Codes() }

// Settled is m with what was left open filled in, or why it cannot be printed.
func (m Meta) Settled(p yard.Plan) (Meta, error) {
	m.Paper = cmp.Or(m.Paper, p.Week.Paper, "A4")
	m.CardsPerPage = cmp.Or(m.CardsPerPage, 2)
	if !slices.Contains([]int{1, 2, 4}, m.CardsPerPage) {
		return m, fmt.Errorf("cards a page: 1, 2 or 4, not %d", m.CardsPerPage)
	}
	if len(m.Languages) > 2 {
		return m, fmt.Errorf("a card has room for two languages, not %d", len(m.Languages))
	}
	for _, code := range m.Languages {
		if _, err := LanguageOf(code); err != nil {
			return m, err
		}
	}
	return m, nil
}

// Sheet is what a document has to say: a plan in one or two languages.
type Sheet struct {
	Plan    yard.Plan
	Meta    Meta
	feeds   map[string]yard.FeedNeed // by name in small letters
	mlPerKg map[string]float64       // of oils, as they are served; by the same names

	Main   Language
	Beside *Language // the second language; nil: none
}

// New is a plan in the languages that m names.
func New(p yard.Plan, m Meta) *Sheet {
	s := &Sheet{Plan: p, Meta: m, feeds: map[string]yard.FeedNeed{}, mlPerKg: map[string]float64{}, Main: English().In(p.Week.Imperial)}
	for i, code := range m.Languages {
		t, err := LanguageOf(code)
		t = t.In(p.Week.Imperial)
		switch { // settled has looked at them
		case err != nil:
		case i == 0:
			s.Main = t
		case t.Code != s.Main.Code:
			s.Beside = &t
		}
	}
	for _, f := range p.Feeds {
		s.feeds[strings.ToLower(f.Feed.Name)] = f
	}
	for i := range p.Horses {
		for j := range p.Horses[i].Servings {
			v := &p.Horses[i].Servings[j]
			if ml, ok := v.Ml.Get(); ok && ml > 0 && v.Kg > 0 {
				s.mlPerKg[strings.ToLower(v.Feed)] = ml / float64(v.Kg)
			}
		}
	}
	return s
}

// InEnglish is for the results, which programs read.
func (s *Sheet) InEnglish() { s.Main, s.Beside = English().In(s.Plan.Week.Imperial), nil }

// InOne leaves the first language alone, for what is read in the office: English until
// somebody has translated that.
func (s *Sheet) InOne() {
	s.Beside = nil
	if !s.Main.Has("office.title") {
		s.InEnglish()
	}
}

// EditionChange is one thing that differs from the edition before.
type EditionChange struct {
	Horse string `json:"horse"` // empty: the whole yard
	What  string `json:"what"`  // in English
	// Says is the same for whatever language a sheet is in; empty where only the English is known.
	Says yard.Saying `json:"-"`
}

// ChangeOf is a change with its words.
func ChangeOf(horse string, says yard.Saying) EditionChange {
	return EditionChange{Horse: horse, What: AsWritten(says), Says: says}
}

// In is what has changed, in a language.
func (c EditionChange) In(t Language) string {
	if c.Says.Empty() {
		return c.What
	}
	return t.AsWritten(c.Says)
}

// EditionWord is "edition 2", or nothing for a first edition.
func (s *Sheet) EditionWord() string {
	if s.Meta.Edition < 2 {
		return ""
	}
	return s.Word("edition", "n", strconv.Itoa(s.Meta.Edition))
}

// maxEditionChanges is how many a card's foot names.
const maxEditionChanges = 3

// EditionOf is the line on a horse's card; empty for a first edition.
func (s *Sheet) EditionOf(h *yard.HorsePlan) string {
	if s.Meta.Edition < 2 {
		return ""
	}
	var own []string
	for _, c := range s.Meta.Changes {
		if strings.EqualFold(c.Horse, h.Horse.Name) || c.Horse == "" {
			own = append(own, c.In(s.Main))
		}
	}
	line := s.BothOf("edition.in place", "n", strconv.Itoa(s.Meta.Edition), "before", strconv.Itoa(s.Meta.Edition-1)) + " "
	switch n := len(own); {
	case n == 0:
		return line + s.BothOf("edition.same")
	case n > maxEditionChanges:
		return line + s.Word("edition.more", "changes", Capital(strings.Join(own[:maxEditionChanges], "; ")))
	}
	return line + Capital(strings.Join(own, "; ")) + "."
}

// Word is what the sheet says, in its main language; also the same in its second
// one, empty where there is none or the two are alike.
func (s *Sheet) Word(key string, args ...string) string { return s.Main.Say(key, args...) }

// Also is what a key says in the second language; empty where there is none or the two
// are alike.
func (s *Sheet) Also(key string, args ...string) string {
	return s.Second(func(t Language) string { return t.Say(key, args...) })
}

// Second is what a phrase is in the second language; empty where there is none or it
// is the same as in the main one.
func (s *Sheet) Second(phrase func(Language) string) string {
	if s.Beside == nil {
		return ""
	}
	if text := phrase(*s.Beside); !strings.EqualFold(text, phrase(s.Main)) {
		return text
	}
	return ""
}

// Both is a short phrase in one language or in two with a stroke between.
func (s *Sheet) Both(phrase func(Language) string) string {
	return Join(" / ", phrase(s.Main), s.Second(phrase))
}

// BothOf is what a key says in one language, or in two with a stroke between.
func (s *Sheet) BothOf(key string, args ...string) string {
	return s.Both(func(t Language) string { return t.Say(key, args...) })
}

// Languages are the sheet's languages, the main one first.
func (s *Sheet) Languages() []Language {
	if s.Beside == nil {
		return []Language{s.Main}
	}
	return []Language{s.Main, *s.Beside}
}

// StatusWord is what is said, in white on black, of a horse whose card is not
// simply its plan; empty for one whose is.
func (s *Sheet) StatusWord(h *yard.HorsePlan) string {
	if key := StatusKey(h); s.Main.Has(key) {
		return s.Word(key)
	}
	return ""
}

// AskFirst says that the card has hard feed on it, as planned or less, though nobody knows
// what was fed last week.
func AskFirst(h *yard.HorsePlan) bool {
	if h.Status == yard.NoCard || h.Step.Verdict != yard.StepUnknown || h.HardFeed.Now.IsKnown() {
		return false
	}
	for i := range h.Servings {
		if v := &h.Servings[i]; v.Class == yard.HardFeed && v.Kg > 0 {
			return true
		}
	}
	return false
}

// StatusKey is the key of [Sheet.StatusWord], the same on the wall, on the office sheet and
// on the screen. A card that is not as planned says that it is less only where its hard feed
// is: where there is more hay instead, less would be untrue.
func StatusKey(h *yard.HorsePlan) string {
	if AskFirst(h) {
		return "status.ask"
	}
	if h.Status == yard.Held {
		planned, ok := h.HardFeed.Planned.Get()
		card, known := h.HardFeed.Card.Get()
		if !ok || !known || card > planned-0.0005 {
			return "status.changed"
		}
	}
	return "status." + string(h.Status)
}

// Status is, for the screen, what a card says of the horse in black, in small letters: "Less
// than planned"; empty of one that is simply its plan.
func (t Language) Status(h *yard.HorsePlan) string {
	if key := StatusKey(h); t.Has(key) {
		return Capital(strings.ToLower(t.Say(key)))
	}
	return ""
}

// BasisWord is how a body weight was come by; empty where that is not said.
func (s *Sheet) BasisWord(b yard.WeightBasis) string {
	if key := "basis." + string(b); s.Main.Has(key) {
		return s.Word(key)
	}
	return ""
}

// AmountOf is a serving in the main language and the yard's units.
func (s *Sheet) AmountOf(v yard.Serving) Amount { return s.Main.AmountOf(v, s.Plan.Week.Imperial) }

// Awaiting says of each language of the sheet that nobody has read it yet.
func (s *Sheet) Awaiting() string {
	var all []string
	for _, t := range s.Languages() {
		all = append(all, t.Awaiting()...)
	}
	return strings.Join(all, " ")
}

// Daily is a day's amount of a feed, in measures too where it comes to quarters of one,
// and oil as it is measured out.
func (s *Sheet) Daily(t Language, feed string, kg float64) string {
	f, ok := s.feeds[strings.ToLower(feed)]
	if perKg := s.mlPerKg[strings.ToLower(feed)]; perKg > 0 {
		return t.Figure(kg*perKg, 0) + NoBreak + "ml"
	}
	one, weighed := f.MeasureKg.Get()
	if !ok || !weighed || one <= 0 || f.Feed.Class == yard.Forage {
		return t.Weight(kg)
	}
	n := kg / one
	q := math.Round(n*4) / 4
	if math.Abs(q-n) >= 0.005 || q == 0 {
		return t.Weight(kg)
	}
	return t.Count(q) + NoBreak + t.Plural(q, s.MeasureName(f)) + " (" + t.Weight(kg) + ")"
}
