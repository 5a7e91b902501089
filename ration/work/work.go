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
// rates and weekly hours, no rule for mixed weeks; this one is ours:
//
//   - no work: rest;
//   - an hour a week of galloping or more ("1 h/week of speed work"), or over
//     6 hours at the heart rates of heavy work: very heavy;
//   - otherwise the lower of what the mean heart rate says and what the hours
//     allow (under 3 light, under 4 moderate, from 4 heavy);
//   - over 5 hours of light work counts as moderate, over 6 of moderate as heavy;
//   - galloping is moderate work at the least: the published light and moderate
//     weeks hold none, and walking out round it is most of a racehorse's minutes;
//   - the class is the higher of those with and without the sessions that are
//     walk alone: half an hour on the walker is more work, not less, although it
//     brings the mean heart rate down.
func WeekClass(days [7]yard.Day) (class yard.WorkClass, minutes float64) {
	var all, noWalks bout
	for _, d := range days {
		for _, s := range d.Sessions {
			b := boutOf(s)
			all.add(b)
			if b.minutes > Minutes(s)[yard.Walk] {
				noWalks.add(b)
			}
		}
	}
	return classesUp[max(all.class(), noWalks.class())], all.minutes
}

// classesUp are the classes from the least work to the most.
var classesUp = [...]yard.WorkClass{yard.ClassRest, yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy}

// bout is work added up, as a class looks at it.
type bout struct{ minutes, beats, gallop float64 }

func boutOf(s yard.Session) bout {
	b := bout{gallop: s.Minutes[yard.Gallop]}
	for g, m := range Minutes(s) {
		b.minutes += m
		b.beats += m * heartRate[g]
	}
	return b
}

func (b *bout) add(o bout) {
	b.minutes, b.beats, b.gallop = b.minutes+o.minutes, b.beats+o.beats, b.gallop+o.gallop
}

// class is the place in [classesUp] of a week's work.
func (b bout) class() int {
	const light, moderate, heavy, veryHeavy = 1, 2, 3, 4
	if b.minutes == 0 {
		return 0
	}
	mean := b.beats / b.minutes
	hours := math.Round(b.minutes*1e6) / 1e6 / 60 // an even number of hours, whatever it was added up from
	switch {
	case b.gallop >= 60, hours > 6 && mean >= moderateBelowBPM:
		return veryHeavy
	case mean < lightBelowBPM && hours <= 5, mean >= lightBelowBPM && hours < 3:
		if b.gallop > 0 {
			return moderate
		}
		return light
	case mean < lightBelowBPM:
		return moderate
	case mean < moderateBelowBPM:
		if hours > 6 {
			return heavy
		}
		return moderate
	case hours < 4:
		return moderate
	}
	return heavy
}
