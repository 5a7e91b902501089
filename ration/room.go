package ration

import (
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// feedRoom is the feeds of the yard, resolved once.
type feedRoom struct {
	feeds    map[string]*feeds.Resolved // by folded name; shared, and not changed once they are here
	order    []string
	names    []string
	generic  *feeds.Table
	measures []yard.Measure
	poorSoil bool // in selenium
	findings []yard.Finding
}

func newRoom(week yard.Week, rules yard.Rules) *feedRoom {
	r := &feedRoom{feeds: map[string]*feeds.Resolved{}, generic: feeds.Load(), measures: week.Measures, poorSoil: rules.ForageSelenium == yard.SeleniumLow}
	for _, f := range week.Feeds {
		k := fold(f.Name)
		if _, twice := r.feeds[k]; twice {
			r.findings = append(r.findings, yard.Finding{Rule: "feed-twice", Severity: yard.Warn, Cell: f.Cell,
				Saying: yard.Say("finding.feed-twice", yard.FeedArg("feed", f.Name))})
			continue
		}
		r.add(f, week)
	}
	for _, l := range week.Lines {
		if r.has(l.Feed) {
			continue
		}
		if _, ok := r.generic.Lookup(l.Feed); ok {
			r.findings = append(r.findings, yard.Finding{Rule: "feed-unlisted", Severity: yard.Warn, Cell: l.Cell,
				Saying: yard.Say("finding.feed-unlisted.generic", yard.FeedArg("feed", l.Feed))})
			r.add(yard.Feed{Name: l.Feed, Cell: l.Cell}, week)
		}
	}
	return r
}

func (r *feedRoom) has(name string) bool {
	_, ok := r.feeds[fold(name)]
	return ok
}

// add puts a feed in the room and says what is not known of it.
func (r *feedRoom) add(f yard.Feed, week yard.Week) {
	known, found := r.resolve(f)
	known.Age(week.Beginning)
	k := fold(f.Name)
	r.feeds[k] = &known
	r.order = append(r.order, k)
	r.names = append(r.names, f.Name)
	r.findings = append(r.findings, found...)
	if known.Unweighed && known.Feed.MeasureName != "" { // a yard without measures weighs all it feeds
		what := "part.measure.none"
		if f.MeasureKg.IsKnown() {
			what = "part.measure.unused"
		}
		doubt := yard.Said("what", yard.Say(what, yard.Named("measure", yard.Term, known.Feed.MeasureName), yard.FeedArg("feed", f.Name)))
		says := yard.Say("finding.D-30.by weight", doubt)
		if kg, ok := known.MeasureKg.Get(); ok {
			says = yard.Say("finding.D-30.density", doubt, yard.Kg("kg", kg))
		}
		r.findings = append(r.findings, yard.Finding{Rule: "D-30", Severity: yard.Warn, Saying: says, Cell: f.Cell, Source: "ER-01 to ER-08"})
	}
}

// resolve puts a feed together with the table's, as forage here grows.
func (r *feedRoom) resolve(f yard.Feed) (feeds.Resolved, []yard.Finding) {
	known, found := r.generic.Resolve(f, r.measures)
	if r.poorSoil {
		known.PoorInSelenium()
	}
	return known, found
}

// What is grazed where the feeds sheet names no pasture.
const genericGrass, genericPasture = "Grass", "grass pasture"

// pasture is the yard's first pasture, else the generic one.
func (r *feedRoom) pasture() (*feeds.Resolved, bool) {
	for _, k := range r.order {
		if r.feeds[k].Grazed {
			return r.feeds[k], true
		}
	}
	if _, ok := r.generic.Lookup(genericPasture); !ok {
		return nil, false
	}
	known, _ := r.resolve(yard.Feed{Name: genericGrass, Generic: genericPasture})
	return &known, true
}

// find returns the feed of that name.
func (r *feedRoom) find(name string, cell yard.Cell) (*feeds.Resolved, *yard.Finding) {
	if k, ok := r.feeds[fold(name)]; ok {
		return k, nil
	}
	says := yard.Say("finding.feed-unlisted", yard.FeedArg("feed", name))
	if near := yard.Nearest(name, r.names); near != "" {
		says = yard.Say("finding.feed-unlisted.near", yard.FeedArg("feed", name), yard.FeedArg("near", near))
	}
	return nil, &yard.Finding{Rule: "feed-unlisted", Severity: yard.Stop, Cell: cell, Saying: says}
}

// check compares the feed room and the yard with every rule on them.
func (r *feedRoom) check(week yard.Week, rules yard.Rules) []yard.Finding {
	room := guard.Room{Beginning: week.Beginning}
	for _, k := range r.order {
		room.Feeds = append(room.Feeds, *r.feeds[k])
	}
	for _, h := range week.Horses {
		for _, d := range h.Work {
			if d.Event {
				room.Events = append(room.Events, h.Name)
				break
			}
		}
	}
	return guard.CheckRoom(room, rules.Limits)
}
