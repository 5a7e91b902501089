package ingest

import (
	"reflect"
	"testing"
	"time"

	"hardfeed/ration/yard"
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
