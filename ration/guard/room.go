package guard

import (
	"fmt"
	"strings"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// Room is what the rules on the feed room and the yard look at.
type Room struct {
	Beginning time.Time // zero: unknown
	Feeds     []feeds.Known
	Events    []string // "Gannet Sat"
}

// those are the feeds a test holds for, in words.
func (r Room) those(is func(yard.Feed) (string, bool)) string {
	var out []string
	for _, f := range r.Feeds {
		if words, ok := is(f.Feed); ok {
			out = append(out, words)
		}
	}
	return strings.Join(out, "; ")
}

const day = "2 January 2006"

// Days after which a measure's weight, an analysis and open haylage are old:
// habits of the trade, no source.
const (
	measureDays  = 30
	analysisDays = 365
	openDays     = 5
)

func staleMeasures(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("the %s of %s on %s", f.MeasureName, f.Name, f.MeasureWeighed.Format(day)), f.MeasureKg.IsKnown() && older(f.MeasureWeighed, r.Beginning, measureDays)
	})
	if s == "" {
		return 0, ""
	}
	return yard.Note, fmt.Sprintf("last weighed over %d days before this week: %s", measureDays, s)
}

func measureBeforeBatch(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s, weighed on %s, batch since %s", f.Name, f.MeasureWeighed.Format(day), f.BatchSince.Format(day)),
			f.MeasureKg.IsKnown() && !f.MeasureWeighed.IsZero() && f.MeasureWeighed.Before(f.BatchSince)
	})
	if s == "" {
		return 0, ""
	}
	return yard.Warn, "the measure was weighed before the batch in use: " + s
}

func staleAnalysis(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) {
		old := older(f.AnalysedOn, r.Beginning, analysisDays) || !f.AnalysedOn.IsZero() && f.AnalysedOn.Before(f.BatchSince)
		return fmt.Sprintf("%s of %s", f.Name, f.AnalysedOn.Format(day)), old
	})
	if s == "" {
		return 0, ""
	}
	return yard.Note, "the analysis is over a year old or of an older batch: " + s
}

func openHaylage(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s since %s", f.Name, f.OpenedOn.Format(day)), strings.Contains(strings.ToLower(f.Name+" "+f.Generic), "haylage") && older(f.OpenedOn, r.Beginning, openDays)
	})
	if s == "" {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("haylage open for over %d days when the week begins: %s", openDays, s)
}

func expired(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s, best before %s", f.Name, f.BestBefore.Format(day)), older(f.BestBefore, r.Beginning, 0)
	})
	if s == "" {
		return 0, ""
	}
	return yard.Warn, "past its date when the week begins: " + s
}

func ionophoresKept(r Room, _ yard.Limits) (yard.Severity, string) {
	s := r.those(func(f yard.Feed) (string, bool) { return f.Name, forCattle(f) })
	if s == "" {
		return 0, ""
	}
	return yard.Warn, "by name or label a feed for cattle or poultry, or one that holds an ionophore; none in the room is the mark: " + s
}

func contaminants(r Room, _ yard.Limits) (yard.Severity, string) {
	if r.Events == nil {
		return 0, ""
	}
	return yard.Note, "competing this week: " + strings.Join(r.Events, ", ") + "; poppy, cocoa, caffeine and medicines in feed are found"
}
