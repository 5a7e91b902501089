package yard

// Rules is what a yard may set: how the work is costed and how strict the
// limits are. ration.DefaultRules fills it; the settings file may change it.
type Rules struct {
	WorkModel       WorkModel
	PaceMPerMin     [Gaits]float64 // speed taken for each gait, m/min
	HillGradientPct float64        // gradient taken for "hills", up half the way and down half
	Going           float64        // factor on the cost of work; 1 = good going
	ForageIntakePct float64        // dry matter a horse eats in all when forage is ad lib, % BW a day
	GrazingPct      float64        // dry matter grazed an hour at grass, % BW
	Hemisphere      Hemisphere     // when winter is
	ForageSelenium  ForageSelenium // of forage that was not analysed for it
	LowerCriticalC  float64        // °C below which maintenance rises
	ConditionDays   float64        // days over which a whole change of condition is spread
	RestDayFactor   float64        // share of the hard feed kept on a rest day
	EnergyBandPct   float64        // supply within need ± this is called met
	WeightStaleDays int            // a weight older than this is flagged
	Limits          Limits
	Loosened        Loosened // a stop or warning limit made less strict than the table's
	CardsPerPage    int      // 1, 2 or 4
	Paper           string   // "A4", "Letter", or "" to follow the workbook
	Workings        bool     // keep how each number came about: most of the memory of a large yard's plan
}

// Loosened says who made marks less strict than the reference table's, and why. Without
// a name and a reason none may be.
type Loosened struct {
	By, Reason string
	Marks      []string // which, in words with both figures
}

// WorkModel is how the energy of work is worked out.
type WorkModel string

const (
	ByPace  WorkModel = "pace"   // minutes by speed and the weight moved
	ByHour  WorkModel = "hourly" // minutes by kind of work and the horse's own weight
	ByClass WorkModel = "class"  // the week's NRC 2007 class
)

// Hemisphere says when winter is.
type Hemisphere string

const (
	North Hemisphere = "north" // December to February
	South Hemisphere = "south" // June to August
)

// ForageSelenium is where the selenium of forage comes from that nobody analysed.
type ForageSelenium string

const (
	SeleniumByTable ForageSelenium = "table" // the feed table's figures
	SeleniumLow     ForageSelenium = "low"   // the soil is known to be poor in it
)

// WorkModels lists them, the default first.
func WorkModels() []WorkModel { return []WorkModel{ByPace, ByHour, ByClass} }

// Limits are warning and stop limits, named after the rows D-01 … of the reference
// table of limits. All are per 100 kg of body weight unless the name says
// otherwise.
type Limits struct {
	WeekRiseWarnKg, WeekRiseWarnCapKg   float64 // D-01: kg a week per 100 kg, and per horse
	WeekRiseStopKg, WeekRiseStopCapKg   float64 // D-02
	DayRiseWarnKg, DayRiseWarnCapKg     float64 // D-03
	DayRiseStopKg, DayRiseStopCapKg     float64 // D-03
	MealWarnKg, MealStopKg              float64 // D-10: kg as fed a meal
	StarchMealWarnG, StarchMealStopG    float64 // D-11: g per kg BW a meal
	StarchDayWarnG                      float64 // D-12: g per kg BW a day
	HardFeedWarnPct, HardFeedStopPct    float64 // D-13: hard feed DM, % BW a day
	HardFeedShareStopPct                float64 // D-13: % of the ration's DM
	OatsWarnKgPer500                    float64 // D-13: kg oats as fed a day per 500 kg BW
	ForageWarnPct, ForageStopPct        float64 // D-17: forage DM, % BW a day
	OilWarnMlPerKg                      float64 // D-21: ml per kg BW a day
	SaltWarnG, SaltStopG                float64 // D-22: g a day per 100 kg BW
	CaPStopLow, CaPWarnLow, CaPWarnHigh float64 // D-26: Ca to P in the whole ration
	RestDayCutFromPct                   float64 // D-20: hard feed at or above this % BW a day is cut on rest days

	HardFeedOldWarnKg                    float64 // D-13: kg as fed a day per 100 kg BW, the older mark
	NewFeedDaysWarn, NewFeedDaysStop     float64 // D-04: days a new hard feed is blended over; fewer pass the mark
	NewHayDaysWarn, NewHayDaysStop       float64 // D-05: the same for a new hay or batch
	GrassRiseWarnMin                     float64 // D-06: minutes a day more at grass than the day before
	OilRiseDaysWarn                      float64 // D-07: days over which oil is brought in
	StackDays                            float64 // D-08: changes inside this many days count together
	UlcerStarchMealG, UlcerStarchDayG    float64 // D-14: g per kg BW, ulcer history
	InsulinBucketPct                     float64 // D-15: starch and sugar of a bucket feed, %
	InsulinMealG                         float64 // D-15: starch and sugar of a bucket meal, g per kg BW
	InsulinHayPct                        float64 // D-15: starch and sugar of the hay, % of DM
	TyingUpPSSMPct, TyingUpRERPct        float64 // D-16: energy from starch and sugar, % of DE
	SlimForageWarnPct, SlimForageStopPct float64 // D-17: forage DM, % BW, where a vet leads the slimming
	GapWarnHours, GapStopHours           float64 // D-18: hours without forage
	FatWarnPct, FatStopPct               float64 // D-21: fat, % of the ration's DM
	VitEPerMlOil                         float64 // D-21: IU of vitamin E a ml of oil asks for
	SeWarnMg, SeStopMg, SeVetMg          float64 // D-23: mg per kg DM
	IodineWarnMg, IodineStopMg           float64 // D-24: mg per kg DM
	VitAStopIU, VitDStopIU               float64 // D-25: IU per kg DM; IU per kg BW
	KWarnPct, KStopPct, KMealStopG       float64 // D-27: % of the ration's DM; g a meal
	LossStopPct, GainWarnPct             float64 // D-28: % of BW a week
	MaizeSharePct                        float64 // SH-03: maize, % of the ration's DM
	HeatWatch, HeatHelp, HeatStop        float64 // °F + % humidity
}
