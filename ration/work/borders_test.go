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

// hoursOf is a week of so many hours in which each hour has so many minutes of walk,
// canter and gallop.
func hoursOf(hours, walk, canter, gallop float64) (days [7]yard.Day) {
	days[0].Sessions = []yard.Session{{Minutes: [yard.Gaits]float64{yard.Walk: hours * walk, yard.Canter: hours * canter, yard.Gallop: hours * gallop}}}
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
		{"84 beats, five hours", 5, 36, 24, 0, l},
		{"84 beats, over five hours", 5.5, 36, 24, 0, m},
		{"84 beats, seven hours", 7, 36, 24, 0, m},
		{"85 beats, under three hours", 2.5, 35, 25, 0, l},
		{"85 beats, three hours", 3, 35, 25, 0, m},
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
