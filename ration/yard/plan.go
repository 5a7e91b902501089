package yard

import "time"

// Plan is the answer for one week: everything the sheets print.
type Plan struct {
	Week      Week // as read, for the sheets to quote
	Standard  string
	WorkModel string       // a [WorkModel]
	Horses    []HorsePlan  // in the workbook's order
	Feeds     []FeedNeed   // order list and scoop sheet, in the workbook's order
	Findings  []Finding    // all of them, the horses' too, sorted by [SortFindings]
	Forage    CommonForage // what the weighings of all horses tell of the yard's forage
}

// Status says what kind of page a horse gets.
type Status string

const (
	Carded Status = "carded"
	Held   Status = "held"    // a stop limit was passed: the card prints less than was planned
	NoCard Status = "no_card" // nothing could be computed: a page says why and whom to ask
)

// HorsePlan is one horse's week.
type HorsePlan struct {
	Horse       Horse
	Status      Status
	NoCardWhy   []Saying // only with NoCard
	HeldWhy     []Saying // only with Held: which mark, and what was planned
	Instead     Saying   // only with Held: what the card prints
	WeightKg    Num
	WeightBasis WeightBasis
	WorkClass   WorkClass
	WorkMinutes float64 // the week's
	WorkAtLeast bool    // a day's work was unknown: energy need is a lower bound
	Energy      Energy
	ToLearnFrom WeekEnergy     // for the weeks to come
	Evidence    *HorseEvidence // nil: its weighings and its feed tell nothing of its need
	HardFeed    HardFeedDay
	Step        Step
	SweatKg     Num              // a day, mean of the week
	SweatFrom   SweatFrom        // how it was come by
	WaterLitres Range            // a day
	Beside      []StandardEnergy // other standards' energy, nothing rests on them
	ForageDMPct Num              // forage dry matter, % of body weight a day
	DMPct       Num              // dry matter in all, % of body weight a day, mean of the week
	TablesDMPct float64          // what the standard's tables take for this class
	StarchMax   Num              // g starch per kg BW in the starchiest meal
	Days        [7]DayPlan
	Servings    []Serving // in printing order: work, rest, event; stage; meal; feed
	RestAsWork  bool      // hard feed is not cut on days off: the rest-day servings are the work day's
	Changes     []Change  // against what is fed now
	Events      []EventClock
	Nutrients   []Nutrient
	Ratios      []Ratio
	Cautions    []Saying // plain words for this horse's card
	Findings    []Finding
	Workings    []Working // how each number came about, in the order it was worked out
}

// Working is one number as it was worked out: recorded when it was computed,
// not computed again to be shown. What it is and by which formula are in the
// tables of words: see [Working.What] and [Working.How].
type Working struct {
	Key    string // of its words, without what they begin with: "maintenance"
	Args   []Arg  // for the places of both texts
	Inputs []Input
	Result Num // unknown where an input is
	Unit   Saying
	Source string // whose formula or figure; empty for plain sums
}

// What says what was worked out: "maintenance energy".
func (w Working) What() Saying { return Saying{"working." + w.Key, w.Args} }

// How is the formula, in words and signs: "Mcal per kg × body weight".
func (w Working) How() Saying { return Saying{"working." + w.Key + ".how", w.Args} }

// Input is one number that went into a working.
type Input struct {
	Name  Saying
	Value Num
	Unit  Saying
	From  Saying // where its value stands: a cell, the settings, a table; empty: it was worked out above
	Under bool   // it belongs to the last one that is not
}

// WorkClass is the NRC 2007 class the week's work falls in.
type WorkClass string

const (
	ClassRest      WorkClass = "rest"
	ClassLight     WorkClass = "light"
	ClassModerate  WorkClass = "moderate"
	ClassHeavy     WorkClass = "heavy"
	ClassVeryHeavy WorkClass = "very heavy"
)

// SweatFrom says whose figure the sweat is.
type SweatFrom string

const (
	SweatByClass  SweatFrom = "class"
	SweatScored   SweatFrom = "score"
	SweatMeasured SweatFrom = "measured"
)

// StandardEnergy is what another published standard gives for the same horse and
// week, a day, in its own unit.
type StandardEnergy struct {
	Standard, Unit           string
	Maintenance, Work, Total Range    // an end the standard does not give is unknown
	Assumed                  []Saying // clauses of what had to be assumed, or is missing
	Source                   string
}

// Energy is Mcal DE a day, the mean over the seven days.
type Energy struct {
	Maintenance, Work, Change, Cold Num
	Own                             Num   // what the horse's own evidence adds to the tables' need or takes off; unknown where there is none
	Need                            Num   // their sum
	NeedRange                       Range // what horses of its kind need, lowest and highest
	Supply                          Num   // unknown if a feed's energy is unknown; then SupplyAtLeast holds the known part
	SupplyAtLeast                   float64
	SupplyRange                     Range // ends of Supply over what hay and grass may hold and how much grass may be eaten; unknown where it has none
	SupplyForage                    Num   // of Supply, what hay, haylage, straw and grass bring
	SupplyDoubt                     Num   // SD of what of it is eaten and not served (grass, ad lib), as a guess of how much; 0: all is served
	ClassNeed                       Num   // what the NRC class alone would give, for comparison
}

// HardFeedDay is kilograms of hard feed as fed a day, all hard feeds added.
type HardFeedDay struct {
	Now     Num // fed now, ordinary work day
	Planned Num // unknown where nothing is planned
	Target  Num // where the path leads: the plan, or our proposal
	Card    Num // on the card for an ordinary work day, once the week's steps are done
}

// Verdict is what the step check found.
type Verdict string

const (
	StepWithin     Verdict = "within"
	StepWarn       Verdict = "warn"
	StepStop       Verdict = "stop"
	StepUnknown    Verdict = "unknown"
	StepOverridden Verdict = "overridden"
)

// Step is the rise in hard feed against what is fed now.
type Step struct {
	RiseKg        Num // planned (or proposed) less now; negative when feed is taken away
	WarnKg        Num // marks for a week
	StopKg        Num
	DayWarnKg     Num // marks for one day
	DayStopKg     Num
	Verdict       Verdict
	WeeksToTarget Num
	PathKg        []float64 // daily amount in week 1, 2 … up to the target
	DayKg         [7]Num    // ordinary work-day amount valid on each day of this week
	Ahead         []WeekAhead
}

// WeekAhead is one of the weeks to come whose work is written down, or that lies
// before such a week: what its work asks for, and how far a ration that climbs
// inside the step has come by then. Energy is a day, the mean of the week; body
// weight, grass and temperature are taken to be this week's.
type WeekAhead struct {
	Beginning  time.Time
	Planned    bool    // false: no work is written down for it; that of the week before is used
	AtLeast    bool    // part of its work is unknown: the need is a lower bound
	NeedMcal   float64 // DE
	SupplyMcal Num     // DE of the ration reached; unknown if a feed's energy is
	TargetKg   float64 // hard feed a work day its work asks for
	CardKg     float64 // hard feed a work day the path has reached
	ShortMcal  float64 // DE below the need, 0 inside the band or where the supply is unknown
	WeightKg   float64 // body weight that would cost over the week
}

// DayPlan is one day of the week as it will be fed.
type DayPlan struct {
	Date       time.Time // zero if the week is unknown
	Kind       DayKind
	Work       string // the work cell as written
	HardFeedKg Num
	EnergyWork Num // Mcal DE of that day's work
	EnergyNeed Num // Mcal DE: that day's work and the rest of the need
	Supply     Num // Mcal DE of what is fed that day; unknown if a feed's energy is
}

// DayKind chooses which amounts of the card apply.
type DayKind string

const (
	WorkDay  DayKind = "work"
	RestDay  DayKind = "rest"
	EventDay DayKind = "event"
)

// Serving is one feed in one meal of one kind of day.
type Serving struct {
	Day      DayKind
	Meal     string // "" for what is there all day
	Feed     string
	Class    FeedClass
	AdLib    bool    // as much as it eats; Kg is then an estimate for the day, not to be printed as a weight
	Grazed   Num     // hours a day at grass; Kg is an estimate then too
	Kg       KgFed   // as fed
	Ml       Num     // for oil
	Measure  string  // name of the measure, "" where the feed is weighed (hay, salt, supplements)
	Measures Num     // in measures; a multiple of 0.25 unless Weigh
	Weigh    bool    // not a whole quarter of a measure: the card says WEIGH
	From     Weekday // day of the week this amount starts; the earlier stages are before it
	Changed  bool    // differs from what is fed now
}

// Weekday counts days of the plan's week: 0 is the first day, so that a stage
// "from Thursday" prints by the week's own beginning.
type Weekday int

// EventClock is the clock of a day with a competition or outing whose start is
// known. Times are minutes after midnight.
type EventClock struct {
	Day          Weekday
	Start        int    // of the event
	End          int    // the start and the minutes of work written for the day
	LastHardFeed int    // no hard feed after it before the event; below 0: none on that day
	NextHardFeed int    // no hard feed before it after the event
	Source       string // of the hours kept before and after
}

// Change is a feed whose daily amount changes.
type Change struct {
	Feed         string
	FromKg, ToKg Num     // a day; unknown From: it is not known what was fed
	From         Weekday // the day the last stage is reached
	InSteps      bool    // there are amounts between the two
}

// Nutrient is one line of need against supply, mean of the seven days.
type Nutrient struct {
	Name    string // "crude protein"
	Unit    string // "g"
	Need    Num
	Supply  Num     // unknown if any part is unknown
	AtLeast float64 // the known part
	Between Range   // ends of Supply over what feeds and grass of the kind may hold; no high end where nothing is published of a part
	Limit   Num     // a ceiling, where there is one
	Source  string  // of the need

	LimitSource string // of the ceiling; empty where there is none
}

// Ends are the least and the most that is supplied; ok is false where the most is not
// known.
func (n Nutrient) Ends() (low, high float64, ok bool) {
	low, okLow := n.Between.Low.Get()
	high, okHigh := n.Between.High.Get()
	return low, high, okLow && okHigh
}

// Ratio is how much is supplied of one nutrient for each part of another, by weight.
type Ratio struct {
	Of, To  string // "calcium" to "phosphorus"
	Value   Num    // by the means
	Between Range  // ends: the least of one with the most of the other, and turned round
	Asked   Num    // by the needs
}

// FeedNeed is one feed over the whole yard.
type FeedNeed struct {
	Feed        Feed        // with class, analysis and measure weight as used
	Composition Composition // as used, generic and workbook together
	CompFrom    string      // where it comes from, in words
	MeasureKg   Num         // kg in one level measure, as used
	Unweighed   bool        // MeasureKg is a published bulk density times the volume, or nothing at all
	DensityFrom string      // whose density, if Unweighed
	KgWeek      float64     // all horses, seven days; ad lib estimates included
	Estimated   bool        // some of KgWeek is an ad lib estimate
	Grazed      bool        // pasture: never served and never ordered
	Packs       Num         // KgWeek in packs
	Cost        Num         // for the week
	StockDays   Num
}
