package yard

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Week is everything one workbook says: the yard, its horses, the work planned
// for seven days from Beginning, the feeds in the room and what is fed.
type Week struct {
	Yard        string
	Beginning   time.Time // the Monday (or whichever weekday the yard starts on), midnight UTC; zero if unknown
	Meals       []Meal    // in the order of the day, at least one
	Measures    []Measure // scoops the yard owns; the first is the one cards use
	Imperial    bool      // true: pounds are printed as well as kilograms
	Paper       string    // "A4" or "Letter"
	Temperature Num       // °C expected this week
	HumidityPct Num       // relative humidity expected, %
	Contacts    []Contact // who to ring, in order
	Horses      []Horse   // in the workbook's order
	Feeds       []Feed    // in the workbook's order
	Lines       []Line    // what is fed and planned, in the workbook's order
	Findings    []Finding // what could not be taken as it stood
	Guessed     []GuessedColumn
	Read        Counts
	Understood  []HorseRead  // a line a horse, of a workbook laid out in the yard's own way; empty for the plain layout
	Regions     []RegionRead // how its tables and blocks were read, in the workbook's order; empty for the plain layout
	NotUsed     []Cell       // cells nothing was made of, in the workbook's order
	Told        []Told       // stops and warnings of the record of the week before; empty: none, or no record
}

// Told is something a person was told to act on in the week before.
type Told struct {
	Horse    string // empty: the whole yard
	Rule     RuleID
	Severity Severity // Warn or Stop
	Weeks    int      // running, that week with it; at least 1
}

// GuessedColumn is a column whose heading is not one that is known and was
// taken for another, very like it.
type GuessedColumn struct {
	Column string // the column it was taken for, as the settings call it: "weight"
	Word   string // the heading as it stands
	Cell   Cell
}

// Counts is how much was read, printed everywhere so that a horse that quietly
// vanished is noticed.
type Counts struct {
	Sheets int // sheets looked at, hidden ones too
	Rows   int // rows with anything in them
	Horses int // horses found on the horses sheet
}

// HorseRead is how one horse was read, for the manager to check: what was taken
// from its cells, and which of them could not be.
type HorseRead struct {
	Horse     string
	WeightKg  Num
	Basis     WeightBasis
	WorkMin   [7]Num // minutes a day from Week.Beginning; unknown where the work is
	NowKg     Num    // hard feed a day, fed now
	PlannedKg Num    // hard feed a day, planned
	Diagnoses []NamedDiagnosis
	Notes     string
	Gone      bool   // sold, away or crossed out
	Asked     []Cell // cells of it that are asked about
}

// RegionRead is how a table or a block of a workbook was read, and why so.
type RegionRead struct {
	At       Cell   // its first cell
	To       string // its last: "N12"
	What     Saying // a row a horse, a column a horse, a block of one horse, or why it was not read
	WeekBy   Cell   // says which week it is of; no sheet: nothing does
	Columns  []ColumnRead
	Week     time.Time // it is of; zero: not known
	NotOfUse bool      // nothing in it is needed for a card
}

// ColumnRead is what a column was taken to be about, and why.
type ColumnRead struct {
	Head    Cell // over it, or beside it where horses stand across; no text where it has none
	As, Why Saying
}

// Meal is one of the yard's feeding times.
type Meal struct {
	Name   string // "Breakfast"
	Minute int    // minutes after midnight, or -1 if no time was given
}

// Measure is a scoop or jug the yard owns.
type Measure struct {
	Name   string // "scoop"
	Litres Num    // volume to the level brim
}

// Contact is somebody to ring.
type Contact struct{ Role, Name, Phone string }

// WeightBasis is how a body weight was come by.
type WeightBasis string

const (
	ByScale       WeightBasis = "scale"
	ByTape        WeightBasis = "tape"
	Stated        WeightBasis = "stated"
	ByGirthLength WeightBasis = "girth_length"
	NoWeight      WeightBasis = "unknown"
)

// HorseType chooses the body-weight formula and some limits.
type HorseType string

const (
	TypeHorse   HorseType = "horse"
	TypePony    HorseType = "pony"
	TypeDonkey  HorseType = "donkey"
	TypeDraught HorseType = "draught"
)

// Fitness is the condition for work, from soft (unfit) to hard (fit).
type Fitness string

const (
	Soft           Fitness = "soft"
	PartFit        Fitness = "part-fit"
	Hard           Fitness = "hard"
	FitnessUnknown Fitness = "unknown"
)

// Keeper is how easily a horse holds its weight; it sets the maintenance level.
type Keeper string

const (
	GoodDoer   Keeper = "good doer"
	NormalDoer Keeper = "normal"
	PoorDoer   Keeper = "poor doer"
)

// Diagnosis is a condition a vet has named; the program never makes one.
type Diagnosis string

const (
	Laminitis  Diagnosis = "laminitis"
	InsulinEMS Diagnosis = "EMS/insulin"
	PPID       Diagnosis = "PPID"
	TyingUp    Diagnosis = "tying-up"
	Ulcers     Diagnosis = "ulcers"
	HYPP       Diagnosis = "HYPP"
	Choke      Diagnosis = "choke"
	PoorTeeth  Diagnosis = "poor teeth" // or few: what is chewed badly chokes and blocks
	PastColic  Diagnosis = "past colic"
	Heaves     Diagnosis = "heaves"
	Overweight Diagnosis = "overweight" // a vet leads the slimming
	// NoFeedRule is one that is known to ask nothing of the feed: lameness, wind, skin,
	// joints, backs, an operation long healed.
	NoFeedRule Diagnosis = "no feed rule"
	// OtherDiagnosis is one the program does not know; it is shown as written and asked
	// about, and until somebody has answered nothing new is fed and nothing goes up.
	OtherDiagnosis Diagnosis = "other"
)

// Horse is one row of the horses sheet.
type Horse struct {
	Name        string
	Cell        Cell // of the name
	WeightKg    Num  // as written on the sheet, not from girth and length
	WeightBasis WeightBasis
	Weighed     time.Time // zero: not said
	GirthCm     Num
	LengthCm    Num
	HeightCm    Num
	AgeYears    Num
	Type        HorseType // TypeHorse where not said
	Score       Num       // Henneke, 1-9
	TargetScore Num
	Fitness     Fitness
	Keeper      Keeper // NormalDoer where not said
	Facts       []Fact // that are only printed, in the order of the columns
	RiderTackKg Num
	Breed       string     // as written; a second standard asks for it
	Kept        Kept       // how it is housed, as far as that is understood
	Breeding    Breeding   // NotBreeding where not said
	OffFeed     bool       // somebody wrote that it does not eat up
	Losing      bool       // somebody wrote that it is losing weight
	InWorkSince time.Time  // when this spell of work began; zero: not said
	SweatScore  Num        // 1-5, on an ordinary work day
	SweatLitres Num        // measured, on an ordinary work day; goes before the score
	GrassHours  Num        // hours a day at grass this week
	GrassBefore Num        // hours a day at grass last week
	Checks      []Check    // ticked: done before this spell of work
	Weighings   []Weighing // history, oldest first, those on the horses sheet too
	Diagnoses   []NamedDiagnosis
	Notes       string
	Override    Override
	Cells       map[string]Cell // where numbers stand: "weight", "girth", "length", "score", "target score", "keeper", "rider"
	Work        [7]Day          // from Week.Beginning
	WorkGiven   bool            // false: the work sheet has no row for this horse
	Before      [7]Day          // the seven days before Week.Beginning
	BeforeGiven bool            // false: nobody said what was done in them
	// PlanUnread says why what is planned for it is not known though something is, or is for the
	// others; empty: what is planned was read, or nothing is.
	PlanUnread Saying
	Later      []WorkWeek // weeks after Week.Beginning's with work written down, in order
	Past       []PastWeek // what the records of the weeks before have, at most [MostPastWeeks], oldest first; empty: no record
	// NoCard holds reasons found while reading why nothing may be computed for
	// this horse (it is listed twice on the sheet, a planned amount is negative …).
	NoCard []Saying
}

// DatedWeight is the weight of the horses sheet as a weighing; its Kg is unknown where
// there is none or nobody said of which day it is.
func (h Horse) DatedWeight() Weighing {
	if !h.WeightKg.IsKnown() || h.Weighed.IsZero() {
		return Weighing{}
	}
	return Weighing{Date: h.Weighed, Kg: h.WeightKg, Basis: h.WeightBasis, Cell: h.Cells["weight"]}
}

// WorkWeek is the work planned for a week still to come.
type WorkWeek struct {
	Beginning time.Time // whole weeks after Week.Beginning, at most [MostWeeksAhead]
	Work      [7]Day
}

// MostWeeksAhead is how far ahead work is looked at: half a year.
const MostWeeksAhead = 26

// Fact is what a column of the horses sheet says that is only printed.
type Fact struct {
	Column string // its key
	Text   string // as written
}

// PastWeek is what the record of an earlier week has of a horse. A week without a
// record has none. Each figure is 0 or more, or unknown.
type PastWeek struct {
	Beginning time.Time // the week's first day
	HardKg    Num       // hard feed of its card's ordinary work day, kg as fed; unknown without a card
	FromKg    Num       // the same as fed at the week's start
	WarnKg    Num       // what it might rise by in that week: warned from here
	StopKg    Num       // and reduced from here
	WeightKg  Num
	Basis     WeightBasis // of WeightKg

	// Full says that all of the week is known: what it was fed, how much energy that
	// held, and what it did. Only then are the four known.
	Full       bool
	ForageMcal Num // DE of the forage on its card, Mcal a day, mean of the week
	OtherMcal  Num // DE of everything else
	WorkMcal   Num // what work and cold took
	ColdMcal   Num // of it, the cold
	DoubtMcal  Num // SD of what was eaten and not served (grass, ad lib)

	WeekEnergy
	Weighed Weighing // the last weighing there was then; Kg unknown: none

	Minutes [Gaits]Num  // of work in the week, by gait; all unknown where a day's work is
	Events  []PastEvent // in order
}

// PastEvent is a competition or outing of an earlier week.
type PastEvent struct {
	Date time.Time
	Text string // as written
}

// WorkMinutes are those of all gaits.
func (p PastWeek) WorkMinutes() Num {
	t := 0.0
	for _, m := range p.Minutes {
		v, ok := m.Get()
		if !ok {
			return Num{}
		}
		t += v
	}
	return Known(t)
}

// MostPastWeeks is how far back the record is looked at: half a year.
const MostPastWeeks = 26

// Kept is how a horse is housed, as far as fitness and forage go.
type Kept string

const (
	KeptUnknown Kept = ""
	Stabled     Kept = "stable"
	InPaddock   Kept = "small paddock"
	InField     Kept = "field"
)

// Breeding says whether a mare has needs the adult figures do not cover.
type Breeding string

const (
	NotBreeding Breeding = ""
	InFoal      Breeding = "in foal"
	Lactating   Breeding = "foal at foot"
	// BreedingUnclear: something is written that was not understood.
	BreedingUnclear Breeding = "unclear"
)

// Check is one thing checked before an unfit horse starts work.
type Check string

const (
	CheckVet    Check = "vet"
	CheckFeet   Check = "farrier"
	CheckSaddle Check = "saddle"
	CheckTeeth  Check = "teeth"
	CheckWorms  Check = "worm count"
)

// Checks lists them in the order they are printed.
func Checks() []Check { return []Check{CheckVet, CheckFeet, CheckSaddle, CheckTeeth, CheckWorms} }

// Weighing is one body weight taken.
type Weighing struct {
	Date  time.Time // never zero
	Kg    Num
	Basis WeightBasis
	Score Num
	Cell  Cell // of the weight, or of the score where only that was taken
}

// NamedDiagnosis is a vet-named condition with the words on the sheet.
type NamedDiagnosis struct {
	Kind Diagnosis
	Text string
}

// DiagnosesSaid are the names of diagnoses, each once: one note may speak of two.
func DiagnosesSaid(named []NamedDiagnosis) (names []string) {
	for _, d := range named {
		if n := d.Name(); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

// Name is what a diagnosis is called: by the name it has in the program where the workbook
// calls it so, which is known in every language, else in the workbook's words.
func (n NamedDiagnosis) Name() string {
	if n.Text == "" || strings.EqualFold(n.Text, string(n.Kind)) {
		return string(n.Kind)
	}
	return n.Text
}

// Has says whether a vet has named d for the horse.
func (h Horse) Has(d Diagnosis) bool {
	for _, n := range h.Diagnoses {
		if n.Kind == d {
			return true
		}
	}
	return false
}

// Override is somebody taking the decision on a step over the stop limit. It
// counts only with a name and a reason.
type Override struct {
	Asked       bool
	Who, Reason string
	Cell        Cell
}

// Valid says whether the override was asked for and carries a name and a reason.
func (o Override) Valid() bool { return o.Asked && o.Who != "" && o.Reason != "" }

// Day is one day's work for one horse.
type Day struct {
	Sessions []Session // none: a day without work
	Unknown  bool      // the cell could not be understood, or part of it
	Event    bool      // a competition or outing
	StartMin int       // minutes after midnight the event starts, -1 unknown; only where Event
	// Also are the day's further events, in order; none where StartMin is unknown.
	Also []EventStart
	Text string // as written
	Cell Cell
}

// EventStart is one event of a day.
type EventStart struct {
	Min     int     // minutes after midnight it starts
	Minutes float64 // of work in it
}

// Starts are the day's events whose start is known, in order. The work of the day that
// is none of the further ones is the first one's.
func (d Day) Starts() []EventStart {
	if !d.Event || d.StartMin < 0 {
		return nil
	}
	minutes := 0.0
	for _, s := range d.Sessions {
		minutes += s.Total()
	}
	for _, e := range d.Also {
		minutes -= e.Minutes
	}
	return append([]EventStart{{d.StartMin, max(0, minutes)}}, d.Also...)
}

// SetStarts makes the events of a day start so; two at one time are one.
func (d *Day) SetStarts(all []EventStart) {
	d.StartMin, d.Also = -1, nil
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b EventStart) int { return cmp.Compare(a.Min, b.Min) })
	all = slices.CompactFunc(all, func(a, b EventStart) bool { return a.Min == b.Min })
	if len(all) > 0 {
		d.StartMin = all[0].Min
	}
	if len(all) > 1 {
		d.Also = all[1:]
	}
}

// Rest says whether the horse has the day off. A day with unknown work is not
// a rest day: nobody said so.
func (d Day) Rest() bool { return len(d.Sessions) == 0 && !d.Unknown && !d.Event }

// Gait is a pace or, for jumping, a kind of work with a pace of its own.
type Gait int

const (
	Walk Gait = iota
	Trot
	Canter
	Gallop
	Jump // time in a course of jumps
	Gaits
)

func (g Gait) String() string {
	return [...]string{"walk", "trot", "canter", "gallop", "jump"}[g]
}

// Session is one piece of work.
type Session struct {
	Name    string         // "hack", "" for plain minutes
	Minutes [Gaits]float64 // by gait
	Led     bool           // led, lunged, loose or on a walker: no rider's weight
	Hills   bool
	Efforts int // jumping efforts, if said
}

// Total is the session's minutes over all gaits.
func (s Session) Total() float64 {
	t := 0.0
	for _, m := range s.Minutes {
		t += m
	}
	return t
}

// FeedClass is what a feed is to a ration.
type FeedClass string

const (
	Forage     FeedClass = "forage"     // hay, haylage, straw, grass
	HardFeed   FeedClass = "hard feed"  // cereals, mixes, cubes, balancers, beet
	Chaff      FeedClass = "chaff"      // chop mixed in the bucket; apart from hard feed in the step
	Oil        FeedClass = "oil"        //
	Salt       FeedClass = "salt"       //
	Supplement FeedClass = "supplement" // vitamins, minerals, anything by the gram
	Succulent  FeedClass = "succulent"  // carrots, apples
	Unclassed  FeedClass = ""           // not said: taken from the generic feed, else a finding
)

// Composition is a feed's analysis, always per kilogram of dry matter. The one
// number that is not is DM itself.
type Composition struct {
	DM         Num // kg dry matter per kg as fed, 0-1
	DE         Num // Mcal digestible energy per kg DM
	CP         Num // g crude protein per kg DM
	Fat        Num // g per kg DM
	NDF        Num // g per kg DM
	ADF        Num // g per kg DM
	CrudeFibre Num // g per kg DM
	Starch     Num // g per kg DM
	Sugar      Num // g water-soluble carbohydrate per kg DM
	Ca         Num // g per kg DM
	P          Num // g per kg DM
	Na         Num // g per kg DM
	Lysine     Num // g per kg DM
	Mg         Num // g per kg DM
	K          Num // g per kg DM
	Cl         Num // g per kg DM
	S          Num // g per kg DM
	Cu         Num // mg per kg DM
	Zn         Num // mg per kg DM
	Mn         Num // mg per kg DM
	Fe         Num // mg per kg DM
	Se         Num // mg per kg DM
	I          Num // mg per kg DM
	Co         Num // mg per kg DM
	VitA       Num // IU per kg DM
	VitD       Num // IU per kg DM
	VitE       Num // IU per kg DM
	Thiamin    Num // mg per kg DM
	Riboflavin Num // mg per kg DM
}

// Feed is one row of the feeds sheet.
type Feed struct {
	Name            string
	Cell            Cell
	Class           FeedClass
	Generic         string      // "what it is": the generic feed it is said to be, as written
	Analysis        Composition // from the workbook; overrides the generic, number by number
	AnalysisFrom    string      // "" none in the workbook, else "workbook: as fed" or "workbook: dry matter"
	MeasureName     string      // which of the yard's measures, "" = the first
	MeasureKg       Num         // weight of one level measure, kg as fed
	MeasureWeighed  time.Time   // zero: not said
	PackKg          Num         // bag or bale
	PackName        string      // "bag", "bale", "litre" …
	PackPrice       Num         // money a pack, in the yard's own currency
	StockPacks      Num         // packs in the room
	BatchSince      time.Time   // zero: not said
	LitresNotByKilo bool        // true: dished out by the millilitre (oil)
	OpenedOn        time.Time   // bale or tub opened; zero: not said
	BestBefore      time.Time   // zero: not said
	AnalysedOn      time.Time   // date of the analysis; zero: not said
	LabelKg         Num         // most the label allows a horse of 500 kg a day, kg as fed
	Notes           string      // what the label says beyond figures
}

// Line is one feed of one horse: what is fed now and what is planned. Amounts
// are kilograms as fed a day on an ordinary work day.
type Line struct {
	Horse   string // as written; matched to Horse.Name without case
	Feed    string // as written; matched to Feed.Name without case
	Meal    string // "" : the day's amount, shared out by us
	Now     Amount
	Planned Amount
	Since   time.Time // day this feed was first fed to this horse; zero: not said
	Cell    Cell      // of the feed's name on this row
}

// Amount is a served amount. Given without a known Kg means something stands
// in the cell that could not be read: it is not zero.
type Amount struct {
	Given    bool
	AdLib    bool // as much as it eats
	Kg       Num  // as fed
	Measures Num  // as written in measures, where it was: Kg then comes from the feed's measure weight
	Cell     Cell
}
