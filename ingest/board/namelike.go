package board

import (
	"strconv"
	"strings"
	"unicode"

	"hardfeed/ingest/phrase"
)

// nameLike says whether a text could be a horse's name: words, no figures, and
// nothing else that is known.
func (who *names) nameLike(c *Cell) bool {
	if c == nil || c.Kind != Text || len(c.Text) > 40 {
		return false
	}
	r := who.words.memo.at(c)
	switch {
	case r.sign.is(func() bool { return dash(c.Text) || ditto(c.Text) }):
		return false
	case who.knows(c):
		return true
	case r.joins.is(func() bool { return mayJoin(c.Text) }) && len(who.horsesIn(c.Text)) > 1:
		return true // a team
	}
	return r.likely.is(func() bool { return who.shapedAsName(c) })
}

// shapedAsName says whether a text is a few words, perhaps with figures, that are no words of
// headings.
func (who *names) shapedAsName(c *Cell) bool {
	if name := who.lang.nameCell(c.Text).name; name != strings.TrimSpace(c.Text) {
		c = &Cell{Kind: Text, Text: name}
	}
	letters, digits := 0, 0
	for _, r := range c.Text {
		if unicode.IsLetter(r) {
			letters++
		}
		if unicode.IsDigit(r) {
			digits++
		}
	}
	if strings.ContainsAny(c.Text, "=:;½¼¾") || len(strings.Fields(c.Text)) > 5 {
		return false
	}
	if digits > 0 {
		return letters > 0 && who.nameWithFigures(c.Text) && len(who.words.labelOf(c).order) == 0
	}
	return letters > 1 && !who.words.labelOf(c).full()
}

// nameWithFigures says whether a text with figures in it could be a name for all that is
// known: "Rowan 2", "K9"; and not an amount, a weight, a date, a day's work.
func (who *names) nameWithFigures(text string) bool {
	return who.words.memo.of(text).figures.is(func() bool { return who.readsAsNameWithFigures(text) })
}

func (who *names) readsAsNameWithFigures(text string) bool {
	if len(text) > 30 || strings.ContainsAny(text, "=:;½¼¾⅓⅔%£€$+*/(),@~?") {
		return false
	}
	c := &Cell{Kind: Text, Text: text}
	l := who.words.labelOf(c)
	if len(l.dates) > 0 || l.day >= 0 || l.unit != "" || len(l.feeds) > 0 || l.clock != "" || clockHeading(text) {
		return false
	}
	return !who.lang.looksLikeWeight(c) && !who.lang.looksLikeHeight(c) && !who.lang.looksLikeFeed(c) && !who.lang.isWork(text) &&
		who.lang.adorns(text) == phrase.NoDecoration && len(who.lang.ills(text)) == 0 && !who.lang.saysSame(text)
}

// mayBeName says whether a text could be a horse's name where it stands like
// one: horses are called Barley and Monday too.
func (who *names) mayBeName(c *Cell) bool {
	return who.nameLike(c) || who.wordAsName(c)
}

// wordAsName says whether a text is a word of headings that a horse may be called by.
func (who *names) wordAsName(c *Cell) bool {
	if c == nil || c.Kind != Text || len(c.Text) > 30 {
		return false
	}
	l := who.words.labelOf(c)
	if hasDigit(c.Text) { // a number beside a word for a stable is a name as well: "No. 7"
		return l.has("box") && len(l.order) == 1 && who.nameWithFigures(c.Text)
	}
	return l.full() && len(l.order) == 0 && l.unit == "" && len(l.dates) == 0
}

func foldName(s string) string {
	s = strings.Trim(s, "\"' .")
	if !ascii(s) { // most are, and there is nothing to take off
		s = unaccent.Replace(s)
	}
	return strings.Join(strings.Fields(strings.ToLower(s)), " ")
}

// notAHorse says what a text in a column of names is, if it is no name: "a
// total", "an empty stable", "a telephone number"; "" else.
func (who *names) notAHorse(text string) string {
	r := who.words.memo.of(text)
	if r.noHorse == nil {
		what := who.readsAsNoHorse(text)
		r.noHorse = &what
	}
	return *r.noHorse
}

// aTotal is what a text is that heads what was added up.
const aTotal = "a total"

func (who *names) readsAsNoHorse(text string) string {
	l := who.words.read(text)
	switch {
	case l.has("total") && l.used >= len(l.rest):
		return aTotal
	case who.lang.emptyStable(text):
		return "an empty stable"
	case who.lang.phone(text):
		return "a telephone number"
	case strings.ContainsAny(text, "=£€"):
		return "a remark"
	}
	return ""
}

// isWhole says whether a cell is a whole number and nothing else.
func isWhole(c *Cell) bool {
	_, err := strconv.Atoi(c.Text)
	return (c.Kind == Number || c.Kind == Text) && err == nil
}

// ridersOf says whether a row below a horse's is who rides it: names and nothing else.
func (who *names) ridersOf(cells []*Cell) bool {
	for _, c := range cells {
		if !who.nameLike(c) || who.knows(c) || who.lang.isWork(c.Text) || len(strings.Fields(c.Text)) > 2 {
			return false
		}
	}
	return true
}
