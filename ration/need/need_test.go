package need

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// halfUp rounds as the published tables do; the last bit of a float must not
// turn 16.65 into 16.6.
func halfUp(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Floor(v*p+0.5+1e-9) / p
}

// Source: example E31 of the reference collection of worked rations (a feed
// page, address withheld): 500 kg × 33.3 kcal, half as much again for its
// moderate work, is 104.5 MJ.
func TestRequirementInMegajoules(t *testing.T) {
	if mj := MaintenancePerKg(yard.NormalDoer) * 500 * 1.5 * 4.184; math.Abs(mj-104.5) > 0.05 {
		t.Errorf("%.2f MJ, printed 104.5", mj)
	}
}

// Source: requirements §10. The inputs of the first were seen, its result there
// was cut off; the others are computed there from the published formulas.
func TestBodyWeightFromGirthAndLength(t *testing.T) {
	const inch, lb = 2.54, 0.45359237
	for _, c := range []struct {
		name          string
		girth, length float64
		typ           yard.HorseType
		want, within  float64
	}{
		{"76 by 65 in, 330 in inches and pounds", 76 * inch, 65 * inch, yard.TypeHorse, 516.1, 2.5}, // 330 is 11,922 in cm and kg, 0.4 % off 11,877
		{"180 by 160 cm", 180, 160, yard.TypeHorse, 436.5, 0.05},
		{"140 by 120 cm", 140, 120, yard.TypeHorse, 198.0, 0.05},
		{"140 by 120 cm, pony", 140, 120, yard.TypePony, 217.7, 0.05},
		{"72 by 92 in, E37 of the worked examples: 1,445 lb", 72 * inch, 92 * inch, yard.TypeHorse, 1445 * lb, 3},
	} {
		if got := GirthLengthKg(c.girth, c.length, c.typ); math.Abs(got-c.want) > c.within {
			t.Errorf("%s: %.1f kg, want %.1f", c.name, got, c.want)
		}
	}
}

// Source: requirements §9: one score up at 500 kg is 400 Mcal; over 90 days 4.4
// Mcal a day (seen).
func TestOneScoreInNinetyDays(t *testing.T) {
	if got := ChangeMcal(4, 5, 500, 90); math.Abs(got-4.44) > 0.01 {
		t.Errorf("%.2f Mcal a day, printed 4.4", got)
	}
	if got := ChangeMcal(5, 5, 500, 90); got != 0 {
		t.Errorf("no change asked for, %.2f Mcal counted", got)
	}
	// limits D-28: however fast it is asked for
	if got, most := ChangeMcal(2, 6, 500, 10), 0.0035*500/7*20; math.Abs(got-most) > 1e-9 {
		t.Errorf("gain of %.2f Mcal a day, the weekly mark allows %.2f", got, most)
	}
	if got, most := ChangeMcal(9, 4, 500, 10), -0.01*500/7*20; math.Abs(got-most) > 1e-9 {
		t.Errorf("loss of %.2f Mcal a day, the weekly mark allows %.2f", got, most)
	}
}

// Source: requirements §11: 2.5 % a degree, 0.42 Mcal at 500 kg (seen).
func TestOneDegreeOfCold(t *testing.T) {
	if got := ColdMcal(16.65, -16, -15); math.Abs(got-0.416) > 0.001 {
		t.Errorf("%.3f Mcal, printed 0.42", got)
	}
	if got := ColdMcal(16.65, 5, -15); got != 0 {
		t.Errorf("no cold, %.2f Mcal counted", got)
	}
}

// Sources: exercise_examples rows NA-1 and K-1, a discussion-list post quoting
// NRC 2007: a 900 lb horse in very heavy work needs 33.6 g sodium and 43.4 g
// potassium; 0.1 g off by pounds.
// Source: requirements §12 (a Spanish-language page, headed 500 kg but printing
// the figures of 550 kg): energy, protein, calcium, phosphorus and, but for its
// slipped last two, magnesium of five classes.
func TestTheTableHeadedFiveHundredThatIsFiveHundredAndFifty(t *testing.T) {
	printed := map[string][5]float64{
		"crude protein": {693, 769, 845, 948, 1105},
		"calcium":       {22, 33, 39, 44, 44},
		"phosphorus":    {15, 20, 23, 32, 32},
		"magnesium":     {8.3, 10.5, 12.7, 0, 0},
	}
	classes := [5]yard.WorkClass{yard.ClassRest, yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy}
	for i, c := range classes {
		if got, want := halfUp(ClassMcal(c, yard.NormalDoer, 550), 1), [5]float64{18.3, 22.0, 25.6, 29.3, 37.9}[i]; got != want {
			t.Errorf("energy, %s: %.1f Mcal, printed %.1f", c, got, want)
		}
		for _, n := range Nutrients() {
			if want := printed[n.Name][i]; want != 0 && math.Abs(n.Of(c, yard.NormalDoer, 550, ClassSweatKg(c, 550))-want) > 0.51 {
				t.Errorf("%s, %s: %.2f %s, printed %g", n.Name, c, n.Of(c, yard.NormalDoer, 550, ClassSweatKg(c, 550)), n.Unit, want)
			}
		}
	}
}

func TestNeedGrowsWithWeightAndWork(t *testing.T) {
	classes := []yard.WorkClass{yard.ClassRest, yard.ClassLight, yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy}
	for _, n := range Nutrients() {
		before := 0.0
		for _, c := range classes {
			got := n.Of(c, yard.NormalDoer, 500, ClassSweatKg(c, 500))
			if got < before || got <= 0 || math.IsNaN(got) {
				t.Errorf("%s falls from %.3f to %.3f at %s work", n.Name, before, got, c)
			}
			if more := n.Of(c, yard.NormalDoer, 501, ClassSweatKg(c, 501)); more <= got {
				t.Errorf("%s does not grow with weight at %s work", n.Name, c)
			}
			before = got
		}
	}
}
