package ingest

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func TestHowAHorseIsKept(t *testing.T) {
	date := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	w := read(t,
		tab{"yard", "Setting|Value\nYard|Larkrise Yard\nWeek beginning|d:2026-11-30\nHumidity|65 %\nTemperature|25"},
		tab{"horses", `
Name|Weight (kg)|Type|Housing|In foal|Appetite|In work since|Sweat score|Sweat loss (l)|Hours at grass|Hours at grass last week|Vet check|Shod|Saddle checked|Teeth|Worm count
Bramble|520|TB|stabled, paddock by day|no|eats up|d:2026-11-02|3||4|2.5|yes|d:2026-11-01|no|done|
Otter|240|pony|lives out|in foal|off feed|||6|24||||||`},
		tab{"work", `
Date|Horse|Work
d:2026-11-22|Bramble|hack 90
d:2026-11-23|Bramble|W30 T10
d:2026-11-29|Bramble|rest
d:2026-11-30|Bramble|W30 T20
d:2026-12-07|Bramble|race`},
		tab{"weights", `
Date|Horse|Weight (kg)|Score
d:2026-11-20|Bramble|515|5
d:2026-11-06|Bramble|508|4.5`},
		tab{"feeds", `
Feed|Kind|Opened|Best before|Analysed on|Notes
Hay|hay|||d:2026-08-01|
Haylage|haylage|d:2026-11-24|||
Balancer|balancer||d:2026-10-01||with selenium`},
		tab{"rations", `
Horse|Feed|Now|Since
Bramble|Hay|9 kg|d:2026-11-27`})
	b, o := horse(t, w, "Bramble"), horse(t, w, "Otter")
	if b.Breed != "TB" || b.Kept != yard.Stabled || b.OffFeed || !b.InWorkSince.Equal(date("2026-11-02")) || b.SweatScore != yard.Known(3) ||
		b.GrassHours != yard.Known(4) || b.GrassBefore != yard.Known(2.5) || b.Breeding != yard.NotBreeding {
		t.Errorf("Bramble read as %+v", b)
	}
	if want := []yard.Check{yard.CheckVet, yard.CheckFeet, yard.CheckTeeth}; !reflect.DeepEqual(b.Checks, want) {
		t.Errorf("ticked: %v, want %v", b.Checks, want)
	}
	if o.Kept != yard.InField || o.Breeding != yard.InFoal || !o.OffFeed || o.SweatLitres != yard.Known(6) || o.GrassHours != yard.Known(24) || o.Breed != "" {
		t.Errorf("Otter read as %+v", o)
	}
	if len(b.Weighings) != 2 || b.WeightKg != yard.Known(515) || b.Weighings[0].Kg != yard.Known(508) || b.Weighings[0].Score != yard.Known(4.5) {
		t.Errorf("weighings %+v, weight %v", b.Weighings, b.WeightKg)
	}
	if !b.BeforeGiven || b.Before[0].Text != "W30 T10" || b.Before[6].Text != "rest" || b.Work[0].Text != "W30 T20" || o.BeforeGiven {
		t.Errorf("last week read as %+v", b.Before)
	}
	if w.HumidityPct != yard.Known(65) || !w.Feeds[1].OpenedOn.Equal(date("2026-11-24")) || !w.Feeds[2].BestBefore.Equal(date("2026-10-01")) ||
		!w.Feeds[0].AnalysedOn.Equal(date("2026-08-01")) || w.Feeds[2].Notes != "with selenium" || !w.Lines[0].Since.Equal(date("2026-11-27")) {
		t.Errorf("read as %v %+v %+v", w.HumidityPct, w.Feeds, w.Lines)
	}
}

// A mare who may be in foal is not fed by the figures of one who is not, and a pony
// who may be off its feed is not fed by a guess.
func TestWhatIsNotUnderstoodOfAMareOrAnAppetite(t *testing.T) {
	for _, c := range []struct {
		breeding, appetite string
		want               yard.Breeding
		off                bool
		found              int
	}{
		{"yes, due April", "good", yard.InFoal, false, 0},
		{"not scanned yet", "good", yard.BreedingUnclear, false, 1},
		{"in foal?", "eats well", yard.BreedingUnclear, false, 1},
		{"12 April", "greedy", yard.BreedingUnclear, false, 1},
		{"no, barren this year", "Eats up", yard.NotBreeding, false, 0},
		{"n/a", "very good", yard.NotBreeding, false, 0},
		{"", "", yard.NotBreeding, false, 0},
		{"no", "not eating up", yard.NotBreeding, true, 0},
		{"no", "leaves half", yard.NotBreeding, true, 0},
		{"no", "slow", yard.NotBreeding, true, 1},
	} {
		w := read(t,
			tab{"horses", "Name|Weight (kg)|Type|In foal|Appetite\nOtter|240|pony|" + c.breeding + "|" + c.appetite},
			tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nOtter|rest|rest|rest|rest|rest|rest|rest"},
			tab{"feeds", "Feed|Kind\nHay|hay"})
		h, found := horse(t, w, "Otter"), 0
		for _, f := range w.Findings {
			if f.Rule == "cell-word" && (f.Cell.Ref == "D2" || f.Cell.Ref == "E2") {
				found++
			}
		}
		if h.Breeding != c.want || h.OffFeed != c.off || found != c.found {
			t.Errorf("%q and %q: %q, off feed %v, %d findings; want %q, %v, %d", c.breeding, c.appetite, h.Breeding, h.OffFeed, found, c.want, c.off, c.found)
		}
	}
}

func TestAFoalInTheNotesIsNotPassedOver(t *testing.T) {
	w := read(t,
		tab{"horses", "Name|Weight (kg)|In foal|Notes\nSorrel|520|no|foal at foot, quiet\nOtter|540||in foal to the grey\nTeal|500|no|not in foal\nRail|510||no foal at foot now\nBramble|505|in foal|in foal, due April"},
		tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nTeal|rest|rest|rest|rest|rest|rest|rest"},
		tab{"feeds", "Feed|Kind\nHay|hay"})
	for name, want := range map[string]yard.Breeding{"Sorrel": yard.BreedingUnclear, "Otter": yard.BreedingUnclear, "Teal": yard.NotBreeding, "Rail": yard.NotBreeding, "Bramble": yard.InFoal} {
		said := slices.ContainsFunc(findings(w, "cell-word"), func(f yard.Finding) bool {
			return f.Horse == name && strings.Contains(words.Message(f), "The notes say")
		})
		if got := horse(t, w, name).Breeding; got != want || said != (want == yard.BreedingUnclear) {
			t.Errorf("%s is read as %q, want %q; said: %v", name, got, want, said)
		}
	}
}

func TestAScoreWithTheEndOfItsScale(t *testing.T) {
	w := read(t,
		tab{"horses", "Name|Weight (kg)|Score\nSorrel|520|'5/9\nOtter|540|5.5 out of 9\nTeal|500|'3/5\nRail|510|2½ of 5\nBramble|505|'10/9\nHazel|510|5 1/2"},
		tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nTeal|rest|rest|rest|rest|rest|rest|rest"},
		tab{"feeds", "Feed|Kind\nHay|hay"})
	for name, want := range map[string]yard.Num{"Sorrel": yard.Known(5), "Otter": yard.Known(5.5), "Teal": {}, "Rail": {}, "Bramble": {}, "Hazel": yard.Known(5.5)} {
		said := slices.ContainsFunc(findings(w, "cell-range"), func(f yard.Finding) bool {
			return f.Horse == name && strings.Contains(words.Message(f), "from 1 (very thin) to 9 (very fat)")
		})
		if got := horse(t, w, name).Score; got != want || said == want.IsKnown() {
			t.Errorf("%s: score %v, want %v; said: %v", name, got, want, said)
		}
	}
}

// "fit" under Fitness and "horse" under Type are two words that headings have too.
func TestAFitHorseIsNoHeading(t *testing.T) {
	w := read(t,
		tab{"horses", "Name|Weight (kg)|Type|Score|Fitness\nBramble|520|horse|5|fit\nOtter|240|pony|6|fit\nTeal|500|horse|5|soft"},
		tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nBramble|rest|rest|rest|rest|rest|rest|rest"},
		tab{"feeds", "Feed|Kind\nHay|hay"})
	if len(w.Horses) != 3 || horse(t, w, "Otter").Fitness != yard.Hard {
		t.Errorf("read as %+v", w.Horses)
	}
}

// A diagnosis under a heading nobody knows, or in the notes, is not left out in silence.
func TestADiagnosisElsewhereIsSaid(t *testing.T) {
	w := read(t,
		tab{"horses", "Name|Weight (kg)|Diagnoses|Notes|Beware of\nBramble|520||had laminitis in spring|kicks\nOtter|240|laminitis|laminitis again in May|\nTeal|500|||gastric ulcers last year\nRail|510||no laminitis ever|sea air"},
		tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nBramble|rest|rest|rest|rest|rest|rest|rest"},
		tab{"feeds", "Feed|Kind\nHay|hay"})
	var got []string
	for _, f := range w.Findings {
		if f.Rule == "diagnosis-word" {
			got = append(got, f.Horse+" "+f.Cell.Ref)
		}
	}
	slices.Sort(got)
	if want := []string{"Bramble D2", "Teal E4"}; !slices.Equal(got, want) {
		t.Errorf("said of %v, want %v", got, want)
	}
}

// Where no weight is found the headings that were not known are named.
func TestAnUnknownHeadingOverTheWeightsIsNamed(t *testing.T) {
	w := read(t,
		tab{"horses", "Name|Burden|Owner|Age\nBramble|520|Jan|9\nOtter|240|Pip|12"},
		tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nBramble|rest|rest|rest|rest|rest|rest|rest"},
		tab{"feeds", "Feed|Kind\nHay|hay"})
	i := slices.IndexFunc(w.Findings, func(f yard.Finding) bool { return f.Rule == "column-unknown" })
	if i < 0 || w.Findings[i].Cell.Ref != "B1" || !strings.Contains(words.Message(w.Findings[i]), `"Burden" in B1, "Owner" in C1.`) {
		t.Errorf("%+v", w.Findings)
	}
}

// A number that is there is not denied: what is before it is the fault.
func TestTheNumberIsNotFirst(t *testing.T) {
	for text, want := range map[string]string{"c. 480": "does not begin with a number", "mug = 400g": "does not begin with a number", "half a ton": "no number in it"} {
		if _, err := ParseQuantity(text); err == nil || !strings.Contains(words.Told(err), want) {
			t.Errorf("%q: %v, want that it says %q", text, err, want)
		}
	}
}

// "AM" over a column is the yard's one meal before noon, not a third one beside it.
func TestHalvesOfTheDayAreTheYardsMeals(t *testing.T) {
	for meals, want := range map[string][]string{
		"Breakfast 07:30, Tea 16:30":              {"Breakfast", "Tea"},
		"Breakfast 07:30, Lunch 12:30, Tea 16:30": {"Breakfast", "Lunch", "Tea", "Pm"},
		"Breakfast, Tea":                          {"Breakfast", "Tea", "Am", "Pm"},
	} {
		w := read(t,
			tab{"yard", "Setting|Value\nYard|Larkrise Yard\nWeek beginning|d:2026-11-30\nMeals|" + meals},
			tab{"horses", "Name|Weight (kg)\nBramble|520"},
			tab{"work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nBramble|rest|rest|rest|rest|rest|rest|rest"},
			tab{"feeds", "Feed|Kind|One measure (kg)\nCubes|hard feed|1.3"},
			tab{"rations", "Horse|Feed|AM|PM\nBramble|Cubes|1 scoop|2 scoops"})
		var got []string
		for _, m := range w.Meals {
			got = append(got, m.Name)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: meals %q, want %q", meals, got, want)
		}
	}
}
