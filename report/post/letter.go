package post

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/template"
	"time"
	"unicode"
)

// Letter is what a mail says of one edition of a week's cards. All words in it
// are on one line each and free of control characters, whatever the workbook
// held.
type Letter struct {
	Yard    string
	Week    string // the week's first day, "2026-11-30"; empty: not known
	Edition int    // 1 or more
	// What was read from the workbook.
	Sheets, Rows, Horses int
	Carded, NotAsPlanned int       // horses with the card that was planned, and with another
	Ask                  []Entry   // whose card says to ask first, with the reason where it is not as planned
	Held, NoCard         []Entry   // all others that are not as planned, and those without a card, with the reasons
	Since                []Entry   // what changed against the edition before
	Changed              []Changes // amounts that differ from what is fed now
	Stops, Warnings      int       // findings
	Ring                 []string
}

// Entry is a horse and what is said of it. A name is empty where something
// concerns the whole yard.
type Entry struct {
	Name string
	Says []string
}

// Changes are a horse and the feeds of it that change.
type Changes struct {
	Name    string
	Changes []Change
}

// Change is a feed whose daily amount is not that of last week.
type Change struct {
	Feed     string
	Was, Now string // with their unit; empty where they are not known
	Reached  int    // day of the week it is reached on, 0 Sunday; -1: not said, or from the first day on
	Out      bool   // no more of it is fed
}

// serving is what a card gives of a feed at a meal.
type serving struct {
	Class string
	Kg    *float64
}

type record struct {
	Schema  int
	Program string
	Yard    string
	Week    *string
	Units   string
	Edition *int
	Read    struct{ Sheets, Rows, Horses int }
	Horses  []struct {
		Name      string
		Status    string
		HeldWhy   []string `json:"held_why"`
		NoCardWhy []string `json:"no_card_why"`
		Step      struct {
			Verdict string
			RiseKg  *float64 `json:"rise_kg"`
		}
		Ration  []serving
		Changes []struct {
			Feed   string
			FromKg *float64 `json:"from_kg"`
			ToKg   *float64 `json:"to_kg"`
			From   string
		}
	}
	Findings []struct{ Severity string }
	Since    []struct{ Horse, What string } `json:"changes_since_last_edition"`
	Contacts []struct{ Role, Name, Phone string }
}

// ReadLetter reads a results.json. A record without an edition is the first.
func ReadLetter(results []byte) (Letter, error) {
	var r record
	if err := json.Unmarshal(results, &r); err != nil {
		return Letter{}, fmt.Errorf("results.json is damaged: %w", err)
	}
	if r.Program != "hardfeed" {
		return Letter{}, errors.New("results.json is not from this program")
	}
	if r.Schema != 1 {
		return Letter{}, fmt.Errorf("results.json is of schema %d, and this program reads schema 1", r.Schema)
	}
	l := Letter{Yard: line(r.Yard), Edition: 1, Sheets: r.Read.Sheets, Rows: r.Read.Rows, Horses: r.Read.Horses}
	if r.Edition != nil && *r.Edition > 1 {
		l.Edition = *r.Edition
	}
	if r.Week != nil {
		if _, err := time.Parse(time.DateOnly, *r.Week); err != nil {
			return Letter{}, fmt.Errorf("results.json is damaged: its week %q is no date", line(*r.Week))
		}
		l.Week = *r.Week
	}
	for _, h := range r.Horses {
		// As its card says: there is hard feed on it, and nobody knows what was fed last week.
		asks := h.Step.Verdict == "unknown" && h.Step.RiseKg == nil && slices.ContainsFunc(h.Ration, func(v serving) bool {
			return v.Class == "hard feed" && v.Kg != nil && *v.Kg > 0
		})
		switch h.Status {
		case "carded":
			l.Carded++
			if asks {
				l.Ask = append(l.Ask, entry(h.Name, nil))
			}
		case "held":
			l.NotAsPlanned++
			if asks {
				l.Ask = append(l.Ask, entry(h.Name, h.HeldWhy))
			} else {
				l.Held = append(l.Held, entry(h.Name, h.HeldWhy))
			}
		case "no_card":
			l.NoCard = append(l.NoCard, entry(h.Name, h.NoCardWhy))
		default:
			return Letter{}, fmt.Errorf("results.json is damaged: the status of %s is %q", line(h.Name), line(h.Status))
		}
		own := Changes{Name: line(h.Name)}
		for _, c := range h.Changes {
			change := Change{line(c.Feed), amount(c.FromKg, r.Units), amount(c.ToKg, r.Units), weekday(c.From), c.ToKg != nil && *c.ToKg == 0}
			if l.Week != "" && change.Reached == int(l.Begins().Weekday()) { // all week
				change.Reached = -1
			}
			own.Changes = append(own.Changes, change)
		}
		if len(own.Changes) > 0 {
			l.Changed = append(l.Changed, own)
		}
	}
	for _, f := range r.Findings {
		switch f.Severity {
		case "stop":
			l.Stops++
		case "warn":
			l.Warnings++
		}
	}
	for _, c := range r.Since {
		if n := len(l.Since); n > 0 && l.Since[n-1].Name == line(c.Horse) {
			l.Since[n-1].Says = append(l.Since[n-1].Says, line(c.What))
			continue
		}
		l.Since = append(l.Since, entry(c.Horse, []string{c.What}))
	}
	for _, c := range r.Contacts {
		l.Ring = append(l.Ring, line(strings.Join([]string{c.Role, c.Name, c.Phone}, " ")))
	}
	return l, nil
}

func entry(name string, says []string) Entry {
	e := Entry{Name: line(name)}
	for _, s := range says {
		e.Says = append(e.Says, line(s))
	}
	return e
}

// poundsPerKg is exact: 1 lb is 0.45359237 kg (International yard and pound, 1959).
const poundsPerKg = 1 / 0.45359237

func amount(kg *float64, units string) string {
	if kg == nil {
		return ""
	}
	v, unit, small, of := *kg, "kg", "g", 1000.0
	if units == "imperial" {
		v, unit, small, of = v*poundsPerKg, "lb", "oz", 16.0
	}
	// As on the cards: no part of a one to misread.
	if whole := math.Round(v * of); whole > 0 && whole < of {
		return strconv.FormatFloat(whole, 'f', -1, 64) + " " + small
	}
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) + " " + unit
}

// line makes one line of any text: no control or format characters (they could
// break a header or reorder what is read), no runs of blanks, valid UTF-8.
func line(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r) || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		case !unicode.IsGraphic(r): // of no script: shown as lost, not left out
			return '\uFFFD'
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Join(strings.Fields(s), " ")
}

// longestSubject is in characters: a telephone shows less still (ours).
const longestSubject = 120

// Subject fills the subject's template. It is one line.
func (l Letter) Subject(words *template.Template) (string, error) {
	var b bytes.Buffer
	if err := words.Execute(&b, l); err != nil {
		return "", fmt.Errorf("the mail's subject could not be worded: %w", err)
	}
	s := []rune(line(b.String()))
	if len(s) > longestSubject {
		s = append(s[:longestSubject-1], '…')
	}
	return string(s), nil
}

// Text fills the text's template.
func (l Letter) Text(words *template.Template) (string, error) {
	var b bytes.Buffer
	if err := words.Execute(&b, l); err != nil {
		return "", fmt.Errorf("the mail's text could not be worded: %w", err)
	}
	return strings.TrimSpace(b.String()) + "\n", nil
}

// weekday is the number of a day by the record's name of it, "Sat"; -1 of any other.
func weekday(name string) int {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if name != "" && strings.HasPrefix(d.String(), name) {
			return int(d)
		}
	}
	return -1
}

// Teller are the words of a language.
type Teller interface {
	Say(key string, args ...string) string
}

// Functions are what the mail's templates say their sentences by: say, a sentence of the
// table with its places filled; day, a date of the record; change, a feed's change;
// english, whether what the record says in English may be there.
func Functions(t Teller, english bool) template.FuncMap {
	say := func(key string, args ...any) string {
		var texts []string
		for _, a := range args {
			texts = append(texts, fmt.Sprint(a))
		}
		return t.Say(key, texts...)
	}
	return template.FuncMap{
		"say":     say,
		"english": func() bool { return english },
		"day": func(iso string) string {
			day, err := time.Parse(time.DateOnly, iso)
			if err != nil {
				return iso
			}
			return say("date.day.year", "day", day.Day(), "month", t.Say("month."+strconv.Itoa(int(day.Month()))), "year", day.Year())
		},
		"change": func(c Change) string {
			c.Was, c.Now = strings.Replace(c.Was, ".", t.Say("decimal"), 1), strings.Replace(c.Now, ".", t.Say("decimal"), 1)
			switch {
			case c.Now == "":
				return say("mail.change.asked", "feed", c.Feed)
			case c.Out && c.Was != "":
				return say("mail.change.out", "feed", c.Feed, "was", c.Was)
			case c.Was == "":
				return say("mail.change.unknown", "feed", c.Feed, "now", c.Now)
			case c.Reached < 0:
				return say("mail.change", "feed", c.Feed, "was", c.Was, "now", c.Now)
			}
			return say("mail.change.reached", "feed", c.Feed, "was", c.Was, "now", c.Now, "day", t.Say("weekday."+strconv.Itoa(c.Reached)))
		},
	}
}

// Who is whom to ring; empty where the workbook names nobody.
func (l Letter) Who() string { return strings.Join(l.Ring, "; ") }

// Before is the number of the edition this one replaces.
func (l Letter) Before() int { return l.Edition - 1 }

// Begins is the week's first day; where it is not known, a day long past.
func (l Letter) Begins() time.Time {
	day, err := time.Parse(time.DateOnly, l.Week)
	if err != nil {
		return time.Unix(0, 0).UTC()
	}
	return day
}
