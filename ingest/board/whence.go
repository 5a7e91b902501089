package board

import (
	"cmp"
	"slices"
	"time"

	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

// Whence says where the facts of a week stand, for whoever moves a workbook on.
type Whence struct {
	Words *phrase.Words // what its cells are read by
	Weeks []WeekPlace
	Spots []Spot
	Lists []List
	Carry []Carry
	Logs  []Log
}

// Carry is two cells of a horse: next week the second holds what the first does now.
type Carry struct {
	Horse    string
	Sheet    string
	From, To [2]int // row and column
}

// Log is a table to which rows are added below, such as weighings, with its last row.
type Log struct {
	Sheet string
	Last  int
	Full  bool // something stands right below it
}

// WeekPlace is a cell, or a tab's name, that may say which week or day something is
// about: a title, a heading, the day of a row.
type WeekPlace struct {
	Sheet string
	At    [2]int // row and column; zero: the name of the tab
	Text  string
	Day   time.Time // of a cell that holds a date; else zero
	Diary bool      // it is the day of a row of a diary, one of several weeks
}

// SpotKind is what a [Spot] is for.
type SpotKind string

// The kinds of spots.
const (
	WorkSpot SpotKind = "work"
	NowSpot  SpotKind = "now"  // what is fed now
	PlanSpot SpotKind = "plan" // what is planned
	// PastSpot is for what was fed or planned in a week before, and no more counts.
	PastSpot SpotKind = "past"
	// OtherSpot is for what else stands of a horse in a week before and in this one: its
	// weight, a remark.
	OtherSpot SpotKind = "other"
)

// Spot is a place for one fact of a horse, with something in it or not.
type Spot struct {
	Horse   string
	Kind    SpotKind
	Sheet   string
	At      [2]int // row and column
	Age     int    // weeks before the one that is planned
	Day     int    // 0 Monday to 6 Sunday; -1 not of one day
	Half    string // of the day, of work
	Meal    string // that its heading says; "" none
	Feed    string // that its heading says; "" none
	When    string // that its heading says: "now", "plan"; of another fact what it is; "" not said
	Unit    string // of a number alone, where its heading or the book says
	Text    string // as it stands; "" nothing
	From    string // the text its parts stand in: another cell's where this one says "same" or "
	Empty   bool
	Nothing bool // it says that nothing is fed
	Number  bool // it holds a number, or a date
	Event   bool // of work: a competition or outing
	Diary   bool // its row says its day with its date
	Parts   []SpotPart
	Unclear bool // something of it cannot be written anew: parts of several texts
}

// SpotPart is an amount of one feed in a spot, in bytes of Spot.From.
type SpotPart struct {
	Feed, Meal string // as the week's lines name them
	Start, End int
	Value      float64
	KgPer      float64 // kg of one of what it counts; 0 not known
	Measures   float64 // where what a measure weighs stands nowhere: how many are written
	Kg         float64
	Known      bool
}

// List is a table of rations with a row a feed of a horse, to which rows can be
// added below.
type List struct {
	Sheet                  string
	Horse, Feed, Meal, Now int // columns; Meal 0 none
	Last                   int // its last row
}

// tracer says where the facts of a week stand.
type tracer struct {
	lang    *language
	cal     *calendar
	week    plannedWeek
	herd    *herd
	feeding *feeding
	amounts *rationReader
	room    *feedRoom
	bare    *bareFigures
	work    *workReader
}

// weekPlaces are the titles and headings of a sheet that may hold dates.
func weekPlaces(s *sheetData, tables []*table, words *vocabulary, weeks []rawWeek) []WeekPlace {
	out := []WeekPlace{{Sheet: s.Name, Text: s.Name}}
	not := map[*Cell]bool{} // headings of weights, with the day they were taken
	for _, t := range tables {
		if t.g.page != s {
			continue
		}
		for _, k := range t.cols {
			if k.role == weightRole || k.role == otherRole && len(k.days) > 0 {
				for r := t.h1; r <= t.h2; r++ {
					if m, joined := t.g.joined(r, k.at); !joined || m.Col1 == m.Col2 {
						not[t.g.at(r, k.at)] = true
					}
				}
			}
		}
	}
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		f := c.fate
		if c.free() || not[c] || c.Kind != Text && c.Kind != Date && (c.Kind != Number || len(words.labelOf(c).dates) == 0) {
			continue
		}
		switch {
		case slices.ContainsFunc(weeks, func(w rawWeek) bool { return w.sheet == s && w.cell == c }):
		case f.what == "label", f.what == "title", f.what == "used" && f.why == "the week":
		case f.what == "decoration" && (f.why == "a title" || f.why == "of an empty template" || f.why == overAGroup):
		default:
			continue
		}
		if l := words.labelOf(c); l.has("weight", "tape", "scale", "farrier") && !l.has("week") {
			continue
		}
		w := WeekPlace{Sheet: s.Name, At: [2]int{c.Row, c.Col}, Text: c.Text, Diary: f.what == "label" && f.why == rowsOwn}
		if c.Kind == Date {
			w.Day = c.Day
		}
		out = append(out, w)
	}
	return out
}

// spotsOf are the places of a horse that have something in them.
func (tc *tracer) spotsOf(h *horse, kinds map[*column]SpotKind) []Spot {
	of := tc.feeding.feedCells(h)
	now, plan := of.now, of.plan
	if daily(now) {
		if said := notDaily(now); len(said) > 0 && len(plan) == 0 {
			for _, o := range now {
				if o.day >= 0 {
					plan = append(plan, o)
				}
			}
			now = said
		}
	}
	var out []Spot
	for _, o := range h.obs {
		kind := SpotKind("")
		switch {
		case o.role == workRole:
			kind = WorkSpot
		case o.role == weightRole || o.role == notesRole || o.role == healthRole:
			kind = OtherSpot
		case o.role != feedRole && o.role != hayRole:
		case slices.Contains(now, o), o.role == hayRole:
			kind = NowSpot
		case tc.week.age(o) > 0:
			kind = PastSpot
		default:
			kind = PlanSpot
		}
		if kind == "" || slices.ContainsFunc(out, func(s Spot) bool {
			return s.Sheet == o.sheet.Name && s.At == [2]int{o.cell.Row, o.cell.Col} && s.Kind == kind
		}) {
			continue
		}
		if o.role == hayRole {
			if s, ok := tc.haySpot(h, o); ok {
				out = append(out, s)
			}
			continue
		}
		if o.col != nil && kind != OtherSpot {
			kinds[o.col] = kind
		}
		s := tc.spot(h, kind, o)
		s.Text, s.From, s.Number = o.cell.Text, o.cell.Text, o.cell.Kind != Text
		switch kind {
		case OtherSpot, PastSpot:
		case WorkSpot:
			s.Event = tc.work.workCell(o).Event
		default:
			tc.parts(&s, h, kind, o)
		}
		out = append(out, s)
	}
	return out
}

func (tc *tracer) spot(h *horse, kind SpotKind, o *obs) Spot {
	s := Spot{Horse: h.name, Kind: kind, Sheet: o.sheet.Name, At: [2]int{o.cell.Row, o.cell.Col}, Age: tc.week.age(o), Day: o.day, Half: o.half, Feed: o.feed, Unit: o.unit}
	s.Diary = o.date != (date{}) && (o.col == nil || o.col.date.IsZero())
	if o.meal != "" {
		s.Meal = mealName(o.meal)
	}
	if s.Feed == "" && o.lab != nil && tc.room.isFeedOfBook(o.lab.hint) && o.table != nil && o.besideOthers() {
		s.Feed = o.lab.hint
	}
	if s.Feed != "" {
		if info := tc.room.feeds[tc.room.feedKeyOf(s.Feed)]; info != nil {
			s.Feed = info.name
		}
	}
	if s.Unit == "" {
		s.Unit = tc.bare.unitAround(o)
	}
	switch o.role {
	case feedRole:
		s.When = map[when]string{nowFed: "now", planned: "plan"}[o.when]
	case weightRole:
		s.When = "weight"
	case notesRole:
		s.When = "notes"
	case healthRole:
		s.When = "health"
	}
	return s
}

// parts adds what is read of an amount.
func (tc *tracer) parts(s *Spot, h *horse, kind SpotKind, o *obs) {
	r := h.now
	if kind == PlanSpot {
		r = h.plan
	}
	var from *obs
	portions := r.portions
	if len(r.days) > 0 {
		portions = r.days
	}
	for _, p := range portions {
		if p.cell != o {
			continue
		}
		at := p.at
		if at == nil {
			at = o
		}
		if from != nil && from != at {
			s.Unclear = true
			continue
		}
		from = at
		if p.vague || p.adLib {
			continue
		}
		meal := ""
		if p.meal != "" {
			meal = mealName(p.meal)
		}
		s.Parts = append(s.Parts, SpotPart{Feed: tc.room.feeds[p.feed].name, Meal: meal, Start: p.part.Start, End: p.part.End, Value: p.part.Value, KgPer: p.per, Kg: p.kg, Known: p.known})
	}
	if from == nil {
		a, _ := tc.amounts.amountAt(o)
		s.Nothing = a.None
	}
	if from != nil && from != o {
		s.From = from.cell.Text
	}
}

// haySpot is where one weight of hay stands, which is fed now and after.
func (tc *tracer) haySpot(h *horse, o *obs) (Spot, bool) {
	a := tc.lang.w.Amounts(o.cell.Text, phrase.AmountContext{Unit: o.unit, Feed: hayName})
	if tc.week.age(o) > 0 || len(a.Parts) != 1 || len(a.Unread) > 0 {
		return Spot{}, false
	}
	p := a.Parts[0]
	per, ok := quantity.KgPer(cmp.Or(p.Unit, o.unit))
	if !ok || !p.Known || p.AdLib {
		return Spot{}, false
	}
	per *= float64(max(p.Times, 1))
	s := tc.spot(h, NowSpot, o)
	s.Feed, s.Text, s.From, s.Number = hayName, o.cell.Text, o.cell.Text, o.cell.Kind != Text
	s.Parts = []SpotPart{{Feed: hayName, Start: p.Start, End: p.End, Value: p.Value, KgPer: per, Kg: p.Value * per, Known: true}}
	return s, true
}

// emptySpots are the places of the horses' rows with nothing in them, in columns of
// which it is known what they are for.
func (tc *tracer) emptySpots(tables []*table, all []*obs, kinds map[*column]SpotKind) []Spot {
	var out []Spot
	byTable := map[*table][]*obs{}
	for _, o := range all {
		if o.table != nil {
			byTable[o.table] = append(byTable[o.table], o)
		}
	}
	for _, t := range tables {
		if t.kind != "" || t.g.page.blank {
			continue
		}
		rows := map[int][]*obs{} // one of each horse
		var order []int
		for _, o := range byTable[t] {
			if rows[o.row] == nil {
				order = append(order, o.row)
			}
			if !slices.ContainsFunc(rows[o.row], func(x *obs) bool { return x.horse == o.horse }) {
				rows[o.row] = append(rows[o.row], o)
			}
		}
		slices.Sort(order)
		for _, r := range order {
			for _, k := range t.cols {
				if k.role != workRole && k.role != feedRole || t.g.over(r, k.at) != nil {
					continue
				}
				kind := WorkSpot
				if k.role == feedRole {
					if kind = kinds[k]; kind == "" {
						kind = map[when]SpotKind{nowFed: NowSpot, planned: PlanSpot}[k.when]
					}
				}
				if kind == "" {
					continue
				}
				o := tc.likeRow(rows[r][0], t, k, r)
				for _, x := range rows[r] {
					s := tc.spot(tc.herd.horses[x.horse], kind, o)
					s.Empty = true
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// likeRow is what would be read of an empty place of a row.
func (tc *tracer) likeRow(row *obs, t *table, k *column, r int) *obs {
	at := [2]int{r, k.at}
	if t.g.turned {
		at = [2]int{k.at, r}
	}
	o := &obs{sheet: t.g.page, cell: &Cell{Row: at[0], Col: at[1]}, role: k.role, day: k.day, when: k.when, meal: k.meal, feed: k.feed, unit: k.unit, table: t, col: k, row: r, date: row.date, lab: k.lab}
	if o.day < 0 && row.col != nil && row.col.day < 0 {
		o.day = row.day
	}
	if k.role == workRole {
		o.half = row.half
	} else if o.meal == "" && row.role == feedRole && row.col != nil && row.col.meal == "" {
		o.meal = row.meal
	}
	o.week = tc.cal.weekOfObs(t, k, o)
	return o
}
