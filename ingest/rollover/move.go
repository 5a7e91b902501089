package rollover

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ingest"
	"hardfeed/ingest/board"
	"hardfeed/ingest/edit"
	"hardfeed/ration/yard"
)

// Options is how a workbook is moved on.
type Options struct {
	Read      ingest.Options
	ClearWork bool // next week's work is left empty; else this week's stays as a beginning
	// Planned is what the week after is fed by the path, to be written where she plans; nil:
	// what she planned is cleared.
	Planned *yard.Plan
}

// Change is one cell, or tab, that is not as it was.
type Change struct {
	Sheet   string // as it is called now
	Ref     string // of the cell; "" the tab itself
	Was, Is string
	Why     yard.Saying
}

// Left is something that stays as it was though it would have been moved on.
type Left struct {
	Horse string // "" of no horse
	At    yard.Cell
	Why   yard.Saying
}

// Moved is next week's workbook.
type Moved struct {
	Data    []byte
	Changes []Change
	Left    []Left
	Week    time.Time // its first day; zero: not known
	Name    string    // of the workbook without its ending, its dates moved on
}

// Refused is why no workbook was made for next week, for whoever keeps the workbook.
type Refused struct {
	File string
	Why  yard.Saying
}

func (r *Refused) Error() string { return r.Told().String() }

// Told is what is said of it.
func (r *Refused) Told() yard.Saying {
	return yard.Say("refused.next", yard.Named("file", yard.Place, r.File), yard.Said("why", r.Why))
}

func (m *mover) refuse(key string, args ...yard.Arg) error {
	return &Refused{m.name, yard.Say(key, args...)}
}

// Move moves a workbook on by a week. plan is what was worked out of it. say makes
// the words of the first sheet. The error is an [*xlsx.Refused], a [*Refused], or a
// fault of the program.
func Move(name string, data []byte, plan yard.Plan, opt Options, say func(yard.Saying) string) (Moved, error) {
	src, err := ingest.Trace(name, data, opt.Read)
	if err != nil {
		return Moved{}, err
	}
	how, noPlan, noCarry := map[string]manner{}, map[string]bool{}, map[string]bool{}
	var m *mover
	for range 6 {
		if m, err = newMover(name, src, plan, opt, how); err != nil {
			return Moved{}, err
		}
		m.noPlan, m.noCarry = noPlan, noCarry
		if err := m.move(); err != nil {
			return Moved{}, err
		}
		out, err := m.bytes()
		if err != nil {
			return Moved{}, err
		}
		bad, unplanned, misread, err := m.check(out)
		if err != nil {
			return Moved{}, err
		}
		if len(bad)+len(unplanned)+len(misread) == 0 {
			return m.finish(say)
		}
		for _, h := range misread {
			noCarry[h] = true
		}
		for _, h := range unplanned {
			noPlan[h] = true
		}
		for _, h := range bad {
			how[h]++
		}
	}
	return Moved{}, m.refuse("part.next.refused.read")
}

// manner is how a horse's amounts are written.
type manner int

const (
	inHerWords manner = iota
	byDay             // in her words, a meal that has no place in another's
	inKilograms
	notAtAll
)

type mover struct {
	name    string
	src     ingest.Source
	plan    yard.Plan
	opt     Options
	how     map[string]manner
	book    *edit.Book
	style   style
	dates   calendar
	spots   map[string][]*board.Spot // of each horse
	ends    map[string]fed           // what each card ended on; a horse without one is not in it
	made    map[at]*Change
	order   []at
	left    []Left
	tabs    map[string]string // new names
	noNow   bool              // no place in the workbook says what is fed now
	tab     tabs
	shared  map[at][]string      // horses of a cell of what is fed now
	measure map[string]float64   // kg of one measure of a feed, as the plan has it
	list    map[string]int       // next free row of lists of rations
	taken   map[*board.Spot]bool // places that were free
	planned map[string]fed       // what was written as planned, as it is to be read
	noPlan  map[string]bool      // horses whose plan cannot be written so
	carried map[string]bool      // horses whose hours at grass were to become last week's
	noCarry map[string]bool      // those of which they cannot be written so
	diaries map[string]bool      // sheets with a diary that goes on into the weeks to come
}

type at struct {
	sheet string
	place edit.Place
}

func newMover(name string, src ingest.Source, plan yard.Plan, opt Options, how map[string]manner) (*mover, error) {
	book, err := edit.Open(src.Data)
	if why, ok := errors.AsType[edit.Refused](err); ok {
		return nil, &Refused{name, yard.Say("part.next.refused." + string(why))}
	}
	if err != nil {
		return nil, err
	}
	m := &mover{name: name, src: src, plan: plan, opt: opt, how: how, book: book, style: styleOf(src.Whence.Spots), spots: map[string][]*board.Spot{}, ends: map[string]fed{},
		measure: map[string]float64{}, taken: map[*board.Spot]bool{}, made: map[at]*Change{}, tabs: map[string]string{}, shared: map[at][]string{}, list: map[string]int{}, diaries: map[string]bool{}, planned: map[string]fed{}, carried: map[string]bool{}}
	for _, f := range plan.Feeds {
		if kg, ok := f.MeasureKg.Get(); ok {
			m.measure[f.Feed.Name] = kg
		}
	}
	oldest, newest := 0, 0
	for i := range src.Whence.Spots {
		s := &src.Whence.Spots[i]
		if s.Kind == board.WorkSpot && !s.Empty {
			oldest, newest = max(oldest, s.Age), min(newest, s.Age)
			if s.Diary && s.Age < 0 {
				m.diaries[s.Sheet] = true
			}
		}
	}
	m.dates = calendar{words: src.Whence.Words, week: src.Week.Beginning}
	if b := src.Week.Beginning; !b.IsZero() {
		m.dates.first, m.dates.last = b.AddDate(0, 0, -oneWeek*oldest), b.AddDate(0, 0, oneWeek*(1-newest)-1)
		m.dates.learn(src.Whence.Weeks)
		m.findTabs()
	}
	for i := range src.Whence.Spots {
		s := &src.Whence.Spots[i]
		m.spots[s.Horse] = append(m.spots[s.Horse], s)
		for k := range s.Parts { // her measure weighs what the plan took it to weigh
			if p := &s.Parts[k]; p.Measures > 0 && p.Value > 0 && m.measure[p.Feed] > 0 {
				p.Kg = p.Measures * m.measure[p.Feed]
				p.KgPer = p.Kg / p.Value
			}
		}
		if k := m.placeOf(s); s.Kind == board.NowSpot && !slices.Contains(m.shared[k], s.Horse) {
			m.shared[k] = append(m.shared[k], s.Horse)
		}
	}
	m.noNow = len(m.shared) == 0 && len(src.Whence.Lists) == 0
	return m, nil
}

// placeOf is where a fact of next week goes: on its tab, where each week has one.
func (m *mover) placeOf(s *board.Spot) at {
	k := m.placeNow(s)
	if k.sheet == m.tab.last && m.tab.last != "" {
		k.sheet = m.tab.next
	}
	return k
}

// placeNow is where a fact stands.
func (m *mover) placeNow(s *board.Spot) at {
	return at{s.Sheet, edit.Place{Row: s.At[0], Col: s.At[1]}}
}

// move makes all changes.
func (m *mover) move() error {
	m.moveDates()
	if m.tab.prepared {
		m.fillPrepared()
	}
	m.moveWeeksOn()
	m.carryOn()
	if !m.noNow {
		m.clearPlans()
	}
	feeds := map[string]bool{}
	for _, f := range m.src.Week.Feeds {
		feeds[f.Name] = true
	}
	known := func(f string) bool { return feeds[f] }
	if m.noNow {
		m.leave("", yard.Cell{}, "part.next.no now")
	}
	for _, h := range m.plan.Horses {
		name := h.Horse.Name
		if m.noNow {
			m.leave(name, yard.Cell{}, "part.next.ended on", yard.Named("amounts", yard.HerWords, m.sayFed(endsOn(h, known))))
			continue
		}
		if h.Status == yard.NoCard {
			m.leave(name, yard.Cell{}, "part.next.no card")
			continue
		}
		ends := endsOn(h, known)
		if card, ok := h.HardFeed.Card.Get(); ok && math.Abs(card-hardOf(h, ends)) > 0.01 {
			m.leave(name, yard.Cell{}, "part.next.not written", yard.Named("amounts", yard.HerWords, m.sayFed(ends)))
			continue
		}
		if m.how[name] == notAtAll {
			m.leave(name, yard.Cell{}, "part.next.not written", yard.Named("amounts", yard.HerWords, m.sayFed(ends)))
			continue
		}
		m.ends[name] = ends
		spots, place := m.nowSpots(name)
		m.fill(name, spots, place, ends, yard.Say("part.next.now"))
	}
	if m.opt.Planned != nil {
		for _, h := range m.opt.Planned.Horses {
			if h.Status != yard.NoCard && m.how[h.Horse.Name] != notAtAll && m.ends[h.Horse.Name] != nil {
				m.fillPlan(h, known)
			}
		}
	}
	for _, k := range m.order {
		m.write(k, m.made[k])
	}
	return nil
}

// sayFed is a ration in a line, by feeds in the room's order.
func (m *mover) sayFed(f fed) string {
	var out []string
	for _, x := range m.src.Week.Feeds {
		if kg := f.day(x.Name); kg > 0 {
			out = append(out, fmt.Sprintf("%s %s kg", x.Name, decimal(kg, sameKg)))
		}
	}
	if len(out) == 0 {
		return "0"
	}
	return strings.Join(out, ", ")
}

func (m *mover) leave(horse string, c yard.Cell, key string, args ...yard.Arg) {
	m.left = append(m.left, Left{horse, c, yard.Say(key, args...)})
}

// put notes a new text for a cell; a formula is never written over.
func (m *mover) put(k at, horse, is string, why yard.Saying) bool {
	c := m.book.Cell(k.sheet, k.place)
	if c != nil && c.Formula {
		place := yard.Cell{Sheet: cmp.Or(m.tabs[k.sheet], k.sheet), Ref: k.place.Ref()}
		switch {
		case why.Key == "part.next.week on":
			m.leave(horse, place, "part.next.formula week", yard.Named("is", yard.HerWords, cmp.Or(is, "–")))
		case is == "":
			m.leave(horse, place, "part.next.formula stays")
		default:
			m.leave(horse, place, "part.next.formula", yard.Named("is", yard.HerWords, is))
		}
		return false
	}
	if old := m.made[k]; old != nil {
		old.Is, old.Why = is, why
		return true
	}
	m.made[k] = &Change{Sheet: k.sheet, Ref: k.place.Ref(), Was: m.shown(k), Is: is, Why: why}
	m.order = append(m.order, k)
	return true
}

// shown is what is in a cell, as she sees it.
func (m *mover) shown(k at) string {
	sheet := k.sheet
	if sheet == m.tab.next && sheet != "" && !m.tab.prepared {
		sheet = m.tab.last
	}
	for _, w := range m.src.Whence.Weeks {
		if w.Sheet == sheet && w.At == [2]int{k.place.Row, k.place.Col} {
			if !w.Day.IsZero() {
				return w.Day.Format(time.DateOnly)
			}
			return w.Text
		}
	}
	c := m.book.Cell(k.sheet, k.place)
	if c == nil {
		return ""
	}
	return c.Value
}

// write puts a change in the book: a number where one stood and one is to stand.
func (m *mover) write(k at, c *Change) {
	old := m.book.Cell(k.sheet, k.place)
	text := c.Is
	if _, err := time.Parse(time.DateOnly, text); err == nil && old != nil && old.Number() {
		m.book.SetNumber(k.sheet, k.place, serial(old.Value), "")
		return
	}
	switch {
	case text == "":
		m.book.Clear(k.sheet, k.place)
	case isPlainNumber(text) && (old == nil || !old.Text()):
		m.book.SetNumber(k.sheet, k.place, text, "")
	default:
		m.book.SetText(k.sheet, k.place, text, "")
	}
}

// serial is a date a week on, as a spreadsheet counts days: whichever of the two
// calendars the workbook has, and with its time of day.
func serial(old string) string {
	v, err := strconv.ParseFloat(old, 64)
	if err != nil {
		return old
	}
	return decimal(v+oneWeek, 1e-7)
}

func isPlainNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789.") == "" && strings.Count(s, ".") <= 1 && s != "." && !(len(s) > 1 && s[0] == '0' && s[1] != '.')
}

// moveDates moves the dates of tabs, titles and headings on.
func (m *mover) moveDates() {
	for _, w := range m.src.Whence.Weeks {
		k := at{w.Sheet, edit.Place{Row: w.At[0], Col: w.At[1]}}
		if w.Diary && m.diaries[w.Sheet] {
			continue // the rows of the next week are there already
		}
		switch {
		case m.tab.last == "":
		case w.Sheet == m.tab.last && !m.tab.prepared && w.At != [2]int{}:
			k.sheet = m.tab.next
		case m.tab.all[w.Sheet], w.Sheet == m.tab.next:
			continue
		}
		if w.At == [2]int{} {
			if is, ok := m.dates.text(w.Text, true); ok && is != w.Text {
				m.tabs[w.Sheet] = is
			}
			continue
		}
		c := m.book.Cell(k.sheet, k.place)
		switch {
		case c == nil || c.Formula:
		case !w.Day.IsZero() && c.Number():
			if m.dates.moves(w.Day) {
				m.put(k, "", w.Day.AddDate(0, 0, oneWeek).Format(time.DateOnly), yard.Say("part.next.date"))
			}
		case c.Text(), c.Number():
			if is, ok := m.dates.text(w.Text, false); ok && is != w.Text {
				if i := strings.Index(c.Value, w.Text); i >= 0 { // blanks around it stay
					is = c.Value[:i] + is + c.Value[i+len(w.Text):]
				}
				m.put(k, "", is, yard.Say("part.next.date"))
			}
		}
	}
	for again := true; again; { // a name that is not given frees none
		again = false
		for _, s := range m.book.Sheets() {
			is, ok := m.tabs[s]
			if !ok {
				continue
			}
			if taken := slices.ContainsFunc(m.book.Sheets(), func(o string) bool {
				return o != s && strings.EqualFold(cmp.Or(m.tabs[o], o), is)
			}); taken || len([]rune(is)) > 31 || strings.ContainsAny(is, `[]:*?/\`) {
				delete(m.tabs, s)
				again = true
				m.leave("", yard.Cell{Sheet: s}, "part.next.tab", yard.Named("is", yard.HerWords, is))
			}
		}
	}
	for _, s := range m.book.Sheets() {
		if is, ok := m.tabs[s]; ok {
			m.book.Rename(s, is)
		}
	}
}

// bytes is the workbook as it is so far, with what its formulas come to.
func (m *mover) bytes() ([]byte, error) {
	out, err := m.book.Bytes()
	if why, ok := errors.AsType[edit.Refused](err); ok {
		return nil, m.refuse("part.next.refused." + string(why))
	}
	if err != nil {
		return nil, err
	}
	results, err := workedOut(m.src.Data, out, m.book, m.tabs, m.tab)
	if err != nil || len(results) == 0 {
		return out, err
	}
	for _, r := range results {
		m.book.SetResult(r.at.sheet, r.at.place, r.is)
		if m.made[r.at] == nil {
			m.order = append(m.order, r.at)
		}
		m.made[r.at] = &Change{Sheet: r.at.sheet, Ref: r.at.place.Ref(), Was: r.was, Is: r.is, Why: yard.Say("part.next.result")}
	}
	return m.book.Bytes()
}

// finish writes the list and gives the workbook.
func (m *mover) finish(say func(yard.Saying) string) (Moved, error) {
	out := Moved{Left: m.left}
	if b := m.src.Week.Beginning; !b.IsZero() {
		out.Week = b.AddDate(0, 0, oneWeek)
	} else {
		out.Left = append([]Left{{"", yard.Cell{}, yard.Say("part.next.no week")}}, out.Left...)
	}
	out.Name, _ = m.dates.text(strings.TrimSuffix(m.name, filepath.Ext(m.name)), true)
	called := func(s string) string { return cmp.Or(m.tabs[s], s) }
	for _, s := range m.book.Sheets() {
		if is, ok := m.tabs[s]; ok {
			out.Changes = append(out.Changes, Change{Sheet: is, Was: s, Is: is, Why: yard.Say("part.next.date")})
		}
	}
	if m.tab.last != "" && !m.tab.prepared {
		out.Changes = append(out.Changes, Change{Sheet: m.tab.next, Is: m.tab.next, Why: yard.Say("part.next.new tab", yard.Named("tab", yard.HerWords, m.tab.last))})
	}
	rank := map[string]int{}
	for i, s := range m.book.Sheets() {
		rank[s] = i
	}
	slices.SortStableFunc(m.order, func(a, b at) int {
		worked := func(k at) int {
			if m.made[k].Why.Key == "part.next.result" {
				return 1
			}
			return 0
		}
		return cmp.Or(worked(a)-worked(b), rank[a.sheet]-rank[b.sheet], a.place.Row-b.place.Row, a.place.Col-b.place.Col)
	})
	for _, k := range m.order {
		c := *m.made[k]
		if c.Was == c.Is {
			continue
		}
		c.Sheet = called(c.Sheet)
		out.Changes = append(out.Changes, c)
	}
	m.book.PutFirst(out.sheet(say))
	var err error
	out.Data, err = m.book.Bytes()
	return out, err
}
