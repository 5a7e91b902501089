package phrase

import (
	"slices"
	"testing"

	"hardfeed/ration/yard"
)

// Times of day that stand together behind an event are an event each; two joined by a dash
// are how long it lasts, and one behind another word is not an event. Without a length of hers each is as long as such a day usually is.
func TestTwoEventsOfADay(t *testing.T) {
	for _, c := range []struct {
		text    string
		starts  []int
		minutes float64 // of the whole day
	}{
		{"show 9:30 and 14:00", []int{570, 840}, 140},
		{"Show 09:30, 14:00", []int{570, 840}, 140},
		{"show 9.30 + sj 2pm", []int{570, 840}, 70 + 58},
		{"2 shows 9am 2pm", []int{540, 840}, 140},
		{"show 70 min 9:30 and 14:00", []int{570, 840}, 70},
		{"dressage test 9:15, show jumping 13:40", []int{555, 820}, 60 + 58},
		{"Turnier 9:30 und 14 Uhr", []int{570, 840}, 140},
		{"show 9:30-14:00", []int{570}, 70},
		{"show 9:30 (home 16:00)", []int{570}, 70},
		{"show 9:30 til 4pm", []int{570}, 70},
		{"show 9:30, vet 14:00", []int{570}, 70},
		{"show 10:00", []int{600}, 70},
		{"show", nil, 70},
	} {
		w := Load().Work(c.text, WorkContext{PacesAsWritten: true})
		var got []int
		for _, e := range w.Starts() {
			got = append(got, e.Min)
		}
		if !w.Event || !slices.Equal(got, c.starts) || w.Minutes() != c.minutes || len(w.Doubts) > 0 {
			t.Errorf("%s: starts %v, %g minutes, doubts %v; want %v and %g", c.text, got, w.Minutes(), w.Doubts, c.starts, c.minutes)
		}
		total := 0.0
		for _, e := range w.Starts() {
			total += e.Minutes
		}
		if len(got) > 0 && total != w.Minutes() {
			t.Errorf("%s: its events last %g minutes of %g", c.text, total, w.Minutes())
		}
	}
}

// The starts of a day are kept in order, once each, and the first has the rest of its work.
func TestStartsAreInOrder(t *testing.T) {
	d := yard.Day{Event: true, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{100}}}}
	d.SetStarts([]yard.EventStart{{Min: 840, Minutes: 30}, {Min: 570, Minutes: 70}, {Min: 840, Minutes: 30}})
	if got := d.Starts(); !slices.Equal(got, []yard.EventStart{{Min: 570, Minutes: 70}, {Min: 840, Minutes: 30}}) {
		t.Errorf("%v", got)
	}
	d.SetStarts(nil)
	if d.StartMin != -1 || d.Starts() != nil {
		t.Errorf("%+v", d)
	}
}
