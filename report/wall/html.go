package wall

import (
	"bufio"
	_ "embed"
	"html/template"
	"io"
	"iter"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

//go:embed cards.html
var page string

// pageTemplate is the cards as one page for a telephone and a screen reader: plain tables
// with headings, no script, no other file.
var pageTemplate = template.Must(template.New("cards.html").Parse(page))

// htmlPage is what the page is filled with.
type htmlPage struct {
	Lang, Title, Yard, Week, Until, Edition string
	Feed, Ring                              string
	Names                                   []htmlName
	Horses                                  iter.Seq[htmlHorse] // made as they are written: a large yard's are much
	Warnings                                []htmlText
}

// htmlName is an entry of the page's list of horses.
type htmlName struct{ ID, Name string }

// htmlText is a text in one of the page's languages.
type htmlText struct {
	Lang string // "" of the page's own
	Text string
}

// htmlHorse is one horse's card.
type htmlHorse struct {
	ID, Name, About string
	Every           string     // what the one column is for, where the week does not change
	Word            []htmlText // less than planned, no card, ask first
	Why, Cautions   []htmlText
	Notes           string
	NotesWord       string
	Seven           bool
	Days            [7]htmlDay
	Meals           []htmlMeal
	NoFeed          []htmlText
	After           []htmlText
}

// htmlDay is a day over its column; Mark is said of days off and events.
type htmlDay struct{ Name, Mark string }

type htmlMeal struct {
	Name, Also, Clock string
	AlsoLang          string
	Rows              []htmlRow
}

type htmlRow struct {
	Feed, Unit string
	Notes      []string        // WEIGH and the like
	Cells      []template.HTML // each an htmlCell, filled in
}

// htmlCell is one amount; Unit is read aloud, and shown where the row has none.
type htmlCell struct {
	Number, Part, Unit, Aside string // Part: a fraction, which stands out by its size
	Show, Step                bool
	Long                      bool // more figures than a column of a telephone holds in large type
	Span                      int  // columns it stands for; 0: one
}

// htmlCells are the cells of a page as they are on it: most amounts of a yard are a
// few, and filling them in was most of the work.
type htmlCells map[htmlCell]template.HTML

func (all htmlCells) of(c htmlCell) template.HTML {
	text, ok := all[c]
	if !ok {
		var b strings.Builder
		if err := pageTemplate.ExecuteTemplate(&b, "cell", c); err != nil {
			panic(err) // writing to memory does not fail, and the template is tested
		}
		text = template.HTML(b.String())
		all[c] = text
	}
	return text
}

// WriteHTML is cards.html.
func WriteHTML(w io.Writer, p yard.Plan, m words.Meta) error {
	s := words.New(p, m)
	buffered := bufio.NewWriterSize(w, 1<<16) // a template writes word by word
	if err := pageTemplate.Execute(buffered, htmlOf(s)); err != nil {
		return err
	}
	return buffered.Flush()
}

func htmlOf(s *words.Sheet) htmlPage {
	w := s.Plan.Week
	out := htmlPage{
		Lang: s.Word("language"), Title: s.Word("title.cards"), Yard: shown(w.Yard), Week: s.Main.WeekSpan(w), Until: s.Main.NotAfter(w),
		Edition: s.EditionWord(), Feed: s.Word("html.feed"), Ring: loose(s.Word("ring", "who", s.Main.Ask(w))),
	}
	for _, t := range s.Languages() {
		out.Warnings = append(out.Warnings, htmlIn(s, t, t.Standing()))
	}
	id := func(i int) string { return "horse-" + strconv.Itoa(i+1) }
	for i, h := range s.Plan.Horses {
		out.Names = append(out.Names, htmlName{id(i), shown(h.Horse.Name)})
	}
	cells := htmlCells{}
	out.Horses = func(yield func(htmlHorse) bool) {
		for i := range s.Plan.Horses {
			if !yield(cardOf(paper{Sheet: s}, &s.Plan.Horses[i]).html(id(i), cells)) {
				return
			}
		}
	}
	return out
}

// htmlIn is a text, with its language where that is not the page's own.
func htmlIn(s *words.Sheet, t words.Language, text string) htmlText {
	if t.Code == s.Main.Code {
		return htmlText{Text: text}
	}
	return htmlText{t.Say("language"), text}
}

// loose is a text whose names may be broken between their words, as a telephone's narrow
// screen asks for; numbers keep their units, and a telephone number its parts.
func loose(text string) string {
	var b strings.Builder
	before := ' '
	for _, r := range text {
		if string(r) == words.NoBreak && !unicode.IsDigit(before) {
			r = ' '
		}
		b.WriteRune(r)
		before = r
	}
	return b.String()
}

// shown is a name of the workbook's as every sheet shows it.
func shown(name string) string {
	text, _ := draw.Printable(name)
	return text
}

func (c *card) html(id string, cells htmlCells) htmlHorse {
	h := c.horse
	out := htmlHorse{Every: c.Word(c.everyKey()), ID: id, Name: shown(h.Horse.Name), About: c.Word("weight.unknown"), NotesWord: c.BothOf("notes"), Notes: strings.Join(strings.Fields(h.Horse.Notes), " ")}
	if kg, ok := h.WeightKg.Get(); ok {
		out.About = words.Join(" ", c.Word("weight.is", "weight", c.Main.BodyWeight(kg)), c.BasisWord(h.WeightBasis))
	}
	key := words.StatusKey(h)
	for _, t := range c.Languages() {
		if !c.Main.Has(key) {
			break
		}
		out.Word = append(out.Word, htmlIn(c.Sheet, t, t.Say(key)))
		for _, text := range c.says(t) {
			out.Why = append(out.Why, htmlIn(c.Sheet, t, loose(text)))
		}
	}
	if o := h.Horse.Override; h.Step.Verdict == yard.StepOverridden {
		out.Cautions = append(out.Cautions, htmlText{Text: c.BothOf("override", "who", c.Main.OrNotSaid(o.Who), "reason", c.Main.OrNotSaid(o.Reason))})
	}
	for _, untold := range c.cautions() {
		for _, t := range c.Languages() {
			if text := t.Caution(untold); t.Code == c.Main.Code || text != c.Main.Caution(untold) {
				out.Cautions = append(out.Cautions, htmlIn(c.Sheet, t, text))
			}
		}
	}
	out.Seven = !c.chart.Alike
	for day := range 7 {
		d := htmlDay{Name: c.Main.Weekday(c.Plan.Week, day)}
		if k := c.chart.Kinds[day]; k != yard.WorkDay {
			d.Mark = c.Word("short." + string(k))
		}
		out.Days[day] = d
	}
	for _, m := range c.chart.Meals {
		out.Meals = append(out.Meals, c.htmlMeal(m, cells))
	}
	if len(out.Meals) == 0 && h.Status != yard.NoCard {
		for _, t := range c.Languages() {
			out.NoFeed = append(out.NoFeed, htmlIn(c.Sheet, t, t.Say("nofeed")))
		}
	}
	for _, t := range c.Languages() {
		for _, text := range c.afterTexts(t) {
			out.After = append(out.After, htmlIn(c.Sheet, t, text))
		}
	}
	if text := c.EditionOf(h); text != "" {
		out.After = append(out.After, htmlText{Text: text})
	}
	return out
}

// says is what a horse's banner tells: what to do, and why.
func (c *card) says(t words.Language) []string {
	w := c.Plan.Week
	switch {
	case c.horse.Status == yard.NoCard:
		out := []string{t.Say("nocard.ask", "who", t.Ask(w)), t.Say("nocard.hay")}
		reasons := t.Reasons(c.horse, "nocard.office")
		if len(reasons) == 0 {
			reasons = []string{t.Say("nocard.office")}
		}
		for _, why := range reasons {
			out = append(out, t.Say("nocard.why", "reason", why))
		}
		return out
	case words.AskFirst(c.horse) && c.horse.Status == yard.Held:
		asked := *c.horse
		asked.HeldWhy = slices.Clone(asked.HeldWhy)
		for i, why := range asked.HeldWhy {
			if why.Key == "reason.now unknown" { // to ask first is said in the line before
				asked.HeldWhy[i].Key = "ask.why.planned"
			}
		}
		return append([]string{t.Say("ask.do", "who", t.AskFirst(w))}, t.Reasons(&asked, "reason.held")...)
	case words.AskFirst(c.horse):
		return []string{t.Say("ask.do", "who", t.AskFirst(w)), t.Say("ask.why")}
	case c.horse.Status == yard.Held:
		return append([]string{t.Say("held.do", "who", t.AskFirst(w))}, t.Reasons(c.horse, "reason.held")...)
	}
	return nil
}

// afterTexts are what is other than last week, and what a kind of day gets that is not
// planned.
func (c *card) afterTexts(t words.Language) (out []string) {
	plain := func(runs []draw.Run) string {
		var parts []string
		for _, r := range runs {
			parts = append(parts, r.Text)
		}
		return strings.Join(parts, " ")
	}
	for _, ch := range c.horse.Changes {
		if ch.FromKg.IsKnown() {
			out = append(out, plain(c.changeText(t, ch)))
		}
	}
	if runs := c.notKnownBefore(t, c.horse.Changes, c.beforeSaid()); runs != nil {
		out = append(out, plain(runs))
	}
	if c.unweighedKey() != "" {
		out = append(out, t.Say("who.unweighed"))
	}
	return out
}

func (c *card) htmlMeal(m words.ChartMeal, cells htmlCells) htmlMeal {
	out := htmlMeal{Name: shown(c.Main.Name("meal.", m.Name)), Clock: m.Clock}
	if out.Also = c.Second(func(l words.Language) string { return l.Name("meal.", m.Name) }); out.Also != "" {
		out.AlsoLang = c.Beside.Say("language")
	}
	for _, r := range m.Rows {
		l := c.labelOf(r)
		row := htmlRow{Feed: shown(r.Feed), Unit: words.Join(", ", l.unit, l.each)}
		if l.weigh {
			row.Notes = append(row.Notes, c.Word("amount.weigh"))
		}
		if l.warn {
			row.Notes = append(row.Notes, c.Word("amount.unweighed"))
		}
		for day, e := range r.Days {
			if day > 0 && c.chart.Alike {
				break
			}
			cell := c.htmlCell(e, c.chart.Alike || l.own(e))
			cell.Step = r.Step(day)
			if l.weigh {
				cell.Aside = "" // its row says so
			}
			row.Cells = append(row.Cells, cells.of(cell))
		}
		out.Rows = append(out.Rows, row)
		for _, p := range r.Spare {
			cell := c.htmlCell(p.Entry, true)
			if !c.chart.Alike {
				cell.Span = 7
			}
			out.Rows = append(out.Rows, htmlRow{Feed: words.Join(", ", shown(r.Feed), c.BothOf("spare."+string(p.Kind))), Cells: []template.HTML{cells.of(cell)}})
		}
	}
	return out
}

// htmlCell is an amount, its unit shown or only heard.
func (c *card) htmlCell(e words.Entry, show bool) htmlCell {
	cell := htmlCell{Number: e.Number, Unit: e.Unit, Show: show && e.Unit != ""}
	if i := strings.IndexAny(e.Number, "¼½¾"); i >= 0 {
		cell.Number, cell.Part = e.Number[:i], e.Number[i:]
	}
	cell.Long = e.Unit != "" && utf8.RuneCountInString(e.Number) > 4
	switch {
	case e.Unsaid:
		cell.Number = c.Word("amount.unsaid")
	case e.Weigh:
		cell.Aside = c.Word("amount.weigh")
	}
	return cell
}
