package board

import (
	"maps"
	"strings"

	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// feedRoom is what the book says of its feeds: which there are, and what a measure of each
// weighs.
type feedRoom struct {
	lang        *language
	feeds       map[string]*feedInfo // by their folded names
	order       []string             // as they came up
	anyFeed     map[string]float64   // kg of one measure of any feed
	changes     int                  // of which feeds there are
	measures    []string             // that a legend weighs
	legend      *Cell                // the first that does
	legendSheet *sheetData
}

func newFeedRoom(lang *language) *feedRoom {
	return &feedRoom{lang: lang, feeds: map[string]*feedInfo{}, anyFeed: map[string]float64{}}
}

// feedInfo is one of the yard's feeds.
type feedInfo struct {
	name   string // as first written
	key    string // its class in the tables: "hard", "balancer", "chaff", …
	at     *obs
	uses   int
	legend bool               // a legend names it
	perKg  map[string]float64 // measure -> kg of one
	twice  map[string]bool    // measures of which two weights are said
}

// feedNamed finds or adds a feed by its name.
func (room *feedRoom) feedNamed(name, key string, o *obs) string {
	f := foldFeed(name)
	info := room.feeds[f]
	if info == nil {
		// "nuts" beside "pony nuts" is the same where only one such is known.
		var like []string
		const most = 1000 // of feeds a yard has: of more, none is likely meant
		for k := range room.feeds {
			if len(room.feeds) > most {
				break
			}
			if wordsWithin(f, k) || wordsWithin(k, f) {
				like = append(like, k)
			}
		}
		if len(like) == 1 {
			return like[0]
		}
		info = room.add(f, &feedInfo{name: strings.TrimSpace(name), key: key, at: o})
	}
	if info.key == "" {
		info.key = key
	}
	if info.at == nil {
		info.at = o
	}
	return f
}

// add adds a feed by its folded name.
func (room *feedRoom) add(folded string, info *feedInfo) *feedInfo {
	info.perKg, info.twice = map[string]float64{}, map[string]bool{}
	room.feeds[folded] = info
	room.order = append(room.order, folded)
	room.changes++
	return info
}

// leaving does something that leaves no feed behind that was not there before.
func (room *feedRoom) leaving(do func()) {
	order, feeds := room.order, maps.Clone(room.feeds)
	do()
	if len(room.order) > len(order) {
		room.order, room.feeds = order, feeds
		room.changes++
	}
}

func foldFeed(name string) string {
	f := foldName(strings.Trim(name, " .,:;-–'’"))
	return strings.TrimPrefix(strings.TrimPrefix(f, "d'"), "de ")
}

// wordsWithin says whether all words of a are words of b, in the same order.
func wordsWithin(a, b string) bool {
	return strings.HasSuffix(" "+b, " "+a) || strings.HasPrefix(b+" ", a+" ")
}

// kgOf is what one of a unit or measure of a feed weighs; false where nobody said.
func (room *feedRoom) kgOf(unit, feed string) (float64, bool) {
	if kg, ok := quantity.KgPer(unit); ok && unit != "" {
		return kg, true
	}
	if info := room.feeds[feed]; info != nil {
		if kg, ok := info.perKg[unit]; ok {
			return kg, !info.twice[unit]
		}
	}
	if kg, ok := room.anyFeed[unit]; ok {
		return kg, true
	}
	return 0, false
}

// notHard says whether a class of feed is none of the hard feeds.
func notHard(key string) bool {
	switch key {
	case "chaff", "hay", "oil", "salt", "succulent", "medicine":
		return true
	}
	return false
}

// isHard says whether a feed counts as hard feed.
func (room *feedRoom) isHard(feed string) bool {
	return !notHard(room.feeds[feed].key)
}

// isFeedOfBook says whether a name is that of a feed somebody is fed, or a legend
// tells of.
func (room *feedRoom) isFeedOfBook(name string) bool {
	info := room.feeds[foldFeed(name)]
	return name != "" && info != nil && (info.legend || info.uses > 0)
}

// feedOfMeasure is the one feed the book's legends speak of, where they say what a measure of
// it weighs: "1 can pellets = 3 lb" says what is in "2 cans"; "" else.
func (room *feedRoom) feedOfMeasure(unit string) string {
	only := ""
	for _, f := range room.order {
		info := room.feeds[f]
		if _, weighed := info.perKg[unit]; info.legend && (!weighed || only != "") {
			return ""
		} else if weighed {
			only = info.name
		}
	}
	return only
}

// onlyFeed is the one feed of the portions of a ration that count; "" of several.
func (room *feedRoom) onlyFeed(r *ration, counts func(portion) bool) string {
	only := ""
	for _, q := range r.portions {
		switch {
		case q.vague || !counts(q) || q.feed == only:
		case only != "":
			return ""
		default:
			only = q.feed
		}
	}
	if only == "" {
		return ""
	}
	return room.feeds[only].name
}

// mainFeed is the yard's most used hard feed.
func (room *feedRoom) mainFeed() string {
	best := ""
	for _, f := range room.order {
		info := room.feeds[f]
		if info.key != "" && info.key != "hard" {
			continue
		}
		if best == "" || info.uses > room.feeds[best].uses {
			best = f
		}
	}
	if best == "" && len(room.order) > 0 {
		best = room.order[0]
	}
	return best
}

func (room *feedRoom) feedKeyOf(name string) string {
	return room.feedNamed(name, room.lang.feedKey(name), nil)
}

// hardKg is the hard feed of a ration in kilograms a day; unknown where nothing is
// said or a part of it could not be read.
func (room *feedRoom) hardKg(r ration) yard.Num {
	if !r.said || r.unknown {
		return yard.Num{}
	}
	sum := 0.0
	for _, p := range r.portions {
		switch {
		case p.vague || !room.isHard(p.feed):
		case !p.known:
			return yard.Num{}
		default:
			sum += p.kg
		}
	}
	return yard.Known(sum)
}
