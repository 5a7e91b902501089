package work

import (
	"testing"

	"hardfeed/ration/yard"
)

// ridden is a session of so many minutes of walk, trot, canter, gallop and jump.
func ridden(minutes ...float64) (s yard.Session) {
	copy(s.Minutes[:], minutes)
	return s
}

// times is a session on that many days of a week.
type times struct {
	n int
	s yard.Session
}

// weekOf lays sessions on the days of a week, as evenly as it goes; the last is the
// event of a week that has one.
func weekOf(event bool, all ...times) (days [7]yard.Day) {
	d := 0
	for i, x := range all {
		for range x.n {
			days[d%7].Sessions = append(days[d%7].Sessions, x.s)
			days[d%7].Event = days[d%7].Event || event && i == len(all)-1
			d++
		}
	}
	return days
}

// Weeks as they are described, and the class the NRC 2007 table gives as an example of
// its kind of work (requirements §1: light is recreational riding, the start of training,
// occasional showing; moderate school horses, recreational riding, breaking, frequent
// showing, polo, ranch work; heavy ranch work, polo, strenuous frequent showing, low to
// medium eventing, mid-stage race training; very heavy racing, endurance, elite three-day
// eventing), or the class its heart rates and hours give. Minutes by gait where a source
// has none are common practice, no source.
func TestDescribedWeeksFallWhereTheStandardPutsThem(t *testing.T) {
	const l, m, h, v = yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy
	hack := ridden(42, 15, 3)
	school := ridden(18, 20, 7)
	jumping := ridden(18, 16, 9, 0, 2)
	walker := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 40}, Led: true}
	for _, c := range []struct {
		what, source string
		week         [7]yard.Day
		want         []yard.WorkClass // one, or two where the standard names the work in both
	}{
		{"recreational riding, three hacks", "requirements §1", weekOf(false, times{3, hack}), []yard.WorkClass{l}},
		{"recreational riding, two hacks and two lessons", "requirements §1", weekOf(false, times{2, hack}, times{2, school}), []yard.WorkClass{l, m}},
		{"the start of training: half an hour of walk a day", "exercise §6 A, week 1", weekOf(false, times{7, ridden(30)}), []yard.WorkClass{l}},
		{"the start of training: an hour of walk a day", "exercise §6 A, week 3", weekOf(false, times{7, ridden(60)}), []yard.WorkClass{l}},
		{"an hour's hack with spells of trot, five days", "exercise §6 A, week 4", weekOf(false, times{5, ridden(50, 10)}), []yard.WorkClass{l}},
		{"after a break: four walks of an hour with ten minutes of trot", "exercise §6 D", weekOf(false, times{4, ridden(50, 10)}), []yard.WorkClass{l}},
		{"occasional showing: schooled three times and a show", "requirements §1", weekOf(true, times{2, school}, times{1, ridden(40, 20, 10)}), []yard.WorkClass{l, m}},
		{"frequent showing: schooled four times and a show", "requirements §1", weekOf(true, times{4, school}, times{1, ridden(40, 20, 10, 0, 1)}), []yard.WorkClass{m}},
		{"a school horse, two lessons a day, six days", "requirements §1", weekOf(false, times{12, ridden(24, 27, 9)}), []yard.WorkClass{m}},
		{"ninety riding horses, 28, 19 and 17 minutes a day", "Berlin thesis (exercise §2d)", weekOf(false, times{6, ridden(28, 19, 17)}), []yard.WorkClass{m}},
		{"breaking: lunged and ridden away, four hours", "requirements §1", weekOf(false, times{6, ridden(12, 22, 6)}), []yard.WorkClass{m}},
		{"trekking at the walk, ten hours", "exercise §2b: three hours' walk a day is light", weekOf(false, times{6, ridden(85, 13, 2)}), []yard.WorkClass{l, m}},
		{"ranch work, four hours on five days", "requirements §1", weekOf(false, times{5, ridden(156, 60, 24)}), []yard.WorkClass{m, h}},
		{"polo: exercised four times, two matches of two chukkas", "requirements §1", weekOf(true, times{4, ridden(25, 15)}, times{2, ridden(20, 10, 10, 5)}), []yard.WorkClass{m, h}},
		{"polo: practice chukkas once and no match", "requirements §1", weekOf(false, times{4, ridden(25, 15, 5)}, times{1, ridden(20, 10, 15, 2)}), []yard.WorkClass{m}},
		{"eventing, weeks 8 to 9: six days, strong canters, a show", "exercise §6 A", weekOf(true, times{2, ridden(35, 20, 8)}, times{2, school}, times{1, ridden(30, 15, 14, 4)}, times{1, ridden(40, 20, 10, 0, 3)}), []yard.WorkClass{h}},
		{"low to medium eventing: flat, grids, a gallop", "requirements §1; exercise §6 K: fast work every fourth day", weekOf(false, times{3, school}, times{1, jumping}, times{1, hack}, times{1, ridden(27, 18, 9, 6)}), []yard.WorkClass{h}},
		{"elite three-day eventing: seven hours, two gallops", "requirements §1; exercise §6 K: two canters of five to seven minutes", weekOf(false, times{4, ridden(25, 25, 10)}, times{1, jumping}, times{2, ridden(35, 20, 12, 7)}), []yard.WorkClass{v}},
		{"strenuous frequent showing: jumped hard five days a week", "requirements §1", weekOf(false, times{5, ridden(10, 26, 10, 0, 7)}), []yard.WorkClass{h}},
		{"race training, mid-stage: cantered daily, one piece of work", "requirements §1; exercise §6 J", weekOf(false, times{5, ridden(28, 12, 8)}, times{1, ridden(28, 10, 6, 3)}), []yard.WorkClass{h}},
		{"racing: a race, a piece of work, cantered on the other days", "requirements §1", weekOf(true, times{4, ridden(28, 10, 8)}, times{1, ridden(28, 10, 6, 3)}, times{1, ridden(30, 5, 5, 5)}), []yard.WorkClass{v}},
		{"a racehorse in full work, fast on six days, an hour and more each", "requirements §1", weekOf(false, times{6, ridden(40, 15, 10, 3)}), []yard.WorkClass{v}},
		{"an hour a week of galloping", "requirements §1", weekOf(false, times{4, ridden(15, 10, 5, 15)}), []yard.WorkClass{v}},
		{"endurance, weeks 11 and 12: three rides of two to three hours", "exercise §6 F", weekOf(false, times{3, ridden(50, 85, 15)}), []yard.WorkClass{v}},
		{"endurance: rides of eight miles and a long one", "exercise §6 G", weekOf(false, times{3, ridden(20, 40)}, times{1, ridden(70, 100, 10)}, times{1, ridden(40, 75, 5)}), []yard.WorkClass{v}},
		{"endurance, a novice's first fortnight: walk only", "exercise §6 E", weekOf(false, times{4, ridden(60)}, times{1, ridden(120)}), []yard.WorkClass{l}},
		{"endurance, half way: four hours a week, half of it in one ride", "exercise §6 F, week 4", weekOf(false, times{3, ridden(25, 30, 5)}, times{1, ridden(40, 70, 10)}), []yard.WorkClass{h}},
		{"a hunter hunted once a week", "the table names no hunting; its hours and a gallop", weekOf(true, times{4, hack}, times{1, ridden(100, 50, 25, 5)}), []yard.WorkClass{h}},
		{"a walker and nothing else", "requirements §1: 80 beats for light work", weekOf(false, times{7, walker}), []yard.WorkClass{l}},
		{"hacked on six days, a gallop of a minute up the hill", "requirements §1: the light week holds no gallop", weekOf(false, times{6, ridden(42, 14, 3, 1)}), []yard.WorkClass{m}},
		{"a field ornament", "requirements §1", weekOf(false), []yard.WorkClass{yard.ClassRest}},
	} {
		got, minutes := WeekClass(c.week)
		ok := got == c.want[0] || got == c.want[len(c.want)-1]
		if !ok {
			t.Errorf("%s (%s): %s in %.1f h, want %v", c.what, c.source, got, minutes/60, c.want)
		}
	}
}
