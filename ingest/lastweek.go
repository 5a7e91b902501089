package ingest

import (
	"cmp"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"unsafe"

	"github.com/tidwall/gjson"

	"hardfeed/ration/yard"
)

// lastRecord is what is read of a results.json: the amounts and the work of a
// week as its cards had them.
type lastRecord struct {
	recordHead
	Horses []lastHorse
	Feeds  []struct {
		Feed      string
		MeasureKg yard.Num `json:"measure_kg"`
	}
	Told []yard.Told
}

// readLast picks it out of a record: the findings and nutrients of a large yard are
// most of it.
func readLast(results string) (rec lastRecord, err error) {
	if _, _, whole := asWritten(results); !whole && !gjson.Valid(results) {
		return rec, errors.New("no JSON")
	}
	take := func(raw string, to any) {
		err = cmp.Or(err, json.Unmarshal([]byte(raw), to))
	}
	gjson.Parse(results).ForEach(func(key, v gjson.Result) bool {
		rec.take(key.Str, v)
		switch key.Str {
		case "feeds":
			take(v.Raw, &rec.Feeds)
		case "findings":
			v.ForEach(func(_, f gjson.Result) bool {
				if t, ok := toldIn(f); ok {
					rec.Told = append(rec.Told, t)
				}
				return true
			})
		case "horses":
			v.ForEach(func(_, h gjson.Result) bool {
				var l lastHorse
				h.ForEach(func(key, v gjson.Result) bool {
					switch key.Str {
					case "name":
						l.Name = strings.Clone(v.Str)
					case "status":
						l.Status = strings.Clone(v.Str)
					case "days":
						take(v.Raw, &l.Days)
					case "ration":
						take(v.Raw, &l.Ration)
					}
					return err == nil
				})
				rec.Horses = append(rec.Horses, l)
				return err == nil
			})
		}
		return err == nil
	})
	return rec, err
}

// toldIn is a stop or a warning of a record; one without a count is of that week alone.
func toldIn(f gjson.Result) (t yard.Told, ok bool) {
	severity, ok := map[string]yard.Severity{yard.Warn.String(): yard.Warn, yard.Stop.String(): yard.Stop}[f.Get("severity").Str]
	return yard.Told{Horse: strings.Clone(f.Get("horse").Str), Rule: yard.RuleID(strings.Clone(f.Get("rule").Str)), Severity: severity,
		Weeks: int(min(max(f.Get("weeks").Num, 1), mostToldWeeks))}, ok
}

// mostToldWeeks is how many weeks a thing can have been told: two years.
const mostToldWeeks = 104

type lastHorse struct {
	Name   string
	Status string
	Days   []struct {
		Kind     string
		Work     string
		Sessions *[]lastSession // null: not known
	}
	Ration []lastServing
}

type lastSession struct {
	Name                             string
	Walk, Trot, Canter, Gallop, Jump float64 // minutes
	Led, Hills                       bool
	Efforts                          int
}

type lastServing struct {
	Day, Meal, Feed, Class string
	AdLib                  bool `json:"ad_lib"`
	Kg, Measures           yard.Num
	Weigh                  bool
	From                   string // "Mon": the day of the week this amount starts
}

// LastWeek fills in what a workbook does not say of the week before from that
// week's results.json, and says so in findings: what each horse is fed now, for
// a horse of which no amount fed now is written, and the work of the last seven
// days. Only a record of the week that ends where w begins counts; any other
// leaves w as it is. w itself is not changed.
//
// What is fed now is the day of last week's card with the second most hard feed:
// the highest amount met on at least two of the seven days, which is what the
// step is measured from (limits D-01). A feed that is no longer on the feeds sheet
// is left out, which makes a rise look larger, never smaller.
func LastWeek(w yard.Week, results []byte) yard.Week {
	w, _ = lastWeek(w, results)
	return w
}

// lastWeek is the same, and false where results are no record.
func lastWeek(w yard.Week, results []byte) (yard.Week, bool) {
	rec, err := readLast(unsafe.String(unsafe.SliceData(results), len(results))) // nothing of it is kept
	if err != nil || !rec.ours() {
		w.Findings = append(slices.Clip(w.Findings), yard.Finding{Rule: "last-week", Severity: yard.Warn,
			Saying: yard.Say("finding.last-week.unread")})
		yard.SortFindings(w.Findings)
		return w, false
	}
	if w.Beginning.IsZero() || !rec.of(w.Beginning.AddDate(0, 0, -7)) {
		return w, true
	}
	week := yard.Arg{Name: "week", Value: yard.Date{Date: w.Beginning.AddDate(0, 0, -7), Year: true}}
	from := yard.Say("part.last week", week)
	if rec.edition > 1 {
		from = yard.Say("part.last week.edition", week, yard.Count("edition", rec.edition))
	}
	last := map[string]lastHorse{}
	for _, h := range rec.Horses {
		last[fold(h.Name)] = h
	}
	w.Horses, w.Lines, w.Findings = slices.Clone(w.Horses), slices.Clone(w.Lines), slices.Clone(w.Findings)
	w.Told = rec.Told
	lines := map[string][]yard.Line{}
	for _, n := range w.Lines {
		lines[fold(n.Horse)] = append(lines[fold(n.Horse)], n)
	}
	filled := map[string]bool{} // horses of which it is said now what they are fed
	worked := 0
	for i := range w.Horses {
		h := &w.Horses[i]
		l, ok := last[fold(h.Name)]
		if !ok || len(l.Days) != 7 {
			continue
		}
		if !h.BeforeGiven && l.fillWork(h) {
			worked++
		}
		k := fold(h.Name)
		if have := lines[k]; !slices.ContainsFunc(have, func(n yard.Line) bool { return n.Now.Given }) {
			fed, f, ok := l.fed(w, *h, rec, from, have)
			if !ok {
				continue
			}
			lines[k] = append(have, fed...)
			w.Lines, w.Findings = append(w.Lines, fed...), append(w.Findings, f)
			filled[h.Name] = true
		}
	}
	w.Findings = slices.DeleteFunc(w.Findings, func(f yard.Finding) bool { return f.Rule == "rations-missing" && filled[f.Horse] })
	if worked > 0 {
		w.Findings = append(w.Findings, yard.Finding{Rule: "last-week-work", Severity: yard.Note,
			Saying: yard.Say("finding.last-week-work", yard.Said("from", from), yard.Count("n", worked), yard.Count("of", len(w.Horses)))})
	}
	yard.SortFindings(w.Findings)
	return w, true
}

// fillWork puts the record's work before this week's; false where none was known.
func (l lastHorse) fillWork(h *yard.Horse) bool {
	var before [7]yard.Day
	known := false
	for i, d := range l.Days {
		day := yard.Day{Text: d.Work, StartMin: -1, Event: d.Kind == string(yard.EventDay), Unknown: d.Sessions == nil}
		if d.Sessions != nil {
			known = true
			for _, s := range *d.Sessions {
				minutes := [yard.Gaits]float64{yard.Walk: s.Walk, yard.Trot: s.Trot, yard.Canter: s.Canter, yard.Gallop: s.Gallop, yard.Jump: s.Jump}
				for _, m := range minutes {
					if m < 0 || m > 24*60 || s.Efforts < 0 {
						return false // not as this program writes it
					}
				}
				day.Sessions = append(day.Sessions, yard.Session{Name: s.Name, Minutes: minutes, Led: s.Led, Hills: s.Hills, Efforts: s.Efforts})
			}
		}
		before[i] = day
	}
	if known {
		h.Before, h.BeforeGiven = before, true
	}
	return known
}

// fedPart is one feed in one meal of a day of the record.
type fedPart struct {
	lastServing
	from int
}

// fedOn is what the card had on a day of its week.
func (l lastHorse) fedOn(day int, index func(string) (int, bool)) []fedPart {
	var parts []fedPart
	for _, s := range l.Ration {
		from, ok := index(s.From)
		if !ok || s.Day != l.Days[day].Kind || from > day {
			continue
		}
		i := slices.IndexFunc(parts, func(p fedPart) bool { return fold(p.Feed) == fold(s.Feed) && fold(p.Meal) == fold(s.Meal) })
		switch {
		case i < 0:
			parts = append(parts, fedPart{s, from})
		case from >= parts[i].from:
			parts[i] = fedPart{s, from}
		}
	}
	return parts
}

func hardKg(parts []fedPart) float64 {
	kg := 0.0
	for _, p := range parts {
		if p.Class == string(yard.HardFeed) {
			kg += p.Kg.Or(0)
		}
	}
	return kg
}

// fed is lines for what the horse is fed now, beside those it has, and what is said of
// them; false where the record tells nothing.
func (l lastHorse) fed(w yard.Week, h yard.Horse, rec lastRecord, from yard.Saying, have []yard.Line) (added []yard.Line, said yard.Finding, ok bool) {
	if l.Status != string(yard.Carded) && l.Status != string(yard.Held) {
		return nil, said, false
	}
	index := func(word string) (int, bool) {
		for i := range 7 {
			if w.Beginning.AddDate(0, 0, i).Format("Mon") == word {
				return i, true
			}
		}
		return 0, false
	}
	days := []int{0, 1, 2, 3, 4, 5, 6}
	fed := map[int][]fedPart{}
	for _, d := range days {
		fed[d] = l.fedOn(d, index)
	}
	slices.SortStableFunc(days, func(a, b int) int {
		return cmp.Or(-cmp.Compare(hardKg(fed[a]), hardKg(fed[b])), // the most first
			-cmp.Compare(l.Days[a].Kind, l.Days[b].Kind), // "work" before the others
			-cmp.Compare(a, b))
	})
	day := fed[days[1]]
	var feeds []yard.Saying
	for _, name := range feedsOf(day) {
		i := slices.IndexFunc(w.Feeds, func(f yard.Feed) bool { return fold(f.Name) == fold(name) })
		if i < 0 {
			feeds = append(feeds, yard.Say("part.fed.gone", yard.FeedArg("feed", name)))
			continue
		}
		lines, words := linesOf(h, w.Feeds[i], day, rec, have)
		if lines == nil {
			feeds = append(feeds, yard.Say("part.fed.unknown", yard.FeedArg("feed", name)))
			continue
		}
		added = append(added, lines...)
		feeds = append(feeds, words)
	}
	return added, yard.Finding{Rule: "last-week", Severity: yard.Note, Horse: h.Name, Cell: h.Cell,
		Saying: yard.Say("finding.last-week", yard.Said("from", from), yard.SayingList("feeds", yard.Comma, feeds)),
		Next:   yard.Say("next.last-week")}, len(feeds) > 0
}

// feedsOf lists the feeds of a day, each once, in the card's order.
func feedsOf(day []fedPart) []string {
	var names []string
	for _, p := range day {
		if !slices.ContainsFunc(names, func(n string) bool { return fold(n) == fold(p.Feed) }) {
			names = append(names, p.Feed)
		}
	}
	return names
}

// linesOf turns one feed of a day into lines, by meal where the workbook gives
// that feed by meal and for the whole day where it does not; nil where an amount
// is not a number. have are the horse's lines there.
func linesOf(h yard.Horse, f yard.Feed, day []fedPart, rec lastRecord, have []yard.Line) ([]yard.Line, yard.Saying) {
	byMeal := slices.ContainsFunc(have, func(n yard.Line) bool { return fold(n.Feed) == fold(f.Name) && n.Meal != "" })
	var lines []yard.Line
	total, adLib := 0.0, false
	for _, p := range day {
		if fold(p.Feed) != fold(f.Name) {
			continue
		}
		kg, ok := p.Kg.Get()
		if !ok || kg < 0 || kg > 100 {
			return nil, yard.Saying{}
		}
		total, adLib = total+kg, adLib || p.AdLib
		a := yard.Amount{Given: true, Kg: yard.Known(kg)}
		switch n, ok := p.Measures.Get(); {
		case p.AdLib:
			a = yard.Amount{Given: true, AdLib: true}
		case ok && !p.Weigh && sameMeasure(f, rec) && math.Abs(n*f.MeasureKg.Or(0)-kg) < 1e-3:
			// Whole quarters say the amount better than kilograms that were rounded.
			a = yard.Amount{Given: true, Measures: yard.Known(n)}
		}
		meal := p.Meal
		if !byMeal {
			meal = ""
		}
		lines = append(lines, yard.Line{Horse: h.Name, Feed: f.Name, Meal: meal, Now: a, Cell: yard.Cell{Sheet: "last week's cards"}})
	}
	if adLib {
		return lines, yard.Say("part.fed.ad lib", yard.FeedArg("feed", f.Name))
	}
	return lines, yard.Say("part.fed", yard.FeedArg("feed", f.Name), yard.Figures("kg", math.Round(total*1000)/1000, yard.Kilograms, 6))
}

// sameMeasure says whether a measure of the feed weighs what it did last week.
func sameMeasure(f yard.Feed, rec lastRecord) bool {
	now, ok := f.MeasureKg.Get()
	if !ok {
		return false
	}
	for _, l := range rec.Feeds {
		if fold(l.Feed) == fold(f.Name) {
			was, ok := l.MeasureKg.Get()
			return ok && math.Abs(was-now) < 1e-9
		}
	}
	return false
}
