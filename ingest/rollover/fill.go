package rollover

import (
	"maps"
	"slices"
	"strings"

	"hardfeed/ingest/board"
	"hardfeed/ingest/edit"
	"hardfeed/ration/yard"
)

// nowSpots are the places of what is fed now, and where each of them is in next week's
// workbook: where last week's tab says it, on that tab.
func (m *mover) nowSpots(horse string) (spots []*board.Spot, place func(*board.Spot) at) {
	before := false
	for _, s := range m.spots[horse] {
		if s.Kind == board.NowSpot {
			spots = append(spots, s)
			before = before || m.tab.all[s.Sheet] && s.Age > 0
		}
	}
	if !before {
		return spots, m.placeOf
	}
	spots = nil
	for _, s := range m.spots[horse] {
		if s.Kind == board.PlanSpot && s.Sheet == m.tab.last && s.Age == 0 {
			spots = append(spots, s)
		}
	}
	return spots, m.placeNow
}

// dailyPlan is from how many days on a plan is one of each day: a day alone is the one it
// counts from, and a few are steps, which are hers to write.
const dailyPlan = 5

// fillPlan writes what the path gives next week where she plans: for the week, or for
// each of its days.
func (m *mover) fillPlan(h yard.HorsePlan, known func(feed string) bool) {
	horse := h.Horse.Name
	if m.noPlan[horse] {
		m.leave(horse, yard.Cell{}, "part.next.no path", yard.Named("amounts", yard.HerWords, m.sayFed(endsOn(h, known))))
		return
	}
	days := map[int][]*board.Spot{} // -1: of no one day
	for _, s := range m.spots[horse] {
		if s.Kind == board.PlanSpot && s.Age == 0 {
			days[s.Day] = append(days[s.Day], s)
		}
	}
	why := yard.Say("part.next.path")
	if len(days) == 1 {
		for _, whole := range days {
			m.planned[horse] = endsOn(h, known)
			m.fill(horse, whole, m.placeOf, m.planned[horse], why)
		}
	}
	if len(days[-1]) > 0 || len(days) < dailyPlan {
		return
	}
	first := (int(m.opt.Planned.Week.Beginning.Weekday()) + 6) % 7
	for _, day := range slices.Sorted(maps.Keys(days)) {
		if slices.ContainsFunc(days[day], func(s *board.Spot) bool { return len(s.Parts) == 0 && !s.Empty && !s.Nothing }) {
			continue // it was cleared: a day off, or one that was not read
		}
		m.planned[horse] = endsOn(h, known)
		m.fill(horse, days[day], m.placeOf, servedOn(h, known, yard.Weekday((day-first+7)%7)), why)
	}
}

// fill writes a ration into places of a horse.
func (m *mover) fill(horse string, spots []*board.Spot, place func(*board.Spot) at, want fed, why yard.Saying) {
	now := why.Key == "part.next.now"
	if now && m.sharedOtherwise(horse, spots, want) {
		return
	}
	kg, more := m.shareOut(horse, spots, want)
	parts := len(more)
	for _, s := range spots {
		parts += len(s.Parts)
	}
	if now && m.how[horse] > inHerWords {
		m.leave(horse, yard.Cell{}, "part.next.meals")
	}
	m.style.partKg = exactKg / float64(max(parts, 1))
	texts := map[*board.Spot]string{}
	for _, s := range spots {
		texts[s] = m.textOf(horse, s, kg[s])
		if k := place(s); len(s.Parts) == 0 && !s.Empty && !s.Nothing && k == m.placeNow(s) && m.tab.all[s.Sheet] {
			texts[s] = m.before(horse, s) // "same" as on a tab that is now two weeks old
		}
	}
	if now && (len(want) == 0 || parts == 0) {
		m.sayNothing(horse, spots, texts)
	}
	for _, e := range more {
		if !m.add(horse, spots, texts, e, now) && now {
			m.leave(horse, yard.Cell{}, "part.next.no place", yard.Named("feed", yard.FeedName, e.feed), yard.Kg("kg", e.kg))
			m.how[horse] = notAtAll
		}
	}
	if m.how[horse] == notAtAll {
		return
	}
	for _, s := range spots {
		k := place(s)
		if texts[s] != s.Text || m.made[k] != nil && m.made[k].Is != texts[s] {
			m.put(k, horse, texts[s], why)
		}
	}
}

// sharedOtherwise says whether cells of a horse are another's too, whose card ended on
// something else: then nothing is written for either.
func (m *mover) sharedOtherwise(horse string, spots []*board.Spot, want fed) bool {
	others := m.sharing(horse, spots)
	if !slices.ContainsFunc(others, func(o string) bool { return !m.alike(o, want) }) {
		return false
	}
	m.how[horse] = notAtAll
	m.leave(horse, yard.Cell{}, "part.next.shared", yard.Named("others", yard.HerWords, strings.Join(others, ", ")), yard.Named("amounts", yard.HerWords, m.sayFed(want)))
	return true
}

// shareOut gives each part of the places its kilograms; more is what has no place there.
func (m *mover) shareOut(horse string, spots []*board.Spot, want fed) (kg map[*board.Spot][]float64, more []extra) {
	kg = map[*board.Spot][]float64{}
	for _, s := range spots {
		kg[s] = make([]float64, len(s.Parts))
		for i, p := range s.Parts {
			kg[s][i] = p.Kg
		}
	}
	for _, f := range m.src.Week.Feeds {
		if m.adLib(horse, f.Name) {
			continue
		}
		left := share(spots, kg, f.Name, want[f.Name], m.how[horse] > inHerWords)
		if len(left) > 0 && slices.ContainsFunc(spots, func(s *board.Spot) bool { return (s.Empty || s.Nothing) && s.Feed == f.Name && s.Meal == "" }) {
			left = []extra{{feed: f.Name, kg: fed{f.Name: want[f.Name]}.day(f.Name)}} // its place is for the day
		}
		more = append(more, left...)
	}
	return kg, more
}

// before is what stood in a place a week before, where that says that nothing is fed.
func (m *mover) before(horse string, s *board.Spot) string {
	for _, x := range m.spots[horse] {
		if x.Age == s.Age+1 && sameFact(x, s) && x.Nothing {
			return x.Text
		}
	}
	return s.Text
}

// sayNothing writes that a horse is fed nothing where that was not said.
func (m *mover) sayNothing(horse string, spots []*board.Spot, texts map[*board.Spot]string) {
	if slices.ContainsFunc(m.src.Week.Lines, func(l yard.Line) bool { return l.Horse == horse && l.Now.Given }) {
		return
	}
	nothing := "0"
	for _, s := range m.src.Whence.Spots {
		if s.Nothing && s.Kind == board.NowSpot && !s.Number {
			nothing = s.Text
			break
		}
	}
	for _, s := range spots {
		if s.Empty && s.Age == 0 {
			texts[s] = nothing
		}
	}
}

// sharing are the other horses whose amounts are in the same cells.
func (m *mover) sharing(horse string, spots []*board.Spot) (out []string) {
	for _, s := range spots {
		for _, o := range m.shared[m.placeOf(s)] {
			if o != horse && !slices.Contains(out, o) {
				out = append(out, o)
			}
		}
	}
	return out
}

// alike says whether another horse's card ended on the same.
func (m *mover) alike(other string, want fed) bool {
	for _, h := range m.plan.Horses {
		if h.Horse.Name != other {
			continue
		}
		if h.Status == yard.NoCard {
			return false
		}
		theirs := endsOn(h, func(string) bool { return true })
		for _, f := range m.src.Week.Feeds {
			if d := theirs.day(f.Name) - want.day(f.Name); d > 0.01 || d < -0.01 {
				return false
			}
		}
		return true
	}
	return false
}

// extra is an amount for which no place has a number yet.
type extra struct {
	feed, meal string
	kg         float64
}

// share gives the amounts of a feed to the parts that are of it, each meal's to its own.
// all: what is left goes to the last of them.
func share(spots []*board.Spot, kg map[*board.Spot][]float64, feed string, want map[string]float64, all bool) (more []extra) {
	left := map[string]float64{}
	for m, v := range want {
		left[m] = v
	}
	type place struct {
		s *board.Spot
		i int
	}
	var bare, named []place
	for _, s := range spots {
		for i, p := range s.Parts {
			if p.Feed != feed {
				continue
			}
			if p.Meal == "" {
				bare = append(bare, place{s, i})
				continue
			}
			named = append(named, place{s, i})
			kg[s][i] = left[p.Meal]
			delete(left, p.Meal)
		}
	}
	rest := 0.0
	for _, v := range left {
		rest += v
	}
	for n, b := range bare {
		kg[b.s][b.i] = 0
		if n == 0 {
			kg[b.s][b.i] = rest
		}
	}
	if all && len(bare) == 0 && len(named) > 0 && oneNumber(spots, feed, len(named)) {
		for _, n := range named { // "1½ scoops am + pm"
			kg[n.s][n.i] = fed{feed: want}.day(feed) / float64(len(named))
		}
		return nil
	}
	if all && len(bare) == 0 && len(named) > 0 {
		last := named[len(named)-1]
		kg[last.s][last.i] += rest
		return nil
	}
	if len(bare) > 0 || rest == 0 {
		return nil
	}
	if all {
		return []extra{{feed: feed, kg: rest}}
	}
	for _, meal := range sorted(left) {
		if left[meal] > 0 {
			more = append(more, extra{feed, meal, left[meal]})
		}
	}
	return more
}

// oneNumber says whether all parts of a feed are one number of one cell, for several
// meals.
func oneNumber(spots []*board.Spot, feed string, parts int) bool {
	for _, s := range spots {
		n := 0
		for _, p := range s.Parts {
			if p.Feed == feed && p.Start == s.Parts[0].Start && p.End == s.Parts[0].End {
				n++
			}
		}
		if n > 1 && n == parts {
			return true
		}
	}
	return false
}

func sorted(m map[string]float64) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// textOf is what is to stand in a place for its parts.
func (m *mover) textOf(horse string, s *board.Spot, kg []float64) string {
	if len(s.Parts) == 0 {
		return s.Text
	}
	same := true
	for i, p := range s.Parts {
		same = same && p.Known && p.Kg-kg[i] < sameKg && kg[i]-p.Kg < sameKg
	}
	if same && s.From == s.Text && !s.Unclear {
		return s.Text
	}
	if m.how[horse] <= byDay && !s.Unclear {
		if s.Number && s.From == s.Text && len(s.Parts) == 1 && s.Parts[0].KgPer > 0 {
			return decimal(kg[0]/s.Parts[0].KgPer, m.style.partKg/s.Parts[0].KgPer)
		}
		if text, ok := rewritten(m.src.Whence.Words, m.style, *s, kg); ok {
			return text
		}
	}
	var out []string
	for i, p := range s.Parts {
		out = append(out, m.inKg(s, p.Feed, p.Meal, kg[i]))
	}
	return strings.Join(out, " + ")
}

// inKg is an amount in kilograms, with what the place's heading does not say.
func (m *mover) inKg(s *board.Spot, feed, meal string, kg float64) string {
	text := style{comma: m.style.comma, partKg: m.style.partKg}.write(kg, 1) + " kg"
	if s.Feed == "" {
		text += " " + feed
	}
	if s.Meal == "" && meal != "" {
		text += " " + meal
	}
	return text
}

// add finds a place for an amount that has none.
func (m *mover) add(horse string, spots []*board.Spot, texts map[*board.Spot]string, e extra, now bool) bool {
	var best *board.Spot
	rank := 0
	for _, s := range spots {
		if s.Day >= 0 || s.Feed != "" && s.Feed != e.feed || s.Meal != "" && s.Meal != e.meal && e.meal != "" {
			continue
		}
		free := (s.Empty || s.Nothing || texts[s] == "") && !m.taken[s]
		if !free && s.Feed != "" {
			continue // it has its number
		}
		r := 1
		if s.Feed == e.feed {
			r += 4
		}
		if s.Meal == e.meal {
			r += 2
		}
		if !free {
			r++ // beside what is fed already
		}
		if r > rank {
			best, rank = s, r
		}
	}
	if best != nil {
		text := m.likeOthers(horse, best, e)
		if free := (best.Empty || best.Nothing || texts[best] == "") && !m.taken[best]; !free {
			text = texts[best] + " + " + text
		}
		texts[best] = text
		m.taken[best] = true
		return true
	}
	return now && m.addRow(horse, e)
}

// likeOthers is an amount in the words of another place that has one of the same feed.
func (m *mover) likeOthers(horse string, s *board.Spot, e extra) string {
	if m.how[horse] <= byDay {
		var like *board.Spot
		rank := 0
		for i := range m.src.Whence.Spots {
			x := &m.src.Whence.Spots[i]
			if len(x.Parts) != 1 || x.Parts[0].Feed != e.feed || x.Parts[0].KgPer <= 0 || x.Feed != s.Feed || x.Unclear || x.Day >= 0 {
				continue
			}
			r := 1
			if x.Sheet == s.Sheet && (x.At[0] == s.At[0] || x.At[1] == s.At[1]) {
				r += 4
			}
			if x.Meal == s.Meal && (s.Meal != "" || x.Parts[0].Meal == e.meal) {
				r += 2
			}
			if x.Kind == s.Kind {
				r++
			}
			if r > rank {
				like, rank = x, r
			}
		}
		if like != nil && (like.Meal != "" || like.Parts[0].Meal == e.meal || s.Meal != "" || like.Parts[0].Meal == "") {
			if like.Number {
				return decimal(e.kg/like.Parts[0].KgPer, m.style.partKg/like.Parts[0].KgPer)
			}
			if text, ok := rewritten(m.src.Whence.Words, m.style, *like, []float64{e.kg}); ok {
				if like.Parts[0].Meal == "" && s.Meal == "" && e.meal != "" {
					text += " " + e.meal
				}
				return text
			}
		}
	}
	return m.inKg(s, e.feed, e.meal, e.kg)
}

// addRow adds a row below the first list of rations; false where there is none.
func (m *mover) addRow(horse string, e extra) bool {
	if len(m.src.Whence.Lists) == 0 {
		return false
	}
	l := m.src.Whence.Lists[0]
	if m.list[l.Sheet] == 0 {
		m.list[l.Sheet] = l.Last
	}
	m.list[l.Sheet]++
	row := m.list[l.Sheet]
	cells := map[int]string{l.Horse: horse, l.Feed: e.feed, l.Now: style{partKg: m.style.partKg}.write(e.kg, 1) + " kg"}
	if l.Meal > 0 {
		cells[l.Meal] = e.meal
	}
	for _, col := range []int{l.Horse, l.Feed, l.Meal, l.Now} {
		if col > 0 && cells[col] != "" {
			m.put(at{l.Sheet, edit.Place{Row: row, Col: col}}, horse, cells[col], yard.Say("part.next.row"))
		}
	}
	return true
}
