package ration

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

// broughtInto is what comes in for what is short: grams a day on the card, by feed.
func broughtInto(hp yard.HorsePlan) map[string]float64 {
	grams := map[string]float64{}
	if _, ok := has(hp, "brought-in"); !ok {
		return grams
	}
	for _, c := range hp.Changes {
		if kg := c.ToKg.Or(0) - c.FromKg.Or(0); kg > 0 && c.Feed != "Hay" && c.Feed != "Oats" {
			grams[c.Feed] = math.Round(kg * 1000)
		}
	}
	return grams
}

// labelled is a feed with a label that says all there is in it: figures per kg of dry
// matter, and none of what it does not name.
func labelled(name string, class yard.FeedClass, of yard.Composition) yard.Feed {
	if !of.DM.IsKnown() {
		of.DM = yard.Known(1)
	}
	for _, n := range yard.Constituents() {
		if !n.Of(of).IsKnown() {
			*n.In(&of) = yard.Known(0)
		}
	}
	return yard.Feed{Name: name, Class: class, Analysis: of, AnalysisFrom: "workbook: dry matter"}
}

// unsalted is a yard of one horse in work with nothing planned, fed no salt; feeds are what
// the room has beside hay, oats and cubes.
func unsalted(feeds ...yard.Feed) yard.Week {
	w := smallYard(horse("Fern", 500))
	w.Feeds = append(w.Feeds[:3:3], feeds...)
	w.Feeds[0].Analysis, w.Feeds[0].AnalysisFrom = yard.Composition{Na: yard.Known(0.3)}, "workbook: dry matter"
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Oats", kilos(1), nothing)}
	return w
}

func mineralMix(na, zn, se float64) yard.Feed {
	n := yard.Known
	return labelled("Mix", yard.Supplement, yard.Composition{Ca: n(100), P: n(50), Na: n(na), Cl: n(1.6 * na), Cu: n(zn / 4), Zn: n(zn), Se: n(se)})
}

func TestWhatComesInForWhatIsShort(t *testing.T) {
	t.Parallel()
	n, salt := yard.Known, yard.Feed{Name: "Salt"}
	rated := func(f yard.Feed, g float64) yard.Feed { f.LabelKg = n(g / 1000); return f }
	ill := func(w yard.Week, d yard.Diagnosis) yard.Week {
		w.Horses[0].Diagnoses = []yard.NamedDiagnosis{{Kind: d, Text: string(d)}}
		return w
	}
	electrolyte := func(k float64) yard.Feed {
		return labelled("Electrolyte", yard.Supplement, yard.Composition{Ca: n(10), P: n(5), Na: n(250), Cl: n(450), K: n(k), Starch: n(0), Sugar: n(0)})
	}
	unsaid := func(f yard.Feed, names ...string) yard.Feed {
		for _, c := range yard.Constituents() {
			if slices.Contains(names, c.Name) {
				*c.In(&f.Analysis) = yard.Num{}
			}
		}
		return f
	}
	sweet := func(sugar float64) yard.Feed {
		return labelled("Sweet mix", yard.Supplement, yard.Composition{Ca: n(10), P: n(5), Na: n(380), Cl: n(580), Sugar: n(sugar)})
	}
	with := func(w yard.Week, change func(*yard.Week)) yard.Week { change(&w); return w }
	for _, c := range []struct {
		what string
		w    yard.Week
		in   []string
	}{
		{"salt", unsalted(salt), []string{"Salt"}},
		{"nothing where the room has nothing", unsalted(), nil},
		{"a mix with little sodium makes up its zinc, and the salt the sodium", unsalted(salt, mineralMix(0, 12000, 0)), []string{"Mix", "Salt"}},
		{"a mix whose selenium would pass the limit does not come in", unsalted(salt, mineralMix(300, 12000, 3000)), []string{"Salt"}},
		{"nothing that leaves a limit not compared", unsalted(salt, unsaid(mineralMix(390, 12000, 0), "phosphorus")), []string{"Salt"}},
		{"nothing that hides what is short", unsalted(salt, unsaid(mineralMix(390, 12000, 0), "selenium")), []string{"Salt"}},
		{"no more than its label has", unsalted(rated(mineralMix(300, 0, 0), 20)), []string{"Mix"}},
		{"as much as its label has", unsalted(rated(mineralMix(380, 0, 0), 90)), []string{"Mix"}},
		{"none that is used up", unsalted(with(unsalted(salt), func(w *yard.Week) { w.Feeds[3].StockPacks = n(0) }).Feeds[3]), nil},
		{"none past its date", unsalted(with(unsalted(salt), func(w *yard.Week) { w.Feeds[3].BestBefore = w.Beginning.AddDate(0, 0, -1) }).Feeds[3]), nil},
		{"nothing where the amounts are hers", with(unsalted(salt), func(w *yard.Week) { w.Lines[1].Planned = kilos(1) }), nil},
		{"nothing where nobody knows what is fed", with(unsalted(salt), func(w *yard.Week) { w.Lines[1].Now = yard.Amount{Given: true} }), nil},
		{"nothing new with colic in the past", ill(unsalted(salt), yard.PastColic), nil},
		{"nothing new with a word nobody knows", ill(unsalted(salt), yard.OtherDiagnosis), nil},
		{"nothing for a horse that leaves its feed", with(unsalted(salt), func(w *yard.Week) { w.Horses[0].OffFeed = true }), nil},
		{"an electrolyte", unsalted(electrolyte(10)), []string{"Electrolyte"}},
		{"and with HYPP none with much potassium", ill(with(unsalted(electrolyte(400), salt), func(w *yard.Week) { w.Feeds[0].Analysis.K = n(6) }), yard.HYPP), []string{"Salt"}},
		{"with insulin trouble none with sugar", ill(unsalted(sweet(300)), yard.InsulinEMS), nil},
		{"but one without", ill(unsalted(sweet(20)), yard.InsulinEMS), []string{"Sweet mix"}},
		{"nor one whose sugar nobody knows", ill(unsalted(unsaid(sweet(20), "sugar")), yard.InsulinEMS), nil},
	} {
		hp := Plan(c.w, DefaultRules()).Horses[0]
		var in []string
		for feed := range broughtInto(hp) {
			in = append(in, feed)
		}
		if slices.Sort(in); !slices.Equal(in, c.in) {
			t.Errorf("%s: %v came in; changes %v, findings %v", c.what, in, hp.Changes, hp.Findings)
		}
		if f, ok := has(hp, "brought-in"); ok {
			for _, a := range f.Saying.Args {
				list, _ := a.Value.(yard.List)
				for _, name := range list.Items {
					if n, is := name.(yard.Text); is && len(in) == 1 && in[0] == "Salt" && n.Text != "sodium" && n.Text != "chloride" {
						t.Errorf("%s: salt is said to make up %s", c.what, n.Text)
					}
				}
			}
		}
		for _, f := range c.w.Feeds {
			if most, ok := f.LabelKg.Get(); ok && broughtInto(hp)[f.Name] > most*1000+1e-6 {
				t.Errorf("%s: %v g, the label has %g", c.what, broughtInto(hp), most*1000)
			}
		}
	}
}

// A horse on hay alone whose hay is poor in trace elements: the room's balancer comes in,
// by its label, hay gives way for its energy, and no other hard feed does.
func TestABalancerComesInBesideHay(t *testing.T) {
	t.Parallel()
	n := yard.Known
	balancer := labelled("Balancer", yard.HardFeed, yard.Composition{DM: n(0.89), DE: n(2.6), CP: n(290), Starch: n(30), Sugar: n(40), Fat: n(40), Ca: n(31), P: n(16), Na: n(7), Cl: n(11), Mg: n(6), K: n(12), S: n(3),
		Cu: n(300), Zn: n(900), Mn: n(600), Fe: n(300), Se: n(3), I: n(4), Co: n(2), VitA: n(60000), VitD: n(6000), VitE: n(2000), Lysine: n(16), Thiamin: n(100), Riboflavin: n(100)})
	balancer.LabelKg = n(0.5)
	w := smallYard(horse("Fern", 500))
	w.Feeds = append(w.Feeds, balancer)
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(10), nothing)}
	hp := Plan(w, DefaultRules()).Horses[0]
	i := slices.IndexFunc(hp.Changes, func(c yard.Change) bool { return c.Feed == "Balancer" })
	if i < 0 || hp.Changes[i].ToKg.Or(0) > 0.5+1e-9 || hp.HardFeed.Target.Or(0) > 0.5+1e-9 {
		t.Fatalf("changes %v, hard feed %+v; findings %v", hp.Changes, hp.HardFeed, hp.Findings)
	}
	if off := hp.Energy.Supply.Or(0)/hp.Energy.Need.Or(1) - 1; math.Abs(off) > 0.031 {
		t.Errorf("energy is %.3f off the need", off)
	}
	was := w.Lines
	w.Lines = nil // as it is fed once it is all in
	for _, feed := range []string{"Hay", "Balancer", "Salt"} {
		kg := amountOn(hp, yard.Week{Lines: was}, feed)
		if feed == "Balancer" {
			kg = hp.HardFeed.Target.Or(0)
		}
		w.Lines = append(w.Lines, line("Fern", feed, kilos(kg), kilos(kg)))
	}
	if got := shortNames(Plan(w, DefaultRules()).Horses[0]); len(got) > 0 {
		t.Errorf("still short of %v with %v and %v", got, hp.Changes, hp.HardFeed)
	}
}

// What comes in is the least that does: ten grams less leaves something short, no limit is
// passed that was kept, and fed from then on it stays as it is.
func TestWhatComesInIsTheLeastAndStays(t *testing.T) {
	t.Parallel()
	came := 0
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
		w := unsalted(yard.Feed{Name: "Salt"}, mineralMix(draw("na", 0, 390), draw("zn", 0, 20000), draw("se", 0, 60)))
		w.Feeds[4].LabelKg = yard.Known(draw("label", 0.01, 0.15))
		hp := Plan(w, DefaultRules()).Horses[0]
		in := broughtInto(hp)
		if len(in) == 0 {
			return
		}
		came++
		fed := func(less string) yard.HorsePlan {
			x := w
			x.Lines = nil
			for _, c := range [][2]any{{"Hay", hp}, {"Oats", hp}} {
				kg := amountOn(hp, w, c[0].(string))
				x.Lines = append(x.Lines, line("Fern", c[0].(string), kilos(kg), kilos(kg)))
			}
			for feed, g := range in {
				if feed == less {
					g -= 10
				}
				x.Lines = append(x.Lines, line("Fern", feed, kilos(g/1000), kilos(g/1000)))
			}
			return Plan(x, DefaultRules()).Horses[0]
		}
		whole := shortNames(fed(""))
		for feed := range in {
			if less := shortNames(fed(feed)); len(less) < len(whole) {
				t.Fatalf("%v: with less %s %v is short, with all of it %v", in, feed, less, whole)
			}
		}
		x := w
		x.Lines = nil
		for _, feed := range []string{"Hay", "Oats"} {
			x.Lines = append(x.Lines, line("Fern", feed, kilos(amountOn(hp, w, feed)), nothing))
		}
		for feed, g := range in {
			x.Lines = append(x.Lines, line("Fern", feed, kilos(g/1000), nothing))
		}
		if next := broughtInto(Plan(x, DefaultRules()).Horses[0]); len(next) > 0 {
			t.Fatalf("%v came in, and a week on %v", in, next)
		}
	})
	if came == 0 {
		t.Error("nothing came in anywhere")
	}
}

// amountOn is what a card ends the week on of a feed, kg a day.
func amountOn(hp yard.HorsePlan, w yard.Week, feed string) float64 {
	for _, c := range hp.Changes {
		if c.Feed == feed {
			return c.ToKg.Or(0)
		}
	}
	for _, l := range w.Lines {
		if l.Feed == feed {
			return l.Now.Kg.Or(0)
		}
	}
	return 0
}
