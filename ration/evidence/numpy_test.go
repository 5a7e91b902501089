package evidence

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"hardfeed/ration/yard"
)

var numpy = flag.String("numpy", "", "a Python that has numpy: work the posteriors out once more with it")

// numpyCase is a yard as .ci/numpy reads it; days are counted from today, which is 0.
type numpyCase struct {
	Assume map[string]any   `json:"assume"`
	Horses []map[string]any `json:"horses"`
}

func numpyCaseOf(y Yard, r Result) numpyCase {
	as := y.Assume
	ways := map[string]any{}
	for basis, w := range as.Ways {
		ways[string(basis)] = map[string]float64{"scatter": w.Scatter, "bias": w.Bias, "offset": w.Offset}
	}
	c := numpyCase{Assume: map[string]any{"mcal_per_kg": as.McalPerKg, "cost_cv": as.McalPerKgCV, "forage": as.Forage, "work": as.Work, "balance": as.Balance,
		"gut_kg": as.GutKgPerMcal, "gut_kg_sd": as.GutKgPerMcalSD, "gut": as.Gut, "jump": as.Jump, "level": as.Level, "ways": ways}}
	today := dayOf(y.Today)
	for i, h := range y.Horses {
		var readings, weeks []map[string]any
		for _, w := range h.Weighings {
			readings = append(readings, map[string]any{"day": dayOf(w.Date) - today, "kg": w.Kg.Or(0), "basis": string(w.Basis)})
		}
		for _, w := range h.Weeks {
			f, o, k, ok := w.amounts()
			weeks = append(weeks, map[string]any{"begin": dayOf(w.Beginning) - today, "known": ok, "forage": f, "other": o, "work": k, "doubt": w.DoubtMcal})
		}
		way := as.Ways[h.Basis]
		m := h.Prior.McalPerKg * h.BodyKg
		c.Horses = append(c.Horses, map[string]any{"body_kg": h.BodyKg, "per_kg": h.Prior.McalPerKg, "own": m * math.Sqrt(h.Prior.CV*h.Prior.CV+way.Offset*way.Offset+way.Scatter*way.Scatter),
			"forage_now": h.Now.ForageMcal.Or(0), "work_now": h.Now.WorkMcal.Or(0), "scatter": r.Horses[i].history.scatter, "readings": readings, "weeks": weeks})
	}
	return c
}

// The posteriors once more by a general-purpose library, in another language.
func TestPosteriorsEqualNumpy(t *testing.T) {
	if *numpy == "" {
		t.Skip("-numpy names no Python")
	}
	script, err := filepath.Abs("../../.ci/numpy")
	if err != nil {
		t.Fatal(err)
	}
	for seed := range uint64(6) {
		y := Yard{Today: simStart.AddDate(0, 0, 7*13), Assume: Published()}
		w := ordinary([]yard.WeightBasis{yard.ByScale, yard.ByTape, yard.ByGirthLength}[seed%3])
		w.scatter = 1 + float64(seed%2)/2
		for _, h := range simulate(rand.New(rand.NewPCG(seed, 31)), w, 5) {
			x := h.after(13)
			second := x.Weighings[2] // another way of weighing, in the same week
			second.Basis, second.Date = yard.ByTape, second.Date.AddDate(0, 0, 1)
			x.Weighings = append(x.Weighings, second)
			x.Weeks = append([]Week(nil), x.Weeks...)
			x.Weeks[1].WorkMcal = yard.Num{}
			x.Weeks[3].DoubtMcal = 1.5
			x.Now.ForageMcal = yard.Known(x.Now.ForageMcal.Or(10) + 1)
			y.Horses = append(y.Horses, x)
		}
		r := Learn(y)
		// Only horses of which every weighing is used: which are odd is not the model's.
		for i := len(y.Horses) - 1; i >= 0; i-- {
			if e := r.Horses[i]; len(e.Odd) > 0 || e.NotLearnt != yard.LearntSomething {
				y.Horses = append(y.Horses[:i:i], y.Horses[i+1:]...)
			}
		}
		if len(y.Horses) < 2 {
			t.Fatalf("seed %d: only %d horses are left", seed, len(y.Horses))
		}
		r = Learn(y)
		in, err := json.Marshal(numpyCaseOf(y, r))
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.CommandContext(t.Context(), *numpy, script)
		cmd.Stdin = bytes.NewReader(in)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("numpy: %v", err)
		}
		var want []struct{ Mean, SD float64 }
		if err := json.Unmarshal(out, &want); err != nil || len(want) != len(y.Horses) {
			t.Fatalf("numpy said %q: %v", out, err)
		}
		for i, e := range r.Horses {
			m, v := e.state.of(e.history.needOf(e.history.forageNow, e.history.workNow))
			if math.Abs(m-want[i].Mean) > 1e-6*e.TablesMcal || math.Abs(math.Sqrt(v)-want[i].SD) > 1e-6*e.TablesMcal {
				t.Errorf("seed %d, horse %d: %.9f ± %.9f Mcal about the tables, numpy has %.9f ± %.9f", seed, i, m, math.Sqrt(v), want[i].Mean, want[i].SD)
			}
		}
	}
}
