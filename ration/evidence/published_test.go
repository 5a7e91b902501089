package evidence

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"hardfeed/ration/yard"
)

// published reads testdata/published/evidence.csv: study/case/quantity to value.
func published(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/published/evidence.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	for _, r := range rows[1:] {
		v, err := strconv.ParseFloat(r[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		if r[8] == "" || r[9] == "" {
			t.Errorf("%s has no source", r[0])
		}
		out[r[1]+"/"+r[2]+"/"+r[3]] = v
		if r[5] != "" {
			if out[r[1]+"/"+r[2]+"/"+r[3]+" sd"], err = strconv.ParseFloat(r[5], 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	return out
}

// live is a horse that weighs start kg and changes evenly by change kg over so many
// weeks, weighed weekly by scale, fed and worked the same.
func live(kg, change float64, weeks int, f Feeding, prior Prior) Learnt {
	var ws []onDay
	for i := range weeks + 1 {
		ws = append(ws, onDay{7 * i, kg + change*float64(i)/float64(weeks)})
	}
	h := fedAlike(weeks, f, byScale(ws...))
	h.BodyKg, h.Prior = kg+change, prior
	return learnOne(h, weeks)
}

func holds(e yard.Estimate, v float64) bool { return e.Low <= v && v <= e.High }

// 35 Quarter Horses, idle, three trials of 42 days (EN-17, EN-18).
func TestThirtyFiveQuarterHorses(t *testing.T) {
	p := published(t)
	const q = "quarter horses/"
	kg := p[q+"all/body weight"]
	intake := p[q+"all/intake"] / 1000 * kg
	as := Published()
	low, high := as.McalPerKg*math.Exp(-z90*as.McalPerKgCV), as.McalPerKg*math.Exp(z90*as.McalPerKgCV)
	for _, trial := range []string{"trial 1", "trial 2", "trial 3", "pooled"} {
		cost := p[q+trial+"/energy of gain"]
		if cost < low || cost > high {
			t.Errorf("%s: %g Mcal a kg of gain lies outside what is allowed, %.1f to %.1f", trial, cost, low, high)
		}
		gain, ok := p[q+trial+"/gain in 42 days"]
		if !ok {
			continue
		}
		// By their own cost of a kilogram they held their weight on this.
		held := intake - cost*gain/42
		e := live(kg-gain/2, gain, 6, Feeding{yard.Known(intake * 0.7), yard.Known(intake * 0.3), yard.Known(0)}, PriorOf(yard.NormalDoer, false))
		t.Logf("%s: printed need %.2f Mcal, learnt %.2f (%.2f to %.2f), by the tables %.2f", trial, held, e.Need.Mean, e.Need.Low, e.Need.High, e.TablesMcal)
		if !holds(e.Need, held) {
			t.Errorf("%s: %.2f Mcal held them, the range is %.2f to %.2f", trial, held, e.Need.Low, e.Need.High)
		}
		if e.Trend != yard.TrendGaining && gain > 20 {
			t.Errorf("%s: %g kg in six weeks is called %s", trial, gain, e.Trend)
		}
	}
	// What the tables' need leaves of the intake is, over 42 days at 20 Mcal a kg, what
	// they gained in the mean of the trials.
	mean := (p[q+"trial 1/gain in 42 days"] + p[q+"trial 2/gain in 42 days"] + p[q+"trial 3/gain in 42 days"]) / 3
	if gain := (intake - PriorOf(yard.NormalDoer, false).McalPerKg*kg) * 42 / as.McalPerKg; math.Abs(gain-mean) > 1 {
		t.Errorf("the tables foretell a gain of %.1f kg, printed %.1f in the mean", gain, mean)
	}
}

// Four equids of 125 to 856 kg held their weight on a straight line (EN-16, NRC
// 1989). The smallest needs a quarter more a kilogram than the tables of 2007 give:
// most of it is learnt.
func TestFourEquids(t *testing.T) {
	p := published(t)
	for i := range 4 {
		kg := p[fmt.Sprintf("four equids/%d/body weight", i+1)]
		need := p["four equids/line/maintenance at 0 kg"] + p["four equids/line/maintenance a kg"]*kg
		e := live(kg, 0, 20, Feeding{yard.Known(need), yard.Known(0), yard.Known(0)}, PriorOf(yard.NormalDoer, false))
		t.Logf("%g kg: printed %.2f Mcal, learnt %.2f (%.2f to %.2f), by the tables %.2f", kg, need, e.Need.Mean, e.Need.Low, e.Need.High, e.TablesMcal)
		if !holds(e.Need, need) {
			t.Errorf("%g kg: it held its weight on %.2f Mcal, the range is %.2f to %.2f", kg, need, e.Need.Low, e.Need.High)
		}
		if learnt, excess := e.Need.Mean-e.TablesMcal, need-e.TablesMcal; math.Abs(learnt-excess) > math.Abs(excess)/3 {
			t.Errorf("%g kg: %.2f of %.2f Mcal over the tables is learnt", kg, learnt, excess)
		}
		if e.Trend != yard.TrendHolding {
			t.Errorf("%g kg: held its weight, and is called %s", kg, e.Trend)
		}
	}
}

// Four geldings held at weight at rest and at three loads (EN-29).
func TestFourGeldings(t *testing.T) {
	p := published(t)
	const g = "four geldings/"
	kg, rest := p[g+"rest/body weight"], p[g+"rest/need"]
	for _, c := range []string{"rest", "work 1", "work 2", "work 3"} {
		need := p[g+c+"/need"]
		e := live(kg, 0, 13, Feeding{yard.Known(need * 0.6), yard.Known(need * 0.4), yard.Known(need - rest)}, PriorOf(yard.NormalDoer, false))
		if !holds(e.Need, need) || math.Abs(e.Need.Mean-need) > 0.02*need {
			t.Errorf("%s: printed %.2f Mcal, learnt %.2f (%.2f to %.2f)", c, need, e.Need.Mean, e.Need.Low, e.Need.High)
		}
		if per := e.Maintenance; !holds(per, rest/kg) {
			t.Errorf("%s: maintenance of %.4f Mcal a kg lies outside %.4f to %.4f", c, rest/kg, per.Low, per.High)
		}
	}
}

// 60 working sport horses (EN-01 to EN-08): what they ate less their work is the
// maintenance printed for their discipline, if they held their weight.
func TestSixtyPerformanceHorses(t *testing.T) {
	p := published(t)
	toDE := 1 / p["conversion/all/ME/DE"] / 4.184
	const s = "performance horses/"
	for _, d := range []string{"dressage", "eventing", "showjumping", "all-rounders"} {
		const kg = 550
		intake, share, work := p[s+d+"/intake"]*toDE*kg, p[s+d+"/forage share"]/100, p[s+d+"/exercise"]*toDE*kg
		e := live(kg, 0, 20, Feeding{yard.Known(intake * share), yard.Known(intake * (1 - share)), yard.Known(work)}, PriorOf(yard.NormalDoer, false))
		printed := p[s+d+"/maintenance"] * toDE
		t.Logf("%s: maintenance printed %.4f, learnt %.4f (%.4f to %.4f) Mcal/kg; need %.1f of %.1f eaten", d, printed, e.Maintenance.Mean, e.Maintenance.Low, e.Maintenance.High, e.Need.Mean, intake)
		if !holds(e.Maintenance, printed) {
			t.Errorf("%s: printed %.4f Mcal a kg, the range is %.4f to %.4f", d, printed, e.Maintenance.Low, e.Maintenance.High)
		}
		if !holds(e.Need, intake) {
			t.Errorf("%s: held on %.1f Mcal, the range of the need is %.1f to %.1f", d, intake, e.Need.Low, e.Need.High)
		}
	}
	// The spreads the model takes are theirs.
	if cv := p[s+"all/maintenance sd"] / p[s+"all/maintenance"]; math.Abs(cv-PriorOf(yard.NormalDoer, false).CV) > 0.0005 {
		t.Errorf("maintenance varies by %.4f, the prior has %.4f", cv, PriorOf(yard.NormalDoer, false).CV)
	}
	if cv := p[s+"all/exercise sd"] / p[s+"all/exercise"]; math.Abs(cv-Published().Work) > 0.005 {
		t.Errorf("exercise varies by %.3f, the model has %.3f", cv, Published().Work)
	}
}

// Racehorses hold their weight on a third more than the tables: where nobody has
// said that a horse races, its weighings do (EN-10, EN-11, EN-13; AUDIT's racer whose
// oats were taken away).
func TestARacehorseNobodyCalledOne(t *testing.T) {
	p := published(t)
	toDE := 1 / p["conversion/all/ME/DE"] / 4.184
	const kg = 500
	intake, work := p["racehorses/all/intake"]*toDE*kg, p["racehorses/all/exercise"]*toDE*kg
	fed := Feeding{yard.Known(intake * 0.5), yard.Known(intake * 0.5), yard.Known(work)}
	called, not := live(kg, 0, 13, fed, PriorOf(yard.NormalDoer, true)), live(kg, 0, 13, fed, PriorOf(yard.NormalDoer, false))
	if printed := p["racehorses/all/maintenance"] * toDE; !holds(called.Maintenance, printed) || math.Abs(printed-PriorOf(yard.NormalDoer, true).McalPerKg) > 0.0001 {
		t.Errorf("maintenance printed %.4f, learnt %.4f to %.4f", printed, called.Maintenance.Low, called.Maintenance.High)
	}
	if cv := p["racehorses/all/maintenance sd"] / p["racehorses/all/maintenance"]; math.Abs(cv-PriorOf(yard.NormalDoer, true).CV) > 0.001 {
		t.Errorf("racehorses vary by %.3f", cv)
	}
	t.Logf("called a racehorse %.1f Mcal, not called one %.1f, fed %.1f, tables %.1f", called.Need.Mean, not.Need.Mean, intake, not.TablesMcal)
	if !not.FarFromTables || not.Need.Mean-not.TablesMcal < (intake-not.TablesMcal)*2/3 {
		t.Errorf("held on %.1f Mcal for 13 weeks, learnt %.1f, by the tables %.1f; far from them: %v", intake, not.Need.Mean, not.TablesMcal, not.FarFromTables)
	}
	if not.Trend != yard.TrendHolding {
		t.Errorf("it holds its weight and is called %s", not.Trend)
	}
}

// Twelve fat horses and ponies on one diet lost 0.16 to 0.55 % a week (EN-24). At the
// 11 to 20 Mcal a kg that a loss gives back (EN-27, EN-20) that is a need the
// ranges reach, and both lose.
func TestSlimmingOnOneDiet(t *testing.T) {
	p := published(t)
	const kg = 300
	intake := p["slimming/all/intake"] / 1000 * kg
	for _, c := range []string{"slowest", "fastest"} {
		loss := p["slimming/"+c+"/loss"] / 100 * kg
		e := live(kg+16*loss, -16*loss, 16, Feeding{yard.Known(intake), yard.Known(0), yard.Known(0)}, PriorOf(yard.NormalDoer, false))
		least, most := intake+loss*p["slimming/EN-24/energy of loss"]/7, intake+loss*Published().McalPerKg/7
		t.Logf("%s: a need of %.2f to %.2f Mcal, learnt %.2f (%.2f to %.2f)", c, least, most, e.Need.Mean, e.Need.Low, e.Need.High)
		if e.Need.High < least || e.Need.Low > most {
			t.Errorf("%s: the loss says %.2f to %.2f Mcal, the range is %.2f to %.2f", c, least, most, e.Need.Low, e.Need.High)
		}
		if e.Trend != yard.TrendLosing {
			t.Errorf("%s: called %s", c, e.Trend)
		}
	}
}
