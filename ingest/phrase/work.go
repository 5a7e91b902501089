package phrase

import (
	"slices"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// WorkContext is what stands about a day's cell.
type WorkContext struct {
	// Bare is what a number alone is: "min", "h" or "session"; "" where nothing
	// says. A legend the words were made with says it too.
	Bare           string
	SessionMinutes float64 // of one session, for "session"
	BareKind       string  // the kind of work of a number alone, "" where none is said
	// PacesAsWritten takes "canter 40" as forty minutes at the canter: the rule of
	// the program's own layout. Elsewhere nobody means that.
	PacesAsWritten bool
}

// DoubtKind is what is not clear about a cell of work.
type DoubtKind string

const (
	NoLength    DoubtKind = "length"  // a word of work without minutes, and no legend
	UnknownWord DoubtKind = "word"    // a word that is not known
	WhatWork    DoubtKind = "number"  // a number, and nothing says of what
	HowMuch     DoubtKind = "figure"  // a small number beside a name: hours, minutes or how often
	ARange      DoubtKind = "range"   // 45-60
	AQuestion   DoubtKind = "?"       // a question mark, "maybe", "or"
	TooMuch     DoubtKind = "most"    // more than a day holds
	RestAndWork DoubtKind = "both"    // rest and work in one cell
	AClock      DoubtKind = "clock"   // a small number behind an event: an hour or minutes
	NotAgreed   DoubtKind = "sum"     // paces that do not add up to the minutes beside them
	WhichTimes  DoubtKind = "times"   // "x2" behind several paces
	NothingSaid DoubtKind = "nothing" // neither work nor rest
	NoPace      DoubtKind = "pace"    // led, or hills, without a pace or minutes
	NoPaces     DoubtKind = "empty"   // a session of her table without minutes
)

// Doubt is one thing about a cell that has to be asked.
type Doubt struct {
	Kind DoubtKind
	Span Span
	Word string // what it is about, as written
	Near string // a word that may have been meant
}

// Default is something of ours that was taken because she does not say it.
type Default struct {
	Span    Span
	Word    string
	Minutes float64 // of an event; 0 where only the kind of work was taken
}

// Session is one piece of work.
type Session struct {
	yard.Session
	Kind string // key of the kind of work, "" for plain paces and plain minutes
	Span Span
}

// Free is why there is no work.
type Free string

const (
	Working Free = ""
	Rest    Free = "rest"
	BoxRest Free = "box rest"
	Turnout Free = "turnout"
	Retired Free = "retired"
	Dash    Free = "dash" // crossed out: a dash or 0
	Visit   Free = "visit"
	Lame    Free = "lame"
)

// Ref is a cell that another one refers to: "as Mon", a ditto mark, "same".
type Ref struct {
	Span
	Weekday int    // 0 Monday to 6 Sunday; -1 where it is not a day
	Above   bool   // a ditto mark: the cell above
	Other   string // "as Bella": the words behind "as"
}

// Work is what a day's cell says.
type Work struct {
	Sessions []Session
	Free     Free   // why there is none; also set beside work ("field + walker 30")
	Visit    string // key of who comes: "farrier", "vet"; "" if nobody
	Fate     string // "sold", "loan", "away", "died": it is gone
	Ref      *Ref
	Event    bool
	StartMin int               // of the event, minutes after midnight; -1 where it is not said
	Also     []yard.EventStart // of the day's further events, in order
	AllWeek  bool
	Defaults []Default
	Doubts   []Doubt
	// Corrected are slips of the pen that were read all the same: as written, as read.
	Corrected [][2]string
	Read      []Span
	Unread    []Span // remarks, names of riders: nothing hangs on them
}

// Minutes is the whole time of the day's work.
func (d Work) Minutes() float64 {
	sum := 0.0
	for _, s := range d.Sessions {
		sum += s.Total()
	}
	return exact(sum)
}

// Known says whether the day's work is known: all of it was understood.
func (d Work) Known() bool { return len(d.Doubts) == 0 && d.Ref == nil }

// MostMinutes is the longest day's work believed: ten hours (ours).
const MostMinutes = 600

// fewestMinutes is how many minutes of a named piece of work are believed where
// no unit is behind the number (ours): "2 lessons" are two of them, and
// "hack 2" may be hours.
const fewestMinutes = 5

// fewestMetres is from how many on "m" may be metres (ours): "gallop 400m".
const fewestMetres = 100

// mostArenaMin is the longest work in an arena or on the lunge believed (ours).
const mostArenaMin = 240

// mostEachRein is up to how many minutes "each rein" is taken as said of one (ours):
// "lunge 30, each rein" may be all of it.
const mostEachRein = 20

// mostSessions is how many sessions a number alone may count (ours): "45" is none
// of them.
const mostSessions = 8

// A pace named with more minutes than this is a piece of work with that pace in
// it, not so long at that pace alone (ours): nobody canters for forty minutes.
const (
	mostCanterMin = 30
	mostGallopMin = 12
	mostJumpMin   = 25
)

var workSections = []string{ownWork, "rest", "events", "work", "paces", "visits", "ways", "fillers", "times", "illness", "fate", "meals", "weekdays", "negation", "past"}

// workOrder is which sense of a word counts first among those of one language.
var workOrder = []string{ownWork, "rest", "events", "paces", "work", "visits", "ways", "times", "fillers", "illness", "fate", "meals", "weekdays", "past", "negation"}

// piece is an item of work on its way to minutes.
type piece struct {
	gait    yard.Gait // where pace is set
	pace    bool
	letter  bool // the pace is one letter
	kind    string
	own     *Length
	name    string
	span    Span
	minutes float64
	given   bool
	clock   int
	clocks  []int // further times of day behind it: of the same event, later
	times   int
	comma   bool
}

// workReader goes through a cell of work from left to right.
type workReader struct {
	cell  workText
	ctx   WorkContext
	out   Work
	part  workPart
	times eventTimes

	free    bool // a word for no work anywhere
	resting bool // one that goes with no work at all
	boxed   bool // one that goes with no work but walking in hand
	depth   int  // brackets open
}

// Work reads a day's cell of work: "Flat 40", "hack 1hr 15", "2 x 30", "lesson
// x2", "W30 T20 C10", "am walker 30, pm school 45", "off – farrier", "as Mon",
// "1hr ride", "comp".
func (w *Words) Work(text string, ctx WorkContext) Work {
	if len(text) > LongestCell {
		all := Span{Start: 0, End: len(text)}
		return Work{StartMin: -1, Unread: []Span{all}, Doubts: []Doubt{{Kind: NothingSaid, Span: all}}}
	}
	r := &workReader{cell: workText{w, text, lexicon.Scan(text)}, ctx: ctx, times: eventTimes{clock: -1}}
	r.part = workPart{text: text, ctx: &r.ctx, kinds: w.kinds, out: &r.out}
	r.out.StartMin = -1
	for _, d := range w.defs {
		if d.Kind == BareWork && ctx.Bare == "" {
			r.ctx.Bare, r.ctx.BareKind = d.Unit, d.Length.Kind
			if d.Unit == "session" && r.ctx.SessionMinutes == 0 {
				r.ctx.SessionMinutes = d.Length.Minutes
			}
		}
	}
	r.cell.partCommas(r.ctx.Bare)
	if len(r.cell.toks) > 0 {
		r.parse()
	}
	r.out.Read, r.out.Unread = merged(text, r.out.Read), merged(text, r.out.Unread)
	return r.out
}

func (d *Work) doubt(k DoubtKind, s Span, word string) {
	d.Doubts = append(d.Doubts, Doubt{Kind: k, Span: s, Word: word})
}

// doubt asks about a part of the cell.
func (r *workReader) doubt(k DoubtKind, s Span) { r.out.doubt(k, s, s.Of(r.cell.text)) }

func (r *workReader) read(i, n int) int {
	r.out.Read = append(r.out.Read, r.cell.span(i, n))
	return n
}

func (r *workReader) parse() {
	if r.oneWord() {
		r.read(0, len(r.cell.toks))
		return
	}
	for i := 0; i < len(r.cell.toks); {
		i += max(1, r.step(i))
	}
	r.endSession()
	r.times.last(&r.out)
	r.settle()
}

// oneWord takes a cell that is nothing but a dash, a zero, a ditto mark or "same".
func (r *workReader) oneWord() bool {
	toks := r.cell.toks
	ref := func(above bool) bool {
		r.out.Ref = &Ref{Span: spanOf(toks, 0, len(toks)), Weekday: -1, Above: above}
		return true
	}
	if len(toks) == 1 && toks[0].Kind == lexicon.Number && toks[0].Value == 0 || crossedOut(toks) {
		r.out.Free = Dash
		return true
	}
	if dittoMark(toks) {
		return ref(true)
	}
	s, n := r.cell.w.t.Match(toks, 0, "amounts")
	whole := n > 0 && (n == len(toks) || n == len(toks)-1 && toks[n].Text == ".")
	if whole && (s.Key == "ditto" || s.Key == "same") && !r.cell.isCode() {
		return ref(s.Key == "ditto")
	}
	return false
}

// settle says what the whole cell comes to, and what in it does not go together.
func (r *workReader) settle() {
	all := r.cell.span(0, len(r.cell.toks))
	if len(r.out.Sessions) == 0 && len(r.out.Doubts) == 0 && !r.free && r.out.Ref == nil && r.out.Fate == "" {
		switch r.out.Visit {
		case "":
			r.doubt(NothingSaid, all)
		case "lame":
			r.out.Free = Lame
		default:
			r.out.Free = Visit
		}
	}
	walked := func(s Session) bool { return s.Minutes[yard.Walk] == s.Total() }
	if len(r.out.Sessions) > 0 && (r.resting || r.boxed && slices.ContainsFunc(r.out.Sessions, func(s Session) bool { return !walked(s) })) {
		r.doubt(RestAndWork, all)
	}
	if m := r.out.Minutes(); m > MostMinutes {
		r.doubt(TooMuch, all)
		r.out.Sessions = nil
	}
	if r.out.Event {
		day := yard.Day{}
		day.SetStarts(r.times.begun)
		r.out.StartMin, r.out.Also = day.StartMin, day.Also
	}
}

// crossedOut says whether a cell is dashes, with slashes between them or not.
func crossedOut(toks []lexicon.Token) bool {
	return slices.ContainsFunc(toks, func(t lexicon.Token) bool { return t.Text == "-" }) &&
		!slices.ContainsFunc(toks, func(t lexicon.Token) bool { return t.Text != "-" && t.Text != "/" })
}

func (r *workReader) step(i int) int {
	tok := r.cell.toks[i]
	if n := r.fromTo(i); n > 0 {
		return n
	}
	switch tok.Kind {
	case lexicon.Mark:
		return r.mark(i)
	case lexicon.Clock:
		if d, n := quantity.ReadDuration(r.cell.w.t, r.cell.toks, i); n > 0 {
			return r.duration(i, d, n)
		}
		m, n := ReadClock(r.cell.w.t, r.cell.text, r.cell.toks, i)
		return r.clockTime(i, m, n)
	case lexicon.Number:
		return r.number(i)
	}
	return r.wordAt(i)
}
