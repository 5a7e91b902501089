package guard

import (
	"slices"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// Room is what the rules on the feed room and the yard look at.
type Room struct {
	Beginning time.Time // zero: unknown
	Feeds     []feeds.Resolved
	Events    []string // "Gannet Sat"
}

// roomFinding is what a rule says of the feed room, and where the first of the feeds
// it names is in the workbook.
type roomFinding struct {
	says  yard.Saying
	first yard.Cell
}

// feedsWhere says, in a text with a place for them, of which feeds a test holds;
// nothing where it holds of none.
func (r Room) feedsWhere(sev yard.Severity, says yard.Saying, is func(yard.Feed) (yard.Saying, bool)) (yard.Severity, roomFinding) {
	var of []yard.Saying
	var first yard.Cell
	for _, f := range r.Feeds {
		what, ok := is(f.Feed)
		if !ok {
			continue
		}
		if of == nil {
			first = f.Feed.Cell
		}
		of = append(of, what)
	}
	if of == nil {
		return 0, roomFinding{}
	}
	says.Args = append(says.Args, yard.SayingList("feeds", yard.Semicolon, of))
	return sev, roomFinding{says, first}
}

func dateArg(name string, t time.Time) yard.Arg {
	return yard.Arg{Name: name, Value: yard.Date{Date: t, Year: true}}
}

func daysArg(days int) yard.Arg { return yard.Fixed("days", float64(days), yard.Days, 0) }

// Days after which a measure's weight, an analysis and open haylage are old:
// habits of the trade, no source.
const (
	measureDays  = 30
	analysisDays = 365
	openDays     = 5
)

func staleMeasures(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	return r.feedsWhere(yard.Note, yard.Say("finding.D-30.measures", daysArg(measureDays)), func(f yard.Feed) (yard.Saying, bool) {
		return yard.Say("part.measure.old", yard.Named("measure", yard.Term, f.MeasureName), yard.FeedArg("feed", f.Name), dateArg("date", f.MeasureWeighed)),
			f.MeasureKg.IsKnown() && older(f.MeasureWeighed, r.Beginning, measureDays)
	})
}

func measureBeforeBatch(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	return r.feedsWhere(yard.Warn, yard.Say("finding.room-batch"), func(f yard.Feed) (yard.Saying, bool) {
		return yard.Say("part.batch", yard.FeedArg("feed", f.Name), dateArg("weighed", f.MeasureWeighed), dateArg("since", f.BatchSince)),
			f.MeasureKg.IsKnown() && !f.MeasureWeighed.IsZero() && f.MeasureWeighed.Before(f.BatchSince)
	})
}

func staleAnalysis(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	return r.feedsWhere(yard.Note, yard.Say("finding.room-analysis"), func(f yard.Feed) (yard.Saying, bool) {
		old := older(f.AnalysedOn, r.Beginning, analysisDays) || !f.AnalysedOn.IsZero() && f.AnalysedOn.Before(f.BatchSince)
		return yard.Say("part.of date", yard.FeedArg("feed", f.Name), dateArg("date", f.AnalysedOn)), old
	})
}

func openHaylage(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	wrapped := Room{Beginning: r.Beginning, Feeds: slices.DeleteFunc(slices.Clone(r.Feeds), func(k feeds.Resolved) bool { return !k.Haylage })}
	return wrapped.feedsWhere(yard.Warn, yard.Say("finding.room-open", daysArg(openDays)), func(f yard.Feed) (yard.Saying, bool) {
		return yard.Say("part.since date", yard.FeedArg("feed", f.Name), dateArg("date", f.OpenedOn)), older(f.OpenedOn, r.Beginning, openDays)
	})
}

func expired(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	return r.feedsWhere(yard.Warn, yard.Say("finding.room-expired"), func(f yard.Feed) (yard.Saying, bool) {
		return yard.Say("part.best before", yard.FeedArg("feed", f.Name), dateArg("date", f.BestBefore)), older(f.BestBefore, r.Beginning, 0)
	})
}

func ionophoresKept(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	return r.feedsWhere(yard.Warn, yard.Say("finding.SH-01.room"), func(f yard.Feed) (yard.Saying, bool) {
		return yard.Say("part.feed", yard.FeedArg("feed", f.Name)), forCattle(f)
	})
}

func contaminants(r Room, _ yard.Limits) (yard.Severity, roomFinding) {
	if r.Events == nil {
		return 0, roomFinding{}
	}
	return yard.Note, roomFinding{says: yard.Say("finding.SH-14", yard.Names("horses", yard.Comma, yard.HorseName, r.Events))}
}
