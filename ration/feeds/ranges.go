package feeds

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ration/yard"
)

//go:embed ranges.csv
var rangesCSV string

//go:embed unused.csv
var unusedCSV string

// Kind is what feeds are alike in content: "grass hay", "cereal". Every generic
// feed has one.
type Kind string

const (
	grassHay Kind = "grass hay"
	pasture  Kind = "pasture"
	straw    Kind = "straw"
	bran     Kind = "bran"
	// cerealKind and haylageKind are named so beside the properties of those names.
	cerealKind   Kind = "cereal"
	haylageKind  Kind = "haylage"
	PulpAndHulls Kind = "pulp and hulls"
	mineralKind  Kind = "mineral"
	Compound     Kind = "compound" // a made feed of any sort, balancers too

	// Supplementary is anything by the gram that is no generic feed.
	Supplementary Kind = "supplement"
	soakedLow          = 1 - 0.54 // evidence HY-23: the most sugar that 16 h of water took
)

// forageKinds are the kinds a forage may be that is not said to be any of them.
var forageKinds = []Kind{grassHay, "warm-season hay", "lucerne", haylageKind, pasture, straw}

// Range is what a kind of feed holds of one constituent, in its unit per kg of dry
// matter (dry matter itself per kg as fed).
type Range struct {
	// Least and Most are what can be right for any one feed of the kind: a figure
	// outside them is a slip. They are half the least (of starch, sugar, fat and
	// chloride a quarter) and twice the most that is published, or that one in forty
	// passes by the published mean and SD (ours).
	Least, Most yard.Num
	// Low and High are the ends a feed of the kind lies between, where a spread is
	// published, and Mean the published mean; unknown where none is.
	Low, Mean, High yard.Num
	Source          string // rows of the reference tables, and what is ours
}

// Holds says whether a figure lies inside what can be right; it does where nothing
// is known to compare it with.
func (r Range) Holds(v float64) bool {
	const tolerance = 1e-3 // the table's three figures
	least, ok1 := r.Least.Get()
	most, ok2 := r.Most.Get()
	return !ok1 || !ok2 || v >= least*(1-tolerance) && v <= most*(1+tolerance)
}

// Unused is a figure that a source prints and that is not used.
type Unused struct {
	Constituent string // its name
	Printed     float64
	Why         string
}

// rangesOf holds a kind's ranges in the order of [yard.Constituents].
type rangesOf map[Kind][]Range

// loadRanges reads the table of ranges. It panics where that is malformed: a
// mistake of ours, caught by this package's tests.
func loadRanges() rangesOf {
	out := rangesOf{}
	for _, row := range records("ranges.csv", rangesCSV) {
		k := Kind(row[0])
		if out[k] == nil {
			out[k] = make([]Range, len(yard.Constituents()))
		}
		i := constituentOf("ranges.csv", row[1])
		if out[k][i].Source != "" {
			panic(fmt.Sprintf("feeds: ranges.csv: %s of %s stands twice", row[1], k))
		}
		num := func(c int) yard.Num { return number("ranges.csv", row[c]) }
		out[k][i] = Range{Least: num(2), Low: num(3), Mean: num(4), High: num(5), Most: num(6), Source: row[7]}
	}
	return out
}

// loadUnused reads the figures that are not used, by generic feed.
func loadUnused() map[string][]Unused {
	out := map[string][]Unused{}
	for _, row := range records("unused.csv", unusedCSV) {
		n := yard.Constituents()[constituentOf("unused.csv", row[1])]
		out[row[0]] = append(out[row[0]], Unused{n.Name, number("unused.csv", row[2]).Or(0), row[3]})
	}
	return out
}

func records(name, text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic("feeds: " + name + ": " + err.Error())
	}
	return rows[1:]
}

func number(name, s string) yard.Num {
	if s == "" {
		return yard.Num{}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("feeds: " + name + ": " + err.Error())
	}
	return yard.Known(v)
}

func constituentOf(name, column string) int {
	i := slices.IndexFunc(yard.Constituents(), func(n yard.Constituent) bool { return n.Column == column })
	if i < 0 {
		panic("feeds: " + name + ": no constituent has the column " + column)
	}
	return i
}

// RangeOf is what feeds of a kind hold of a constituent; ok is false where nothing
// is published of it.
func (t *Table) RangeOf(k Kind, n yard.Constituent) (r Range, ok bool) {
	if t.ranges[k] == nil {
		return Range{}, false
	}
	r = t.ranges[k][constituentOf("ranges.csv", n.Column)]
	return r, r.Source != ""
}

// Ends are what a feed may hold at the least and at the most. They are read only and
// shared.
type Ends struct {
	Low, High yard.Composition
	// Most is the most there can be of what is known neither of the feed nor of its
	// kind's spread.
	Most yard.Composition
}

// LowEnd is the composition at the low end of what the feed may hold: a figure of
// the yard's own is its own end. An unknown is known nothing about, so its low end
// is unknown too.
func (k *Resolved) LowEnd() yard.Composition {
	if k.Ends == nil {
		return k.Composition
	}
	return k.Ends.Low
}

// HighEnd is the same at the high end.
func (k *Resolved) HighEnd() yard.Composition {
	if k.Ends == nil {
		return k.Composition
	}
	return k.Ends.High
}

// Between is how much an amount holds at the least and at the most; an end is
// unknown where nothing is known of it.
func (k *Resolved) Between(amount yard.KgFed, of func(yard.Composition) yard.Num) yard.Range {
	low, high := &k.Composition, &k.Composition
	if k.Ends != nil {
		low, high = &k.Ends.Low, &k.Ends.High
	}
	return yard.Range{Low: product(amount, low.DM, of(*low)), High: product(amount, high.DM, of(*high))}
}

// AtHighEnd is how much an amount holds where its dry matter is as it mostly is, and
// that holds the most it may: for marks on a kilo of dry matter.
func (k *Resolved) AtHighEnd(amount yard.KgFed, of func(yard.Composition) yard.Num) yard.Num {
	if k.Ends == nil {
		return product(amount, k.Composition.DM, of(k.Composition))
	}
	return product(amount, k.Composition.DM, of(k.Ends.High))
}

// AtMost is the most an amount can hold of what is not known of it.
func (k *Resolved) AtMost(amount yard.KgFed, of func(yard.Composition) yard.Num) yard.Num {
	if k.Ends == nil {
		return yard.Num{}
	}
	return product(amount, yard.Known(k.Ends.High.DM.Or(1)), of(k.Ends.Most))
}

func product(amount yard.KgFed, dm, per yard.Num) yard.Num {
	if amount == 0 {
		return yard.Known(0)
	}
	d, ok1 := dm.Get()
	c, ok2 := per.Get()
	if !ok1 || !ok2 {
		return yard.Num{}
	}
	return yard.Known(float64(amount) * d * c)
}

// spread sets the feed's ends, and takes the published mean of its kind for what is
// known of it from nowhere else. own is what the workbook says: no range widens it.
func (t *Table) spread(k *Resolved, own yard.Composition) {
	ranges := t.ranges[k.Kind]
	if ranges == nil {
		return
	}
	var from []string
	e := &Ends{}
	for i, n := range yard.Constituents() {
		r, v := ranges[i], n.In(&k.Composition)
		low, high := n.In(&e.Low), n.In(&e.High)
		if !v.IsKnown() && r.Mean.IsKnown() {
			*v = r.Mean
			from = append(from, n.Name)
		}
		*low, *high = *v, *v
		if n.Of(own).IsKnown() || k.Grazed && n.Name == dryMatterName {
			continue // of grass the dry matter is what is estimated, not the weight
		}
		if l, ok := r.Low.Get(); ok {
			*low, *high = yard.Known(min(l, v.Or(l))), yard.Known(max(r.High.Or(l), v.Or(l)))
		}
		if !high.IsKnown() {
			*n.In(&e.Most) = r.Most
		}
	}
	if k.Soaked && k.Feed.Class == yard.Forage {
		soak(e, own, k.Feed)
	}
	if k.Steamed {
		steam(e, own)
	}
	k.Ends = e
	if from != nil {
		k.CompFrom += "; " + strings.Join(from, ", ") + ": published means (" + string(k.Kind) + ")"
	}
}

// secondHalfYear is the age from which no vitamin E is counted on in hay (evidence
// HY-16 to HY-18 and their reading).
const secondHalfYear = 183 * 24 * time.Hour

// Age takes the vitamin E out of hay whose batch is over half a year old on a day and
// that the yard has not had analysed for it.
func (k *Resolved) Age(on time.Time) {
	since := k.Feed.BatchSince
	if k.Ends == nil || k.Kind != grassHay || since.IsZero() || on.Sub(since) < secondHalfYear || k.Feed.Analysis.VitE.IsKnown() {
		return
	}
	k.Ends.High.VitE = yard.Known(0)
}

// Selenium of forage from soil that is poor in it, mg per kg of dry matter: the mean of
// 124 farms in Sweden and Norway, and the ends that one in ten lies beyond, of a
// log-normal of its mean and SD (evidence HY-05, seen; shape and share ours).
const (
	poorSeleniumLow  = 0.00276
	poorSeleniumMean = 0.02
	poorSeleniumHigh = 0.0447
)

// PoorInSelenium takes forage that was not analysed for selenium as grown on soil that
// is poor in it.
func (k *Resolved) PoorInSelenium() {
	if k.Feed.Class != yard.Forage || k.Feed.Analysis.Se.IsKnown() {
		return
	}
	k.Composition.Se = yard.Known(poorSeleniumMean)
	k.CompFrom += "; selenium: poor soil, as set"
	if k.Ends == nil {
		k.Ends = &Ends{Low: k.Composition, High: k.Composition}
	}
	k.Ends.Low.Se, k.Ends.High.Se, k.Ends.Most.Se = yard.Known(poorSeleniumLow), yard.Known(poorSeleniumHigh), yard.Num{}
}

const dryMatterName = "dry matter"

// soak widens the ends of a forage that is soaked and was not analysed soaked. Water
// takes 9 to 54 % of the sugar in 16 hours and 2 to 9 % in 20 minutes (evidence
// HY-23): no more than the least of it is counted on. It takes phosphorus, potassium,
// magnesium, sodium and zinc (HY-25, HY-26), and how much is not published.
func soak(e *Ends, own yard.Composition, f yard.Feed) {
	for _, n := range yard.Constituents() {
		if n.Of(own).IsKnown() {
			continue
		}
		low, high := n.In(&e.Low), n.In(&e.High)
		switch n.Name {
		case "sugar":
			if v, ok := low.Get(); ok {
				*low, *high = yard.Known(v*soakedLow), yard.Known(high.Or(v)*(1-soakCredit(f)))
			}
		case "phosphorus", "potassium", "magnesium", "sodium", "zinc":
			if low.IsKnown() {
				*low = yard.Known(0)
			}
		}
	}
}

// steamedLow is what steam leaves of the sugar at the least: trials of steamed hay found
// from nothing to 18 % of it gone (from memory; evidence HY-30 found no figure to read).
const steamedLow = 1 - 0.18

// steam widens the end of a forage's sugar where it is steamed and was not analysed so:
// none of the loss is counted on. Its minerals and its dry weight stay (from memory).
func steam(e *Ends, own yard.Composition) {
	if v, ok := e.Low.Sugar.Get(); ok && !own.Sugar.IsKnown() {
		e.Low.Sugar = yard.Known(v * steamedLow)
	}
}

// soakCredit is the share of the sugar that soaking is sure to take, by how long the
// feed is said to soak (evidence HY-23): nothing where nobody says.
func soakCredit(f yard.Feed) float64 {
	words := strings.FieldsFunc(strings.ToLower(f.Name+" "+f.Generic+" "+f.Notes), func(r rune) bool { return r == ' ' || r == ',' || r == '(' || r == ')' })
	minutes := 0.0
	for i, w := range words {
		if w == "overnight" {
			minutes = max(minutes, 12*60)
		}
		digits := strings.TrimRight(w, "abcdefghijklmnopqrstuvwxyz.")
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			continue
		}
		unit := w[len(digits):]
		if unit == "" && i+1 < len(words) {
			unit = words[i+1]
		}
		switch {
		case strings.HasPrefix(unit, "h"):
			minutes = max(minutes, v*60)
		case strings.HasPrefix(unit, "min"):
			minutes = max(minutes, v)
		}
	}
	switch {
	case minutes >= 16*60:
		return 0.09
	case minutes >= 20:
		return 0.02
	}
	return 0
}

// believed compares a yard's own analysis with what feeds of its kind can hold, and
// asks about the figures that lie outside; they are used as they are written.
// Energy is compared by [Resolved.energyNotBelieved].
func (t *Table) believed(k *Resolved) *yard.Finding {
	if k.Feed.Class == yard.Supplement {
		return nil // a supplement may be anything
	}
	var odd []yard.Saying
	for i, n := range yard.Constituents() {
		v, ok := n.Of(k.Feed.Analysis).Get()
		if !ok || n.Name == "digestible energy" || k.Soaked && n.Name == dryMatterName {
			continue
		}
		r := t.believedRange(k, i)
		if r.Holds(v) {
			continue
		}
		odd = append(odd, yard.Say("part.feed-range", yard.Named("nutrient", yard.Term, n.Name), yard.Figures("amount", v, n.Unit, 3), yard.Named("unit", yard.Term, string(n.Unit)),
			yard.Figures("least", r.Least.Or(0), n.Unit, 2), yard.Figures("most", r.Most.Or(0), n.Unit, 2)))
	}
	if odd == nil {
		return nil
	}
	return &yard.Finding{Rule: "feed-range", Severity: yard.Warn, Cell: k.Feed.Cell, Source: "feeds.csv and evidence §4, with half the least and twice the most that is published (ours)",
		Saying: yard.Say("finding.feed-range", yard.FeedArg("feed", k.Feed.Name), yard.SayingList("figures", yard.Comma, odd))}
}

// believedRange is what the feed's kind can hold of a constituent: of a forage that
// is not said to be any kind, what any forage can.
func (t *Table) believedRange(k *Resolved, i int) Range {
	if r := t.ranges[k.Kind]; r != nil {
		return r[i]
	}
	if k.Feed.Class != yard.Forage {
		return Range{}
	}
	out := t.ranges[forageKinds[0]][i]
	for _, kind := range forageKinds[1:] {
		r := t.ranges[kind][i]
		if !r.Least.IsKnown() || !out.Least.IsKnown() {
			return Range{}
		}
		out.Least, out.Most = yard.Known(min(out.Least.Or(0), r.Least.Or(0))), yard.Known(max(out.Most.Or(0), r.Most.Or(0)))
	}
	return out
}
