// Package work says what a session costs: digestible energy above maintenance
// by gait, load and slope, and the class a week's work falls in.
//
// # Sources
//
// Cost by speed: Pagan and Hintz 1986, J. Anim. Sci. 63:822-830, as laid out in
// the reference file on exercise §1b: fitted on walk, trot and canter on the
// level, so it is used up to 350 m/min only. Above that the project's own
// straight line (exercise §8.2) stands in. Slope: Schroter and Marlin 2002
// (exercise §4). Weekly class: the descriptions of NRC 2007, chapter 1
// (requirements §1); the pace heart rates and borders that turn a mixed week
// into a class are ours.
//
// Models: by pace is the default; by the hour and by class by setting. The
// class value is always worked out beside the model's (exercise §2d: the classes
// give about twice the work they describe).
//
// # Partial
//
// Jumping efforts have no published cost: they are turned into time in a course.
// Going has no published factor and is 1 unless the yard sets one. Fitness
// changes no cost: no figure was found.
package work

import (
	"math"
	"strings"

	"hardfeed/ration/yard"
)

// FastestFitted is the speed, m/min, up to which the 1986 equation is used.
const FastestFitted = 350

// CostPerKgHour is Mcal DE above maintenance per kilogram moved per hour at a
// speed in m/min.
//
//	c = (e^(3.02 + 0.0065 X) − 13.92) × 0.06 / 0.57  kcal/kg/h, X ≤ 350
//	c = 19.5 + 0.0629 (X − 350)                      kcal/kg/h, X > 350
//
// The first line is Pagan and Hintz 1986 (exercise §1b); the second is the
// project's own construction, not published (exercise §8.2): the slope is the
// level cost of transport carried on from where the fit ends.
func CostPerKgHour(mPerMin float64) float64 {
	if mPerMin > FastestFitted {
		return (19.5 + 0.0629*(mPerMin-FastestFitted)) / 1000
	}
	return (math.Exp(3.02+0.0065*mPerMin) - 13.92) * 0.06 / 0.57 / 1000
}

// SlopeFactor is the cost on a gradient (a fraction, up positive, −0.3 to 0.3)
// over the cost on the level: Schroter and Marlin 2002 (exercise §4),
//
//	up:   0.123 + 1.561 g
//	down: 0.123 + 1.591 g + 9.762 g² + 14.0 g³   (ml O2/kg/m)
//
// Going down is held at 0.55, the lowest measured at the trot (exercise §8.4).
func SlopeFactor(g float64) float64 {
	g = min(max(g, -0.3), 0.3)
	if g >= 0 {
		return (0.123 + 1.561*g) / 0.123
	}
	return max(0.55, (0.123+1.591*g+9.762*g*g+14.0*g*g*g)/0.123)
}

// HillFactor is up half the way and down the other half at a gradient in
// percent, by the minutes.
func HillFactor(gradientPct float64) float64 {
	return (SlopeFactor(gradientPct/100) + SlopeFactor(-gradientPct/100)) / 2
}

// EffortsPerMinute turns jumping efforts into time in a course where the yard
// gives no jumping minutes: ten to twelve fences in about 450 m (from memory) at
// 384 m/min, the mean of a 1.10 m course (exercise §3, seen). The rule is ours.
const EffortsPerMinute = 10

// Minutes is a session's minutes by gait as they are costed: where efforts are
// given and jumping minutes are not, the efforts' time in the course is taken
// out of the canter, then of the trot, of the same session; what is left of it
// is added.
func Minutes(s yard.Session) [yard.Gaits]float64 {
	m := s.Minutes
	if s.Efforts <= 0 || m[yard.Jump] > 0 {
		return m
	}
	m[yard.Jump] = float64(s.Efforts) / EffortsPerMinute
	left := m[yard.Jump]
	for _, g := range []yard.Gait{yard.Canter, yard.Trot} {
		taken := min(left, m[g])
		m[g] -= taken
		left -= taken
	}
	return m
}

// hourlyPerKg is Mcal DE above maintenance per kilogram of horse per hour by
// gait: the 1978 table (exercise §1a, after Hintz and others 1971, from memory;
// common practice, no source, for a 450 kg horse: walking 225 kcal an hour, trot
// and canter 2,250, galloping and jumping 10,350). Its walk is known to be too
// low (exercise §1b).
var hourlyPerKg = [yard.Gaits]float64{yard.Walk: 0.0005, yard.Trot: 0.005, yard.Canter: 0.005, yard.Gallop: 0.023, yard.Jump: 0.023}

// StrenuousPerKg is the same table's hour of racing or upper-level eventing
// (17,550 kcal for 450 kg); it takes the place of galloping and jumping in
// sessions so named.
const StrenuousPerKg = 0.039

// strenuous are the names of sessions the last line of the 1978 table is for.
var strenuous = map[string]bool{"race": true, "racing": true, "polo": true, "steeplechase": true, "xc": true, "cross-country": true, "cross country": true}

// SessionMcal is the DE above maintenance of one session, Mcal. By pace
// (exercise §8.1):
//
//	minutes/60 × c(speed) × (horse + rider and tack) × slope × going
//
// with the horse alone when led, lunged or loose. By the hour:
//
//	minutes/60 × kcal per kg and hour × horse
//
// which knows neither rider, slope nor going. By class the sessions only share
// out what [WeekMcal] gives, by their cost at a pace.
func SessionMcal(s yard.Session, bodyKg, riderTackKg float64, r yard.Rules) float64 {
	sum := 0.0
	for _, p := range SessionParts(s, bodyKg, riderTackKg, r) {
		sum += p.Mcal
	}
	return sum
}

// Part is the cost of a session's minutes at one gait:
// minutes/60 × PerKgHour × MassKg × Factor.
type Part struct {
	Gait      yard.Gait
	Minutes   float64
	PerKgHour float64 // Mcal DE above maintenance
	MassKg    float64 // what is moved
	Factor    float64 // slope and going
	Mcal      float64
}

// SessionParts is the session's cost gait by gait, as [SessionMcal] adds it.
func SessionParts(s yard.Session, bodyKg, riderTackKg float64, r yard.Rules) []Part {
	p := Part{MassKg: bodyKg, Factor: 1}
	if r.WorkModel != yard.ByHour {
		if !s.Led {
			p.MassKg += riderTackKg
		}
		if s.Hills {
			p.Factor = HillFactor(r.HillGradientPct)
		}
		p.Factor *= r.Going
	}
	var parts []Part
	for g, minutes := range Minutes(s) {
		if minutes == 0 {
			continue
		}
		p.Gait, p.Minutes = yard.Gait(g), minutes
		switch {
		case r.WorkModel != yard.ByHour:
			p.PerKgHour = CostPerKgHour(r.PaceMPerMin[g])
		case p.Gait >= yard.Gallop && strenuous[strings.ToLower(s.Name)]:
			p.PerKgHour = StrenuousPerKg
		default:
			p.PerKgHour = hourlyPerKg[g]
		}
		p.Mcal = minutes / 60 * p.PerKgHour * p.MassKg * p.Factor
		parts = append(parts, p)
	}
	return parts
}

// WeekMcal is the DE above maintenance of each day of a week, Mcal. By class
// the week's total is what the class gives over the horse's own maintenance,
// seven times, shared over the days by their cost at a pace.
func WeekMcal(days [7]yard.Day, classMcal, maintenanceMcal, bodyKg, riderTackKg float64, r yard.Rules) (mcal [7]float64) {
	total := 0.0
	for i, d := range days {
		mcal[i] = dayMcal(d, bodyKg, riderTackKg, r)
		total += mcal[i]
	}
	if r.WorkModel != yard.ByClass || total == 0 {
		return mcal
	}
	week := 7 * max(0, classMcal-maintenanceMcal)
	for i := range mcal {
		mcal[i] *= week / total
	}
	return mcal
}

// dayMcal is the DE above maintenance of one day's sessions, Mcal.
func dayMcal(d yard.Day, bodyKg, riderTackKg float64, r yard.Rules) float64 {
	sum := 0.0
	for _, s := range d.Sessions {
		sum += SessionMcal(s, bodyKg, riderTackKg, r)
	}
	return sum
}

// heartRate is the mean heart rate, beats a minute, taken for each gait when a
// week is put in a class. They lie inside the ranges of a veterinary
// cardiologist (exercise §3: walk 50-70, trot 70-120, canter 120-185, gallop
// 185-240; a jumping round peaks at 191) and were chosen so that each published
// weekly description falls in its own class. The choice is ours.
var heartRate = [yard.Gaits]float64{yard.Walk: 60, yard.Trot: 90, yard.Canter: 120, yard.Gallop: 190, yard.Jump: 190}

// Borders between the classes' mean heart rates, beats a minute: midway between
// the means the three published weekly descriptions give with [heartRate]
// (81, 89 and 103). Ours.
const (
	lightBelowBPM    = 85
	moderateBelowBPM = 96
)

// WeekClass puts seven days of work in an NRC 2007 class. NRC gives mean heart
// rates over a whole bout, weekly hours and kinds of work (requirements §1), no rule
// for mixed weeks; this one is ours:
//
//   - no work: rest;
//   - very heavy is racing, endurance and the best eventers: an hour a week of
//     galloping; a race beside a day of fast work; six hours with two days of fast
//     work in them, or four hours of rides of two hours and more; or over six hours at
//     the heart rates of heavy work;
//   - heavy is four hours a week with fast work or a long ride in them (mid-stage race
//     training, polo, low to medium eventing);
//   - otherwise the lower of what the mean heart rate says and what the hours
//     allow (under 3 light, under 4 moderate, from 4 heavy);
//   - more work than its class describes counts as the next one: light work that costs
//     over what 3½ hours of the described light week do (moderate) or 16 hours of it
//     (heavy), over 6 hours of moderate work (heavy). Cost, not hours, so that a
//     horse that walks for an hour a day stays light;
//   - galloping is moderate work at the least: the published light and moderate
//     weeks hold none, and walking out round it is most of a racehorse's minutes;
//   - the class is the higher of those with and without the sessions that are
//     walk alone: half an hour on the walker is more work, not less, although it
//     brings the mean heart rate down.
func WeekClass(days [7]yard.Day) (class yard.WorkClass, minutes float64) {
	var all, noWalks bout
	for _, d := range days {
		fast := 0.0
		for _, s := range d.Sessions {
			b := boutOf(s)
			fast += s.Minutes[yard.Gallop]
			all.races = all.races || d.Event && isRace(s)
			all.add(b)
			if b.minutes > Minutes(s)[yard.Walk] {
				noWalks.add(b)
			}
		}
		if fast >= fastWorkMinutes {
			all.fastDays++
			noWalks.fastDays++
		}
	}
	noWalks.races = all.races
	return classesUp[max(all.class(), noWalks.class())], all.minutes
}

// TrainsToRace says whether a week's work is a racehorse's: a race beside a day of fast
// work, or fast work on three days or more. Ours: eventers and polo ponies gallop on one
// or two (exercise §6 K).
func TrainsToRace(days [7]yard.Day) bool {
	fast, races := 0, false
	for _, d := range days {
		gallop := 0.0
		for _, s := range d.Sessions {
			gallop += s.Minutes[yard.Gallop]
			races = races || d.Event && isRace(s)
		}
		if gallop >= fastWorkMinutes {
			fast++
		}
	}
	return fast >= 3 || races && fast >= 2
}

// classesUp are the classes from the least work to the most.
var classesUp = [...]yard.WorkClass{yard.ClassRest, yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy}

// What tells fast work and long rides from a pleasant hour with a gallop in it. All
// ours; endurance horses are trained in rides of two hours and more at the trot
// (exercise §6 F).
const (
	fastWorkMinutes = 3  // of galloping in a day
	raceMinutes     = 75 // of a race with its warming up, at most: a hunt and horse trials are longer
	longRideMinutes = 90 // of one session, half of it or more at the trot or faster
	enduranceRide   = 120
	enduranceHours  = 4 // of such rides in six hours a week of work
)

// isRace says whether an event is a race: short, over no counted fences, and galloped
// rather than cantered, as a match of polo is.
func isRace(s yard.Session) bool {
	return s.Minutes[yard.Gallop] >= max(fastWorkMinutes, s.Minutes[yard.Canter]) && s.Minutes[yard.Jump] == 0 && s.Efforts == 0 && s.Total() <= raceMinutes
}

// describedPaces are the speeds, m/min, by which the work of a week is compared with
// that of the described weeks: those of exercise §8.1 and §8.2.
var describedPaces = [yard.Gaits]float64{yard.Walk: 95, yard.Trot: 220, yard.Canter: 350, yard.Gallop: 550, yard.Jump: 480}

// Mcal per kilogram moved and week over which light work counts as moderate and as
// heavy: three and a half hours of the light week NRC describes (40 % walk, 50 % trot,
// 10 % canter; it describes up to three, and moderate work from three), and sixteen: 30
// hours of trekking, 15 of lessons. Ours.
var (
	lightHour      = 0.4*CostPerKgHour(95) + 0.5*CostPerKgHour(220) + 0.1*CostPerKgHour(350)
	lightMost      = 3.5 * lightHour
	lightMostHeavy = 16 * lightHour
)

// bout is work added up, as a class looks at it.
type bout struct {
	minutes, beats float64
	gallop         float64 // minutes
	long           float64 // minutes of long rides
	endurance      float64 // of them, those of two hours and more
	cost           float64 // Mcal per kilogram moved
	fastDays       int
	races          bool
}

func boutOf(s yard.Session) bout {
	b := bout{gallop: s.Minutes[yard.Gallop]}
	for g, m := range Minutes(s) {
		b.minutes += m
		b.beats += m * heartRate[g]
		b.cost += m / 60 * CostPerKgHour(describedPaces[g])
	}
	if b.minutes >= longRideMinutes && Minutes(s)[yard.Walk] <= b.minutes/2+1e-6 {
		if b.long = b.minutes; b.minutes >= enduranceRide {
			b.endurance = b.minutes
		}
	}
	return b
}

func (b *bout) add(o bout) {
	b.minutes, b.beats, b.cost = b.minutes+o.minutes, b.beats+o.beats, b.cost+o.cost
	b.gallop, b.long, b.endurance = b.gallop+o.gallop, b.long+o.long, b.endurance+o.endurance
}

// Places in [classesUp].
const (
	atRest = iota
	light
	moderate
	heavy
	veryHeavy
)

// class is the place in [classesUp] of a week's work.
func (b bout) class() int {
	if b.minutes == 0 {
		return atRest
	}
	hours := math.Round(b.minutes*1e6) / 1e6 / 60 // an even number of hours, whatever it was added up from
	switch byRate := b.byHeartRate(hours); {
	case b.gallop >= 60, b.fastDays >= 2 && (b.races || hours >= 6), hours >= 6 && b.endurance >= enduranceHours*60:
		return veryHeavy
	case hours >= 4 && (b.fastDays > 0 || b.long > 0):
		return max(heavy, byRate)
	case b.gallop > 0:
		return max(moderate, byRate)
	default:
		return byRate
	}
}

// byHeartRate is the class by the mean heart rate and the hours.
func (b bout) byHeartRate(hours float64) int {
	switch mean := b.beats / b.minutes; {
	case mean < lightBelowBPM:
		switch {
		case b.cost > lightMostHeavy+1e-9:
			return heavy
		case b.cost > lightMost+1e-9:
			return moderate
		}
		return light
	case hours < 3:
		return light
	case mean < moderateBelowBPM:
		if hours > 6 {
			return heavy
		}
		return moderate
	case hours > 6:
		return veryHeavy
	case hours < 4:
		return moderate
	}
	return heavy
}
