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

// said is what a rule says of the feed room, and where the first of the feeds it
// names stands in the workbook.
type said struct {
	words string
	first yard.Cell
}

// those says, before the words on each, of which feeds a test holds; nothing where
// it holds of none.
func (r Room) those(sev yard.Severity, before string, is func(yard.Feed) (string, bool)) (yard.Severity, said) {
	var words []string
	var first yard.Cell
	for _, f := range r.Feeds {
		text, ok := is(f.Feed)
		if !ok {
			continue
		}
		if words == nil {
			first = f.Feed.Cell
		}
		words = append(words, text)
	}
	if words == nil {
		return 0, said{}
	}
	return sev, said{before + ": " + strings.Join(words, "; "), first}
}

const day = "2 January 2006"

// Days after which a measure's weight, an analysis and open haylage are old:
// habits of the trade, no source.
const (
	measureDays  = 30
	analysisDays = 365
	openDays     = 5
)

func staleMeasures(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Note, fmt.Sprintf("last weighed over %d days before this week", measureDays), func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("the %s of %s on %s", f.MeasureName, f.Name, f.MeasureWeighed.Format(day)), f.MeasureKg.IsKnown() && older(f.MeasureWeighed, r.Beginning, measureDays)
	})
}

func measureBeforeBatch(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Warn, "the measure was weighed before the batch in use", func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s, weighed on %s, batch since %s", f.Name, f.MeasureWeighed.Format(day), f.BatchSince.Format(day)),
			f.MeasureKg.IsKnown() && !f.MeasureWeighed.IsZero() && f.MeasureWeighed.Before(f.BatchSince)
	})
}

func staleAnalysis(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Note, "the analysis is over a year old or of an older batch", func(f yard.Feed) (string, bool) {
		old := older(f.AnalysedOn, r.Beginning, analysisDays) || !f.AnalysedOn.IsZero() && f.AnalysedOn.Before(f.BatchSince)
		return fmt.Sprintf("%s of %s", f.Name, f.AnalysedOn.Format(day)), old
	})
}

func openHaylage(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Warn, fmt.Sprintf("haylage open for over %d days when the week begins", openDays), func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s since %s", f.Name, f.OpenedOn.Format(day)), strings.Contains(strings.ToLower(f.Name+" "+f.Generic), "haylage") && older(f.OpenedOn, r.Beginning, openDays)
	})
}

func expired(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Warn, "past its date when the week begins", func(f yard.Feed) (string, bool) {
		return fmt.Sprintf("%s, best before %s", f.Name, f.BestBefore.Format(day)), older(f.BestBefore, r.Beginning, 0)
	})
}

func ionophoresKept(r Room, _ yard.Limits) (yard.Severity, said) {
	return r.those(yard.Warn, "by name or label a feed for cattle or poultry, or one that holds an ionophore; none in the room is the mark", func(f yard.Feed) (string, bool) {
		return f.Name, forCattle(f)
	})
}

func contaminants(r Room, _ yard.Limits) (yard.Severity, said) {
	if r.Events == nil {
		return 0, said{}
	}
	return yard.Note, said{words: "competing this week: " + strings.Join(r.Events, ", ") + "; poppy, cocoa, caffeine and medicines in feed are found"}
}
