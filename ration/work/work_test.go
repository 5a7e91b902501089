package work

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// Source: exercise §8.2, the project's own line above the fit: 29, 35, 39 and
// 41.5 kcal/kg/h at 500, 600, 660 and 700 m/min.
func TestAboveTheFitTheLineIsStraight(t *testing.T) {
	for _, c := range []struct{ speed, want float64 }{{500, 28.9}, {600, 35.2}, {660, 39.0}, {700, 41.5}} {
		if got := CostPerKgHour(c.speed) * 1000; math.Abs(got-c.want) > 0.06 {
			t.Errorf("%g m/min: %.2f, want %.2f", c.speed, got, c.want)
		}
	}
	if below, above := CostPerKgHour(350), CostPerKgHour(350.001); above < below-0.0001 {
		t.Errorf("the cost falls where the line takes over: %.5f then %.5f", below, above)
	}
}

// Source: Schroter and Marlin 2002 (exercise §4), factors printed there.
func TestSlopeFactors(t *testing.T) {
	for _, c := range []struct{ g, want float64 }{{0, 1}, {.01, 1.13}, {.03, 1.38}, {.05, 1.63}, {.10, 2.27}, {-.03, .68}, {-.10, .55}, {-.20, .68}, {-.30, 1.19}} {
		if got := SlopeFactor(c.g); math.Abs(got-c.want) > 0.011 {
			t.Errorf("%+.0f %%: %.3f, want %.2f", c.g*100, got, c.want)
		}
	}
}

func week(hours, walk, trot, canter, gallop, jump float64) (days [7]yard.Day) {
	// spread over five days, as such weeks are ridden
	for d := range 5 {
		m := hours * 60 / 5
		days[d].Sessions = []yard.Session{{Minutes: [yard.Gaits]float64{m * walk, m * trot, m * canter, m * gallop, m * jump}}}
	}
	return days
}

// Source: the weekly descriptions of NRC 2007, chapter 1 (requirements §1).
func TestPublishedWeeksFallInTheirOwnClass(t *testing.T) {
	for _, c := range []struct {
		name  string
		days  [7]yard.Day
		class yard.WorkClass
	}{
		{"light, 1 h", week(1, .4, .5, .1, 0, 0), yard.ClassLight},
		{"light, 3 h", week(3, .4, .5, .1, 0, 0), yard.ClassLight},
		{"moderate, 3 h", week(3, .3, .55, .1, 0, .05), yard.ClassModerate},
		{"moderate, 5 h", week(5, .3, .55, .1, 0, .05), yard.ClassModerate},
		{"heavy, 4 h", week(4, .2, .5, .15, .1, .05), yard.ClassHeavy},
		{"heavy, 5 h", week(5, .2, .5, .15, .05, .1), yard.ClassHeavy},
		{"very heavy, an hour of speed work", week(4, .25, .4, .1, .25, 0), yard.ClassVeryHeavy},
		{"a week off", week(0, 0, 0, 0, 0, 0), yard.ClassRest},
	} {
		if got, _ := WeekClass(c.days); got != c.class {
			t.Errorf("%s: %s", c.name, got)
		}
	}
}

// Source: exercise §2d, the German light day: 30 walk, 20 trot and 10 canter
// minutes cost 3.31 Mcal at 580 kg moved. The speeds are not stated; 95, 200 and
// 300 m/min of the 1989 table return it.
func TestTheGermanLightDay(t *testing.T) {
	r := yard.Rules{PaceMPerMin: [yard.Gaits]float64{95, 200, 300, 550, 480}, Going: 1}
	s := yard.Session{Minutes: [yard.Gaits]float64{30, 20, 10}}
	if got := SessionMcal(s, 500, 80, r); math.Abs(got-3.31) > 0.01 {
		t.Errorf("%.2f Mcal, worked out there as 3.31", got)
	}
	led := s
	led.Led = true
	if r1, r2 := SessionMcal(led, 500, 80, r), SessionMcal(s, 500, 80, r); math.Abs(r1/r2-500.0/580) > 1e-9 {
		t.Errorf("led work moves the horse alone: %.3f of the ridden cost", r1/r2)
	}
}

// Common practice, no source: an hour's work of a 450 kg horse in kcal, and the
// oats (2.85 Mcal a kg as fed) that cover it, to the rounding it is handed on in.
func TestAnHourOfWorkByTheOldTable(t *testing.T) {
	r := yard.Rules{WorkModel: yard.ByHour, Going: 1}
	for _, c := range []struct {
		name     string
		session  yard.Session
		kcal     float64
		oatsKg   float64
		decimals int
	}{
		{"walking", yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 60}}, 225, 0.1, 1},
		{"trot and canter", yard.Session{Minutes: [yard.Gaits]float64{yard.Trot: 40, yard.Canter: 20}}, 2250, 0.8, 1},
		{"galloping and jumping", yard.Session{Minutes: [yard.Gaits]float64{yard.Gallop: 40, yard.Jump: 20}}, 10350, 3.6, 1},
		{"racing", yard.Session{Name: "race", Minutes: [yard.Gaits]float64{yard.Gallop: 60}}, 17550, 6, 0},
		{"upper-level eventing", yard.Session{Name: "XC", Minutes: [yard.Gaits]float64{yard.Gallop: 45, yard.Jump: 15}}, 17550, 6, 0},
	} {
		mcal := SessionMcal(c.session, 450, 80, r)
		if math.Abs(mcal*1000-c.kcal) > 0.01 {
			t.Errorf("%s: %.1f kcal, handed on as %g", c.name, mcal*1000, c.kcal)
		}
		p := math.Pow(10, float64(c.decimals))
		if kg := math.Round(mcal/2.85*p) / p; kg != c.oatsKg {
			t.Errorf("%s: %g kg of oats, handed on as %g", c.name, kg, c.oatsKg)
		}
	}
}

func TestByClassTheWeekAddsUpToTheClass(t *testing.T) {
	r := yard.Rules{WorkModel: yard.ByClass, PaceMPerMin: [yard.Gaits]float64{95, 220, 350, 550, 480}, Going: 1}
	days := week(4, .3, .55, .1, 0, .05)
	sum := 0.0
	for _, v := range WeekMcal(days, 23.31, 16.65, 500, 80, r) {
		sum += v
	}
	if math.Abs(sum/7-(23.31-16.65)) > 1e-9 {
		t.Errorf("%.3f Mcal a day of work, the class gives %.3f", sum/7, 23.31-16.65)
	}
	for i, v := range WeekMcal([7]yard.Day{}, 16.65, 16.65, 500, 80, r) {
		if v != 0 {
			t.Errorf("day %d of a week off costs %.2f Mcal", i, v)
		}
	}
}

// Half an hour on the walker is more work, not less: it takes no horse from
// moderate work, and what that asks in protein, salts and water, to light.
func TestWalkingOutNeverMakesTheWorkLighter(t *testing.T) {
	schooling := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 15, yard.Trot: 20, yard.Canter: 10}}
	walker := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 30}, Led: true}
	var days [7]yard.Day
	for d := range 5 {
		days[d].Sessions = []yard.Session{schooling}
	}
	if class, _ := WeekClass(days); class != yard.ClassModerate {
		t.Fatalf("five times schooling is %s", class)
	}
	for d := range days {
		days[d].Sessions = append(days[d].Sessions, walker)
		if class, minutes := WeekClass(days); class != yard.ClassModerate || minutes != float64(225+30*(d+1)) {
			t.Errorf("with %d times the walker it is %s, %g minutes", d+1, class, minutes)
		}
	}
	for d := range days {
		days[d].Sessions = []yard.Session{walker}
	}
	if class, _ := WeekClass(days); class != yard.ClassLight {
		t.Errorf("walking alone is %s", class)
	}
}

// Source: requirements §1, the NRC 2007 classes: race training is heavy work at
// mid-stage and racing very heavy, and neither the light nor the moderate week
// holds a gallop. A yard's week of it is mostly walking and short.
func TestARacehorsesWeekIsNotLight(t *testing.T) {
	walker := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 30}, Led: true}
	gallops := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 25, yard.Trot: 10, yard.Canter: 6, yard.Gallop: 3}}
	race := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 25, yard.Trot: 5, yard.Canter: 3, yard.Gallop: 3}}
	hack := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 42, yard.Trot: 15, yard.Canter: 3}}
	var days [7]yard.Day
	for d, s := range []yard.Session{walker, gallops, hack, gallops, hack, race, walker} {
		days[d].Sessions = []yard.Session{s}
	}
	if class, _ := WeekClass(days); class != yard.ClassHeavy {
		t.Errorf("three days of fast work are %s", class)
	}
	days[5].Event = true
	if class, _ := WeekClass(days); class != yard.ClassVeryHeavy {
		t.Errorf("two gallops and a race are %s", class)
	}
	for d := range days {
		days[d].Sessions = []yard.Session{hack}
	}
	days[5], days[6] = yard.Day{}, yard.Day{}
	if class, _ := WeekClass(days); class != yard.ClassLight {
		t.Errorf("five hacks are %s", class)
	}
}
