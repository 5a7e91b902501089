package phrase

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func describeDefinition(d Definition) string {
	switch d.Kind {
	case MeasureWeight:
		return fmt.Sprintf("%s %s=%gkg", d.Measure, d.Feed, math.Round(d.Kg*1000)/1000)
	case WorkLength:
		s := fmt.Sprintf("%s=%gmin", d.Word, d.Length.Minutes)
		if d.Length.Kind != "" {
			s += " of " + d.Length.Kind
		}
		if total(d.Length.Gaits) > 0 {
			s += fmt.Sprint(d.Length.Gaits)
		}
		return s
	case Meaning:
		return fmt.Sprintf("%s is %s:%s", d.Word, d.Section, d.Key)
	case BareWork:
		s := "numbers are " + d.Unit
		if d.Length.Minutes > 0 {
			s += fmt.Sprintf(" of %g", d.Length.Minutes)
		}
		if d.Length.Kind != "" {
			s += " of " + d.Length.Kind
		}
		return s
	case BareAmount:
		return strings.TrimSpace("all in " + d.Unit + " " + d.Feed)
	case PerFeed:
		return fmt.Sprintf("per feed x%d", d.Times)
	}
	return "?"
}

func TestDefine(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"1 scoop nuts = 1.45 kg, 1 scoop mix = 1 kg", "scoop nuts=1.45kg; scoop mix=1kg"}, {"1 scoop nuts = 1.35 kg", "scoop nuts=1.35kg"}, {"Level scoop: comp mix 1.35 kg, cubes 1.6 kg, chaff 300 g. 1 mug balancer 250 g", "scoop comp mix=1.35kg; scoop cubes=1.6kg; scoop chaff=0.3kg; mug balancer=0.25kg"},
		{"Scoop: nuts 1.7 kg, oats 1 kg.   Numbers alone are minutes.", "scoop nuts=1.7kg; scoop oats=1kg; numbers are min"}, {"scoop of nuts = 1.25 kg", "scoop nuts=1.25kg"}, {"Feed card: top line now, bottom line next week. Scoop of conditioning mix 1.15 kg, cubes 1.5 kg", "scoop conditioning mix=1.15kg; scoop cubes=1.5kg"},
		{"nuts 1.5 kg a scoop, mix 1.2 kg a scoop", "scoop nuts=1.5kg; scoop mix=1.2kg"}, {"scoop nuts 1.4, mix 1.05 kg", "scoop nuts=1.4kg; scoop mix=1.05kg"}, {"1 bowl cubes = 1.7 kg   1 bowl oats = 1.25 kg", "bowl cubes=1.7kg; bowl oats=1.25kg"}, {"1 qt oats = 0.95 lb", "qt oats=0.431kg"}, {"1 flake = 4 lb", "flake =1.814kg"},
		{"2 qt pellets = 2.5 lb", "qt pellets=0.567kg"}, {"Scoop: nuts 1.5 kg, oats 1.05 kg", "scoop nuts=1.5kg; scoop oats=1.05kg"}, {"1 mug nuts = 300 g, 1 mug mix = 250 g", "mug nuts=0.3kg; mug mix=0.25kg"}, {"nuts 1300g a scoop", "scoop nuts=1.3kg"}, {"scoop of cool mix = 1.1kg", "scoop cool mix=1.1kg"}, {"oats 1.1 lb a quart", "qt oats=0.499kg"},
		{"1 litre d'orge = 0,65 kg ; 1 litre de granulés = 0,7 kg", "l orge=0.65kg; l granulés=0.7kg"}, {"1 Schaufel Hafer = 1 kg", "Schaufel Hafer=1kg"}, {"Schaufel: Hafer 0,95 kg, Müsli 0,8 kg", "Schaufel Hafer=0.95kg; Schaufel Müsli=0.8kg"}, {"Hafer 1 kg je Schaufel", "Schaufel Hafer=1kg"}, {"Mesure : orge 1 kg", "mesure orge=1kg"}, {"orge 650g par litre", "l orge=0.65kg"}, {"1 medida pienso = 1,05 kg", "medida pienso=1.05kg"}, {"avena 0,8 kg por medida", "medida avena=0.8kg"},
		{"lesson = 45 min group lesson, mostly walk and trot. Lead rein = 20 mins.", "lesson=45min of lesson; Lead rein=20min of lead rein"}, {"Sch = school 45    Hk = hack 60    Lg = lunge 20    Jp = jump 40", "Sch=45min of school; Hk=60min of hack; Lg=20min of lunge; Jp=40min of jump"}, {"TO = turnout only    D/O = day off", "TO is rest:turnout; D/O is rest:rest"},
		{"canter = 70 min out (45 walk, 15 trot, 10 canter)    work = 75 min out    walker = 40 min    hack = 1 hr", "canter=70min of canter work[45 15 10 0 0]; work=75min of exercise; walker=40min of walker; hack=60min of hack"}, {"Hunt = 5 h (mostly walk and trot, an hour of canter), half day = 3 h. exercise = 1 h 15 on the roads", "Hunt=300min of hunt; half day=180min of hunt; exercise=75min of exercise"},
		{"1 shift = 2 h 30 in harness, walk and slow trot", "numbers are session of 150 of patrol; shift=150min of patrol"}, {"rally = 2 h   games = 1 h   lead rein = 20 mins", "rally=120min of rally; games=60min of games; lead rein=20min of lead rein"}, {"Jump = 50 incl warm up", "Jump=50min of jump"}, {"W = walk  T = trot  C = canter (mins)", "W is paces:walk; T is paces:trot; C is paces:canter"}, {"S = Schritt  T = Trab  G = Galopp (Min.)", "S is paces:walk; T is paces:trot; G is paces:canter"},
		{"P = pas  T = trot  G = galop (min)", "P is paces:walk; T is paces:trot; G is paces:canter"}, {"Hk – hack 60", "Hk=60min of hack"}, {"L = lesson", "L is work:lesson"}, {"RS = Reitstunde 45 Min.", "RS=45min of lesson"}, {"Kx = obstacle 40 min", "Kx=40min of jump"}, {"zumba = 45 mins", "zumba=45min"},
		{"plain numbers = minutes in the school", "numbers are min of school"}, {"numbers = minutes", "numbers are min"}, {"Numbers are minutes", "numbers are min"}, {"numbers = hours ridden", "numbers are h of ride"}, {"Zahlen = Minuten", "numbers are min"}, {"chiffres = minutes", "numbers are min"}, {"números = horas", "numbers are h"}, {"1 session = 45 mins", "numbers are session of 45"}, {"All sessions 45 mins", "numbers are session of 45"}, {"1 séance = 60 min", "numbers are session of 60"}, {"1 sesión = 30 min", "numbers are session of 30"},
		{"All amounts in scoops", "all in scoop"}, {"all in kg", "all in kg"}, {"Alle Angaben in Schaufeln", "all in Schaufel"}, {"Tout en litres", "all in l"}, {"Todo en medidas", "all in medida"}, {"FEEDS from Mon 15 March.  Kilos of cubes unless it says", "all in kg cubes"}, {"Amounts are per feed, fed twice a day", "per feed x2"}, {"Mengen je Mahlzeit, 2x täglich", "per feed x2"}, {"Quantités par repas, 2 repas par jour", "per feed x2"}, {"Cantidades por toma, 2 tomas al día", "per feed x2"},
		{"All sessions 45 mins, R = rest", "numbers are session of 45; R is rest:rest"}, {"numbers = minutes, D/O = day off", "numbers are min; D/O is rest:rest"}, {"Lessons are 45 mins. Scoop of nuts = 1.2kg", "Lessons=45min of lesson; scoop nuts=1.2kg"}, {"Hacks last 1 hr", "Hacks=60min of hack"}, {"Reitstunden dauern 45 Min", "Reitstunden=45min of lesson"}, {"Bella is 15 hands", ""}, {"Bella is 10 years", ""}, {"reprise = 60 min", "reprise=60min of lesson"},
		{"L – lesson 30", "L=30min of lesson"}, {"LR – lead rein 20", "LR=20min of lead rein"}, {"SB = stick & ball 40", "SB=40min of stick"},
		// No legends.
		{"Vet 01632 960 204 (nights 960 205)    Farrier comes Weds 9.30", ""}, {"nuts £9.80 / mix £11.10 / chaff £9.05 / hay £5.50", ""}, {"Hay 10 kg the big ones, 6 kg the ponies", ""}, {"1st lot pulls out 6.45", ""}, {"Bookings 01632 960 377", ""}, {"SILVER LIVERY", ""}, {"Tansy: PPID, tablets in handful of chaff. Winkle: careful, kicks", ""},
		{"AM: 100 g balancer", ""}, {"AM: 1.25 kg mix, PM: 1 and a half kg mix", ""}, {"Breakfast: 1/2 scoop mix; Tea: 1 scoop mix", ""}, {"lame – box rest", ""}, {"cojo – reposo en box", ""}, {"Jo – hack 60", ""}, {"Bella: off feed since Sun", ""},
		{"Horse", ""}, {"Clipping this week: Bella", ""}, {"Change anything = write it in red and tell Pat", ""}, {"Week beginning Monday 4th January 2027", ""}, {"Vet 01632 960 301 / farrier 07700 900320 / hay 01632 960 318", ""},
	} {
		var got []string
		for _, d := range every.Define(c.text) {
			got = append(got, describeDefinition(d))
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%q defines\n\t%q, want\n\t%q", c.text, s, c.want)
		}
	}
}

// A dash alone makes a legend only of an abbreviation and what it is short for.
func TestSureDefinitions(t *testing.T) {
	for text, want := range map[string]bool{"Sch – school 45": true, "Hk – hack 60": true, "LR – lead rein 20": true, "HW – walker 40": true, "RS – Reitstunde 45 Min.": true, "lesson = 45 min": true, "Jo – hack 60": false, "Bella – lunge 20": false, "Kim: school 45": false} {
		ds := every.Define(text)
		if got := len(ds) == 1 && ds[0].Sure; got != want {
			t.Errorf("%q is sure: %v, want %v (%+v)", text, got, want, ds)
		}
	}
}
