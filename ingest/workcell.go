package ingest

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// Problem is a place in a work cell that could not be taken as it stands.
type Problem struct {
	Rule    string // "work-word", "work-minutes" or "work-time"
	Pos     int    // byte offset in the text
	Word    string // what stands there
	Message string // a sentence: what was expected, what to do
}

// mix is a kind of work named without its paces.
type mix struct {
	share [yard.Gaits]float64 // of the minutes; adds up to 1
	led   bool
	event bool
	// minutes are taken where the cell says none; only events have them, since
	// nobody writes how long a show lasts.
	minutes [yard.Gaits]float64
}

func shares(w, t, c, g, j float64) [yard.Gaits]float64 { return [yard.Gaits]float64{w, t, c, g, j} }

// builtIn are the mixes of pace behind the usual words. Common practice, no
// source: a yard's sessions sheet replaces each of them by name.
var builtIn = map[string]mix{
	"hack":           {share: shares(.70, .25, .05, 0, 0)},
	"trail ride":     {share: shares(.70, .25, .05, 0, 0)},
	"ride out":       {share: shares(.70, .25, .05, 0, 0)},
	"hacking":        {share: shares(.70, .25, .05, 0, 0)},
	"hack out":       {share: shares(.70, .25, .05, 0, 0)},
	"ride":           {share: shares(.70, .25, .05, 0, 0)},
	"schooling":      {share: shares(.40, .45, .15, 0, 0)},
	"school":         {share: shares(.40, .45, .15, 0, 0)},
	"flatwork":       {share: shares(.40, .45, .15, 0, 0)},
	"flat work":      {share: shares(.40, .45, .15, 0, 0)},
	"lesson":         {share: shares(.40, .45, .15, 0, 0)},
	"flat lesson":    {share: shares(.40, .45, .15, 0, 0)},
	"dressage":       {share: shares(.40, .45, .15, 0, 0)},
	"lunge":          {share: shares(.40, .50, .10, 0, 0), led: true},
	"lunging":        {share: shares(.40, .50, .10, 0, 0), led: true},
	"longe":          {share: shares(.40, .50, .10, 0, 0), led: true},
	"loose school":   {share: shares(.40, .50, .10, 0, 0), led: true},
	"long rein":      {share: shares(.80, .20, 0, 0, 0), led: true},
	"long reining":   {share: shares(.80, .20, 0, 0, 0), led: true},
	"walker":         {share: shares(1, 0, 0, 0, 0), led: true},
	"horse walker":   {share: shares(1, 0, 0, 0, 0), led: true},
	"horsewalker":    {share: shares(1, 0, 0, 0, 0), led: true},
	"led out":        {share: shares(1, 0, 0, 0, 0), led: true},
	"jumping":        {share: shares(.40, .35, .20, 0, .05)},
	"jump lesson":    {share: shares(.40, .35, .20, 0, .05)},
	"jumping lesson": {share: shares(.40, .35, .20, 0, .05)},
	"jump schooling": {share: shares(.40, .35, .20, 0, .05)},
	"gridwork":       {share: shares(.40, .35, .20, 0, .05)},
	"grid work":      {share: shares(.40, .35, .20, 0, .05)},
	"grids":          {share: shares(.40, .35, .20, 0, .05)},
	"poles":          {share: shares(.45, .45, .10, 0, 0)},
	"polework":       {share: shares(.45, .45, .10, 0, 0)},
	"pole work":      {share: shares(.45, .45, .10, 0, 0)},
	"xc schooling":   {share: shares(.45, .25, .25, .02, .03)},
	"fast work":      {share: shares(.45, .30, .15, .10, 0)},
	"canter work":    {share: shares(.45, .30, .25, 0, 0)},

	"show":              {event: true, minutes: shares(40, 20, 10, 0, 0)},
	"competition":       {event: true, minutes: shares(40, 20, 10, 0, 0)},
	"dressage test":     {event: true, minutes: shares(30, 20, 10, 0, 0)},
	"dressage comp":     {event: true, minutes: shares(30, 20, 10, 0, 0)},
	"sj":                {event: true, minutes: shares(30, 15, 10, 0, 3)},
	"show jumping":      {event: true, minutes: shares(30, 15, 10, 0, 3)},
	"showjumping":       {event: true, minutes: shares(30, 15, 10, 0, 3)},
	"xc":                {event: true, minutes: shares(40, 15, 10, 6, 2)},
	"cross country":     {event: true, minutes: shares(40, 15, 10, 6, 2)},
	"hunter trial":      {event: true, minutes: shares(40, 15, 10, 6, 2)},
	"one day event":     {event: true, minutes: shares(60, 30, 20, 6, 4)},
	"ode":               {event: true, minutes: shares(60, 30, 20, 6, 4)},
	"horse trials":      {event: true, minutes: shares(60, 30, 20, 6, 4)},
	"hunt":              {event: true, minutes: shares(100, 50, 25, 5, 0)},
	"hunting":           {event: true, minutes: shares(100, 50, 25, 5, 0)},
	"race":              {event: true, minutes: shares(30, 5, 5, 5, 0)},
	"point to point":    {event: true, minutes: shares(30, 5, 5, 7, 0)},
	"sponsored ride":    {event: true, minutes: shares(60, 45, 15, 0, 0)},
	"fun ride":          {event: true, minutes: shares(60, 45, 15, 0, 0)},
	"pleasure ride":     {event: true, minutes: shares(60, 45, 15, 0, 0)},
	"team chase":        {event: true, minutes: shares(30, 10, 10, 8, 0)},
	"endurance ride":    {event: true, minutes: shares(60, 100, 20, 0, 0)},
	"long distance":     {event: true, minutes: shares(60, 100, 20, 0, 0)},
	"gymkhana":          {event: true, minutes: shares(40, 20, 10, 0, 0)},
	"mounted games":     {event: true, minutes: shares(40, 20, 10, 0, 0)},
	"pony club rally":   {event: true, minutes: shares(60, 30, 10, 0, 0)},
	"riding club rally": {event: true, minutes: shares(60, 30, 10, 0, 0)},
}

var gaitWords = map[string]yard.Gait{
	"w": yard.Walk, "walk": yard.Walk, "walking": yard.Walk, "walked": yard.Walk,
	"t": yard.Trot, "trot": yard.Trot, "trotting": yard.Trot, "jog": yard.Trot,
	"c": yard.Canter, "canter": yard.Canter, "cantering": yard.Canter, "lope": yard.Canter,
	"g": yard.Gallop, "gallop": yard.Gallop, "galloping": yard.Gallop, "gallops": yard.Gallop,
	"j": yard.Jump, "jump": yard.Jump,
}

var (
	restWords    = []string{"rest", "off", "day off", "rest day", "day off work", "no work", "none", "nil", "box rest", "holiday"}
	turnoutWords = []string{"turnout", "turn out", "turned out", "field", "paddock", "grass", "out"}
	ledWords     = []string{"led", "in hand", "inhand", "loose", "in-hand", "ponied"}
	hillWords    = []string{"hills", "hill", "hilly", "uphill", "hillwork", "hill work"}
	// fillerWords say something about the work that changes no minutes.
	fillerWords = []string{"easy", "steady", "gentle", "quiet", "light", "ridden", "in", "on", "the", "at", "of", "for", "a", "an", "from", "to",
		"flat", "road", "roads", "roadwork", "beach", "wood", "woods", "forest", "arena", "indoor", "outdoor", "menage", "manege",
		"am", "pm", "morning", "afternoon", "evening", "long reins", "lane", "lanes", "track", "sand", "about", "approx", "start", "off"}
	// visitWords are reasons for a day off; alone they do not say that there is
	// no work.
	visitWords  = []string{"farrier", "vet", "dentist", "physio", "shoes", "shod", "shoeing", "lame", "clipping", "clip", "travel", "travelling", "after", "before", "day", "today"}
	minuteWords = []string{"min", "mins", "minute", "minutes", "m", "'", "′"}
	hourWords   = []string{"h", "hr", "hrs", "hour", "hours"}
)

// MostMinutes is the longest day's work believed: ten hours.
const MostMinutes = 600

type tokenKind int

const (
	wordToken tokenKind = iota
	numberToken
	clockToken
	markToken // + , ; ( ) - & / x2
	timesToken
)

type workToken struct {
	kind  tokenKind
	pos   int
	end   int
	text  string // lower case
	value float64
	clock int
}

// scanWork cuts a work cell into tokens. Every byte that is not blank lies in
// one of them.
func scanWork(text string) []workToken {
	var toks []workToken
	isDigit := func(i int) bool { return i < len(text) && text[i] >= '0' && text[i] <= '9' }
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\n' || r == '\r':
			toks = append(toks, workToken{markToken, i, i + n, ";", 0, 0})
			i += n
		case unicode.IsSpace(r) || unicode.Is(unicode.Zs, r) || r == '\u200b' || r == '\ufeff', isDirection(r):
			i += n
		case isDigit(i):
			j := i
			for isDigit(j) {
				j++
			}
			// 14:30 and 14.30; "1.5" stays a number, "07.30" is a clock.
			if j < len(text) && (text[j] == ':' || text[j] == '.' && j-i <= 2) && isDigit(j+1) && isDigit(j+2) && !isDigit(j+3) && j-i <= 2 {
				h, _ := strconv.Atoi(text[i:j])
				m, _ := strconv.Atoi(text[j+1 : j+3])
				if m < 60 && h < 24 {
					t := workToken{clockToken, i, j + 3, text[i : j+3], 0, h*60 + m}
					toks, i = append(toks, halfDay(text, &t)), t.end
					continue
				}
			}
			if half := (&workToken{kind: clockToken, pos: i, end: j}); j-i <= 2 {
				h, _ := strconv.Atoi(text[i:j])
				half.clock, half.text = h*60, text[i:j]
				if t := halfDay(text, half); t.end > j && h >= 1 && h <= 12 {
					toks, i = append(toks, t), t.end
					continue
				}
			}
			if (j < len(text)) && (text[j] == '.' || text[j] == ',') && isDigit(j+1) && !isDigit(j+2) {
				// "1,5 h" is an hour and a half; in "W1,5 min trot" a new item begins.
				if tail := strings.ToLower(strings.TrimLeft(text[j+2:], " ")); text[j] == '.' || strings.HasPrefix(tail, "h") && !strings.HasPrefix(tail, "ha") && !strings.HasPrefix(tail, "hi") && !strings.HasPrefix(tail, "hu") {
					j += 2
				}
			}
			v, _ := strconv.ParseFloat(strings.Replace(text[i:j], ",", ".", 1), 64)
			if r2, n2 := utf8.DecodeRuneInString(text[j:]); vulgar[r2] != 0 {
				v += vulgar[r2]
				j += n2
			}
			t := workToken{numberToken, i, j, text[i:j], v, 0}
			// "2x" before what is done twice.
			if j < len(text) && (text[j] == 'x' || text[j] == 'X') && (j+1 == len(text) || text[j+1] == ' ') {
				t.kind, t.end = timesToken, j+1
			}
			toks, i = append(toks, t), t.end
		case vulgar[r] != 0:
			toks = append(toks, workToken{numberToken, i, i + n, text[i : i+n], vulgar[r], 0})
			i += n
		case (r == 'x' || r == 'X' || r == '×' || r == '*') && timesFollows(text, i+n, toks):
			j := i + n
			for j < len(text) && text[j] == ' ' {
				j++
			}
			k := j
			for isDigit(k) {
				k++
			}
			v, _ := strconv.ParseFloat(text[j:k], 64)
			toks = append(toks, workToken{timesToken, i, k, text[i:k], v, 0})
			i = k
		case unicode.IsLetter(r):
			j := i
			for j < len(text) {
				r2, n2 := utf8.DecodeRuneInString(text[j:])
				inner := r2 == '\'' || r2 == '’' || r2 == '-'
				if unicode.IsLetter(r2) || unicode.Is(unicode.Mn, r2) {
					j += n2
					continue
				}
				if inner {
					if r3, _ := utf8.DecodeRuneInString(text[j+n2:]); unicode.IsLetter(r3) {
						j += n2
						continue
					}
				}
				break
			}
			// "cross-country" is two words to the tables.
			start := i
			for _, part := range strings.SplitAfter(text[i:j], "-") {
				w := strings.ToLower(strings.TrimSuffix(part, "-"))
				if w != "" {
					toks = append(toks, workToken{wordToken, start, start + len(part), w, 0, 0})
				}
				start += len(part)
			}
			i = j
		default:
			m := text[i : i+n]
			switch r {
			case '−', '–', '—', '‐', '‑', '‒':
				m = "-"
			case '&':
				m = "+"
			}
			toks = append(toks, workToken{markToken, i, i + n, m, 0, 0})
			i += n
		}
	}
	return toks
}

// timesFollows says whether the x at hand is "x2": a figure follows, and a
// number or a closed thing stands before.
func timesFollows(text string, i int, before []workToken) bool {
	for i < len(text) && text[i] == ' ' {
		i++
	}
	return i < len(text) && text[i] >= '0' && text[i] <= '9' && len(before) > 0
}

// halfDay adds am or pm standing behind a time.
func halfDay(text string, t *workToken) workToken {
	rest := text[t.end:]
	trimmed := strings.TrimLeft(rest, " ")
	low := strings.ToLower(trimmed)
	for _, h := range []string{"am", "pm"} {
		if strings.HasPrefix(low, h) {
			if r, _ := utf8.DecodeRuneInString(trimmed[2:]); unicode.IsLetter(r) || t.clock >= 13*60 {
				continue
			}
			t.end += len(rest) - len(trimmed) + 2
			t.clock %= 12 * 60
			if h == "pm" {
				t.clock += 12 * 60
			}
			break
		}
	}
	return *t
}

// ParseWork reads a work cell: what people write on a whiteboard.
//
//	cell     = rest words [ "-" remark ] | session { ("+" | ";" | "and" | "then" | new line) session }
//	session  = item { "," item }
//	item     = pace minutes | minutes pace | name minutes | minutes name | event [clock] [minutes]
//	pace     = "walk" | "W" | "trot" | "T" | "canter" | "C" | "gallop" | "G" | "jump" | "J"
//	"2 lessons" is how often: a whole number under five before a name, without a unit.
//	minutes  = number [ "min" ] | number "h" [ number ]
//	name     = a name on the sessions sheet | a built-in name such as "hack"
//	event    = "show" | "XC" | "hunt" | ...
//	item may be followed by "led", "loose", "in hand", "(hills)", "x2", "with" and a person.
//
// Paces without a plus between them are one session. The yard's own sessions,
// keyed by name in lower case, win over every built-in word. "jump 20" and
// "J20" are twenty minutes over courses of jumps; "jumping 45" is a lesson of
// which little is jumping.
//
// What is understood is kept; each thing that is not gives a [Problem] and sets
// Day.Unknown, so that it never counts as a day off. A day of more than
// [MostMinutes] is not believed and comes back without sessions. An empty text
// is a day without work. Day.Cell is left to the caller.
func ParseWork(text string, sessions map[string]yard.Session) (yard.Day, []Problem) {
	return newWorkWords(sessions, headerWords{}).parse(text)
}

// workWords is what a yard's work cells are read by: its sessions and its own
// words for the paces and for rest, which win over the built-in ones.
type workWords struct {
	all      map[string]yard.Session // the yard's own, by name in lower case
	sessions map[string]yard.Session // the same by the words of their names
	paces    map[string]yard.Gait
	rest     []string
	known    []string          // all that a word not understood may have been meant for; nil: to be gathered
	meant    map[string]string // what such words may have been meant for
}

func newWorkWords(sessions map[string]yard.Session, own headerWords) *workWords {
	w := &workWords{all: sessions, sessions: map[string]yard.Session{}, paces: own.paces, rest: own.rest, meant: map[string]string{}}
	for _, name := range slices.Sorted(maps.Keys(sessions)) {
		var parts []string
		for _, t := range scanWork(name) {
			if t.kind != markToken {
				parts = append(parts, t.text)
			}
		}
		words := strings.Join(parts, " ")
		if _, twice := w.sessions[words]; !twice && words != "" {
			w.sessions[words] = sessions[name]
		}
	}
	return w
}

// parse is [ParseWork].
func (w *workWords) parse(text string) (yard.Day, []Problem) {
	p := workParser{workWords: w, text: text, toks: scanWork(text), day: yard.Day{Text: strings.TrimSpace(text), StartMin: -1}}
	p.parse()
	total := 0.0
	for _, s := range p.day.Sessions {
		total += s.Total()
	}
	if p.resting && len(p.day.Sessions) > 0 {
		p.problem("work-word", 0, p.day.Text, "says rest and work in one cell; leave only one of them")
	}
	if total > MostMinutes {
		p.problem("work-minutes", 0, p.day.Text, fmt.Sprintf("adds up to %.0f minutes of work in one day, and more than %d is not believed; correct the minutes", total, MostMinutes))
		p.day.Sessions = nil
	}
	if len(p.problems) > 0 {
		p.day.Unknown = true
	}
	if !p.day.Event {
		p.day.StartMin = 0
	}
	return p.day, p.problems
}

// item is a pace or a named session on its way to minutes.
type item struct {
	gait    yard.Gait
	name    string // "" for a pace
	mix     mix
	own     *yard.Session // from the sessions sheet
	pos     int
	minutes float64
	given   bool // minutes are there
	clock   int  // -1: none
	times   int
	comma   bool // a comma stood before it
}

type workParser struct {
	*workWords
	text     string
	toks     []workToken
	day      yard.Day
	problems []Problem
	runs     []run // see runsAt
	runsFrom int   // the token they begin at

	items       []item
	led, hills  bool
	pending     float64 // minutes waiting for what they belong to
	hasPending  bool
	pendingPos  int
	pendingBare bool // without a unit
	pendingTime int  // clock waiting for an event
	comma       bool
	timesAhead  int
	said        bool // a rest or turnout word was there
	free        bool // a rest or turnout word stood anywhere in the cell
	strange     bool // a word of this session was not understood
	resting     bool // a rest word stood anywhere in the cell
}

func (p *workParser) problem(rule string, pos int, word, message string) {
	p.problems = append(p.problems, Problem{rule, pos, word, message})
}

// doubtful says that a small number beside a name has several readings.
func (p *workParser) doubtful(pos int, number, name string) {
	p.problem("work-minutes", pos, number, fmt.Sprintf("%s beside %s can be hours, minutes or how often; write %s 45, or 2 x %s", number, name, name, name))
}

// run is the words from a token on, over so many tokens.
type run struct {
	words  string
	tokens int
}

// runsAt gives the words from token i on: the first, the first two, and so on up
// to six. Every list of names is compared with the same ones.
func (p *workParser) runsAt(i int) []run {
	if len(p.runs) > 0 && p.runsFrom == i {
		return p.runs
	}
	p.runsFrom, p.runs = i, p.runs[:0]
	name := ""
	for n := 0; n < 6 && i+n < len(p.toks); n++ {
		t := p.toks[i+n]
		if t.kind == markToken {
			if n > 0 && strings.Contains("()-.'", t.text) {
				continue // "Long hack (hills)" is one name
			}
			break
		}
		if n > 0 {
			name += " "
		}
		name += t.text
		p.runs = append(p.runs, run{name, n + 1})
	}
	return p.runs
}

// match finds the longest run of tokens from i on that is one of the names.
func (p *workParser) match(i int, is func(string) bool) int {
	best := 0
	for _, r := range p.runsAt(i) {
		if is(r.words) {
			best = r.tokens
		}
	}
	return best
}

func (p *workParser) joined(i, n int) string {
	var parts []string
	for _, t := range p.toks[i : i+n] {
		if t.kind != markToken {
			parts = append(parts, t.text)
		}
	}
	return strings.Join(parts, " ")
}

func (p *workParser) parse() {
	p.pendingTime = -1
	if len(p.toks) == 0 {
		return
	}
	// A lone 0 or dash is how people cross a day out.
	if len(p.toks) == 1 && (p.toks[0].text == "-" || p.toks[0].kind == numberToken && p.toks[0].value == 0) {
		return
	}
	for i := 0; i < len(p.toks); {
		t := p.toks[i]
		if n := p.match(i, func(s string) bool { return oneOf(p.sessions, s) != "" }); n > 0 {
			name := oneOf(p.sessions, p.joined(i, n))
			s, b := p.sessions[name], builtIn[name]
			p.add(item{name: s.Name, own: &s, mix: mix{event: b.event, led: s.Led}, pos: t.pos})
			i += n
			continue
		}
		switch t.kind {
		case markToken:
			switch t.text {
			case "+", ";":
				p.endSession()
			case ",", "/":
				p.comma = true
			case "-":
				// "off - farrier": what follows is why. Elsewhere it parts items.
				if p.said && len(p.items) == 0 && !p.hasPending {
					i = len(p.toks)
					continue
				}
				p.comma = true
			case "(", "[":
				// "off (lame)" gives a reason, as a dash does.
				if p.said && len(p.items) == 0 && !p.hasPending {
					i = len(p.toks)
					continue
				}
			case ")", ".", "]", "!", ":", "\"", "~", "“", "”", "„", "‘", "’":
			case "'", "′":
				// minutes: 20'
			default:
				p.problem("work-word", t.pos, t.text, fmt.Sprintf("%q was not understood; expected work such as hack 60, W30 T20 C10, rest", t.text))
			}
			i++
		case timesToken:
			p.times(t)
			i++
		case clockToken:
			p.clockTime(t)
			i++
		case numberToken:
			i = p.duration(i)
		case wordToken:
			i = p.word(i)
		}
	}
	p.endSession()
	// "easy" or "10:00" alone says neither work nor rest.
	if len(p.day.Sessions) == 0 && len(p.problems) == 0 && !p.free {
		p.problem("work-word", 0, p.day.Text, "says neither what work nor that there is none; expected work such as hack 60, W30 T20 C10 or rest")
	}
}

// oneOf is the name in a table that words are, or are several of: "lessons" is
// lesson; empty where there is none.
func oneOf[T any](names map[string]T, words string) string {
	if _, ok := names[words]; ok {
		return words
	}
	if one, several := strings.CutSuffix(words, "s"); several {
		if _, ok := names[one]; ok {
			return one
		}
	}
	return ""
}

// fewestMinutes is how many minutes of a named piece of work are believed where no
// unit stands behind the number (ours): "2 lessons" are two of them, and "hack 2" may
// be hours.
const fewestMinutes = 5

// pace says which pace a word means.
func (p *workParser) pace(word string) (yard.Gait, bool) {
	if g, ok := p.paces[word]; ok {
		return g, true
	}
	g, ok := gaitWords[word]
	return g, ok
}

func (p *workParser) word(i int) int {
	t := p.toks[i]
	if n := p.match(i, func(s string) bool { return oneOf(builtIn, s) != "" }); n > 0 {
		name := oneOf(builtIn, p.joined(i, n))
		if _, isPace := p.pace(name); !isPace {
			p.add(item{name: name, mix: builtIn[name], pos: t.pos})
			return i + n
		}
	}
	in := func(list []string) int { return p.match(i, func(s string) bool { return slices.Contains(list, s) }) }
	rest := max(in(restWords), in(p.rest))
	if n := rest; n > 0 && (len(p.items) == 0 && !p.hasPending) {
		p.said, p.resting, p.free = true, true, true
		return i + n
	}
	if n := rest; n > 0 && t.text != "off" && t.text != "out" {
		p.resting = true
		return i + n
	}
	if p.said && slices.Contains(visitWords, t.text) {
		return i + 1
	}
	if n := p.match(i, func(s string) bool { _, ok := p.pace(s); return ok }); n > 0 {
		g, _ := p.pace(p.joined(i, n))
		p.add(item{gait: g, pos: t.pos})
		return i + n
	}
	switch {
	case t.text == "and" || t.text == "then" || t.text == "plus":
		p.endSession()
		return i + 1
	case t.text == "with" || t.text == "w/":
		// Who rides changes nothing; the words up to the next mark are a name.
		for i++; i < len(p.toks) && p.toks[i].kind == wordToken && !p.begins(i); i++ {
		}
		return i
	}
	if n := in(ledWords); n > 0 {
		p.led = true
		return i + n
	}
	if n := in(hillWords); n > 0 {
		p.hills = true
		return i + n
	}
	if n := in(turnoutWords); n > 0 {
		p.said, p.free = true, true
		return i + n
	}
	if n := in(fillerWords); n > 0 {
		return i + n
	}
	msg := fmt.Sprintf("%q was not understood", p.text[t.pos:t.end])
	near := p.near(t.text)
	if falseFriends[t.text] {
		near = "canter"
	}
	if near != "" {
		msg += fmt.Sprintf("; did you mean %q?", near)
	} else {
		msg += "; expected work such as hack 60, W30 T20 C10 or rest, or a name from the sessions sheet"
	}
	p.problem("work-word", t.pos, p.text[t.pos:t.end], msg)
	p.strange = true
	return i + 1
}

// begins says whether a word begins something the grammar knows.
func (p *workParser) begins(i int) bool {
	w := p.toks[i].text
	if _, ok := p.pace(w); ok {
		return true
	}
	if _, ok := builtIn[w]; ok {
		return true
	}
	return w == "and" || w == "then" || slices.Contains(hillWords, w) || slices.Contains(ledWords, w)
}

// near is what a word that was not understood may have been meant for, or "".
// Nobody reads so many suggestions as are remembered: there are no more of them.
func (w *workWords) near(word string) string {
	near, seen := w.meant[word]
	if !seen && len(w.meant) < mostRemembered {
		if w.known == nil {
			w.known = w.vocabulary()
		}
		near = nearest(word, w.known)
		w.meant[word] = near
	}
	return near
}

func (w *workWords) vocabulary() []string {
	v := slices.Collect(maps.Keys(w.all))
	for name := range builtIn {
		v = append(v, name)
	}
	for name := range gaitWords {
		if len(name) > 1 {
			v = append(v, name)
		}
	}
	for name := range w.paces {
		v = append(v, name)
	}
	v = append(v, w.rest...)
	v = append(v, "rest", "off", "turnout", "field", "led", "loose", "hills")
	slices.Sort(v)
	return v
}

// duration reads minutes at token i: "45", "45 min", "1h15", "1.5 hours".
func (p *workParser) duration(i int) int {
	t := p.toks[i]
	v, next := t.value, i+1
	word := func(k int) string {
		if k < len(p.toks) && (p.toks[k].kind == wordToken || p.toks[k].text == "'" || p.toks[k].text == "′") {
			return p.toks[k].text
		}
		return ""
	}
	switch {
	case slices.Contains(hourWords, word(next)):
		v *= 60
		next++
		// "1h15" and "1 h 15 min", but not "1h 30 T20" with a pace to follow.
		if next < len(p.toks) && p.toks[next].kind == numberToken && p.toks[next].value < 60 {
			glued := p.toks[next].pos == p.toks[next-1].end
			_, pace := p.pace(word(next + 1))
			if glued || !pace {
				v += p.toks[next].value
				next++
				if slices.Contains(minuteWords, word(next)) {
					next++
				}
			}
		}
	case slices.Contains(minuteWords, word(next)):
		next++
	}
	v = min(v, 100*MostMinutes) // far beyond what is believed, and still a number to reckon with
	if n := len(p.items); n > 0 && !p.items[n-1].given && !p.comma {
		it := &p.items[n-1]
		if it.mix.event && next == i+1 && v < 30 {
			p.problem("work-time", t.pos, t.text, fmt.Sprintf("%q behind an event can be an hour or minutes; write the start as 10:00", t.text))
			it.given, it.minutes = false, 0
			it.clock = -2 // the doubt has been told
			return next
		}
		if it.name != "" && next == i+1 && v < fewestMinutes {
			p.doubtful(t.pos, t.text, it.name)
		}
		it.minutes, it.given = v, true
		return next
	}
	if p.hasPending {
		p.problem("work-minutes", p.pendingPos, strconv.FormatFloat(p.pending, 'f', -1, 64), "stand alone; write what kind of work the minutes are, such as W30 or hack 45")
	}
	p.pending, p.hasPending, p.pendingPos, p.pendingBare = v, true, t.pos, next == i+1
	return next
}

func (p *workParser) add(it item) {
	it.clock, it.times, it.comma = -1, 1, p.comma
	p.comma = false
	if p.hasPending {
		p.hasPending = false
		switch v := p.pending; {
		case !p.pendingBare || it.name == "" || v >= fewestMinutes:
			it.minutes, it.given = v, true
		case v == math.Trunc(v) && v >= 1:
			it.times = int(v) // "2 lessons"
		default:
			it.minutes, it.given = v, true
			p.doubtful(p.pendingPos, strconv.FormatFloat(v, 'f', -1, 64), it.name)
		}
	}
	if p.pendingTime >= 0 {
		it.clock, p.pendingTime = p.pendingTime, -1
	}
	if p.timesAhead > 0 {
		it.times, p.timesAhead = p.timesAhead, 0
	}
	p.items = append(p.items, it)
}

func (p *workParser) times(t workToken) {
	if t.value != math.Trunc(t.value) || t.value < 1 || t.value > 20 {
		p.problem("work-word", t.pos, t.text, fmt.Sprintf("%q was not understood as a number of times from 1 to 20", t.text))
		return
	}
	n := len(p.items)
	switch {
	case strings.HasSuffix(t.text, "x") || p.text[t.pos] >= '0' && p.text[t.pos] <= '9':
		p.timesAhead = int(t.value)
	case n == 0:
		p.problem("work-word", t.pos, t.text, fmt.Sprintf("%q has nothing before it to be repeated", t.text))
	case n > 1 && p.items[n-1].name == "" && p.items[n-2].name == "" && !p.items[n-1].comma:
		p.problem("work-word", t.pos, t.text, fmt.Sprintf("%q behind several paces can mean the last or all of them; write each pace with all its minutes", t.text))
	default:
		p.items[n-1].times = int(t.value)
	}
}

func (p *workParser) clockTime(t workToken) {
	if n := len(p.items); n > 0 {
		it := &p.items[n-1]
		if it.clock < 0 {
			it.clock = t.clock
		}
		return
	}
	p.pendingTime = t.clock
}

// endSession turns the items gathered into sessions.
func (p *workParser) endSession() {
	defer func() {
		p.items, p.led, p.hills, p.comma, p.timesAhead, p.said, p.strange = nil, false, false, false, 0, false, false
	}()
	// Minutes of a word that was not understood have been told with the word.
	if p.hasPending && p.strange {
		p.hasPending = false
	}
	if p.hasPending {
		p.problem("work-minutes", p.pendingPos, strconv.FormatFloat(p.pending, 'f', -1, 64), "minutes of what? Write the work before the minutes, such as W30 or hack 45")
		p.hasPending = false
	}
	if len(p.items) == 0 {
		if p.timesAhead > 0 {
			p.problem("work-word", 0, p.day.Text, fmt.Sprintf("says %d times, and nothing that is done so often", p.timesAhead))
		}
		if p.led {
			p.problem("work-minutes", 0, p.day.Text, "led or loose for how many minutes, and at which pace? Write walk 20 led")
		} else if !p.said && p.hills {
			p.problem("work-minutes", 0, p.day.Text, "hills for how many minutes, and at which pace?")
		}
		return
	}
	first := len(p.day.Sessions)
	var open *yard.Session // the session of plain paces being filled
	flush := func() {
		if open != nil {
			p.day.Sessions = append(p.day.Sessions, *open)
			open = nil
		}
	}
	for k := 0; k < len(p.items); k++ {
		it := p.items[k]
		if it.name == "" {
			if !it.given {
				if k == 0 && slices.ContainsFunc(p.items[1:], func(o item) bool { return o.name == "" && o.gait == it.gait && o.given }) {
					continue // "gallops W30 T15 C12 G4": the word is the day's title
				}
				p.problem("work-minutes", it.pos, it.gait.String(), fmt.Sprintf("how many minutes of %s? Write %s and its minutes, such as W30", it.gait, it.gait))
				continue
			}
			if open == nil {
				open = &yard.Session{}
			}
			open.Minutes[it.gait] += it.minutes * float64(it.times)
			continue
		}
		flush()
		// Paces straight behind a name say how it is made up: "hack W40 T20".
		var made [yard.Gaits]float64
		sum, after := 0.0, k+1
		for after < len(p.items) && p.items[after].name == "" && !p.items[after].comma && p.items[after].given {
			made[p.items[after].gait] += p.items[after].minutes * float64(p.items[after].times)
			sum += p.items[after].minutes * float64(p.items[after].times)
			after++
		}
		s := yard.Session{Name: it.name, Led: it.mix.led}
		switch {
		case sum > 0 && (!it.given || math.Abs(sum-it.minutes) < 0.5):
			s.Minutes = made
			k = after - 1
		case sum > 0:
			p.problem("work-minutes", it.pos, it.name, fmt.Sprintf("%s %.0f is followed by paces of %.0f minutes; write a comma or a plus between them if they come on top", it.name, it.minutes, sum))
			s.Minutes = it.spread()
			k = after - 1
		case it.given || it.mix.event || it.own != nil && it.own.Total() > 0:
			s.Minutes = it.spread()
		default:
			p.problem("work-minutes", it.pos, it.name, fmt.Sprintf("how many minutes of %s? Write %s 45", it.name, it.name))
			continue
		}
		if it.own != nil {
			s.Hills, s.Efforts = it.own.Hills, it.own.Efforts
			if it.given && it.own.Total() == 0 {
				p.problem("work-minutes", it.pos, it.name, fmt.Sprintf("the sessions sheet gives no minutes for %s, so its paces are not known", it.name))
			}
		}
		if it.mix.event {
			p.day.Event = true
			if it.clock >= 0 && (p.day.StartMin < 0 || it.clock < p.day.StartMin) {
				p.day.StartMin = it.clock
			}
		}
		for range it.times {
			p.day.Sessions = append(p.day.Sessions, s)
		}
	}
	flush()
	for i := first; i < len(p.day.Sessions); i++ {
		p.day.Sessions[i].Led = p.day.Sessions[i].Led || p.led
		p.day.Sessions[i].Hills = p.day.Sessions[i].Hills || p.hills
	}
}

// spread is the item's minutes by gait.
func (it item) spread() [yard.Gaits]float64 {
	base := it.mix.share
	switch {
	case it.own != nil:
		base = it.own.Minutes
	case it.mix.event:
		base = it.mix.minutes
	}
	if !it.given {
		return base
	}
	total := 0.0
	for _, m := range base {
		total += m
	}
	if total == 0 {
		return [yard.Gaits]float64{}
	}
	for g := range base {
		base[g] *= it.minutes / total
	}
	return base
}
