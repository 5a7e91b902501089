package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"hardfeed/ingest"
	"hardfeed/ration/yard"
)

// recordsOf are the records kept of each version that was released, all of one week and
// made of testdata/records/week.txt.
const recordsOf = "testdata/records"

// A record of an earlier version is read by this one.
func TestRecordsOfEarlierVersionsAreRead(t *testing.T) {
	versions, err := filepath.Glob(filepath.Join(recordsOf, "*", resultsName))
	if err != nil || len(versions) == 0 {
		t.Fatal("no records are kept", err)
	}
	now := false
	for _, kept := range versions {
		version := filepath.Base(filepath.Dir(kept))
		now = now || version == released
		t.Run(version, func(t *testing.T) {
			week := yard.Week{Yard: "Cold Brook", Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC),
				Horses: []yard.Horse{{Name: "Gannet"}, {Name: "Otter"}},
				Feeds:  []yard.Feed{{Name: "Hay", Class: yard.Forage}, {Name: "Oats", Class: yard.HardFeed, MeasureKg: yard.Known(1)}}}
			week, err := ingest.RecallFrom(week, os.DirFS(filepath.Dir(kept)))
			if err != nil {
				t.Fatal(err)
			}
			gannet, otter := week.Horses[0], week.Horses[1]
			if len(gannet.Past) != 1 || len(otter.Past) != 1 {
				t.Fatalf("%d and %d weeks were read: %v", len(gannet.Past), len(otter.Past), week.Findings)
			}
			g, o := gannet.Past[0], otter.Past[0]
			if !g.Full || g.HardKg != yard.Known(1.25) || g.FromKg != yard.Known(1) || g.WeightKg != yard.Known(500) || g.Basis != yard.ByScale || g.ForageMcal.Or(0) < 10 ||
				len(g.Events) != 1 || g.Events[0].Text != "show 10:00" || g.Events[0].Date.Weekday() != time.Saturday {
				t.Errorf("Gannet: %+v", g)
			}
			if o.Full || o.WorkMinutes().IsKnown() || o.HardKg != yard.Known(0) || o.WeightKg != yard.Known(420) || o.Basis != yard.ByTape {
				t.Errorf("Otter, of whose work a day is not known: %+v", o)
			}
			if !gannet.BeforeGiven || len(gannet.Before[0].Sessions) != 1 || !gannet.Before[2].Rest() || !gannet.Before[5].Event || !otter.Before[4].Unknown {
				t.Errorf("the work of the last seven days: %+v, %+v", gannet.Before, otter.Before)
			}
			fed := map[string]float64{} // ad lib counts as 1000; a measure of oats has 1 kg
			for _, l := range week.Lines {
				kg := l.Now.Kg.Or(0) + l.Now.Measures.Or(0)
				if l.Now.AdLib {
					kg = 1000
				}
				fed[l.Horse+" "+l.Feed] += kg
			}
			if want := "map[Gannet Hay:9 Gannet Oats:1.25 Otter Hay:1000]"; fmt.Sprint(fed) != want {
				t.Errorf("fed now: %v, want %s", fed, want)
			}
		})
	}
	if !now {
		t.Errorf("no record of version %s is kept: run testdata/records/week.txt and put its %s there", released, resultsName)
	}
}
