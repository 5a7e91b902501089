package record

import (
	"encoding/json"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

func TestArgumentsOfAFindingInTheRecord(t *testing.T) {
	s := yard.Say("finding.climb", yard.Kg("kg", 0.5), yard.Names("feeds", yard.And, yard.FeedName, []string{"Oats"}), yard.Arg{Name: "on", Value: yard.Date{Date: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)}})
	f := records([]yard.Finding{{Rule: "D-01", Severity: yard.Warn, Saying: s}})[0]
	got, err := json.Marshal(f.Args)
	if want := `{"feeds":["Oats"],"kg":{"value":0.5,"unit":"kg"},"on":"2026-11-30"}`; err != nil || string(got) != want {
		t.Errorf("%s, want %s (%v)", got, want, err)
	}
	if want := "Hard feed goes up now for the harder work to come. That is 0.5 kg a day more than this week needs, in place of some hay."; f.Message != want {
		t.Errorf("%q", f.Message)
	}
}
