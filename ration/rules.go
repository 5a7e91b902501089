package ration

import (
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// DefaultRules are the marks and models used where a yard sets none. The
// limits are rows D-01 … D-20 of the reference table of limits; the paces are
// exercise §8.1 (walk, trot, canter), the jumping pace the published
// equivalence of a 1.10 m course with cantering at 8 m/s (exercise §3). The
// galloping pace of 550 m/min lies between eventing cross-country speeds (from
// memory, exercise §3) and is ours, as are the 5 % taken for "hills" and the 90
// days for a change of condition (one of the published spans, requirements §9).
// Forage eaten ad lib, 2 % of body weight as dry matter in all, is the intake
// behind the NRC 2007 tables at maintenance and light work (requirements §5,
// from memory). The lower critical temperature is Cymbaluk 1994 (§11, seen).
func DefaultRules() yard.Rules {
	return yard.Rules{
		Workings:        true,
		WorkModel:       yard.ByPace,
		PaceMPerMin:     [yard.Gaits]float64{yard.Walk: 95, yard.Trot: 220, yard.Canter: 350, yard.Gallop: 550, yard.Jump: 480},
		HillGradientPct: 5,
		Going:           1,
		ForageIntakePct: 2.0,
		GrazingPct:      0.1,
		Hemisphere:      yard.North,
		ForageSelenium:  yard.SeleniumByTable,
		LowerCriticalC:  -15,
		ConditionDays:   90,
		RestDayFactor:   0.5, // TI-11 to TI-13
		EnergyBandPct:   3,
		WeightStaleDays: 30,
		CardsPerPage:    2,
		Limits: yard.Limits{
			WeekRiseWarnKg: 0.14, WeekRiseWarnCapKg: 0.7, // D-01
			WeekRiseStopKg: 0.28, WeekRiseStopCapKg: 1.4, // D-02
			DayRiseWarnKg: 0.04, DayRiseWarnCapKg: 0.2, // D-03
			DayRiseStopKg: 0.06, DayRiseStopCapKg: 0.3, // D-03
			MealWarnKg: 0.3, MealStopKg: 0.5, // D-10
			StarchMealWarnG: 1, StarchMealStopG: 2, // D-11
			StarchDayWarnG:  2,                         // D-12
			HardFeedWarnPct: 0.5, HardFeedStopPct: 1.0, // D-13
			HardFeedShareStopPct: 50,                       // D-13
			OatsWarnKgPer500:     2.7,                      // D-13
			ForageWarnPct:        1.5, ForageStopPct: 1.25, // D-17
			OilWarnMlPerKg: 1,                 // D-21
			SaltWarnG:      10, SaltStopG: 20, // D-22
			CaPStopLow: 1.0, CaPWarnLow: 1.2, CaPWarnHigh: 6, // D-26
			RestDayCutFromPct: 0.3,                    // D-20
			HardFeedOldWarnKg: 0.7,                    // D-13, MS-07
			NewFeedDaysWarn:   10, NewFeedDaysStop: 6, // D-04
			NewHayDaysWarn: 14, NewHayDaysStop: 6, // D-05
			GrassRiseWarnMin: 15,                    // D-06
			OilRiseDaysWarn:  14,                    // D-07
			StackDays:        14,                    // D-08
			UlcerStarchMealG: 1, UlcerStarchDayG: 2, // D-14
			InsulinBucketPct: 10, InsulinMealG: 0.1, InsulinHayPct: 10, // D-15
			TyingUpPSSMPct: 10, TyingUpRERPct: 20, // D-16
			SlimForageWarnPct: 1.25, SlimForageStopPct: 1.0, // D-17
			GapWarnHours: 4, GapStopHours: 6, // D-18
			FatWarnPct: 6, FatStopPct: 10, VitEPerMlOil: 1, // D-21
			SeWarnMg: 0.3, SeStopMg: 0.5, SeVetMg: tolerable("selenium"), // D-23
			IodineWarnMg: 1, IodineStopMg: 4, // D-24
			VitAStopIU: tolerable("vitamin A"), VitDStopIU: tolerable("vitamin D") * need.IntakeDMPerKg(yard.ClassRest), // D-25: a day per kg of body weight, at the dry matter the tables take
			KWarnPct: 1.0, KStopPct: 1.1, KMealStopG: 33, // D-27
			LossStopPct: 1, GainWarnPct: 0.35, // D-28
			MaizeSharePct: 20,                                // SH-03
			HeatWatch:     130, HeatHelp: 150, HeatStop: 180, // exercise §4
		},
	}
}

// tolerable is the maximum tolerable level of a nutrient; a stop limit that is one
// stands in that table alone.
func tolerable(nutrient string) float64 {
	t, ok := need.MaxTolerable(nutrient)
	if !ok {
		panic("ration: no maximum tolerable level of " + nutrient)
	}
	return t.PerKgDM
}
