package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// What is written behind a name in its cell is no part of the name.
func TestWhatIsBehindAName(t *testing.T) {
	p := newPages([]Sheet{sheetOf("Week", "Horse")})
	for text, want := range map[string]nameCell{
		"Bramble":                   {name: "Bramble"},
		"Bramble (540 kg)":          {name: "Bramble", weight: "540 kg"},
		"Kelpie 16.2hh":             {name: "Kelpie"},
		"Kelpie 16.2hh 560kg":       {name: "Kelpie", weight: "560kg"},
		"Kelpie 560kg, 16.2 hh":     {name: "Kelpie", weight: "560kg"},
		"Old Tom (27yo)":            {name: "Old Tom"},
		"Arrow ***BOX REST***":      {name: "Arrow", note: "BOX REST"},
		"Arrow *new*":               {name: "Arrow", note: "new"},
		"Tansy - laminitis":         {name: "Tansy", note: "laminitis"},
		"Tansy (laminitis)":         {name: "Tansy", note: "laminitis"},
		"Tansy (Marsh)":             {name: "Tansy (Marsh)"}, // an owner, or which Tansy
		"K9":                        {name: "K9"},
		"Star - Light":              {name: "Star - Light"},
		"Half Past 8":               {name: "Half Past 8"},
		"Oats 2 kg":                 {name: "Oats 2 kg"}, // nothing weighs so little
		"Bramble 540 kg - box rest": {name: "Bramble", weight: "540 kg", note: "box rest"},
	} {
		if got := p.lang.nameCell(text); got != want {
			t.Errorf("%q is %+v, not %+v", text, got, want)
		}
	}
}

// A horse is one, whatever is behind its name on one tab and not on another.
func TestOneHorseWhateverIsBehindItsName(t *testing.T) {
	w, err := Read([]Sheet{
		sheetOf("Feed", "Feed sheet from Mon 7/12/26\n|Oats (kg)|Nuts (kg)|Hay (kg)\nSpike 16.2hh 560kg|1|1|9\nPoppet|0.5||8\nArrow ***BOX REST***|||10\nJasper - laminitis||0.5|8"),
		sheetOf("Work", "w/c 7th Dec\n|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nSpike|flat 45|off|hack 60|off|flat 45|hack 90|off\nPoppet|hack 45|off|off|off|hack 45|off|off\nArrow|off|off|off|off|off|off|off\nJasper|off|flat 50|hack 90|off|off|flat 40|off"),
		sheetOf("Weights", "Weigh tape|2 Nov|16 Nov|30 Nov\nSpike|562|560|558\nPoppet|455|458|460\nArrow|530|528|\nJasper|585|579|572"),
	}, time.Date(2026, 12, 4, 0, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, h := range w.Horses {
		got = append(got, h.Name+": "+factsOf(w, h.Name))
		if (h.Name == "Jasper") != (len(h.Diagnoses) == 1) {
			t.Errorf("%s has the diagnoses %v", h.Name, h.Diagnoses)
		}
	}
	want := []string{"Spike: 558 kg; 45 0 60 0 45 90 0;", "Poppet: 460 kg; 45 0 0 0 45 0 0;", "Arrow: 528 kg; 0 0 0 0 0 0 0;", "Jasper: 572 kg; 0 50 90 0 0 40 0;"}
	for i, x := range want {
		if i >= len(got) || !strings.HasPrefix(got[i], x) {
			t.Errorf("%v\nnot\n%v", strings.Join(got, "\n"), strings.Join(want, "\n"))
			break
		}
	}
	for _, h := range w.Horses {
		if h.WeightBasis != yard.ByTape {
			t.Errorf("%s was weighed by %q", h.Name, h.WeightBasis)
		}
	}
}

// All the days of a week in one cell, on the week's sheet.
func TestAWeekInACell(t *testing.T) {
	w, err := Read([]Sheet{sheetOf("Plan", "Horse|Weight|Hay|Oats (kg)|Work this week\nBracken|500|9 kg|1|daily 45 min flat except Sunday\nTeasel|500|9 kg|1|5 x hack 1 hr\nDomino|500|9 kg|1|weekends only: hack 2h")}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"Bracken": "500 kg; 45 45 45 45 45 45 0;", "Teasel": "500 kg; -1 -1 -1 -1 -1 -1 -1;", "Domino": "500 kg; 0 0 0 0 0 120 120;"} {
		if got := factsOf(w, name); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %s, not %s", name, got, want)
		}
	}
}
