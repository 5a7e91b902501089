package yard

import "time"

// Estimate is a figure with the range that holds the true value nine times in
// ten. All three are in one unit, and Low ≤ Mean ≤ High.
type Estimate struct {
	Low  float64 `json:"low"`
	Mean float64 `json:"mean"`
	High float64 `json:"high"`
}

// WeightTrend is what a horse's weighings show.
type WeightTrend string

const (
	TrendUnknown WeightTrend = "unknown" // too few weighings
	TrendLosing  WeightTrend = "losing"  // beyond the error of the weighings
	TrendGaining WeightTrend = "gaining" // beyond the error of the weighings
	TrendHolding WeightTrend = "holding" // the 90 % range lies inside 0.3 % of body weight a week either way
	TrendUnclear WeightTrend = "unclear" // none of these is shown
)

// TrendLine is the straight line through a horse's weighings.
type TrendLine struct {
	KgPerWeek Estimate
	SE        float64   // standard error of KgPerWeek.Mean
	From, To  time.Time // first and last weighing of the line
	Weighings int
}

// OddWeighing is a weighing that does not fit its neighbours. It is always shown:
// whether it was a slip is for the yard to say.
type OddWeighing struct {
	Weighing   Weighing
	ExpectedKg float64 // by the weighings around it
	OffKg      float64 // Weighing.Kg - ExpectedKg
	// Latest: there is no later weighing to compare with, so a slip and a real
	// change look the same. Weigh again; until then a fall counts as a fall.
	Latest bool
}

// NotLearnt says why a horse's need stays that of the tables.
type NotLearnt string

const (
	LearntSomething NotLearnt = ""
	NoBodyWeight    NotLearnt = "no body weight"
	NoTablesNeed    NotLearnt = "no need by the tables"
	FewWeighings    NotLearnt = "too few weighings"            // under three by scale, tape or formula
	ShortHistory    NotLearnt = "weighings too close"          // under 14 days from first to last
	FeedNotKnown    NotLearnt = "feed or work between unknown" // under two weeks with both known
)

// Evidence is what a horse's weighings, with what it was fed and what it did,
// tell about its need. All energy is Mcal DE a day as the feed tables count it.
type Evidence struct {
	Horse     string
	Weighings int       // used: by scale, tape or formula, those that do not fit aside
	From, To  time.Time // of the weighings used
	Weeks     int       // weeks in that time with feed and work known
	NotLearnt NotLearnt // empty: Need is learnt

	// Need is the energy this horse holds its weight on while it works and is fed
	// as now, to be compared with the supply as the tables count it. Where nothing
	// was learnt it is that of the tables, with their range.
	Need       Estimate
	TablesMcal float64 // the same by the tables alone
	// Maintenance is the horse's own, Mcal a kg of body weight, with what is common
	// to the yard's forage taken out.
	Maintenance Estimate

	FarFromTables bool // Need.Mean is over a fifth from TablesMcal: teeth, worms, illness, somebody else feeding, forage not as the tables have it
	AtBound       bool // Need was kept inside the bounds; the weighings point further out
	// MayLower: the learnt need may be used to take feed away. False for a horse
	// under score 5 or unscored, for one that is or may be losing, and while a fall is unconfirmed.
	MayLower bool

	Trend WeightTrend
	// Holds: the line through twelve weeks, or through all, lies inside 0.3 % of body weight
	// a week either way with its 90 % range, and nothing shows a loss or gain.
	Holds           bool
	Recent, Long    TrendLine // the last six and the last twelve weeks; Weighings 0: none
	Odd             []OddWeighing
	UnconfirmedFall bool // the latest weighing is far below the ones before, or the first of late far above all after: weigh again today

	WeightKg Estimate // true body weight today
}

// WeightForecast is a horse's weight some time ahead on a given ration.
type WeightForecast struct {
	On       time.Time
	Basis    WeightBasis // how it would be weighed: as the last weighing was
	WeightKg Estimate    // what that way of weighing would show but for its scatter
	ChangeKg Estimate    // from today
	// Score is the condition score then; unknown where today's is.
	Score struct{ Low, Mean, High Num }
}

// CommonForage is what all horses of a yard tell together of its forage.
type CommonForage struct {
	// EnergyPct is how much richer (above 0) or poorer the forage is than the tables
	// have it, %. The need of all its horses differing from the tables by as much
	// looks the same, and the range allows for that.
	EnergyPct Estimate
	Horses    int  // that told anything
	Shown     bool // the 90 % range lies wholly on one side of nothing
}

// FedEnergy is the energy of a day's feed, Mcal DE as the feed tables count it;
// unknown where that of a feed is.
type FedEnergy struct {
	Forage Num // hay, haylage, grass, straw
	Other  Num
}

// WeekEnergy is what a week's record keeps beside its card, for later weeks to learn from.
type WeekEnergy struct {
	CardEnd FedEnergy // the ordinary work day the week's card ends on
	// Now is an ordinary work day as fed in the week before, as somebody wrote it down: where
	// it is not what that week's card had, it counts.
	Now        FedEnergy
	WorkBefore Num // energy of the work done in the week before, Mcal DE a day; unknown where part of it is
}

// HorseEvidence is what the sheets print of a horse's evidence.
type HorseEvidence struct {
	Evidence
	// Ahead is the weight today and in one to four weeks on this card; empty where
	// nothing is learnt or the energy of the card is not known.
	Ahead []WeightForecast
	// MoreWeighings is how many more weekly weighings bring the need to within 5 %
	// either way; unknown where a year of them does not.
	MoreWeighings Num
	Says          []Saying // all of it in sentences, one a line
}
