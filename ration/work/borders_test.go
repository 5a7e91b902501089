package work

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// Source: the printed factors of Schroter and Marlin 2002 (exercise §4: 1.63 up 5 %,
// 1.38 up 3 %, 0.68 down 3 %, 2.27 and 0.55 at 10 %): half the minutes up, half
// down. On the flat hills cost nothing.
func TestHillsAreHalfUpAndHalfDown(t *testing.T) {
	for _, c := range []struct{ pct, want float64 }{{0, 1}, {3, (1.38 + 0.68) / 2}, {10, (2.27 + 0.55) / 2}} {
		if got := HillFactor(c.pct); math.Abs(got-c.want) > 0.012 {
			t.Errorf("%g %%: %.3f, want %.3f", c.pct, got, c.want)
		}
	}
	s := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 60}}
	r := yard.Rules{WorkModel: yard.ByPace, PaceMPerMin: [yard.Gaits]float64{95, 220, 350, 550, 480}, Going: 1, HillGradientPct: 10}
	flat := SessionMcal(s, 500, 80, r)
	s.Hills = true
	if got := SessionMcal(s, 500, 80, r) / flat; math.Abs(got-HillFactor(10)) > 1e-9 {
		t.Errorf("an hour on hills costs %.3f of one on the flat, want %.3f", got, HillFactor(10))
	}
}

// hoursOf is a week of so many hours, the same on six days, in which each hour has so
// many minutes of walk, canter and gallop.
func hoursOf(hours, walk, canter, gallop float64) (days [7]yard.Day) {
	for d := range 6 {
		days[d].Sessions = []yard.Session{{Minutes: [yard.Gaits]float64{yard.Walk: hours / 6 * walk, yard.Canter: hours / 6 * canter, yard.Gallop: hours / 6 * gallop}}}
	}
	return days
}

// The borders between the classes, at and beside each: mean heart rates of 85 and 96
// (35 and 25, 24 and 36 minutes of walk and canter an hour give just these), and 3,
// 4, 5 and 6 hours a week. Ours.
func TestTheBordersOfTheClasses(t *testing.T) {
	const l, m, h, v = yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy
	for _, c := range []struct {
		what                        string
		hours, walk, canter, gallop float64
		want                        yard.WorkClass
	}{
		{"84 beats, what three and a half hours of the light week cost", 2.52, 36, 24, 0, l},
		{"84 beats, just over it", 2.54, 36, 24, 0, m},
		{"84 beats, what sixteen hours of it cost", 11.5, 36, 24, 0, m},
		{"84 beats, just over that", 11.6, 36, 24, 0, h},
		{"walk alone, nine hours and a quarter", 9.25, 60, 0, 0, l},
		{"walk alone, nine hours and a half", 9.5, 60, 0, 0, m},
		{"85 beats, under three hours", 2.5, 35, 25, 0, l},
		{"85 beats, three hours", 3, 35, 25, 0, m},
		{"85 beats, over six hours", 6.5, 35, 25, 0, h},
		{"just under 96 beats, six hours", 6, 24.02, 35.98, 0, m},
		{"95 beats, six hours", 6, 25, 35, 0, m},
		{"95 beats, over six hours", 6.5, 25, 35, 0, h},
		{"96 beats, under three hours", 2.5, 24, 36, 0, l},
		{"96 beats, three hours", 3, 24, 36, 0, m},
		{"96 beats, under four hours", 3.5, 24, 36, 0, m},
		{"96 beats, four hours", 4, 24, 36, 0, h},
		{"96 beats, six hours", 6, 24, 36, 0, h},
		{"96 beats, over six hours", 6.5, 24, 36, 0, v},
		{"two hours with an hour of galloping", 2, 30, 0, 30, v},
		{"two hours with 59 minutes of galloping", 2, 30.5, 0, 29.5, m},
		{"two light hours with a minute of galloping", 2, 59.5, 0, 0.5, m},
	} {
		if got, minutes := WeekClass(hoursOf(c.hours, c.walk, c.canter, c.gallop)); got != c.want || math.Abs(minutes-c.hours*(c.walk+c.canter+c.gallop)) > 1e-6 {
			t.Errorf("%s: %s in %.1f minutes, want %s", c.what, got, minutes, c.want)
		}
	}
}

// The 1986 equation holds up to 350 m/min and at it: (e^(3.02 + 0.0065 × 350) − 13.92)
// × 0.06 / 0.57 = 19.52 kcal; beyond it the line begins at 19.5 (exercise §1b and §8.2).
func TestWhereTheFitEnds(t *testing.T) {
	for _, c := range []struct{ speed, want float64 }{{350, 19.5176}, {450, 25.79}, {1350, 82.4}} {
		if got := CostPerKgHour(c.speed) * 1000; math.Abs(got-c.want) > 0.001 {
			t.Errorf("%g m/min: %.4f kcal, want %.4f", c.speed, got, c.want)
		}
	}
}

// Beyond 30 % nothing was measured: the cost is that at 30 %.
func TestSteeperThanMeasured(t *testing.T) {
	for _, g := range []float64{0.33, 0.5, 2} {
		if SlopeFactor(g) != SlopeFactor(0.3) || SlopeFactor(-g) != SlopeFactor(-0.3) {
			t.Errorf("%g: %.3f and %.3f, at 0.3 %.3f and %.3f", g, SlopeFactor(g), SlopeFactor(-g), SlopeFactor(0.3), SlopeFactor(-0.3))
		}
	}
	if math.Abs(SlopeFactor(0.3)-(0.123+1.561*0.3)/0.123) > 1e-12 || math.Abs(SlopeFactor(-0.3)-1.19) > 0.01 {
		t.Errorf("%.4f and %.4f at 30 %%", SlopeFactor(0.3), SlopeFactor(-0.3))
	}
	if math.Abs(HillFactor(20)-(SlopeFactor(0.2)+SlopeFactor(-0.2))/2) > 1e-12 {
		t.Error("a gradient in percent is a hundredth of it")
	}
}

// Ten efforts are a minute in the course (ours), taken out of the canter and then of
// the trot; where jumping minutes are given, or no efforts, nothing is.
func TestEffortsAreTimeInTheCourse(t *testing.T) {
	at := func(trot, canter, jump float64) [yard.Gaits]float64 {
		return [yard.Gaits]float64{yard.Walk: 20, yard.Trot: trot, yard.Canter: canter, yard.Jump: jump}
	}
	for _, c := range []struct {
		what    string
		efforts int
		is      [yard.Gaits]float64
		want    [yard.Gaits]float64
	}{
		{"ten", 10, at(10, 5, 0), at(10, 4, 1)},
		{"one", 1, at(10, 5, 0), at(10, 4.9, 0.1)},
		{"more than there is canter", 70, at(10, 5, 0), at(8, 0, 7)},
		{"more than there is of both", 200, at(10, 5, 0), at(0, 0, 20)},
		{"with jumping minutes", 30, at(10, 5, 0.5), at(10, 5, 0.5)},
		{"none", 0, at(10, 5, 0), at(10, 5, 0)},
		{"fewer than none", -10, at(10, 5, 0), at(10, 5, 0)},
	} {
		got := Minutes(yard.Session{Minutes: c.is, Efforts: c.efforts})
		for g := range got {
			if math.Abs(got[g]-c.want[g]) > 1e-12 {
				t.Errorf("%s: %v, want %v", c.what, got, c.want)
				break
			}
		}
	}
}

// A week's cost is its days', and a day off costs nothing, whatever the model.
func TestAWeekIsItsDays(t *testing.T) {
	r := yard.Rules{WorkModel: yard.ByPace, PaceMPerMin: [yard.Gaits]float64{95, 220, 350, 550, 480}, Going: 1}
	s := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 1}}
	var days [7]yard.Day
	days[2].Sessions = []yard.Session{s, s}
	got := WeekMcal(days, 0, 0, 500, 80, r)
	if len(got) != 7 {
		t.Fatalf("%d days", len(got))
	}
	for d, v := range got {
		want := 0.0
		if d == 2 {
			want = 2.0 / 60 * CostPerKgHour(95) * 580
		}
		if math.Abs(v-want) > 1e-12 {
			t.Errorf("day %d: %v Mcal, want %v", d, v, want)
		}
	}
	r.WorkModel = yard.ByClass
	for d, v := range WeekMcal(days, 15, 16, 500, 80, r) { // the class asks less than the horse's own maintenance
		if v != 0 {
			t.Errorf("day %d: %v Mcal", d, v)
		}
	}
	r.WorkModel = yard.ByPace
	r.Going = 1.1
	if a, b := SessionMcal(s, 500, 80, r), SessionMcal(yard.Session{Minutes: s.Minutes, Led: true}, 580, 80, r); a != b || math.Abs(a/got[2]-0.55) > 1e-12 {
		t.Errorf("%v and %v", a, b)
	}
}

// The borders of fast work, races and long rides, at and beside each. Ours.
func TestTheBordersOfFastWorkAndLongRides(t *testing.T) {
	const m, h, v = yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy
	walks := func(n int, minutes float64) times { return times{n, ridden(minutes)} }
	race := func(walk, canter, gallop, jump float64) times { return times{1, ridden(walk, 0, canter, gallop, jump)} }
	for _, c := range []struct {
		what string
		week [7]yard.Day
		want yard.WorkClass
	}{
		{"four hours, three minutes of galloping on a day", weekOf(false, walks(4, 55), times{1, ridden(17, 0, 0, 3)}), h},
		{"four hours, just under three minutes", weekOf(false, walks(4, 55), times{1, ridden(17.1, 0, 0, 2.9)}), m},
		{"just under four hours, three minutes", weekOf(false, walks(4, 55), times{1, ridden(16, 0, 0, 3)}), m},
		{"four hours, a race and a day of fast work", weekOf(true, walks(2, 80), times{1, ridden(37, 0, 0, 3)}, race(35, 5, 5, 0)), v},
		{"a race over counted fences", weekOf(true, walks(2, 80), times{1, ridden(37, 0, 0, 3)}, race(35, 5, 5, 1)), h},
		{"a race cantered more than galloped", weekOf(true, walks(2, 80), times{1, ridden(37, 0, 0, 3)}, race(35, 6, 5, 0)), h},
		{"a race of 75 minutes in all", weekOf(true, walks(2, 80), times{1, ridden(37, 0, 0, 3)}, race(65, 5, 5, 0)), v},
		{"a race of over 75 minutes", weekOf(true, walks(2, 80), times{1, ridden(37, 0, 0, 3)}, race(66, 5, 5, 0)), h},
		{"a race and no other fast work", weekOf(true, walks(2, 100), race(35, 5, 5, 0)), h},
		{"six hours, two days of fast work", weekOf(false, walks(4, 60), times{2, ridden(57, 0, 0, 3)}), v},
		{"just under six hours, two days of fast work", weekOf(false, walks(4, 60), times{2, ridden(56, 0, 0, 3)}), h},
		{"six hours, four of them in rides of two hours", weekOf(false, walks(2, 60), times{2, ridden(60, 60)}), v},
		{"six hours, rides of two hours half a minute short", weekOf(false, walks(2, 61), times{2, ridden(59.75, 59.75)}), h},
		{"six hours, rides of two hours more than half at the walk", weekOf(false, walks(2, 60), times{2, ridden(61, 59)}), m},
		{"four hours, one ride of an hour and a half", weekOf(false, walks(3, 50), times{1, ridden(45, 45)}), h},
		{"four hours, one ride of a little less", weekOf(false, walks(3, 51), times{1, ridden(44.5, 44.5)}), yard.ClassLight},
	} {
		if got, minutes := WeekClass(c.week); got != c.want {
			t.Errorf("%s: %s in %.2f h, want %s", c.what, got, minutes/60, c.want)
		}
	}
}
