package ration

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

const lb = 0.45359237

// published reads a table of testdata/published, each row by its column names.
func published(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open("../testdata/published/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			m[h] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// halfUp rounds as the published tables do; the last bit of a float must not
// turn 16.65 into 16.6.
func halfUp(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Floor(v*p+0.5+1e-9) / p
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// count says at the end of a test how the rows of a table stood.
type count struct{ agree, differ, wrong, notBuilt, memory int }

func (c *count) log(t *testing.T, file string) {
	t.Logf("%s: %d rows tested and agree, %d of them with what is remembered only; %d differ for a stated reason; %d wrong in print do not agree; %d bear on nothing that is built",
		file, c.agree, c.memory, c.differ, c.wrong, c.notBuilt)
}

// requirement works out a row of requirements.csv at 500 kg.
func requirement(name, class string) (float64, bool) {
	keeper, work := yard.NormalDoer, yard.ClassRest
	switch class {
	case "maintenance_minimum":
		keeper = yard.GoodDoer
	case "maintenance_elevated":
		keeper = yard.PoorDoer
	case "light", "moderate", "heavy":
		work = yard.WorkClass(class)
	case "very_heavy":
		work = yard.ClassVeryHeavy
	}
	if level, ok := strings.CutPrefix(name, "maximum tolerable "); ok {
		level, _, _ = strings.Cut(level, " (")
		if level == "sodium chloride" {
			na, _ := need.MaxTolerable("sodium")
			cl, _ := need.MaxTolerable("chloride")
			return na.PerKgDM + cl.PerKgDM, true
		}
		m, ok := need.MaxTolerable(level)
		return m.PerKgDM, ok
	}
	for _, n := range need.Nutrients() {
		if n.Name == name {
			return n.Of(work, keeper, 500, need.ClassSweatKg(work, 500)), true
		}
	}
	sweat := func(nutrient string) float64 {
		for _, n := range need.Nutrients() {
			if n.Name == nutrient {
				return n.PerKgSweat
			}
		}
		return math.NaN()
	}
	water := func(c yard.WorkClass, t float64, high bool) (float64, bool) {
		return rangeEnd(need.WaterLitres(c, 500, yard.Known(t)), high).Get()
	}
	gfe := func(breed string, typ yard.HorseType) (float64, bool) {
		return need.GfE{}.Energy(need.Animal{BodyKg: 500, Breed: breed, Type: typ}).Maintenance.Low.Get()
	}
	inra := func(i need.INRA) (float64, bool) {
		return i.Energy(need.Animal{BodyKg: 500, Type: yard.TypeHorse}).Maintenance.Low.Get()
	}
	switch name {
	case "digestible energy":
		return need.ClassMcal(work, keeper, 500), true
	case "dry matter intake assumed":
		return need.IntakeDMPerKg(work) * 500, true
	case "sweat loss assumed":
		return need.ClassSweatKg(work, 500), true
	case "sweat sodium":
		return sweat("sodium"), true
	case "sweat chloride":
		return sweat("chloride"), true
	case "sweat potassium":
		return sweat("potassium") * 0.5, true // half is taken up, the next row
	case "absorption of potassium":
		return 1.4 / sweat("potassium"), true
	case "absorption of sodium (as the table is built)":
		return 3.1 / sweat("sodium"), true
	case "absorption of chloride (as the table is built)":
		return 5.3 / sweat("chloride"), true
	case "water idle 20 C low":
		return water(yard.ClassRest, 20, false)
	case "water idle 20 C high":
		return water(yard.ClassRest, 20, true)
	case "water idle 30 C low":
		return water(yard.ClassRest, 30, false)
	case "water idle 30 C high":
		return water(yard.ClassRest, 30, true)
	case "water moderate work 20 C low (page prints 26; recalled 36)":
		return water(yard.ClassModerate, 20, false)
	case "water moderate work 20 C high":
		return water(yard.ClassModerate, 20, true)
	case "water moderate work 30 C low":
		return water(yard.ClassModerate, 30, false)
	case "water moderate work 30 C high":
		return water(yard.ClassModerate, 30, true)
	case "ME maintenance warmblood 0.52 MJ/kg BW^0.75":
		return gfe("Warmblood", yard.TypeHorse)
	case "ME maintenance easy keeper/pony 0.40 MJ/kg BW^0.75":
		return gfe("", yard.TypePony)
	case "ME maintenance thoroughbred 0.64 MJ/kg BW^0.75":
		return gfe("Thoroughbred", yard.TypeHorse)
	case "UFC maintenance 1.2+0.006*BW (INRA 1990)":
		return inra(need.INRA{})
	case "UFC maintenance 0.0373*BW^0.75 (INRA 2012)":
		return inra(need.INRA{Since2012: true})
	case "DE for weight gain":
		return need.McalPerKgChange, true
	case "body weight per condition score unit":
		return need.KgPerScorePer500, true
	case "DE increase in cold":
		return need.ColdMcal(100, -16, -15), true
	case "lower critical temperature, cold-adapted adult":
		return DefaultRules().LowerCriticalC, true
	}
	return 0, false
}

// Source: NRC 2007, GfE 2014 and INRA through the project's reference table of
// requirements; each row names where it was read.
func TestPublishedRequirements(t *testing.T) {
	t.Parallel()
	rows := published(t, "requirements.csv")
	if len(rows) != 219 {
		t.Errorf("%d rows, the reference table has 219", len(rows))
	}
	var c count
	told := map[string]bool{}
	for _, r := range rows {
		told[r["nutrient"]] = true
		got, ok := requirement(r["nutrient"], r["class"])
		if why, no := strings.CutPrefix(r["built"], "no: "); no {
			c.notBuilt++
			if ok && r["nutrient"] != "maximum tolerable selenium (NRC 2005)" {
				t.Errorf("%s is worked out, and the table says it is not: %s", r["nutrient"], why)
			}
			continue
		}
		if !ok {
			t.Errorf("%s, %s is not worked out", r["nutrient"], r["class"])
			continue
		}
		_, after, _ := strings.Cut(r["published_500kg"], ".")
		if want := number(t, r["published_500kg"]); halfUp(got, len(after)) != want {
			t.Errorf("%s, %s: %.4f %s, published %s (%s)", r["nutrient"], r["class"], got, r["unit"], r["published_500kg"], r["source"])
		}
		c.agree++
		if strings.HasPrefix(r["seen_or_memory"], "value=memory") {
			c.memory++
			t.Logf("from memory only: %s, %s, %s %s", r["nutrient"], r["class"], r["published_500kg"], r["unit"])
		}
	}
	for _, n := range need.Nutrients() {
		if !told[n.Name] {
			t.Errorf("%s has a need and no published row to compare it with", n.Name)
		}
	}
	c.log(t, "requirements.csv")
}

// exercises works out the rows of exercise_examples.csv.
func exercises() map[string]func() []float64 {
	const mj = 4.184
	one := func(v float64) []float64 { return []float64{v} }
	kcal := func(speed float64) func() []float64 {
		return func() []float64 { return one(work.CostPerKgHour(speed) * 1000) }
	}
	// Total expenditure, cal per kg and minute: the cost above maintenance turned
	// back with the efficiency 0.57, and the resting 13.92 put on again.
	total := func(speed float64) float64 { return work.CostPerKgHour(speed)*1000*0.57/0.06 + 13.92 }
	ride := func(kg, miles, hours float64) float64 {
		return total(miles*1609.344/(hours*60)) * kg * hours * 60 / 1e6
	}
	hourly := func(name string, g yard.Gait) func() []float64 {
		s := yard.Session{Name: name}
		s.Minutes[g] = 60
		return func() []float64 { return one(work.SessionMcal(s, 1000, 80, yard.Rules{WorkModel: yard.ByHour})) }
	}
	table := yard.Rules{PaceMPerMin: [yard.Gaits]float64{95, 200, 300, 550, 480}, Going: 1}
	overMaintenance := func(walk, trot, canter float64) func() []float64 {
		return func() []float64 {
			s := yard.Session{Minutes: [yard.Gaits]float64{walk, trot, canter}}
			return one(work.SessionMcal(s, 500, 80, table) / (0.0333 * 500) * 100)
		}
	}
	twoHours := func(speed float64) func() []float64 {
		return func() []float64 { return one(2 * work.CostPerKgHour(speed) * 580 / 16.4 * 100) }
	}
	class := func(kg float64, cs ...yard.WorkClass) func() []float64 {
		return func() (out []float64) {
			for _, c := range cs {
				out = append(out, need.ClassMcal(c, yard.NormalDoer, kg))
			}
			return out
		}
	}
	gfe := func(s yard.Session) float64 {
		return need.GfE{}.Energy(need.Animal{BodyKg: 1, Days: [7]yard.Day{{Sessions: []yard.Session{s}}}}).Work.Low.Or(math.NaN()) * 7
	}
	slope := func(g float64) func() []float64 { return func() []float64 { return one(work.SlopeFactor(g)) } }
	rise := func(g float64) func() []float64 {
		return func() []float64 { return one((work.SlopeFactor(g) - 1) * 100) }
	}
	salts := func(nutrient string, kg, sweatKg float64) float64 {
		for _, n := range need.Nutrients() {
			if n.Name == nutrient {
				return n.Of(yard.ClassVeryHeavy, yard.NormalDoer, kg, sweatKg)
			}
		}
		return math.NaN()
	}
	generic := func(name string) yard.Composition { g, _ := feeds.Load().Lookup(name); return g.Composition }
	asFed := func(name string) float64 { c := generic(name); return c.DE.Or(0) * c.DM.Or(0) }
	school := need.INRA{}.Energy(need.Animal{BodyKg: 500, Type: yard.TypeHorse, Days: [7]yard.Day{{Sessions: []yard.Session{{Name: "schooling", Minutes: [yard.Gaits]float64{20, 30, 10}}}}}})
	const horse900 = 900 * lb

	return map[string]func() []float64{
		"T89-59": kcal(59), "T89-95": kcal(95), "T89-200": kcal(200), "T89-250": kcal(250), "T89-300": kcal(300), "T89-350": kcal(350),
		"EQ86":     kcal(220),
		"EQ86-TOT": func() []float64 { return one(total(0)) },
		"T78-1":    hourly("", yard.Walk), "T78-2": hourly("", yard.Trot), "T78-4": hourly("", yard.Gallop), "T78-5": hourly("race", yard.Gallop),
		"G2-1": twoHours(59), "G2-2": twoHours(95), "G2-3": twoHours(200), "G2-4": twoHours(300), "G2-5": twoHours(350),
		"GAR-1":  func() []float64 { return one(ride(1065*lb, 50, 6)) },
		"GAR-1b": func() []float64 { return one(ride(1065*lb, 50, 6)) },
		"GAR-2b": func() []float64 { return one(ride(1110*lb, 50, 6)) },
		"GAR-2":  func() []float64 { return one(ride(1110*lb, 50, 4)) },
		"GAR-3":  func() []float64 { return one(ride(1112*lb, 1, 2.0/60)) },
		"GAR-C1": func() []float64 { return one(30.5 / asFed("maize")) },
		"GAR-C2": func() []float64 { return one(43.4 / asFed("maize")) },
		"APR-1":  func() []float64 { return one(work.CostPerKgHour(200) * 1000 * lb) },
		"APR-2":  func() []float64 { return one(work.CostPerKgHour(200) * 1000 * lb * 7) },
		"APR-3":  func() []float64 { return one(work.CostPerKgHour(300) * 1000 * lb * 4.67) },
		"N07-1":  class(550, yard.ClassRest), "N07-2": class(550, yard.ClassLight), "N07-4": class(550, yard.ClassHeavy), "N07-5": class(550, yard.ClassVeryHeavy),
		"DE-W":  func() []float64 { return one(work.CostPerKgHour(100) * 600 * mj) },
		"DE-T":  func() []float64 { return one(work.CostPerKgHour(250) * 600 * mj) },
		"DE-OW": func() []float64 { return one(11.5 / (work.CostPerKgHour(100) * 600 * mj) * 60) },
		"CH-M5": func() []float64 { return one(need.MaintenancePerKg(yard.NormalDoer) * 500 * mj) },
		"CH-H": func() []float64 {
			return one(work.SessionMcal(yard.Session{Minutes: [yard.Gaits]float64{45, 13, 2}}, 500, 80, table) * mj)
		},
		"GL-1": overMaintenance(30, 20, 10), "GL-2": overMaintenance(180, 0, 0), "GL-3": overMaintenance(60, 40, 20),
		"BER-C": func() []float64 {
			var out []float64
			for _, g := range []yard.Gait{yard.Walk, yard.Trot, yard.Canter} {
				s := yard.Session{}
				s.Minutes[g] = 60
				out = append(out, gfe(s))
			}
			return out
		},
		"BER-D": func() []float64 { return one(gfe(yard.Session{Minutes: [yard.Gaits]float64{28, 19, 17}})) },
		"INR-1": func() []float64 {
			return one(need.INRA{}.Energy(need.Animal{BodyKg: 500, Type: yard.TypeHorse}).Maintenance.Low.Or(math.NaN()))
		},
		"INR-2": func() []float64 { return []float64{school.Work.Low.Or(0) * 7, school.Work.High.Or(0) * 7} },
		"SM-1":  slope(0), "SM-2": slope(.03), "SM-3": slope(.06), "SM-4": slope(.10), "SM-D1": slope(-.03), "SM-D3": slope(-.10),
		"WIL-1": rise(.03), "WIL-2": rise(.06), "WIL-3": rise(.03), "WIL-4": rise(.06), "TRD": rise(-.10),
		"JMP":    func() []float64 { return one(DefaultRules().PaceMPerMin[yard.Jump]) },
		"COLD-1": func() []float64 { return one(need.ColdMcal(100, (25.0-32)/1.8, (45.0-32)/1.8)) },
		"NA-1": func() []float64 {
			return one(salts("sodium", horse900, need.ClassSweatKg(yard.ClassVeryHeavy, horse900)))
		},
		"NA-2": func() []float64 { return one(salts("sodium", 0, 0.05*horse900)) },
		"K-1": func() []float64 {
			return one(salts("potassium", horse900, need.ClassSweatKg(yard.ClassVeryHeavy, horse900)))
		},
		"SALT-1": func() []float64 {
			for _, n := range need.Nutrients() {
				if n.Name == "sodium" {
					return one(n.Of(yard.ClassRest, yard.NormalDoer, 500, 0) / generic("salt").Na.Or(math.NaN()) * 1000)
				}
			}
			return nil
		},
		"HSI-1": func() []float64 { return one(guard.HeatIndex((77.0-32)/1.8, 65)) },
		"OAT-1": func() []float64 { return one(asFed("oats") * mj) },
		"OAT-2": func() []float64 { return []float64{generic("oats").DE.Or(0), generic("maize").DE.Or(0)} },
		"FRX":   func() []float64 { return []float64{guard.RaceCanterKm30Days, guard.RaceGallopKm30Days} },
		"LB-1": func() []float64 {
			v := class(850*lb, yard.ClassModerate, yard.ClassHeavy)()
			return []float64{v[0] * 1000, v[1] * 1000}
		},
	}
}

// matches says whether worked-out values are the published ones: figures parted
// by ";", or a range "10..15" that one value lies in or two values span.
func matches(t *testing.T, got []float64, want string, within float64) bool {
	t.Helper()
	if low, high, ok := strings.Cut(want, ".."); ok {
		lo, hi := number(t, low), number(t, high)
		if len(got) == 2 {
			return math.Abs(got[0]-lo) <= within && math.Abs(got[1]-hi) <= within
		}
		return len(got) == 1 && got[0] >= lo-within && got[0] <= hi+within
	}
	parts := strings.Split(want, ";")
	if len(parts) != len(got) {
		return false
	}
	for i, p := range parts {
		if !(math.Abs(got[i]-number(t, p)) <= within) {
			return false
		}
	}
	return true
}

// Sources: named in each row of the reference table of exercise examples.
func TestPublishedExercise(t *testing.T) {
	t.Parallel()
	rows := published(t, "exercise_examples.csv")
	if len(rows) != 79 {
		t.Errorf("%d rows, the reference table has 79", len(rows))
	}
	var c count
	built := exercises()
	for _, r := range rows {
		f, ok := built[r["id"]]
		delete(built, r["id"])
		if r["must"] == "not built" {
			c.notBuilt++
			if ok || r["why"] == "" {
				t.Errorf("%s is called not built; worked out: %v, why: %q", r["id"], ok, r["why"])
			}
			continue
		}
		if !ok {
			t.Errorf("%s is not worked out", r["id"])
			continue
		}
		got := f()
		tally(t, &c, r, r["id"], got, matches(t, got, r["published"], number(t, r["within"])))
	}
	for id := range built {
		t.Errorf("%s is no row of the table", id)
	}
	// GAR-2b against GAR-1b: 45 lb more on 1,065 lb cost 4.16 % more.
	if e := exercises(); math.Abs(e["GAR-2b"]()[0]/e["GAR-1b"]()[0]-1.0416) > 0.001 {
		t.Errorf("45 lb more: %.4f times the cost, published 1.0416", e["GAR-2b"]()[0]/e["GAR-1b"]()[0])
	}
	c.log(t, "exercise_examples.csv")
}

// tally checks one row against what it must do.
func tally(t *testing.T, c *count, r map[string]string, what string, got []float64, agrees bool) {
	t.Helper()
	if agrees != (r["must"] == "agrees") {
		t.Errorf("%s: worked out %.5g, published %s %s; it must be: %s %s", what, got, r["published"], r["unit"], r["must"], r["why"])
	}
	switch r["must"] {
	case "agrees":
		c.agree++
		if r["seen_or_memory"] == "memory" {
			c.memory++
			t.Logf("from memory only: %s, %s %s", what, r["published"], r["unit"])
		}
	case "differs":
		c.differ++
		t.Logf("differs: %s, worked out %.4g, published %s %s: %s", what, got, r["published"], r["unit"], r["why"])
	case "wrong in print":
		c.wrong++
	default:
		t.Errorf("%s: %q is none of agrees, differs, wrong in print, not built", what, r["must"])
	}
	if r["must"] != "agrees" && r["why"] == "" {
		t.Errorf("%s: %s without a reason", what, r["must"])
	}
}

// mixed works out a row of ration_examples.csv: parts of feed, each kg, dry
// matter in %, content and its unit.
func mixed(t *testing.T, r map[string]string) float64 {
	t.Helper()
	sum, kg, dry := 0.0, 0.0, 0.0
	for _, part := range strings.Split(r["parts_kg_dm_pct_content_unit"], " + ") {
		f := strings.Split(part, "|")
		amount, dm := yard.KgFed(number(t, f[0])), number(t, f[1])/100
		k := feeds.Resolved{FeedNeed: yard.FeedNeed{Composition: yard.Composition{DM: yard.Known(dm)}}}
		d, _ := k.DryMatter(amount)
		kg += float64(amount)
		dry += float64(d)
		switch {
		case f[3] == "dry matter":
			sum += float64(d)
		case strings.HasSuffix(f[3], " as fed"):
			sum += k.Contains(amount, yard.Known(number(t, f[2])/dm)).Or(math.NaN())
		case strings.HasSuffix(f[3], " dry matter"):
			sum += k.Contains(amount, yard.Known(number(t, f[2]))).Or(math.NaN())
		default:
			t.Fatalf("unit %q", f[3])
		}
	}
	switch r["how"] {
	case "sum":
		return sum
	case "share":
		return sum / kg
	case "per dry matter":
		return sum / dry
	}
	t.Fatalf("how: %q", r["how"])
	return 0
}

// Sources: named in each row of the collection of worked rations. Those wrong in
// print must not agree.
func TestPublishedRations(t *testing.T) {
	t.Parallel()
	var c count
	for _, r := range published(t, "ration_examples.csv") {
		got := mixed(t, r)
		tally(t, &c, r, r["id"]+" "+r["what"], []float64{got}, math.Abs(got-number(t, r["published"])) <= number(t, r["within"]))
	}
	c.log(t, "ration_examples.csv")
}

// Sources: E22, E27 and E40 of the collection of worked rations: bales of hay
// for a season, a bag that lasted a week, the cost of a day's feed.
func TestPublishedOrders(t *testing.T) {
	t.Parallel()
	pack := func(packLb, price, stock float64) yard.FeedNeed {
		return yard.FeedNeed{Feed: yard.Feed{PackKg: yard.Known(packLb * lb), PackPrice: yard.Known(price), StockPacks: yard.Known(stock)}}
	}
	for _, c := range []struct {
		what       string
		n          yard.FeedNeed
		weekLb     float64
		packs      float64 // as printed, rounded up where bales are whole
		cost, days float64
	}{
		{"E22a, a Minnesota answer: 5,350 lb in 50 lb bales", pack(50, 0, 0), 5350, 107, 0, 0},
		{"E22a: 4,280 lb in 50 lb bales, 85.6 printed as 86", pack(50, 0, 0), 4280, 86, 0, 0},
		{"E22a: 5,350 lb in 900 lb round bales, printed as six", pack(900, 0, 0), 5350, 6, 0, 0},
		{"E22b: 20 lb a day for a year in 40 lb bales, printed as 183", pack(40, 0, 0), 20 * 365, 183, 0, 0},
		{"E22c: 40 lb a day for 180 days in 50 lb bales", pack(50, 0, 0), 7200, 144, 0, 0},
		{"E22c: 10 lb a day for 180 days", pack(50, 0, 0), 1800, 36, 0, 0},
		{"E22d: 60 lb a day is a 60 lb bale a day for 135 days", pack(60, 0, 135), 60 * 7, 7, 0, 135},
		{"E27: 7 lb a day from a 50 lb bag, about a week", pack(50, 0, 1), 7 * 7, 1, 0, 50.0 / 7},
		{"E40: 16.5 lb a day at 5 dollars a 50 lb bag, 1.65 a day", pack(50, 5, 0), 16.5 * 7, 3, 1.65 * 7, 0},
	} {
		got := orderLine(c.n, weekTotal{kg: c.weekLb * lb})
		if p := got.Packs.Or(math.NaN()); math.Ceil(p-1e-9) != c.packs {
			t.Errorf("%s: %.2f packs, printed %g", c.what, p, c.packs)
		}
		if math.Abs(got.Cost.Or(0)-c.cost) > 1e-9 || math.Abs(got.StockDays.Or(0)-c.days) > 1e-9 {
			t.Errorf("%s: cost %v, stock for %v days; printed %g and %g", c.what, got.Cost, got.StockDays, c.cost, c.days)
		}
	}
}
