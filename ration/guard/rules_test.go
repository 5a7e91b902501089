package guard

import (
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

func worstOf(rule string, fs []yard.Finding) yard.Severity {
	return found(yard.RuleID(rule), "", fs).Severity
}

func TestRulesThatAreNoLimit(t *testing.T) {
	named := func(kind yard.Diagnosis, text string) []yard.NamedDiagnosis {
		return []yard.NamedDiagnosis{{Kind: kind, Text: text}}
	}
	hay := one("Hay", yard.Forage, 9, 0.88, func(k *feeds.Resolved) { k.Composition.Starch, k.Composition.Sugar = yard.Known(10), yard.Known(60) })
	oats := one("Oats", yard.HardFeed, 1, 0.88, func(k *feeds.Resolved) { k.Cereal = true })
	beet := one("Beet", yard.HardFeed, 0.3, 0.9, func(k *feeds.Resolved) { k.Composition.Starch, k.Composition.Sugar = yard.Known(5), yard.Known(40) })
	carrots := one("Carrots", yard.Succulent, 1, 0.12, nil)
	unknown := one("Mash", yard.HardFeed, 0.1, 0.88, nil)
	straw := one("Straw", yard.Forage, 3, 0.88, func(k *feeds.Resolved) { k.Straw = true })
	se := func(name string, mg float64) Fed {
		return one(name, yard.Supplement, 0.05, 1, func(k *feeds.Resolved) { k.Composition.Se = yard.Known(mg) })
	}
	labelled := func(name, notes string) Fed {
		return one(name, yard.Supplement, 0.05, 1, func(k *feeds.Resolved) { k.Feed.Notes = notes })
	}
	with := func(kind yard.Diagnosis, text string, fed ...Fed) Ration {
		r := of(500, nil, fed...)
		r.Diagnoses = named(kind, text)
		return r
	}
	for _, c := range []struct {
		what string
		r    Ration
		rule string
		want yard.Severity
	}{
		{"EMS and oats", with(yard.InsulinEMS, "EMS", hay, oats), "D-15", yard.Stop},
		{"EMS and carrots", with(yard.InsulinEMS, "EMS", hay, carrots), "D-15", yard.Stop},
		{"EMS and beet", with(yard.InsulinEMS, "EMS", hay, beet), "D-15", 0},
		{"EMS and a feed whose sugar is not known", with(yard.InsulinEMS, "EMS", hay, unknown), "D-15", yard.Warn},
		{"PPID and oats", with(yard.PPID, "PPID", hay, oats), "D-15", yard.Stop},
		{"PPID with a normal insulin and oats", with(yard.PPID, "PPID, insulin normal", hay, oats), "D-15", 0},
		{"no diagnosis and oats", of(500, nil, hay, oats), "D-15", 0},
		{"a diagnosis nobody knows and oats", with(yard.OtherDiagnosis, "the wambles", hay, oats), "D-15", 0},
		{"arthritis and oats", with(yard.NoFeedRule, "arthritis", hay, oats), "D-15", 0},
		{"a diagnosis nobody knows is no HYPP", with(yard.OtherDiagnosis, "the wambles", one("Hay", yard.Forage, 9, 1, func(k *feeds.Resolved) { k.Composition.K = yard.Known(20) })), "D-27", 0},
		{"HYPP and hay of unknown potassium", with(yard.HYPP, "HYPP", hay), "D-27", yard.Warn},
		{"tying-up and energy not known", with(yard.TyingUp, "tying-up", hay), "D-16", yard.Warn},
		{"ulcers on straw alone", with(yard.Ulcers, "ulcers", straw), "D-14", yard.Stop},
		{"ulcers on straw and hay", with(yard.Ulcers, "ulcers", straw, hay), "D-14", 0},
		{"straw alone, no ulcers", of(500, nil, straw), "D-14", 0},
		{"two feeds with selenium", of(500, nil, hay, se("Balancer", 3), se("Lick", 2)), "D-23", yard.Warn},
		{"one feed with selenium", of(500, nil, hay, se("Balancer", 3)), "D-23", 0},
		{"two labels that say selenium", of(500, nil, hay, labelled("A", "with selenium"), labelled("B", "vitamin E and selenium")), "D-23", yard.Warn},
		{"over 2 mg of selenium", of(500, nil, one("Hay", yard.Forage, 9, 1, func(k *feeds.Resolved) { k.Composition.Se = yard.Known(2.1) })), "D-23", yard.Stop},
		{"an iron tonic", of(500, nil, hay, labelled("Iron tonic", "")), "D-25", yard.Warn},
		{"a tonic", of(500, nil, hay, labelled("Tonic", "")), "D-25", 0},
		{"cattle nuts", of(500, nil, hay, one("Cattle nuts", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"a label that says monensin", of(500, nil, hay, labelled("Pellets", "contains monensin sodium")), "SH-01", yard.Stop},
		{"layers pellets", of(500, nil, hay, one("Layers pellets", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"lawn clippings", of(500, nil, hay, one("Lawn clippings", yard.Forage, 2, 0.2, nil)), "cuttings", yard.Warn},
		{"grass cuttings", of(500, nil, hay, one("Grass cuttings", yard.Forage, 2, 0.2, nil)), "cuttings", yard.Warn},
		{"mown lawn, in German", of(500, nil, hay, one("Rasenschnitt", yard.Forage, 2, 0.2, nil)), "cuttings", yard.Warn},
		{"grass at pasture", of(500, nil, hay, one("Grass", yard.Forage, 2, 0.2, nil)), "cuttings", 0},
		{"ewe nuts", of(500, nil, hay, one("Ewe nuts", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"feed for laying hens, in German", of(500, nil, hay, one("Legemehl", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"feed for fattening cattle, in German", of(500, nil, hay, one("Rindermastfutter", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"feed for dairy cows, in French", of(500, nil, hay, one("Granulés vaches laitières", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", yard.Stop},
		{"yarrow, in German", of(500, nil, hay, one("Schafgarbe", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", 0},
		{"a label that says not for sheep", of(500, nil, hay, labelled("Balancer", "Contains copper. Not for sheep.")), "SH-01", 0},
		{"horse nuts", of(500, nil, hay, one("Horse nuts", yard.HardFeed, 0.1, 0.88, nil)), "SH-01", 0},
		{"oil, and the hay's vitamin E not known", of(500, nil, hay, oilOf(100)), "D-21", yard.Note},
		{"forage of unknown dry matter", of(500, nil, one("Hay", yard.Forage, 9, 1, func(k *feeds.Resolved) { k.Composition.DM = yard.Num{} })), "D-17", yard.Warn},
	} {
		fs := Check("Fern", c.r, limits)
		if got := worstOf(c.rule, fs); got != c.want {
			t.Errorf("%s: %s is %v, want %v (%v)", c.what, c.rule, got, c.want, fs)
		}
		for _, f := range fs {
			whose := "Your vet has the last word"
			if slices.ContainsFunc(c.r.Diagnoses, func(n yard.NamedDiagnosis) bool { return n.Kind == yard.OtherDiagnosis }) {
				whose = "We don't know this diagnosis"
			}
			if strings.HasPrefix(string(f.Rule), "D-15") && f.Severity == yard.Stop && !strings.Contains(message(f), whose) {
				t.Errorf("%s: %q is not said: %s", c.what, whose, message(f))
			}
		}
	}
}

func TestForbiddenFeeds(t *testing.T) {
	oats := one("Oats", yard.HardFeed, 1, 0.88, func(k *feeds.Resolved) { k.Cereal = true })
	beet := one("Beet", yard.HardFeed, 0.3, 0.9, func(k *feeds.Resolved) { k.Composition.Starch, k.Composition.Sugar = yard.Known(5), yard.Known(40) })
	mix := one("Mix", yard.HardFeed, 0.3, 0.88, func(k *feeds.Resolved) { k.Composition.Starch = yard.Known(150) })
	cattle := one("Calf cubes", yard.HardFeed, 0.3, 0.88, nil)
	carrots := one("Carrots", yard.Succulent, 0.3, 0.12, nil)
	for _, c := range []struct {
		named []yard.Diagnosis
		want  string // which of the five are out
	}{
		{nil, "00010"},
		{vet(yard.Laminitis), "10111"},
		{vet(yard.Ulcers), "00010"},
	} {
		got := ""
		for _, forbidden := range Forbidden(of(500, c.named, oats, beet, mix, cattle, carrots), limits) {
			if forbidden {
				got += "1"
			} else {
				got += "0"
			}
		}
		if got != c.want {
			t.Errorf("%v: %s, want %s", c.named, got, c.want)
		}
	}
}

func TestRulesOfAHorsesWeek(t *testing.T) {
	led := yard.Day{Sessions: []yard.Session{{Led: true, Minutes: [yard.Gaits]float64{30}}}}
	ridden := session(yard.Walk, 60)
	week := func(days ...yard.Day) (w [7]yard.Day) {
		copy(w[:], days)
		return w
	}
	every := func(d yard.Day) [7]yard.Day { return week(d, d, d, d, d, d, d) }
	soft := func(change func(*HorseWeek)) HorseWeek {
		return aWeek(500, func(w *HorseWeek) {
			w.Horse.Fitness, w.Horse.InWorkSince, w.Horse.Checks = yard.Soft, monday.AddDate(0, 0, -21), yard.Checks()
			change(w)
		})
	}
	for _, c := range []struct {
		what string
		w    HorseWeek
		rule string
		want yard.Severity
	}{
		{"ridden seven days", aWeek(500, func(w *HorseWeek) { w.Horse.Work = every(ridden) }), "work-rest", yard.Warn},
		{"ridden six, led out once", aWeek(500, func(w *HorseWeek) { w.Horse.Work = every(ridden); w.Horse.Work[3] = led }), "work-rest", 0},
		{"no work row", aWeek(500, func(w *HorseWeek) { w.Horse.Work = every(ridden); w.Horse.WorkGiven = false }), "work-rest", 0},

		// six weeks from a stable, a third of them to trot, two thirds to canter (common practice, no source; the thirds are ours)
		{"stabled, three weeks in, trotting", soft(func(w *HorseWeek) { w.Horse.Work = week(session(yard.Trot, 5)) }), "work-pace", 0},
		{"stabled, three weeks in, cantering", soft(func(w *HorseWeek) { w.Horse.Work = week(session(yard.Canter, 5)) }), "work-pace", yard.Warn},
		{"stabled, one week in, trotting", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = monday.AddDate(0, 0, -7)
			w.Horse.Work = week(session(yard.Trot, 5))
		}), "work-pace", yard.Warn},
		{"stabled, one week in, walking", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = monday.AddDate(0, 0, -7)
			w.Horse.Work = week(session(yard.Walk, 60))
		}), "work-pace", 0},
		{"field-kept, two weeks in, small fences", soft(func(w *HorseWeek) {
			w.Horse.Kept, w.Horse.InWorkSince = yard.InField, monday.AddDate(0, 0, -14)
			w.Horse.Work = week(session(yard.Jump, 3))
		}), "work-pace", 0},
		{"field-kept, two weeks in, galloping", soft(func(w *HorseWeek) {
			w.Horse.Kept, w.Horse.InWorkSince = yard.InField, monday.AddDate(0, 0, -14)
			w.Horse.Work = week(session(yard.Gallop, 3))
		}), "work-pace", yard.Warn},
		{"in a paddock, three weeks in, cantering", soft(func(w *HorseWeek) { w.Horse.Kept = yard.InPaddock; w.Horse.Work = week(session(yard.Canter, 5)) }), "work-pace", 0},
		{"in a paddock, three weeks in, jumping", soft(func(w *HorseWeek) { w.Horse.Kept = yard.InPaddock; w.Horse.Work = week(session(yard.Jump, 5)) }), "work-pace", yard.Warn},
		{"stabled, six weeks in, jumping", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = monday.AddDate(0, 0, -42)
			w.Horse.Work = week(session(yard.Jump, 5))
		}), "work-pace", 0},
		{"soft, nobody says since when, cantering", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = time.Time{}
			w.Horse.Work = week(session(yard.Canter, 5))
		}), "work-pace", yard.Note},
		{"soft, nobody says since when, trotting", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = time.Time{}
			w.Horse.Work = week(session(yard.Trot, 5))
		}), "work-pace", yard.Note},
		{"soft, nobody says since when, walking", soft(func(w *HorseWeek) {
			w.Horse.InWorkSince = time.Time{}
			w.Horse.Work = week(session(yard.Walk, 60))
		}), "work-pace", 0},
		{"part-fit, cantering", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness = yard.PartFit; w.Horse.Work = week(session(yard.Canter, 5)) }), "work-pace", 0},

		{"more time and more canter", soft(func(w *HorseWeek) {
			w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, week(session(yard.Walk, 60)), week(session(yard.Walk, 90), session(yard.Canter, 10))
		}), "work-step", yard.Warn},
		{"more time alone", soft(func(w *HorseWeek) {
			w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, week(session(yard.Walk, 60)), week(session(yard.Walk, 90))
		}), "work-step", 0},
		{"a tenth more of both", soft(func(w *HorseWeek) {
			w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, week(session(yard.Walk, 200), session(yard.Canter, 100)), week(session(yard.Walk, 220), session(yard.Canter, 110))
		}), "work-step", 0},
		{"hills and jumping", soft(func(w *HorseWeek) {
			hilly := session(yard.Walk, 60)
			hilly.Sessions[0].Hills = true
			w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, week(session(yard.Walk, 60), session(yard.Trot, 10)), week(hilly, session(yard.Trot, 8), session(yard.Jump, 2))
		}), "work-step", yard.Warn},
		{"last week not known", soft(func(w *HorseWeek) { w.Horse.Work = week(session(yard.Walk, 90), session(yard.Canter, 10)) }), "work-step", 0},
		{"a day of last week not understood", soft(func(w *HorseWeek) {
			w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, week(yard.Day{Unknown: true}), week(session(yard.Walk, 90), session(yard.Canter, 10))
		}), "work-step", 0},
		{"a hard horse may", aWeek(500, func(w *HorseWeek) {
			w.Horse.Fitness, w.Horse.BeforeGiven = yard.Hard, true
			w.Horse.Before, w.Horse.Work = week(session(yard.Walk, 60)), week(session(yard.Walk, 90), session(yard.Canter, 10))
		}), "work-step", 0},

		{"a gallop after three days off", aWeek(500, func(w *HorseWeek) { w.Horse.Work = week(yard.Day{}, yard.Day{}, yard.Day{}, session(yard.Gallop, 5)) }), "work-gap", yard.Warn},
		{"a gallop after two days off", aWeek(500, func(w *HorseWeek) { w.Horse.Work = week(ridden, yard.Day{}, yard.Day{}, session(yard.Gallop, 5)) }), "work-gap", 0},
		{"easy work between", aWeek(500, func(w *HorseWeek) {
			w.Horse.Work = week(yard.Day{}, yard.Day{}, yard.Day{}, ridden, session(yard.Jump, 5))
		}), "work-gap", 0},
		{"days off at the end of last week", aWeek(500, func(w *HorseWeek) {
			w.Horse.BeforeGiven = true
			w.Horse.Before = week(ridden, ridden, ridden, ridden)
			w.Horse.Work = week(session(yard.Jump, 5))
		}), "work-gap", yard.Warn},

		{"soft, nothing ticked, first week", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness = yard.Soft; w.Horse.InWorkSince = monday }), "ready", yard.Note},
		{"soft, all ticked", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness, w.Horse.Checks = yard.Soft, yard.Checks() }), "ready", 0},
		{"soft, ticked but no score", aWeek(500, func(w *HorseWeek) {
			w.Horse.Fitness, w.Horse.Checks, w.Horse.Score = yard.Soft, yard.Checks(), yard.Num{}
		}), "ready", yard.Note},
		{"soft, fifteen days in", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness = yard.Soft; w.Horse.InWorkSince = monday.AddDate(0, 0, -15) }), "ready", 0},
		{"soft, fourteen days in", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness = yard.Soft; w.Horse.InWorkSince = monday.AddDate(0, 0, -14) }), "ready", yard.Note},

		{"work halved, feed not", aWeek(500, func(w *HorseWeek) {
			w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(2), yard.Known(2), true
			w.Horse.Before, w.Horse.Work = week(session(yard.Walk, 120)), week(session(yard.Walk, 60))
		}), "let-down", yard.Warn},
		{"work halved, feed down", aWeek(500, func(w *HorseWeek) {
			w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(2), yard.Known(1.9), true
			w.Horse.Before, w.Horse.Work = week(session(yard.Walk, 120)), week(session(yard.Walk, 60))
		}), "let-down", 0},
		{"work down by less", aWeek(500, func(w *HorseWeek) {
			w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(2), yard.Known(2), true
			w.Horse.Before, w.Horse.Work = week(session(yard.Walk, 120)), week(session(yard.Walk, 61))
		}), "let-down", 0},
		{"no hard feed to take down", aWeek(500, func(w *HorseWeek) {
			w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(0), yard.Known(0), true
			w.Horse.Before, w.Horse.Work = week(session(yard.Walk, 120)), week(session(yard.Walk, 60))
		}), "let-down", 0},

		{"fed far over its need and steady", steadyOn(30, 4, 2, 5), "fed-now", yard.Warn},
		{"fed far over its need and gaining", aWeek(500, func(w *HorseWeek) {
			fedTo(w, 30, 4, 2)
			w.Horse.Weighings = []yard.Weighing{weighed(480, 30, yard.ByScale), weighed(485, 2, yard.ByScale)}
		}), "fed-now", 0},
		{"fed far over its need and fat", steadyOn(30, 4, 2, 6.5), "fed-now", 0},
		{"fed far over its need and to be slimmed", aWeek(500, func(w *HorseWeek) { fedTo(w, 30, 4, 2); w.Horse.TargetScore = yard.Known(4.5) }), "fed-now", 0},
		{"fed far over its need, what it will have not known", aWeek(500, func(w *HorseWeek) { fedTo(w, 30, 4, 2); w.HardCard = yard.Num{} }), "fed-now", 0},
		{"fed far over a need that is not known", aWeek(500, func(w *HorseWeek) { fedTo(w, 30, 4, 2); w.NeedMcal = yard.Range{} }), "fed-now", 0},
		{"fed far under its need and steady", steadyOn(15, 1, 1.5, 5), "fed-now", yard.Warn},
		{"fed far under its need and steady, its score not known", aWeek(500, func(w *HorseWeek) { *w = steadyOn(15, 1, 1.5, 5); w.Horse.Score = yard.Num{} }), "fed-now", yard.Warn},
		{"fed far under its need and thin", aWeek(500, func(w *HorseWeek) { *w = steadyOn(15, 1, 1.5, 4); w.Horse.TargetScore = yard.Known(5) }), "fed-now", 0},
		{"fed far under its need and losing", aWeek(500, func(w *HorseWeek) {
			fedTo(w, 15, 1, 1.5)
			w.Horse.Weighings = []yard.Weighing{weighed(510, 30, yard.ByScale), weighed(500, 2, yard.ByScale)}
		}), "fed-now", 0},
		{"fed far under its need, no weighing to tell", aWeek(500, func(w *HorseWeek) { fedTo(w, 15, 1, 1.5) }), "fed-now", 0},
		{"fed far under its need, last week's work not known", aWeek(500, func(w *HorseWeek) { *w = steadyOn(15, 1, 1.5, 5); w.NeedMcal.Low = yard.Num{} }), "fed-now", 0},
		{"fed far under its need, hard feed of now not known", aWeek(500, func(w *HorseWeek) { *w = steadyOn(15, 1, 1.5, 5); w.HardNow = yard.Num{} }), "fed-now", 0},
		{"fed next to nothing", steadyOn(0.5, 0, 1.5, 5), "fed-now", yard.Warn},
		{"fed far under its need, hard feed as before", steadyOn(15, 1, 1, 5), "fed-now", 0},
		{"what is fed not known", aWeek(500, func(w *HorseWeek) { *w = steadyOn(15, 1, 1.5, 5); w.FedMcal = yard.Num{} }), "fed-now", 0},

		{"two changes", aWeek(500, func(w *HorseWeek) { w.Changes = threeChanges[:2] }), "D-08", yard.Warn},
		{"two changes, past colic", aWeek(500, func(w *HorseWeek) {
			w.Changes = threeChanges[:2]
			w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.PastColic, Text: "colic"}}
		}), "D-08", yard.Stop},
		{"a new hay nobody says how", aWeek(500, func(w *HorseWeek) { w.NewHay = []NewFeed{{Name: "Hay"}} }), "D-05", yard.Note},
		{"the worst of two new hard feeds", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{"A", yard.Known(12)}, {"B", yard.Known(5)}} }), "D-04", yard.Stop},
		{"less oil", aWeek(500, func(w *HorseWeek) { w.OilNewMl, w.OilDays = -20, 1 }), "D-07", 0},
		{"less grass", aWeek(500, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(10), yard.Known(2) }), "D-06", 0},

		{"hay always there", aWeek(500, nil), "D-18", 0},
		{"a field-kept horse", aWeek(500, func(w *HorseWeek) { w.Horse.Kept = yard.InField; w.Forage = []ForageMeal{{420, 1}} }), "D-18", 0},
		{"out for eighteen hours", aWeek(500, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(18); w.Forage = []ForageMeal{{420, 1}} }), "D-18", 0},
		{"out for seventeen", aWeek(500, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(17); w.Forage = []ForageMeal{{420, 1}} }), "D-18", yard.Stop},
		{"meals without times", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{-1, 4}, {1020, 5}} }), "D-18", 0},

		{"choke and dry cubes", aWeek(500, func(w *HorseWeek) {
			w.DryFeed = []string{"Cubes"}
			w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Choke, Text: "choke"}}
		}), "choke", yard.Warn},
		{"dry cubes", aWeek(500, func(w *HorseWeek) { w.DryFeed = []string{"Cubes"} }), "choke", 0},
		{"heaves and dry hay", aWeek(500, func(w *HorseWeek) {
			w.DryHay = []string{"Hay"}
			w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Heaves, Text: "heaves"}}
		}), "heaves", yard.Warn},
		{"heaves and haylage", aWeek(500, func(w *HorseWeek) {
			w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Heaves, Text: "heaves"}}
		}), "heaves", 0},

		{"a donkey", aWeek(180, func(w *HorseWeek) { w.Horse.Type = yard.TypeDonkey }), "D-29", yard.Stop},
		{"a pony off its feed", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.OffFeed = yard.TypePony, true }), "D-29", yard.Stop},
		{"a small one off its feed", aWeek(300, func(w *HorseWeek) { w.Horse.HeightCm, w.Horse.OffFeed = yard.Known(147), true }), "D-29", yard.Stop},
		{"a horse off its feed", aWeek(500, func(w *HorseWeek) { w.Horse.HeightCm, w.Horse.OffFeed = yard.Known(148), true }), "D-29", 0},
		{"in foal", aWeek(500, func(w *HorseWeek) { w.Horse.Breeding = yard.InFoal }), "D-29", yard.Stop},
		{"perhaps in foal", aWeek(500, func(w *HorseWeek) { w.Horse.Breeding = yard.BreedingUnclear }), "D-29", yard.Stop},
		{"foal at foot", aWeek(500, func(w *HorseWeek) { w.Horse.Breeding = yard.Lactating }), "D-29", yard.Stop},
		{"two years old", aWeek(500, func(w *HorseWeek) { w.Horse.AgeYears = yard.Known(2.9) }), "D-29", yard.Stop},
		{"three years old", aWeek(500, func(w *HorseWeek) { w.Horse.AgeYears = yard.Known(3) }), "D-29", 0},

		{"to slim, and gaining", aWeek(500, func(w *HorseWeek) {
			w.Horse.Score, w.Horse.TargetScore = yard.Known(7), yard.Known(5)
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(515, 2, yard.ByScale)}
		}), "slimming", yard.Warn},
		{"to slim, and losing", aWeek(500, func(w *HorseWeek) {
			w.Horse.Score, w.Horse.TargetScore = yard.Known(7), yard.Known(5)
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(499, 2, yard.ByScale)}
		}), "slimming", 0},
		{"to be fed up, and losing", aWeek(500, func(w *HorseWeek) {
			w.Horse.Score, w.Horse.TargetScore = yard.Known(4), yard.Known(5)
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(485, 2, yard.ByScale)}
		}), "slimming", yard.Warn},
		{"to be held", aWeek(500, func(w *HorseWeek) {
			w.Horse.Score, w.Horse.TargetScore = yard.Known(5), yard.Known(5)
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(499, 2, yard.ByScale)}
		}), "slimming", 0},
		{"a tape after a scale says nothing", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(480, 2, yard.ByTape)}
		}), "D-28", 0},
		{"two weighings on one day", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(500, 2, yard.ByScale), weighed(480, 2, yard.ByScale)}
		}), "D-28", 0},
		{"four days apart", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(500, 6, yard.ByScale), weighed(480, 2, yard.ByScale)}
		}), "D-28", 0},
		{"five days apart", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(500, 7, yard.ByScale), weighed(480, 2, yard.ByScale)}
		}), "D-28", yard.Stop},
		{"half a year apart", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(560, 180, yard.ByScale), weighed(520, 2, yard.ByScale)}
		}), "D-28", yard.Warn},
		{"over half a year apart", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(560, 190, yard.ByScale), weighed(520, 2, yard.ByScale)}
		}), "D-28", 0},
		{"what a scale scatters in a week", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(489, 2, yard.ByScale)}
		}), "D-28", 0},
		{"half a per cent a week for nine weeks", aWeek(500, func(w *HorseWeek) { w.Horse.Weighings = weekly(500, 10, -2.5) }), "D-28", yard.Warn},
		{"the same at score 3.5", aWeek(500, func(w *HorseWeek) { w.Horse.Score, w.Horse.Weighings = yard.Known(3.5), weekly(500, 10, -2.5) }), "D-28", yard.Stop},
		{"the same of a horse to be slimmed", aWeek(500, func(w *HorseWeek) {
			w.Horse.Score, w.Horse.TargetScore, w.Horse.Weighings = yard.Known(7), yard.Known(5), weekly(500, 10, -2.5)
		}), "D-28", 0},
		{"the same of a fat horse without a target", aWeek(500, func(w *HorseWeek) { w.Horse.Score, w.Horse.Weighings = yard.Known(7), weekly(500, 10, -2.5) }), "D-28", 0},
		{"a great fall counts until it is weighed again", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(550, 9, yard.ByScale), weighed(450, 2, yard.ByScale)}
		}), "D-28", yard.Stop},
		{"a slip long ago", aWeek(500, func(w *HorseWeek) {
			w.Horse.Weighings = []yard.Weighing{weighed(550, 80, yard.ByScale), weighed(450, 2, yard.ByScale)}
		}), "weighing", 0},

		{"35 °C at rest", aWeek(500, func(w *HorseWeek) {
			w.Class, w.Temperature, w.HumidityPct = yard.ClassRest, yard.Known(35), yard.Known(90)
		}), "heat", 0},
		{"15 °C and 80 %", aWeek(500, func(w *HorseWeek) {
			w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(15), yard.Known(65)
		}), "heat", 0},
		{"5 °C and 76 %", aWeek(500, func(w *HorseWeek) {
			w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(5), yard.Known(76)
		}), "heat", yard.Note},
		{"5 °C and 75 %", aWeek(500, func(w *HorseWeek) {
			w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(5), yard.Known(75)
		}), "heat", 0},
		{"humidity not given", aWeek(500, func(w *HorseWeek) { w.Class, w.Temperature = yard.ClassLight, yard.Known(40) }), "heat", 0},
	} {
		if got := worstOf(c.rule, CheckWeek(c.w, limits)); got != c.want {
			t.Errorf("%s: %s is %v, want %v", c.what, c.rule, got, c.want)
		}
	}
}

func TestWhenTheFeedRoomIsSaidToBeStale(t *testing.T) {
	feed := func(change func(*yard.Feed)) Room {
		f := yard.Feed{Name: "Grass haylage", MeasureName: "scoop"}
		change(&f)
		return feedRoomOf(f)
	}
	day := func(days int) func(*yard.Feed) {
		return func(f *yard.Feed) { f.OpenedOn = monday.AddDate(0, 0, -days) }
	}
	for _, c := range []struct {
		what string
		r    Room
		rule string
		want yard.Severity
	}{
		{"haylage open for six days", feed(day(6)), "room-open", yard.Warn},
		{"haylage open for five", feed(day(5)), "room-open", 0},
		{"hay open for six", feed(func(f *yard.Feed) { day(6)(f); f.Name = "Hay" }), "room-open", 0},
		{"past its date", feed(func(f *yard.Feed) { f.BestBefore = monday.AddDate(0, 0, -1) }), "room-expired", yard.Warn},
		{"on its date", feed(func(f *yard.Feed) { f.BestBefore = monday }), "room-expired", 0},
		{"analysed 366 days ago", feed(func(f *yard.Feed) { f.AnalysedOn = monday.AddDate(0, 0, -366) }), "room-analysis", yard.Note},
		{"analysed 365 days ago", feed(func(f *yard.Feed) { f.AnalysedOn = monday.AddDate(0, 0, -365) }), "room-analysis", 0},
		{"analysed before the batch", feed(func(f *yard.Feed) { f.AnalysedOn, f.BatchSince = monday.AddDate(0, 0, -9), monday.AddDate(0, 0, -8) }), "room-analysis", yard.Note},
		{"weighed before the batch", feed(func(f *yard.Feed) {
			f.MeasureKg, f.MeasureWeighed, f.BatchSince = yard.Known(1), monday.AddDate(0, 0, -9), monday.AddDate(0, 0, -8)
		}), "room-batch", yard.Warn},
		{"weighed with the batch", feed(func(f *yard.Feed) {
			f.MeasureKg, f.MeasureWeighed, f.BatchSince = yard.Known(1), monday.AddDate(0, 0, -8), monday.AddDate(0, 0, -8)
		}), "room-batch", 0},
		{"weighed 31 days ago", feed(func(f *yard.Feed) { f.MeasureKg, f.MeasureWeighed = yard.Known(1), monday.AddDate(0, 0, -31) }), "D-30", yard.Note},
		{"weighed 30 days ago", feed(func(f *yard.Feed) { f.MeasureKg, f.MeasureWeighed = yard.Known(1), monday.AddDate(0, 0, -30) }), "D-30", 0},
		{"nothing dated", feed(func(*yard.Feed) {}), "room-expired", 0},
		{"an event", Room{Events: []string{"Gannet"}}, "SH-14", yard.Note},
		{"no event", Room{}, "SH-14", 0},
	} {
		if got := worstOf(c.rule, CheckRoom(c.r, limits)); got != c.want {
			t.Errorf("%s: %s is %v, want %v", c.what, c.rule, got, c.want)
		}
	}
}

func TestTheGapIsTheLongestOfTheDay(t *testing.T) {
	for _, c := range []struct {
		what    string
		forage  []ForageMeal
		minutes float64
		from    int
	}{
		{"once a day", []ForageMeal{{420, 3}}, 24*60 - 120, 540},
		{"over midnight", []ForageMeal{{420, 3}, {1020, 3}}, 14*60 - 120, 1140},
		{"more in the evening", []ForageMeal{{420, 3}, {1020, 9}}, 10*60 - 120, 540},
		{"a meal without hay", []ForageMeal{{420, 3}, {720, 0}, {1020, 3}}, 14*60 - 120, 1140},
		{"more than lasts to the next", []ForageMeal{{420, 20}, {1020, 22}}, 0, 0},
	} {
		minutes, from, ok := Gap(c.forage)
		if !ok || minutes != c.minutes || minutes > 0 && from != c.from {
			t.Errorf("%s: %.0f min from %d, want %.0f from %d", c.what, minutes, from, c.minutes, c.from)
		}
	}
	if _, _, ok := Gap(nil); ok {
		t.Error("a gap without forage")
	}
}

// steadyOn is a horse of 500 kg that has kept its weight on so many Mcal.
func steadyOn(mcal, now, card, score float64) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		fedTo(w, mcal, now, card)
		w.Horse.Score = yard.Known(score)
		w.Horse.Weighings = []yard.Weighing{weighed(500, 30, yard.ByScale), weighed(500, 2, yard.ByScale)}
	})
}
