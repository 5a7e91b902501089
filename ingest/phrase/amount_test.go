package phrase

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

var every = Load("en", "de", "fr", "es")

func describePart(p Part) string {
	var s []string
	if p.Same {
		s = append(s, "SAME")
	}
	switch p.Relative {
	case 1:
		s = append(s, "more")
	case -1:
		s = append(s, "less")
	}
	if p.Known {
		n := fmt.Sprintf("%g", math.Round(p.Value*1000)/1000)
		if p.High != 0 {
			n += fmt.Sprintf("-%g", p.High)
		}
		if p.Other != 0 {
			n += fmt.Sprintf(" or %g", p.Other)
		}
		s = append(s, n)
	}
	for _, x := range []string{p.Unit, p.Vague, p.Feed} {
		if x != "" {
			s = append(s, x)
		}
	}
	if p.AdLib {
		s = append(s, "AD LIB")
	}
	if p.Meal != "" {
		s = append(s, "@"+p.Meal)
	}
	if p.Times != 0 {
		s = append(s, fmt.Sprintf("x%d", p.Times))
	}
	if p.PerDay {
		s = append(s, "a day")
	}
	if p.PerFeed {
		s = append(s, "a feed")
	}
	return strings.Join(s, " ")
}

func describeAmount(a Amount, text string) string {
	var s []string
	if a.None {
		s = append(s, "NONE")
	}
	if a.Same {
		s = append(s, "SAME")
	}
	if a.Ditto {
		s = append(s, "DITTO")
	}
	if a.AdLib {
		s = append(s, "AD LIB")
	}
	for _, p := range a.Parts {
		s = append(s, describePart(p))
	}
	if a.Question {
		s = append(s, "?")
	}
	if a.Alternative != nil {
		s = append(s, "(or otherwise)")
	}
	for _, u := range a.Unread {
		s = append(s, "UNREAD "+u.Of(text))
	}
	return strings.Join(s, "; ")
}

func TestAmounts(t *testing.T) {
	scoops := AmountContext{Unit: "scoop"}
	kg := AmountContext{Unit: "kg", Feed: "cubes"}
	for _, c := range []struct {
		text string
		ctx  AmountContext
		want string
	}{
		// numbers and units
		{"2", AmountContext{}, "2"}, {"2", scoops, "2 scoop"}, {"2", kg, "2 kg"}, {"½", scoops, "0.5 scoop"}, {"1½", scoops, "1.5 scoop"}, {"1 1/2", scoops, "1.5 scoop"}, {".5", scoops, "0.5 scoop"}, {"1,5", kg, "1.5 kg"},
		{"half", scoops, "0.5 scoop"}, {"1 and a half", scoops, "1.5 scoop"}, {"two", scoops, "2 scoop"}, {"two and a half", scoops, "2.5 scoop"}, {"quarter", scoops, "0.25 scoop"},
		{"2 scoops", AmountContext{}, "2 scoop"}, {"two scoops", AmountContext{}, "2 scoop"}, {"a scoop", AmountContext{}, "1 scoop"}, {"half a scoop", AmountContext{}, "0.5 scoop"}, {"half scoop", AmountContext{}, "0.5 scoop"}, {"one and a half scoops", AmountContext{}, "1.5 scoop"},
		{"1½ sc nuts", AmountContext{}, "1.5 scoop nuts"}, {"1.5sc nuts", AmountContext{}, "1.5 scoop nuts"}, {"1 sc. nuts", AmountContext{}, "1 scoop nuts"}, {"1 level scoop of nuts", AmountContext{}, "1 scoop nuts"}, {"2 lb oats", AmountContext{}, "2 lb oats"}, {"2lbs oats", AmountContext{}, "2 lb oats"},
		{"3 qt", AmountContext{}, "3 qt"}, {"500g", AmountContext{}, "500 g"}, {"1 mug balancer", AmountContext{}, "1 mug balancer"}, {"150 g balancer", AmountContext{}, "150 g balancer"}, {"3 lb 8 oz", AmountContext{}, "3.5 lb"}, {"1 net", AmountContext{}, "1 net"},
		{"1kg 500g nuts", AmountContext{}, "1.5 kg nuts"}, {"scoop nuts", AmountContext{}, "1 scoop nuts"}, {"2 round scoops nuts", AmountContext{}, "2 scoop nuts"}, {"1 heaped sc mix", AmountContext{}, "1 scoop mix"},
		// several feeds
		{"1½ sc nuts + handful chaff", AmountContext{}, "1.5 scoop nuts; handful chaff"}, {"1 sc mix & ½ sc nuts", AmountContext{}, "1 scoop mix; 0.5 scoop nuts"}, {"1 sc mix, ½ sc nuts", AmountContext{}, "1 scoop mix; 0.5 scoop nuts"},
		{"1 scoop mix and a handful of chaff", AmountContext{}, "1 scoop mix; 1 handful chaff"}, {"½ cubes ½ oats", AmountContext{Unit: "bowl"}, "0.5 bowl cubes; 0.5 bowl oats"}, {"1 + 0.5 oats", kg, "1 kg; 0.5 kg oats"}, {"chaff + 1 mug balancer", AmountContext{}, "chaff; 1 mug balancer"},
		{"1 sc nuts with ½ sc oats", AmountContext{}, "1 scoop nuts; 0.5 scoop oats"}, {"nuts 1 sc", AmountContext{}, "1 scoop nuts"}, {"nuts 1 sc, oats ½ sc", AmountContext{}, "1 scoop nuts; 0.5 scoop oats"}, {"nuts: 2", scoops, "2 scoop nuts"}, {"pony nuts 1½", scoops, "1.5 scoop pony nuts"},
		{"chaff", AmountContext{}, "chaff"}, {"handful chaff", AmountContext{}, "handful chaff"}, {"chaff only", AmountContext{}, "chaff"}, {"1 mug horse and pony nuts", AmountContext{}, "1 mug horse and pony nuts"}, {"2 sc cool mix", AmountContext{}, "2 scoop cool mix"},
		// meals
		{"1 sc am / 1.5 sc pm", AmountContext{}, "1 scoop @am; 1.5 scoop @pm"}, {"1 sc nuts am / 1.5 sc pm", AmountContext{}, "1 scoop nuts @am; 1.5 scoop nuts @pm"}, {"2 sc nuts am / 1 sc mix pm", AmountContext{}, "2 scoop nuts @am; 1 scoop mix @pm"},
		{"am 1 sc nuts, pm 1½ sc nuts", AmountContext{}, "1 scoop nuts @am; 1.5 scoop nuts @pm"}, {"am: 1 sc nuts\npm: 1½ sc nuts", AmountContext{}, "1 scoop nuts @am; 1.5 scoop nuts @pm"}, {"Breakfast: 1 lb oats; Tea: 2 lb oats", AmountContext{}, "1 lb oats @breakfast; 2 lb oats @tea"},
		{"1 sc nuts + ½ sc mix am, 1 sc nuts pm", AmountContext{}, "1 scoop nuts @am; 0.5 scoop mix @am; 1 scoop nuts @pm"}, {"1 sc nuts am + pm", AmountContext{}, "1 scoop nuts @am; 1 scoop nuts @pm"}, {"am & pm: 1 sc nuts", AmountContext{}, "1 scoop nuts @am; 1 scoop nuts @pm"},
		{"7am: 1 sc nuts, 5pm: 2 sc nuts", AmountContext{}, "1 scoop nuts @07:00; 2 scoop nuts @17:00"}, {"6.30: 1/2 sc nuts / 5.00: 1 sc nuts", AmountContext{}, "0.5 scoop nuts @06:30; 1 scoop nuts @05:00"}, {"1 sc am, – lunch, 1 sc pm", AmountContext{}, "1 scoop @am; 1 scoop @pm"},
		{"1 breakfast, 2 tea", scoops, "1 scoop @breakfast; 2 scoop @tea"}, {"1 sc nuts late", AmountContext{}, "1 scoop nuts @late"}, {"6am 1 sc nuts, noon ½ sc nuts", AmountContext{}, "1 scoop nuts @06:00; 0.5 scoop nuts @mid"},
		// how often
		{"½ sc nuts twice a day", AmountContext{}, "0.5 scoop nuts x2"}, {"1 scoop mix + handful chaff, twice a day", AmountContext{}, "1 scoop mix x2; handful chaff x2"}, {"4kg x3", AmountContext{}, "4 kg x3"}, {"2 x scoop", AmountContext{}, "2 scoop"}, {"2 x 1 sc nuts", AmountContext{}, "1 scoop nuts x2"},
		{"1 sc nuts x2", AmountContext{}, "1 scoop nuts x2"}, {"1 sc nuts + ½ sc oats, x2", AmountContext{}, "1 scoop nuts x2; 0.5 scoop oats x2"}, {"1 sc nuts + ½ sc oats x2", AmountContext{}, "1 scoop nuts x2; 0.5 scoop oats x2; (or otherwise)"}, {"1 sc nuts 3 times a day", AmountContext{}, "1 scoop nuts x3"},
		{"2 sc nuts a day", AmountContext{}, "2 scoop nuts a day"}, {"2 sc nuts per day", AmountContext{}, "2 scoop nuts a day"}, {"2 sc nuts/day", AmountContext{}, "2 scoop nuts a day"}, {"1 sc per feed", AmountContext{}, "1 scoop a feed"}, {"1 sc nuts 2 x day", AmountContext{}, "1 scoop nuts x2"}, {"1 sc nuts b.i.d", AmountContext{}, "1 scoop nuts x2"}, {"1 sc mix night and morning", AmountContext{}, "1 scoop mix x2"},
		// as now
		{"same", AmountContext{}, "SAME"}, {"Same.", AmountContext{}, "SAME"}, {"as now", AmountContext{}, "SAME"}, {"no change", AmountContext{}, "SAME"}, {"as old", AmountContext{}, "SAME"}, {"\"", AmountContext{}, "DITTO"}, {"do.", AmountContext{}, "DITTO"}, {"same + ½ sc nuts", AmountContext{}, "SAME; more 0.5 scoop nuts"},
		{"+½ sc", AmountContext{}, "more 0.5 scoop"}, {"+ ½ sc nuts", AmountContext{}, "more 0.5 scoop nuts"}, {"+½", scoops, "more 0.5 scoop"}, {"-½ sc pm", AmountContext{}, "less 0.5 scoop @pm"}, {"½ sc more", AmountContext{}, "more 0.5 scoop"}, {"up ½ sc", AmountContext{}, "more 0.5 scoop"}, {"½ sc nuts less", AmountContext{}, "less 0.5 scoop nuts"},
		{"as now am, +½ sc nuts pm", AmountContext{}, "SAME @am; more 0.5 scoop nuts @pm"},
		// nothing, ad lib, doubt
		{"–", AmountContext{}, "NONE"}, {"-", AmountContext{}, "NONE"}, {"none", AmountContext{}, "NONE"}, {"no hard feed", AmountContext{}, "NONE"}, {"0", AmountContext{}, "NONE"}, {"nil", AmountContext{}, "NONE"}, {"ad lib", AmountContext{}, "AD LIB"}, {"haylage ad lib", AmountContext{}, "haylage AD LIB"},
		{"1 kg nuts 6.30 / 2 kg nuts 12.00", AmountContext{}, "1 kg nuts @06:30; 2 kg nuts @12:00"}, {"½–1 sc mix", AmountContext{}, "0.5-1 scoop mix"}, {"1 or 2 sc nuts", AmountContext{}, "1-2 scoop nuts"}, {"1-2 sc", AmountContext{}, "1-2 scoop"}, {"1 sc?", AmountContext{}, "1 scoop; ?"}, {"?", AmountContext{}, "?"}, {"2,000", AmountContext{}, "2000 or 2"}, {"1 sc if needed", AmountContext{}, "1 scoop; ?"},
		{"", AmountContext{}, ""}, {"  ", AmountContext{}, ""},
		// what is said of one meal, of all, of some days
		{"1/2 scoop nuts am; 3/4 pm", AmountContext{}, "0.5 scoop nuts @am; 0.75 scoop nuts @pm"}, {"1 + 1 sc", AmountContext{}, "1 scoop; 1 scoop"}, {"1-0-1", AmountContext{}, "1; 0; 1"}, {"1-½-1 sc oats", AmountContext{}, "1 scoop oats; 0.5 scoop oats; 1 scoop oats"}, {"3kg in 2 feeds", AmountContext{}, "3 kg a day"}, {"1kg nuts split over 3 feeds", AmountContext{}, "1 kg nuts a day"},
		{"1 sc nuts 2x/day", AmountContext{}, "1 scoop nuts x2"}, {"1 lb. oats 2x", AmountContext{}, "1 lb oats x2"}, {"1st feed 1 sc", AmountContext{}, "1 scoop @breakfast"}, {"2 scoops sweet feed (6 lb)", AmountContext{}, "2 scoop sweet feed"}, {"1 sc beet (soaked)", AmountContext{}, "1 scoop beet"}, {"1 scoop A&P mix", AmountContext{}, "1 scoop A&P mix"}, {"2 c. grain", AmountContext{}, "2 cup grain"}, {"5#", AmountContext{}, "5 lb"},
		// what leaves something open is never taken for an amount alone
		{"1 sc nuts on work days", AmountContext{}, "1 scoop nuts; UNREAD on work days"}, {"same but no oats", AmountContext{}, "SAME; UNREAD but no oats"}, {"same less oats", AmountContext{}, "SAME; oats; UNREAD less"}, {"swap mix for nuts", AmountContext{}, "UNREAD swap mix for nuts"}, {"as Bella", AmountContext{}, "UNREAD as Bella"}, {"double", AmountContext{}, "UNREAD double"}, {"half of what he's on", AmountContext{}, "0.5; UNREAD what he's on"}, {"1 sc, then 1½ from Thurs", AmountContext{}, "1 scoop; 1.5 scoop; UNREAD from Thurs"},
		{"no more oats", AmountContext{}, "0 oats; ?"}, {"1 sc nuts (no oats)", AmountContext{}, "1 scoop nuts; 0 oats"}, {"up to 2 scoops", AmountContext{}, "2 scoop; ?"}, {"reduce to ½ sc", AmountContext{}, "0.5 scoop"}, {"increase by ½ sc", AmountContext{}, "more 0.5 scoop"}, {"1% BW", AmountContext{}, "1; UNREAD % BW"}, {"100g/100kg", AmountContext{}, "100 g; UNREAD /100kg"}, {"half less", AmountContext{}, "less 0.5; ?"},
		// German
		{"wie bisher, + 0,5 kg", AmountContext{}, "SAME; more 0.5 kg"}, {"0,5 kg mehr Hafer", AmountContext{}, "more 0.5 kg Hafer"}, {"je 1 kg morgens und abends", AmountContext{}, "1 kg x2"}, {"2 kg auf 2 Mahlzeiten", AmountContext{}, "2 kg a day"}, {"1,5 kg Hafer", AmountContext{}, "1.5 kg Hafer"}, {"1 Schaufel Müsli + Handvoll Häcksel", AmountContext{}, "1 Schaufel Müsli; handful Häcksel"}, {"wie bisher", AmountContext{}, "SAME"}, {"2 l Hafer, 2x täglich", AmountContext{}, "2 l Hafer x2"}, {"1 kg Hafer morgens + abends", AmountContext{}, "1 kg Hafer @am; 1 kg Hafer @pm"},
		{"morgens 1 kg Hafer, abends 1,5 kg", AmountContext{}, "1 kg Hafer @am; 1.5 kg Hafer @pm"}, {"anderthalb Schaufeln Hafer", AmountContext{}, "1.5 Schaufel Hafer"}, {"eine halbe Schaufel Hafer", AmountContext{}, "0.5 Schaufel Hafer"}, {"2 kg am Tag", AmountContext{}, "2 kg a day"}, {"kein Kraftfutter", AmountContext{}, "NONE"}, {"6 Uhr: 1 kg Hafer", AmountContext{}, "1 kg Hafer @06:00"}, {"½ Schaufel mehr", AmountContext{}, "more 0.5 Schaufel"},
		// French
		{"2 l granulés", AmountContext{}, "2 l granulés"}, {"1,5 l orge + 1 l granulés", AmountContext{}, "1.5 l orge; 1 l granulés"}, {"1 litre d'orge", AmountContext{}, "1 l orge"}, {"idem", AmountContext{}, "SAME"}, {"1 l de granulés matin et soir", AmountContext{}, "1 l granulés x2"}, {"une mesure et demie de granulés", AmountContext{}, "1.5 mesure granulés"},
		{"matin : 1 l orge ; soir : 2 l orge", AmountContext{}, "1 l orge @am; 2 l orge @pm"}, {"½ mesure d'orge, 2 fois par jour", AmountContext{}, "0.5 mesure orge x2"}, {"1 kg/jour", AmountContext{}, "1 kg a day"}, {"foin seul", AmountContext{}, "NONE"}, {"1 l floconné + poignée de paille hachée", AmountContext{}, "1 l floconné; handful paille hachée"}, {"7h: 1 l orge, 17h: 1 l orge", AmountContext{}, "1 l orge @07:00; 1 l orge @17:00"},
		{"un demi-litre d'orge", AmountContext{}, "0.5 l orge"}, {"2 kg en 2 fois", AmountContext{}, "2 kg a day"},
		// Spanish
		{"1 kg avena + 0,5 kg pienso", AmountContext{}, "1 kg avena; 0.5 kg pienso"}, {"igual", AmountContext{}, "SAME"}, {"1 medida de pienso 2 veces al día", AmountContext{}, "1 medida pienso x2"}, {"media medida de avena", AmountContext{}, "0.5 medida avena"}, {"mañana 1 kg, noche 1,5 kg", kg, "1 kg @am; 1.5 kg @pm"}, {"solo heno", AmountContext{}, "NONE"}, {"1 kg pienso mañana y noche", AmountContext{}, "1 kg pienso x2"}, {"2 kg al día", AmountContext{}, "2 kg a day"},
	} {
		if got := describeAmount(every.Amounts(c.text, c.ctx), c.text); got != c.want {
			t.Errorf("%q reads as\n\t%q, want\n\t%q", c.text, got, c.want)
		}
	}
}

// Short words of measures belong to the yard's own language.
func TestMeasuresOfALanguage(t *testing.T) {
	if got := describeAmount(Load("de", "en").Amounts("½ Sch. Pellets", AmountContext{}), ""); got != "0.5 Schaufel Pellets" {
		t.Errorf("in German it is %q", got)
	}
	if a := Load("en", "de").Amounts("½ Sch", AmountContext{}); len(a.Parts) > 0 && a.Parts[0].Unit != "" {
		t.Errorf("in English it is %+v", a.Parts)
	}
}
