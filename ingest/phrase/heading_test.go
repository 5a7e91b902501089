package phrase

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func describeHeading(h Heading) string {
	var s []string
	if len(h.Columns) > 0 {
		top := h.Columns[0].Score
		var keys []string
		for _, c := range h.Columns {
			if c.Score == top {
				keys = append(keys, c.Key)
			}
		}
		slices.Sort(keys)
		if top < 1 {
			keys = append(keys, fmt.Sprintf("%.1f", top))
		}
		s = append(s, strings.Join(keys, "|"))
	}
	if h.Stage != "" {
		s = append(s, "stage "+string(h.Stage))
	}
	if h.Feed != "" {
		s = append(s, "of "+h.Feed)
	}
	if h.Unit != "" {
		s = append(s, "in "+h.Unit)
	}
	if len(h.Meals) > 0 {
		s = append(s, "@"+strings.Join(h.Meals, "@"))
	}
	if h.Weekday >= 0 {
		s = append(s, fmt.Sprintf("day %d", h.Weekday))
	}
	if h.Date.Day != 0 {
		s = append(s, fmt.Sprintf("on %d/%d", h.Date.Day, h.Date.Month))
	}
	if h.Week != "" {
		s = append(s, h.Week+" week")
	}
	if h.PerDay {
		s = append(s, "a day")
	}
	if h.ScoopWeight {
		s = append(s, "weighs "+h.Measure)
	}
	return strings.Join(s, "; ")
}

func TestHeading(t *testing.T) {
	for text, want := range map[string]string{
		"Horse": "horse", "Pony": "horse", "Mount": "horse", "Stable name": "horse", "Gelding/mare": "horse", "Horse / pony": "horse", "Pferd": "horse", "Cheval": "horse", "Caballo / yegua": "horse",
		"Weight (kg)": "weight; in kg", "Wt": "weight", "Kg": "weight; in kg", "Weight\n(lb)": "weight; in lb", "Weighbridge": "weight", "Tape (kg)": "weight; in kg", "Tape": "weight", "Weight 23/11": "weight; on 23/11", "Last weighed": "weight", "BW kg": "weight; in kg", "Gewicht": "weight", "Poids (kg)": "weight; in kg", "Peso": "weight",
		"Ht": "height", "Hands": "height; in hh", "Girth (cm)": "girth; in cm", "Notes": "notes", "Remarks": "notes", "Anything else": "notes", "Vet / notes": "notes", "Health": "diagnoses", "Vet": "diagnoses", "Bemerkungen": "notes", "Remarques": "notes", "Observaciones": "notes", "Véto": "diagnoses",
		"Hay": "hay; of Hay", "Hay kg": "hay; of Hay; in kg", "Owner": "owner", "Box": "box", "Rider": "owner", "Total": "total", "% BW": "share",
		"Mon": "day 0", "Monday": "day 0", "Mon 30": "day 0; on 30/0", "Mon 30/11": "day 0; on 30/11", "Tue\n12/8": "day 1; on 12/8", "Mon 30 Nov": "day 0; on 30/11", "30th": "on 30/0", "Mo 11.01.": "day 0; on 11/1", "lun. 11": "day 0; on 11/0", "mié": "day 2",
		"Breakfast": "@breakfast", "AM": "@am", "6.30": "@06:30", "12.00": "@12:00", "7am": "@07:00", "noon": "@mid", "6 Uhr": "@06:00", "7h": "@07:00", "B'fast": "@breakfast", "mañana": "@am", "abends": "@pm", "soir": "@pm", "Tea": "@tea", "Late": "@late",
		"Now": "stage now", "Fed now": "stage now", "Change to": "stage change", "From Mon": "stage new; day 0", "NEW": "stage new", "Proposed": "stage new", "CURRENT (quarts)": "stage now; in qt", "NOW (bowls)": "stage now; in bowl", "Futter bisher": "stage now", "Kraftfutter neu ab Montag (kg/Tag)": "feed|0.2; stage new; of Kraftfutter; in kg; day 0; a day",
		"Nouvelle ration matin": "stage new; @am", "Pienso ahora": "stage now", "Oats\nAM": "of Oats; @am", "AM now (scoops nuts)": "stage now; of nuts; in scoop; @am", "Bal (g)": "of Bal; in g", "Nuts": "of Nuts", "Pony nuts (scoops)": "of Pony nuts; in scoop", "1 scoop (kg)": "scoop weight; in kg; weighs scoop",
		"from 30/11": "stage new; on 30/11", "AB 12.1.": "stage new; on 12/1", "WORK (minutes)": "work; in min", "Arbeit (Minuten)": "work; in min", "LAST WEEK": "stage now; last week", "DIESE WOCHE": "stage new; this week", "Current\nlb/day": "stage now; in lb; a day", "Mins": "minutes; in min",
	} {
		if got := describeHeading(every.Heading(text)); got != want {
			t.Errorf("%q reads as %q, want %q", text, got, want)
		}
	}
}

func TestWeekdayRow(t *testing.T) {
	for row, want := range map[string]string{"M T W T F S S": "[0 1 2 3 4 5 6]", "L M X J V S D": "[0 1 2 3 4 5 6]", "L M M J V S D": "[0 1 2 3 4 5 6]", "M D M D F S S": "[0 1 2 3 4 5 6]", "S M T W T F S": "[6 0 1 2 3 4 5]", "A B C D E F G": "[]"} {
		if got := fmt.Sprint(every.WeekdayRow(strings.Fields(row))); got != want {
			t.Errorf("%q is %s, want %s", row, got, want)
		}
	}
}

func TestConditions(t *testing.T) {
	for text, want := range map[string]string{
		"laminitis 2025": "laminitis", "laminitic – no hard feed": "laminitis", "colic 24/11": "colic", "PPID – tablet in am feed": "PPID", "EMS, no cereals": "EMS", "ties up, no oats": "tying-up", "tied up Nov": "tying-up", "ulcers – on treatment": "ulcers", "choke 12/11, soak everything": "choke",
		"broken wind": "heaves", "overweight, diet!": "overweight overweight", "off feed since Sat": "off feed", "off her feed": "off feed", "losing weight": "losing weight", "quids hay": "teeth", "in foal, due May": "in foal", "foundered 2023, no sweet feed": "laminitis",
		"Hufrehe, kein Kraftfutter": "laminitis", "Kolik am 5.1.": "colic", "dämpfig": "heaves", "zu dick, Diät": "overweight overweight", "frisst schlecht seit So": "off feed", "tragend, Mai": "in foal", "Kreuzverschlag 2025": "tying-up", "Magengeschwüre": "ulcers", "Schlundverstopfung 3.1.": "choke",
		"ancien fourbu – fourbure": "laminitis laminitis", "colique le 3/1": "colic", "coup de sang 2025": "tying-up", "obstruction œsophage 2/1": "choke", "emphysème, foin trempé": "heaves", "surpoids, régime": "overweight overweight", "mange mal depuis dim.": "off feed", "pleine, mai": "in foal", "mauvaises dents, tremper": "teeth", "SME / EMS": "EMS EMS",
		"infosura 2025": "laminitis", "cólico el 3/1": "colic", "huélfago, heno mojado": "heaves", "come mal desde el dom": "off feed", "preñada, mayo": "in foal", "dientes malos, mojar": "teeth", "úlceras gástricas": "ulcers ulcers", "sobrepeso, dieta": "overweight overweight",
		// Whole words only, and what is denied.
		"she seems fine": "", "problems": "", "Emsworth": "", "no sign of laminitis": "not laminitis", "PPID, insulin normal": "PPID not EMS", "never had colic": "past not colic", "teeth done 3/11": "not teeth", "had colic in spring": "past colic", "scoliosis": "", "kicks": "", "good doer": "",
		// Gone.
		"SOLD 20/11": "gone sold", "sold": "gone sold", "on loan till May": "gone loan", "gone 3/1": "gone sold", "left 3/1": "gone sold", "verkauft 3.1.": "gone sold", "parti le 3/1": "gone sold", "se fue el 3/1": "gone sold", "ausgezogen 4.1.": "gone sold", "vendue": "gone sold", "gone to new home": "gone sold", "headshy, sold 3/1": "gone sold",
		"left hind, poultice": "", "to be sold?": "", "gone well this week": "",
	} {
		var got []string
		for _, c := range every.Conditions(text) {
			s := c.Key
			if c.Section == "fate" {
				if !c.Sure {
					continue
				}
				s = "gone " + s
			}
			if c.Negated {
				s = "not " + s
			}
			if c.Past {
				s = "past " + s
			}
			got = append(got, s)
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%q says %q, want %q", text, s, want)
		}
	}
}

func TestDecoration(t *testing.T) {
	for text, want := range map[string]DecorationKind{
		"Total": Total, "TOTAL": Total, "Total scoops": Total, "Total lb": Total, "All": Total, "Summe": Total, "Gesamt": Total, "Total qt": Total,
		"Vet 01632 960 204": Phone, "Vet 01632 960 204 (nights 960 205)    Farrier comes Weds 9.30": Phone, "Barn 555-0163   Vet 555-0171": Phone, "Vétérinaire 05 55 01 02 03 – maréchal jeudi": Phone, "07700 900211": Phone, "Tierarzt 0555 012 34": Phone, "Veterinario 555 010 440": Phone, "Vet mobile 07700 900455, ring before any change": Phone,
		"nuts £9.80 / mix £11.10": Price, "£5": Price, "12 €": Price,
		"Box 7 – empty": EmptyBox, "empty": EmptyBox, "(empty)": EmptyBox, "Box 7 – leer": EmptyBox, "frei/leer": EmptyBox, "vide": EmptyBox, "Box 3 – vacío": EmptyBox,
		"Barley": NoDecoration, "Total Eclipse": NoDecoration, "540": NoDecoration, "W30 T20 C10": NoDecoration, "1,050 lb": NoDecoration, "12/11/2026": NoDecoration, "Hack 60 + school 45": NoDecoration, "All That Jazz": NoDecoration,
	} {
		if got := every.Decoration(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}
