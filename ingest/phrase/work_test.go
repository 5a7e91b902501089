package phrase

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

func describeWork(d Work) string {
	var parts []string
	for _, s := range d.Sessions {
		p := fmt.Sprintf("%s %g", s.Kind, math.Round(s.Total()*100)/100)
		if s.Led {
			p += " led"
		}
		if s.Hills {
			p += " hills"
		}
		parts = append(parts, strings.TrimSpace(p))
	}
	out := []string{}
	if len(parts) > 0 {
		out = append(out, strings.Join(parts, " + "))
	} else if d.Free != "" {
		out = append(out, string(d.Free))
	}
	if d.Event {
		out = append(out, fmt.Sprintf("event %d", d.StartMin))
	}
	if d.Fate != "" {
		out = append(out, "gone "+d.Fate)
	}
	if d.Ref != nil {
		out = append(out, fmt.Sprintf("as %d %v %s", d.Ref.Weekday, d.Ref.Above, d.Ref.Other))
	}
	for _, x := range d.Defaults {
		out = append(out, "ours "+x.Word)
	}
	for _, x := range d.Corrected {
		out = append(out, "slip "+x[0])
	}
	for _, x := range d.Doubts {
		out = append(out, "? "+string(x.Kind)+" "+x.Word)
	}
	return strings.Join(out, "; ")
}

var tableSessions = map[string]yard.Session{
	"hill loop": {Name: "Hill loop", Minutes: [yard.Gaits]float64{40, 15, 5, 0, 0}, Hills: true}, "xc": {Name: "XC", Minutes: [yard.Gaits]float64{50, 10, 10, 8, 3}, Efforts: 20}, "schooling": {Name: "Schooling", Minutes: [yard.Gaits]float64{10, 20, 10, 0, 0}},
	"long hack (b)": {Name: "Long hack (B)", Minutes: [yard.Gaits]float64{80, 10, 0, 0, 0}}, "broken": {Name: "broken"},
}

func TestWork(t *testing.T) {
	plain := WorkContext{}
	min, hours := WorkContext{Bare: "min"}, WorkContext{Bare: "h"}
	sessions := WorkContext{Bare: "session", SessionMinutes: 45}
	for _, c := range []struct {
		text string
		ctx  WorkContext
		want string
	}{
		// no work
		{"", plain, ""}, {"rest", plain, "rest"}, {"REST", plain, "rest"}, {"off", plain, "rest"}, {"D/O", plain, "rest"}, {"day off", plain, "rest"}, {"off – farrier", plain, "rest"}, {"off (lame)", plain, "rest"}, {"0", plain, "dash"}, {"–", plain, "dash"},
		{"turnout only", plain, "turnout"}, {"field", plain, "turnout"}, {"TO", plain, "turnout"}, {"box rest", plain, "box rest"}, {"lame – box rest", plain, "box rest"}, {"lame, box rest", plain, "box rest"}, {"holiday – turnout only", plain, "rest"}, {"retired", plain, "retired"}, {"roughed off", plain, "turnout"},
		{"off till re-scan 24/3", plain, "rest"}, {"lame, vet Thurs", plain, "lame"}, {"farrier", plain, "visit"}, {"vet 9am", plain, "visit"}, {"SOLD 4/1", plain, "gone sold"}, {"on loan till May", plain, "gone loan"}, {"gone 3/1", plain, "gone sold"},
		// minutes
		{"hack 60", plain, "hack 60"}, {"60 hack", plain, "hack 60"}, {"Flat 40", plain, "school 40"}, {"hack 1hr", plain, "hack 60"}, {"hack 1hr 15", plain, "hack 75"}, {"hack 1 1/2 hrs", plain, "hack 90"}, {"hack 1h15", plain, "hack 75"}, {"hack 45'", plain, "hack 45"}, {"hack 45mins", plain, "hack 45"},
		{"1hr ride", plain, "ride 60"}, {"2hr ride + 1hr ride", plain, "ride 120 + ride 60"}, {"2 x 1hr ride", plain, "ride 60 + ride 60"}, {"half an hour hack", plain, "hack 30"}, {"hack an hour", plain, "hack 60"}, {"hack an hour and a half", plain, "hack 90"}, {"long ride 3 hrs", plain, "long ride 180"},
		{"W30 T20 C10", plain, "60"}, {"W30T20C10", plain, "60"}, {"walk 30, trot 20 + lunge 15 led", plain, "50 + lunge 15 led"}, {"walk 20 in hand", plain, "20 led"}, {"walk 10 in hand x2", plain, "20 led"}, {"walk 10 in hand, twice a day", plain, "20 led"},
		{"pony ride 20 x4", plain, "pony ride 20 + pony ride 20 + pony ride 20 + pony ride 20"}, {"lesson 60 x2", plain, "lesson 60 + lesson 60"}, {"lesson 2 x 30", plain, "lesson 30 + lesson 30"}, {"2 x hack 30", plain, "hack 30 + hack 30"}, {"2x hack 30", plain, "hack 30 + hack 30"}, {"hack 45 (Jess)", plain, "hack 45"}, {"lesson 45 with Anna", plain, "lesson 45"},
		{"Flat 40 + lunge 15", plain, "school 40 + lunge 15 led"}, {"hack 60 & walker 30", plain, "hack 60 + walker 30 led"}, {"hack 60, lunge 20", plain, "hack 60 + lunge 20 led"}, {"am walker 30, pm school 45", plain, "walker 30 led + school 45"}, {"hack 60 am / school 30 pm", plain, "hack 60 + school 30"},
		{"Sch45", plain, "school 45"}, {"Hk 60", plain, "hack 60"}, {"HW 30", plain, "walker 30 led"}, {"RTW wk 2 walk 20", plain, "20"}, {"colic 2/12 – walk 10 in hand", plain, "10 led"}, {"hack W40 T20", plain, "hack 60"}, {"ranch work 3 hrs", plain, "ranch 180"}, {"drive 1hr 15", plain, "drive 75"}, {"stick & ball 40", plain, "stick 40"},
		{"canter 60", plain, "canter work 60; ours canter 60"}, {"jump 40", plain, "jump 40; ours jump 40"}, {"jump 20", plain, "20"}, {"gallop 5", plain, "5"}, {"hills 1hr 15", plain, "hills 75 hills"},
		// numbers alone
		{"45", plain, "? number 45"}, {"45", min, "45; ours 45"}, {"2 x 30", min, "30 + 30; ours 30"}, {"1.5", hours, "90; ours 1.5"}, {"½", hours, "30; ours ½"}, {"hack 2", hours, "hack 120"}, {"2", sessions, "90; ours 2"}, {"2 x 1hr", plain, "60 + 60; ours 1hr"},
		// words without a length, events
		{"hack", plain, "? length hack"}, {"exercise", plain, "? length exercise"}, {"lesson x2", plain, "? length lesson"}, {"2 lessons", plain, "? length 2 lessons"}, {"comp", plain, "show 70; event -1; ours comp"}, {"show Ardley", plain, "show 70; event -1; ours show"}, {"comp at Marston Park", plain, "show 70; event -1; ours comp"}, {"show 10:00", plain, "show 70; event 600; ours show"}, {"show 9am", plain, "show 70; event 540; ours show"}, {"show 10", plain, "show 70; event -1; ours show; ? clock 10"}, {"hunt 240", plain, "hunt 240; event -1"},
		{"as Mon", plain, "as 0 false "}, {"DO", plain, "rest"}, {"do.", plain, "as -1 true "}, {"1hr 10 canter", plain, "canter work 70; ours 1hr 10 canter"}, {"as Tues", plain, "as 1 false "}, {"\"", plain, "as -1 true "}, {"same as Bella", plain, "as -1 false Bella"},
		// doubts
		{"hack 45-60", plain, "hack 45; ? range 45-60"}, {"hack 45?", plain, "hack 45; ? ? ?"}, {"hack or school 45", plain, "school 45; ? ? or; ? length hack"}, {"rest or hack 60", plain, "hack 60; ? ? or; ? both rest or hack 60"}, {"hack 6000", plain, "? most hack 6000"}, {"zumba 40", plain, "? word zumba"}, {"hakc 60", plain, "? word hakc"}, {"shcool 45", plain, "school 45; slip shcool"},
		// words side by side, names, remarks
		{"jump training 45", plain, "jump 45"}, {"hack exercise 45", plain, "hack 45"}, {"training hack 45", plain, "hack 45"}, {"show (SJ)", plain, "show jumping 58; event -1; ours show (SJ"}, {"walk & trot 40", plain, "walk and trot 40"}, {"w/t/c 45", plain, "walk trot canter 45"}, {"45 min hack with trot", plain, "hack 45"}, {"hack 45 - Jess", plain, "hack 45"}, {"Jo hack 45", plain, "hack 45"}, {"Jo", plain, "? word Jo"},
		{"flat, 45 mins", plain, "school 45"}, {"flat – 45", plain, "school 45"}, {"box rest, walk 5 mins x2", plain, "10"}, {"box rest, hack 45", plain, "hack 45; ? both box rest, hack 45"}, {"turnout 3 hrs", plain, "turnout"}, {"hand graze 20", plain, "turnout"}, {"no jumping, hack 30", plain, "hack 30"}, {"away till Sun", plain, "gone away"}, {"hack 45 cancelled", plain, "hack 45; ? ? cancelled"}, {"hack 45 if dry", plain, "hack 45; ? ? if; ? word dry"},
		{"L 30", plain, "exercise 30; ours L"}, {"L 2 x 1hr", plain, "exercise 60 + exercise 60; ours L"}, {"S20 T15 G10", plain, "35; ? word S"}, {"lesson 2x45", plain, "lesson 45 + lesson 45"}, {"hack 30x2", plain, "hack 30 + hack 30"}, {"trot 3 x 4 mins", plain, "12"}, {"hack 8km", plain, "hack 8; ? word km"}, {"n/a", plain, "rest"}, {"---", plain, "dash"}, {"fourbure 2026 – repos au box", plain, "box rest"}, {"PPID – tablet in am feed – box rest", plain, "box rest"}, {"cut leg – box rest", plain, "box rest"},
		// German
		{"leichte Arbeit 30", plain, "exercise 30"}, {"Schritt und Trab 40", plain, "walk and trot 40"}, {"Dressur 45", plain, "dressage 45"}, {"Ausritt 1 Std.", plain, "hack 60"}, {"Ausritt 1,5 Std.", plain, "hack 90"}, {"Ausritt 1 Std. 30", plain, "hack 90"}, {"Führanlage 30", plain, "walker 30 led"}, {"Longe 20 + Führanlage 30", plain, "lunge 20 led + walker 30 led"}, {"Reitstunde 2 x 30", plain, "lesson 30 + lesson 30"}, {"Koppel", plain, "turnout"}, {"Stehtag", plain, "rest"}, {"frei", plain, "rest"}, {"Boxenruhe – Kolik 5.1.", plain, "box rest"}, {"lahm – Boxenruhe", plain, "box rest"}, {"verkauft 3.1.", plain, "gone sold"}, {"Turnier", plain, "show 70; event -1; ours Turnier"}, {"wie Mo", plain, "as 0 false "}, {"Schritt führen 15", plain, "in hand 15 led"}, {"eine halbe Stunde Longe", plain, "lunge 30 led"}, {"Fuehranlage 30", plain, "walker 30 led"},
		// French
		{"plat 45", plain, "school 45"}, {"balade 1h30", plain, "hack 90"}, {"reprise 1h x2", plain, "lesson 60 + lesson 60"}, {"marcheur 30", plain, "walker 30 led"}, {"repos", plain, "rest"}, {"boiteux – repos au box", plain, "box rest"}, {"au pré", plain, "turnout"}, {"obstacle 40", plain, "jump 40"}, {"concours", plain, "show 70; event -1; ours concours"}, {"comme lundi", plain, "as 0 false "}, {"longues rênes 20", plain, "long rein 20 led"}, {"marche en main 15 min", plain, "in hand 15 led"}, {"longue sortie 2h", plain, "long ride 120"}, {"vendu 2/1", plain, "gone sold"}, {"une heure de balade", plain, "hack 60"},
		// Spanish
		{"doma 45", plain, "dressage 45"}, {"paseo 1 h", plain, "hack 60"}, {"paseo 1 h 30", plain, "hack 90"}, {"cuerda 20", plain, "lunge 20 led"}, {"descanso", plain, "rest"}, {"prado", plain, "turnout"}, {"reposo en box", plain, "box rest"}, {"concurso", plain, "show 70; event -1; ours concurso"}, {"como el lun", plain, "as 0 false "}, {"vendido 2/1", plain, "gone sold"}, {"riendas largas 30", plain, "long rein 30 led"}, {"paso a mano 15", plain, "in hand 15 led"}, {"una hora y media de paseo", plain, "hack 90"}, {"media hora cuerda", plain, "lunge 30 led"},
	} {
		if got := describeWork(every.Work(c.text, c.ctx)); got != c.want {
			t.Errorf("%q reads as\n\t%q, want\n\t%q", c.text, got, c.want)
		}
	}
}

// The sessions of her table win over our words, whatever brackets and capitals.
func TestWorkBySessions(t *testing.T) {
	w := every.WithSessions(tableSessions)
	for text, want := range map[string]string{
		"Hill loop": "Hill loop 60", "2 hill loops + schooling": "Hill loop 60 + Hill loop 60 + Schooling 40", "XC 14:30": "XC 81", "long hack (B)": "Long hack (B) 90", "LONG HACK B": "Long hack (B) 90", "hill loop 30": "Hill loop 30", "broken 30": "broken 0 ?", "hacking 60": "hacking 60", "lessons 45": "lesson 45",
	} {
		d := w.Work(text, WorkContext{})
		var parts []string
		for _, s := range d.Sessions {
			parts = append(parts, fmt.Sprintf("%s %g", s.Name, s.Total()))
		}
		got := strings.Join(parts, " + ")
		if !d.Known() {
			got += " ?"
		}
		if got != want {
			t.Errorf("%q reads as %q, want %q (%v)", text, got, want, d.Doubts)
		}
	}
}

// A legend's word may stand in the plural, and what "1 shift" is a number alone
// counts.
func TestWorkByLegends(t *testing.T) {
	for _, c := range []struct {
		legend, text string
		want         float64
	}{
		{"lesson = 45 min", "2 lessons", 90}, {"lesson = 45 min", "Lesson x2", 90}, {"Reitstunde = 45 Min.", "2 Reitstunden", 90}, {"1 shift = 2 h 30 in harness", "2", 300}, {"1 shift = 2 h 30 in harness", "shift", 150}, {"Sch = school 45    Hk = hack 60", "Sch + Hk", 105}, {"canter = 70 min out (45 walk, 15 trot, 10 canter)", "canter", 70},
		{"numbers = minutes", "45", 45}, {"numbers = hours ridden", "1½", 90}, {"All sessions 45 mins", "2", 90}, {"Hunt = 5 h (mostly walk and trot), half day = 3 h", "half day", 180}, {"Hunt = 5 h", "hunt", 300}, {"D/O = day off", "D/O", 0}, {"S = Schritt  T = Trab  G = Galopp (Min.)", "S20 T15 G10", 45},
	} {
		w := every.With(every.Define(c.legend))
		if d := w.Work(c.text, WorkContext{}); !d.Known() || math.Abs(d.Minutes()-c.want) > 1e-6 {
			t.Errorf("after %q, %q is %v minutes, want %v (%v)", c.legend, c.text, d.Minutes(), c.want, d.Doubts)
		}
	}
	if d := every.With(every.Define("1 shift = 2 h 30")).Work("45", WorkContext{}); d.Known() {
		t.Errorf("45 shifts are believed: %v", d.Minutes())
	}
}

// The kinds of work are whole: shares add up to one, events have minutes, and
// every word of work and of events has its kind.
func TestKindsOfWork(t *testing.T) {
	for name, k := range kinds() {
		sum, minutes := total(k.Share), total(k.Minutes)
		if k.Event != (sum == 0) || k.Event != (minutes > 0) || !k.Event && math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: shares add up to %v, minutes to %v", name, sum, minutes)
		}
	}
	for _, section := range []string{"work", "events"} {
		for _, key := range every.t.Keys(section) {
			if k, ok := kinds()[key]; !ok || k.Event != (section == "events") {
				t.Errorf("%s %q has no such kind of work", section, key)
			}
		}
	}
}
