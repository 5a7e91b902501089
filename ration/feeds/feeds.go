package feeds

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"hardfeed/ration/yard"
)

//go:embed generic.csv
var genericCSV string

// OilKgPerLitre is the density of vegetable oil: USDA SR28, 218 g a US cup
// (densities.csv row 124).
const OilKgPerLitre = 0.92

// mjPerMcal: a kcal is 4.184 kJ exactly (the thermochemical calorie).
const mjPerMcal = 4.184

// Generic is one line of the table of generic feeds.
type Generic struct {
	Name           string
	Aliases        []string
	Class          yard.FeedClass
	Kind           Kind   // what its ranges are published for
	Of             string // what it comes of, where a limit or its handling asks: "oats", "maize", "beet"
	Composition    yard.Composition
	Unused         []Unused // figures its source prints and that are not used: they are unknown
	Source         string   // composition: row, whose figure, seen or from memory
	EnergySource   string   // row and kind of figure of the DE
	DensityKgPerL  yard.Num // level, dry
	DensitySource  string
	EnergyEstimate bool // DE comes from an equation, not from a printed figure for horses
}

// Table is the generic feeds, read once by [Load] and then only looked at.
type Table struct {
	list   []Generic
	forms  []form
	ranges rangesOf
	byName map[string]int
	names  []string
}

// Load returns the embedded table, which is read once: nobody changes it. It panics if the
// table is malformed: that is a mistake of ours, caught by this package's tests.
func Load() *Table { return generics() }

var generics = sync.OnceValue(readTable)

func readTable() *Table {
	rows, err := csv.NewReader(strings.NewReader(genericCSV)).ReadAll()
	if err != nil {
		panic("feeds: generic.csv: " + err.Error())
	}
	col := map[string]int{}
	for i, h := range rows[0] {
		col[h] = i
	}
	t := &Table{byName: map[string]int{}, ranges: loadRanges()}
	unused := loadUnused()
	for _, row := range rows[1:] {
		text := func(c string) string {
			i, ok := col[c]
			if !ok {
				panic("feeds: generic.csv has no column " + c)
			}
			return row[i]
		}
		num := func(c string) yard.Num {
			s := text(c)
			if s == "" {
				return yard.Num{}
			}
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				panic(fmt.Sprintf("feeds: generic.csv: %s of %s: %v", c, row[0], err))
			}
			return yard.Known(v)
		}
		g := Generic{
			Name:           text("name"),
			Aliases:        strings.FieldsFunc(text("aliases"), func(r rune) bool { return r == '|' }),
			Class:          yard.FeedClass(text("class")),
			Kind:           Kind(text("kind")),
			Of:             text("of"),
			Unused:         unused[row[0]],
			Source:         whose(text("composition_source"), text("seen_or_memory")),
			EnergySource:   text("de_note"),
			EnergyEstimate: strings.HasPrefix(text("de_note"), "estimate"),
			DensityKgPerL:  num("density_kg_per_litre"),
			DensitySource:  published(text("density_source")),
		}
		for _, n := range yard.Constituents() {
			*n.In(&g.Composition) = num(n.Column)
		}
		i := len(t.list)
		t.list = append(t.list, g)
		for _, n := range append([]string{g.Name}, g.Aliases...) {
			k := wordsOf(n)
			if j, taken := t.byName[k]; taken && j != i {
				panic(fmt.Sprintf("feeds: generic.csv: %q names both %s and %s", n, t.list[j].Name, g.Name))
			}
			if _, taken := t.byName[k]; !taken {
				t.byName[k] = i
				t.names = append(t.names, n)
			}
		}
	}
	t.addNames()
	t.forms = loadForms(t)
	return t
}

// All returns the generic feeds in the table's order.
func (t *Table) All() []Generic { return t.list }

// Names returns every name and alias, for suggestions.
func (t *Table) Names() []string { return t.names }

// Lookup finds a generic feed by name or alias, ignoring case, spacing,
// punctuation and the order of the words: "oats, whole" is whole oats.
func (t *Table) Lookup(name string) (Generic, bool) {
	i, ok := t.byName[wordsOf(name)]
	if !ok {
		return Generic{}, false
	}
	return t.list[i], true
}

func key(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == ',' || r == '-' || r == '(' || r == ')' || r == '/' || r == '\u00a0'
	}), " ")
}

// wordsOf is a name's words in an order of their own.
func wordsOf(name string) string {
	words := strings.Fields(key(name))
	slices.Sort(words)
	return strings.Join(words, " ")
}

// Resolved is a yard's feed with everything that could be found about it.
type Resolved struct {
	yard.FeedNeed
	EnergyEstimate bool
	IsOats         bool // counts towards the oats mark of D-13
	Cereal         bool // a cereal or a by-product of one, by the table of generic feeds or by a word of its name
	Maize          bool
	Straw          bool
	Balancer       bool  // vitamins and minerals in little feed
	BeetPulp       bool  // is soaked before it is fed
	Haylage        bool  // or silage
	Pelleted       bool  // cubes, nuts, pellets
	NotBelieved    bool  // a weight was given for its measure that no feed can have
	Soaked         bool  // its name or description says so
	Steamed        bool  // a forage of which they say so
	Lick           bool  // a stone or block: nobody weighs grams of it
	Wetted         bool  // a feed of which they say either in any form of the word
	Kind           Kind  // what its ranges are published for; "": nothing is
	Ends           *Ends // nil: no range is known, and the composition is both ends
}

// soakedFinding says how the weight of a soaked feed is read: dry, unless the
// workbook gives a dry matter that only the soaked feed can have.
func soakedFinding(f yard.Feed) yard.Finding {
	n := yard.Finding{Rule: "feed-soaked", Severity: yard.Note, Cell: f.Cell, Source: "feeds §2: count the dry weight"}
	if dm, ok := f.Analysis.DM.Get(); ok && dm < 0.5 {
		n.Saying = yard.Say("finding.feed-soaked.wet", yard.FeedArg("feed", f.Name), yard.Fixed("value", dm*100, yard.Percent, 0))
		return n
	}
	if f.Class == yard.Forage {
		// Wet hay is mostly water: taken as dry it would hide a horse without forage.
		n.Severity = yard.Warn
		n.Saying = yard.Say("finding.feed-soaked.forage", yard.FeedArg("feed", f.Name))
		return n
	}
	n.Saying = yard.Say("finding.feed-soaked", yard.FeedArg("feed", f.Name))
	return n
}

// Resolve puts a yard's feed together with the generic feed it is said to be
// (or, where nothing is said, the generic of the same name): the workbook's
// numbers win one by one, so a yard that knows only its hay's protein keeps the
// table's energy. measures are the yard's; the feed's own measure weight wins
// over a bulk density times the volume.
func (t *Table) Resolve(f yard.Feed, measures []yard.Measure) (Resolved, []yard.Finding) {
	var found []yard.Finding
	k := Resolved{FeedNeed: yard.FeedNeed{Feed: f, Composition: f.Analysis, CompFrom: f.AnalysisFrom}}
	what := f.Generic
	if what == "" {
		what = f.Name
	}
	k.Soaked = soaked.saidOf(f)
	if k.Soaked {
		what = soaked.without(what) // the same feed, and its dry weight counts
	}
	gen, ok := t.find(what)
	if !ok && steamed.saidIn(what) {
		gen, ok = t.find(steamed.without(what))
	}
	if c := f.Class; !ok && plainSalt.saidIn(what) && (c == yard.Salt || c == yard.Supplement || c == yard.Unclassed) {
		gen, ok = t.Lookup("salt")
	}
	if f.Generic != "" && !ok {
		args := []yard.Arg{yard.FeedArg("feed", f.Name), yard.Words("generic", f.Generic)}
		says := yard.Say("finding.feed-generic", args...)
		if near := yard.Nearest(f.Generic, t.names); near != "" {
			says = yard.Say("finding.feed-generic.near", append(args, yard.FeedArg("near", near))...)
		}
		found = append(found, yard.Finding{Rule: "feed-generic", Severity: yard.Warn, Saying: says, Cell: f.Cell})
	}
	notBelieved := k.energyNotBelieved(gen, ok)
	if notBelieved != nil {
		found = append(found, *notBelieved)
	}
	if ok {
		k.Kind = gen.Kind
		k.Grazed = gen.Kind == pasture
		k.merge(gen)
		if k.Feed.Class == yard.Unclassed {
			k.Feed.Class = gen.Class
		}
	}
	if k.Feed.Class == yard.Unclassed {
		// Read as hard feed because that is the class the limits are strictest on.
		k.Feed.Class = yard.HardFeed
		found = append(found, yard.Finding{Rule: "feed-kind", Severity: yard.Warn, Cell: f.Cell,
			Saying: yard.Say("finding.feed-kind", yard.FeedArg("feed", f.Name))})
	}
	if k.Soaked {
		found = append(found, soakedFinding(k.Feed))
	}
	k.setProperties(gen, ok)
	if k.Steamed && !f.Analysis.DM.IsKnown() {
		found = append(found, yard.Finding{Rule: "feed-soaked", Severity: yard.Note, Cell: f.Cell, Source: "steaming: from memory",
			Saying: yard.Say("finding.feed-soaked.steamed", yard.FeedArg("feed", f.Name))})
	}
	k.Feed.LitresNotByKilo = k.Feed.LitresNotByKilo || k.Feed.Class == yard.Oil
	if f := k.estimateEnergy(); f != nil {
		found = append(found, *f)
	}
	if f := t.believed(&k); f != nil {
		found = append(found, *f)
	}
	own := k.Feed.Analysis
	if notBelieved != nil {
		own.DE = yard.Num{}
	}
	t.spread(&k, own)
	if ok {
		gen = t.inForm(gen, f)
	}
	if f := k.setMeasure(gen, ok, measures); f != nil {
		found = append(found, *f)
	}
	return k, found
}

// setProperties says what the feed is by its generic feed, or by the words of its name.
func (k *Resolved) setProperties(gen Generic, haveGeneric bool) {
	f := k.Feed
	k.Lick = lick.saidOf(f)
	if !haveGeneric {
		switch f.Class {
		case yard.HardFeed, yard.Chaff:
			k.Kind = Compound
		case yard.Supplement, yard.Salt:
			k.Kind = Supplementary
			if k.Lick {
				k.Kind = mineralKind
			}
		}
	}
	k.IsOats, k.Maize, k.Straw = gen.Of == "oats", gen.Of == "maize", gen.Kind == straw
	k.Cereal = gen.Kind == cerealKind || gen.Kind == bran || !haveGeneric && f.Class == yard.HardFeed && cereal.saidOf(f)
	k.Balancer, k.Pelleted = balancer.saidOf(f), pelleted.saidOf(f)
	k.BeetPulp = f.Class != yard.Succulent && (gen.Of == "beet" || beetPulp.saidOf(f))
	k.Haylage = gen.Kind == haylageKind || haylage.saidOf(f)
	k.Steamed = f.Class == yard.Forage && steamed.saidOf(f)
	k.Wetted = k.Soaked || k.Steamed || wetted.saidOf(f)
}

// What a kg of dry matter can hold, Mcal DE, oil, salt and supplements
// apart: the table of feeds goes from straw at 1.5 to linseed, which is a third
// oil, near 5 (feeds §1 and §3).
const (
	leastDE = 1.0
	mostDE  = 6.0
)

// energyNotBelieved takes out an energy of the workbook that no feed can have, most
// often Mcal under a heading that says MJ or the other way about, and says so.
func (k *Resolved) energyNotBelieved(gen Generic, haveGeneric bool) *yard.Finding {
	de, ok := k.Feed.Analysis.DE.Get()
	class := k.Feed.Class
	if class == yard.Unclassed && haveGeneric {
		class = gen.Class
	}
	if !ok || class == yard.Oil || class == yard.Salt || class == yard.Supplement || de >= leastDE && de <= mostDE {
		return nil
	}
	k.Composition.DE = yard.Num{}
	return &yard.Finding{Rule: "feed-energy", Severity: yard.Warn, Cell: k.Feed.Cell, Source: "feeds §1 and §3",
		Saying: yard.Say("finding.feed-energy.doubted", yard.FeedArg("feed", k.Feed.Name), yard.Fixed("mcal", de, yard.Mcal, 2), yard.Fixed("mj", de*mjPerMcal, yard.Megajoules, 1),
			yard.Fixed("least", leastDE, yard.Mcal, 0), yard.Fixed("most", mostDE, yard.Mcal, 0))}
}

// estimateEnergy fills an unknown energy from the analysis, where an equation
// for the feed's kind holds, and says so.
func (k *Resolved) estimateEnergy() *yard.Finding {
	if k.Composition.DE.IsKnown() {
		return nil
	}
	e, ok := EstimateDE(k.Feed.Class, k.Composition, k.Kind == PulpAndHulls || beetPulp.saidOf(k.Feed) || hulls.saidOf(k.Feed))
	if !ok {
		return nil
	}
	k.Composition.DE = yard.Known(e.McalPerKgDM)
	k.EnergyEstimate = true
	k.CompFrom += "; energy: " + e.How + " (" + e.Source + ")"
	return &yard.Finding{Rule: "feed-energy", Severity: yard.Note, Cell: k.Feed.Cell, Source: e.Source,
		Saying: yard.Say("finding.feed-energy", yard.FeedArg("feed", k.Feed.Name), yard.Fixed("mcal", e.McalPerKgDM, yard.Mcal, 2), yard.Words("how", e.How))}
}

// find is the generic feed of a name, whatever form of it the name speaks of.
func (t *Table) find(name string) (Generic, bool) {
	if g, ok := t.Lookup(name); ok {
		return g, true
	}
	return t.lookupForm(name)
}

// whose is where figures come from, and that they are from memory where nobody has seen it.
func whose(source, seen string) string {
	if seen != "SEEN" {
		source += ", from memory"
	}
	return source
}

// published is what a source says without the row of the reference table it is in, which
// nobody has who reads a sheet: "densities.csv row 4: dry beet pulp, 0.7 lb a US dry quart".
func published(source string) string {
	if _, said, ok := strings.Cut(source, ": "); ok {
		return strings.TrimSuffix(said, " (seen)")
	}
	if source != "" {
		return "published figure"
	}
	return ""
}

// merge fills what the workbook's analysis leaves open from the generic feed.
func (k *Resolved) merge(gen Generic) {
	used := false
	deWasKnown := k.Composition.DE.IsKnown()
	for _, n := range yard.Constituents() {
		to, from := n.In(&k.Composition), n.In(&gen.Composition)
		if !to.IsKnown() && from.IsKnown() {
			*to, used = *from, true
		}
	}
	if !used {
		return
	}
	k.EnergyEstimate = !deWasKnown && gen.EnergyEstimate
	from := gen.Name + ": " + gen.Source + "; energy: " + gen.EnergySource
	if k.CompFrom == "" {
		k.CompFrom = from
	} else {
		k.CompFrom += "; the rest: " + from
	}
}

// setMeasure finds what one level measure weighs. Feeds that are put on a
// scale (forage, salt, supplements) or poured by the millilitre have none
// unless the workbook gives one.
func (k *Resolved) setMeasure(gen Generic, haveGeneric bool, measures []yard.Measure) *yard.Finding {
	if k.Feed.MeasureName == "" && len(measures) > 0 {
		k.Feed.MeasureName = measures[0].Name
	}
	found := k.weightNotBelieved(measures)
	if w, ok := k.Feed.MeasureKg.Get(); ok && found == nil {
		k.MeasureKg = yard.Known(w)
		return nil
	}
	k.NotBelieved = found != nil
	k.MeasureKg, k.Feed.MeasureKg = yard.Num{}, yard.Num{}
	if c := k.Feed.Class; c != yard.HardFeed && c != yard.Chaff {
		return found
	}
	k.Unweighed = true
	for _, m := range measures {
		if !strings.EqualFold(m.Name, k.Feed.MeasureName) {
			continue
		}
		litres, ok1 := m.Litres.Get()
		density, ok2 := gen.DensityKgPerL.Get()
		if haveGeneric && ok1 && ok2 {
			k.MeasureKg = yard.Known(litres * density)
			k.DensityFrom = gen.DensitySource
		}
	}
	return found
}

// What a litre of feed can weigh, kg: the table of densities goes from
// wheat bran at 0.17 to molasses at 1.44, chopped straw at 0.09 to 0.13 (feeds §2).
const (
	leastHardKgPerL = 0.1
	leastKgPerL     = 0.03
	mostKgPerL      = 1.5
)

// weightNotBelieved says what is wrong with a measure's weight that no feed can
// have in a measure of that volume: a slip of the point or of the unit, and every
// scoop on the cards would go by it.
func (k *Resolved) weightNotBelieved(measures []yard.Measure) *yard.Finding {
	w, weighed := k.Feed.MeasureKg.Get()
	for _, m := range measures {
		litres, ok := m.Litres.Get()
		if !weighed || !ok || litres <= 0 || !strings.EqualFold(m.Name, k.Feed.MeasureName) {
			continue
		}
		least := leastKgPerL
		if k.Feed.Class == yard.HardFeed {
			least = leastHardKgPerL
		}
		if w < least*litres || w > mostKgPerL*litres {
			return &yard.Finding{Rule: "measure-density", Severity: yard.Stop, Cell: k.Feed.Cell, Source: "feeds §2",
				Saying: yard.Say("finding.measure-density", yard.Named("measure", yard.Term, m.Name), yard.FeedArg("feed", k.Feed.Name), yard.Figures("kg", w, yard.Kilograms, 4),
					yard.Figures("litres", litres, yard.Litres, 4), yard.Figures("least", least*litres, yard.Kilograms, 2), yard.Figures("most", mostKgPerL*litres, yard.Kilograms, 2))}
		}
	}
	return nil
}

// DryMatter is the dry matter in an amount as fed: amount × DM fraction.
func (k Resolved) DryMatter(amount yard.KgFed) (yard.KgDM, bool) {
	dm, ok := k.Composition.DM.Get()
	return yard.KgDM(float64(amount) * dm), ok
}

// Contains is an amount of a nutrient: dry matter × content per kg DM, in the
// content's own unit (Mcal or g). Unknown if either factor is.
func (k Resolved) Contains(amount yard.KgFed, perKgDM yard.Num) yard.Num {
	if amount == 0 {
		return yard.Known(0)
	}
	dm, ok := k.DryMatter(amount)
	c, ok2 := perKgDM.Get()
	if !ok || !ok2 {
		return yard.Num{}
	}
	return yard.Known(float64(dm) * c)
}
