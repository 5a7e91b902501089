package phrase

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// loadFirst is all words, those of one language first.
func loadFirst(first string) *Words {
	order := []string{first}
	for _, l := range []string{"en", "de", "fr", "es"} {
		if l != first {
			order = append(order, l)
		}
	}
	return Load(order...)
}

// Ways to write an amount that a careless reader gets wrong without a word. Where a
// person would have to ask, a question or something unread has to be there.
func TestAmountsOfManyHands(t *testing.T) {
	for lang, cases := range map[string][][2]string{
		"en": {
			// fractions in words, and figures on both sides of a word
			{"a quarter of a scoop nuts", "0.25 scoop nuts"}, {"two-thirds of a scoop", "0.667 scoop"}, {"three quarters of a scoop", "0.75 scoop"}, {"a scoop and a half of nuts", "1.5 scoop nuts"}, {"1 and 1/2 scoops", "1.5 scoop"}, {"1 & ½ scoops nuts", "1.5 scoop nuts"}, {"kilo and a half of nuts", "1.5 kg nuts"}, {"2 lb 4", "2.25 lb"}, {"2lb4", "2.25 lb"},
			// the size of a measure
			{"a good scoop of nuts", "1 scoop nuts"}, {"1 scoop heaped", "1 scoop"}, {"1 scoop heaped nuts", "1 scoop nuts"}, {"a scoop and a bit", "1 scoop; some"},
			// figures beside am and pm
			{"1 am 2 pm", "1 @am; 2 @pm"}, {"1am 2pm", "1 @am; 2 @pm"}, {"am1 pm2", "1 @am; 2 @pm"}, {"1 sc nuts am & 2 pm", "1 scoop nuts @am; 2 scoop nuts @pm"}, {"am 1 sc, 1pm ½ sc", "1 scoop @am; 0.5 scoop @13:00"}, {"1 sc am, 2 sc pm nuts", "1 scoop nuts @am; 2 scoop nuts @pm"},
			// how often
			{"1½ sc nuts bd", "1.5 scoop nuts x2"}, {"1½ sc nuts 2/day", "1.5 scoop nuts x2"}, {"1 sc nuts every 12 hours", "1 scoop nuts x2"}, {"twice a day", "UNREAD twice a day"}, {"nuts x 2 scoops", "2 scoop nuts"},
			// brackets deal out what is before them
			{"1 kg nuts (500 g am, 500 g pm)", "500 g nuts @am; 500 g nuts @pm"}, {"1 kg nuts (½ am ½ pm)", "0.5 kg nuts @am; 0.5 kg nuts @pm"}, {"2 kg nuts (½ am ½ pm)", "2 kg nuts @am; 0.5 kg nuts @am; 0.5 kg nuts @pm; ?"}, {"beet (1 sc dry)", "1 scoop beet"},
			// figures that belong to a name, and figures that belong to nothing
			{"1 sc 12% nuts", "1 scoop 12% nuts"}, {"1 sc 14 pct cubes", "1 scoop 14 pct cubes"}, {"1 sc 50/50 nuts oats", "1 scoop; 50 scoop; 50 scoop nuts oats; ?"}, {"1 sc half nuts half oats", "1 scoop; 0.5 scoop nuts; 0.5 scoop oats; ?"}, {"1 sc no 1 cubes", "1 scoop; 1 scoop cubes; ?"}, {"1..5 kg", "1 kg; 0.5 kg; ?"}, {"half of usual", "0.5; UNREAD usual"},
			// ditto marks
			{`-"-`, "DITTO"}, {`- " -`, "DITTO"},
		},
		"de": {
			{"anderthalb Schaufeln Hafer", "1.5 Schaufel Hafer"}, {"zweieinhalb Schaufeln", "2.5 Schaufel"}, {"zwei und eine halbe Schaufel", "2.5 Schaufel"}, {"halbe Schaufel", "0.5 Schaufel"}, {"dreiviertel Kilo Hafer", "0.75 kg Hafer"}, {"eine gute Schaufel Hafer", "1 Schaufel Hafer"}, {"1 Schaufel gehäuft", "1 Schaufel"},
			{"2x tgl. 1 kg Hafer", "1 kg Hafer x2"}, {"1 kg Hafer alle 12 Stunden", "1 kg Hafer x2"}, {"morgens/mittags/abends 1/0,5/1 kg", "1 kg @am; 0.5 kg @mid; 1 kg @pm"}, {"früh u. abends je 1 kg", "1 kg @am; 1 kg @pm"}, {"auf 2 kg erhöhen", "2 kg"}, {"mind. 1 kg", "1 kg; ?"}, {"½–1 Schaufel", "0.5-1 Schaufel"}, {"+½ Schaufel", "more 0.5 Schaufel"},
		},
		"fr": {
			{"une mesure et demie", "1.5 mesure"}, {"deux mesures et demie d'orge", "2.5 mesure orge"}, {"demi-mesure", "0.5 mesure"}, {"1l5 d'orge", "1.5 l orge"}, {"1l50 d'orge", "1.5 l orge"}, {"1 litre 1/2", "1.5 l"}, {"1kg500", "1.5 kg"}, {"1 mesure rase", "1 mesure"}, {"une bonne mesure", "1 mesure"}, {"moitié orge moitié granulés", "0.5 orge; 0.5 granulés"}, {"1 kg toutes les 12 heures", "1 kg x2"},
		},
		"es": {
			{"medida y media de avena", "1.5 medida avena"}, {"dos medidas y media", "2.5 medida"}, {"media medida", "0.5 medida"}, {"kilo y medio", "1.5 kg"}, {"1 kg y 1/2", "1.5 kg"}, {"1'5 kg", "1.5 kg"}, {"2'25 kg avena", "2.25 kg avena"}, {"1 medida colmada de pienso", "1 medida pienso"}, {"1 kg 2v/día", "1 kg x2"}, {"1 kg c/12h", "1 kg x2"}, {"1 kg cada 12 horas", "1 kg x2"},
		},
	} {
		w := loadFirst(lang)
		for _, c := range cases {
			if got := describeAmount(w.Amounts(c[0], AmountContext{}), c[0]); got != c[1] {
				t.Errorf("%s: %q reads as\n\t%q, want\n\t%q", lang, c[0], got, c[1])
			}
		}
	}
}

// A measure of a size that may not be the usual one is said.
func TestSizesOfMeasures(t *testing.T) {
	for lang, texts := range map[string]map[string]string{
		"en": {"1 heaped scoop nuts": "heaped", "1 scoop heaped": "heaped", "a good scoop of nuts": "good", "1 level scoop nuts": "", "1 scoop nuts": ""},
		"de": {"1 gehäufte Schaufel Hafer": "gehaufte", "1 gestrichene Schaufel Hafer": ""}, "fr": {"1 petite mesure d'orge": "petite", "1 mesure rase d'orge": ""}, "es": {"1 medida colmada de avena": "colmada", "1 medida rasa de avena": ""},
	} {
		for text, want := range texts {
			a := loadFirst(lang).Amounts(text, AmountContext{})
			if len(a.Parts) != 1 || a.Parts[0].Value != 1 || a.Parts[0].Size != want {
				t.Errorf("%s: %q reads as %+v, want the size %q", lang, text, a.Parts, want)
			}
		}
	}
	w := every.With(every.Define("big scoop 2 kg, small scoop 1 kg"))
	for text, unit := range map[string]string{"1 big scoop nuts": "big scoop", "2 small scoops nuts": "small scoop", "1 scoop nuts": "scoop"} {
		if a := w.Amounts(text, AmountContext{}); len(a.Parts) != 1 || a.Parts[0].Unit != unit || a.Parts[0].Size != "" {
			t.Errorf("%q reads as %+v, want the measure %q", text, a.Parts, unit)
		}
	}
}

// What measures weigh, whichever way round a legend has it.
func TestWeightsOfMeasuresEitherWayRound(t *testing.T) {
	for text, want := range map[string]string{
		"Scoop = 1.5 kg nuts / 1.2 kg mix": "nuts 1.5, mix 1.2", "1 scoop = 1.5 kg (nuts) or 1.2 kg (mix)": "nuts 1.5, mix 1.2", "Scoop 1.2kg nuts 1.5kg": " 1.2, nuts 1.5", "1 scoop of nuts is about 1.2 kg": "nuts 1.2", "Messbecher = 500 g Hafer": "Hafer 0.5", "une mesure = 1,2 kg d'orge": "orge 1.2", "1 medida = 1'2 kg": " 1.2",
	} {
		var got []string
		for _, d := range every.Define(text) {
			if d.Kind == MeasureWeight {
				got = append(got, fmt.Sprintf("%s %g", d.Feed, d.Kg))
			}
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("%q says %q, want %q", text, s, want)
		}
	}
	for text, unit := range map[string]string{"FEEDS – all in scoops": "scoop", "Feeds – all in kg": "kg", "all feeds twice a day": ""} {
		got := ""
		for _, d := range every.Define(text) {
			got = d.Unit
		}
		if got != unit {
			t.Errorf("%q: amounts are in %q, want %q", text, got, unit)
		}
	}
}

// Ways to write work that a careless reader gets wrong without a word.
func TestWorkOfManyHands(t *testing.T) {
	for lang, cases := range map[string][][2]string{
		"en": {
			{"1hr15", "75; ours 1hr15"}, {"1hr15 hack", "hack 75"}, {"2x30+lesson", "? number 30; ? number 2x30+lesson; ? length lesson"}, {"hack three quarters of an hour", "hack 45"}, {"W/T/C 10/15/5", "walk trot canter 10; ? number 15; ? number 5"}, {"school 30/40", "school 30; ? number 40"},
			{"lunge 10 each rein", "lunge 20 led"}, {"lunge 30 each rein", "lunge 30 led; ? figure each rein"}, {"6 jumps", "jump 6; ? figure 6"}, {"jump lesson 45 (10 jumps)", "jump 45"}, {"gallop 400m", "fast 400; ours gallop 400m; ? figure 400m"}, {"hack 45m", "hack 45"},
			{"walker 20 am & pm", "walker 20 led + walker 20 led"}, {"walker 20 am/pm", "walker 20 led; ? times am/pm"}, {"am & pm walker 20", "walker 20 led + walker 20 led"}, {"hack 45 am & school 30 pm", "hack 45 + school 30"},
			{"clip 2 hrs", "visit"}, {"vet 30 min hack", "hack 30"}, {"farrier 1hr, hack 45", "hack 45"}, {"school 450", "school 450; ? most school 450"}, {"-/-", "dash"}, {"D.O.", "rest"}, {`-"-`, "as -1 true "},
		},
		"de": {{"Longe 10 auf jeder Hand", "lunge 20 led"}, {"Führanlage 20 morgens und abends", "walker 20 led + walker 20 led"}, {"Ausritt eine dreiviertel Stunde", "hack 45"}},
		"fr": {{"balade trois quarts d'heure", "hack 45"}, {"longe 10 à chaque main", "lunge 20 led"}},
		"es": {{"paseo tres cuartos de hora", "hack 45"}, {"Do 40", "dressage 40"}, {"Pa 60", "hack 60"}, {"cuerda 10 a cada mano", "lunge 20 led"}},
	} {
		w := loadFirst(lang)
		for _, c := range cases {
			if got := describeWork(w.Work(c[0], WorkContext{})); got != c[1] {
				t.Errorf("%s: %q reads as\n\t%q, want\n\t%q", lang, c[0], got, c[1])
			}
		}
	}
}

// A word of work that looks like an illness of another language is none.
func TestNoIllnessInWork(t *testing.T) {
	for lang, texts := range map[string]map[string]int{
		"en": {"20 lead rein": 0, "long rein 20": 0, "kidney trouble": 1, "lame – box rest": 2}, "fr": {"rein": 1, "insuffisance rénale, reins": 1},
	} {
		for text, want := range texts {
			n := 0
			for _, c := range loadFirst(lang).Conditions(text) {
				if c.Section == "illness" {
					n++
				}
			}
			if n != want && !(want == 1 && n > 1) {
				t.Errorf("%s: %q speaks of %d illnesses, want %d", lang, text, n, want)
			}
		}
	}
}

// What a bracket deals out adds up to what is before it, or it is a question.
func TestBracketsAddUp(t *testing.T) {
	for am := 1; am <= 8; am++ {
		for pm := 1; pm <= 8; pm++ {
			for all := 1; all <= 16; all++ {
				text := fmt.Sprintf("%g kg nuts (%g kg am, %g kg pm)", float64(all)/4, float64(am)/4, float64(pm)/4)
				a := every.Amounts(text, AmountContext{})
				sum := 0.0
				for _, p := range a.Parts {
					sum += p.Value
				}
				if right := !a.Question && math.Abs(sum-float64(all)/4) < 1e-9; right != (am+pm == all) {
					t.Fatalf("%q reads as %s", text, describeAmount(a, text))
				}
			}
		}
	}
}
