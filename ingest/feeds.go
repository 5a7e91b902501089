package ingest

import (
	"strings"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// oilKgPerLitre is the density of vegetable oils: 218 g a US cup of 0.2366 l,
// USDA SR28 weight file, foods 04044, 04060, 04518 and 04582.
const oilKgPerLitre = 0.92

// calories: 1 kcal is 4.184 kJ exactly (the thermochemical calorie), so 1 Mcal
// is 4.184 MJ.
const mjPerMcal = 4.184

var kindWords = map[string]yard.FeedClass{
	"forage": yard.Forage, "hay": yard.Forage, "haylage": yard.Forage, "straw": yard.Forage, "grass": yard.Forage, "silage": yard.Forage, "roughage": yard.Forage, "lucerne hay": yard.Forage, "alfalfa hay": yard.Forage, "meadow hay": yard.Forage, "hay replacer": yard.Forage, "grazing": yard.Forage, "oat straw": yard.Forage, "pasture": yard.Forage, "fibre": yard.Forage,
	"hard feed": yard.HardFeed, "hardfeed": yard.HardFeed, "concentrate": yard.HardFeed, "concentrates": yard.HardFeed, "cereal": yard.HardFeed, "cereals": yard.HardFeed, "grain": yard.HardFeed, "straights": yard.HardFeed, "straight": yard.HardFeed, "mix": yard.HardFeed, "coarse mix": yard.HardFeed, "muesli": yard.HardFeed, "cubes": yard.HardFeed, "cube": yard.HardFeed, "nuts": yard.HardFeed, "nut": yard.HardFeed, "pellets": yard.HardFeed, "pellet": yard.HardFeed, "sweet feed": yard.HardFeed, "balancer": yard.HardFeed, "feed balancer": yard.HardFeed, "ration balancer": yard.HardFeed, "beet": yard.HardFeed, "sugar beet": yard.HardFeed, "beet pulp": yard.HardFeed, "bran": yard.HardFeed, "mash": yard.HardFeed, "oats": yard.HardFeed, "barley": yard.HardFeed, "maize": yard.HardFeed, "corn": yard.HardFeed, "soya": yard.HardFeed, "linseed": yard.HardFeed, "feed": yard.HardFeed, "compound": yard.HardFeed, "bucket feed": yard.HardFeed,
	"chaff": yard.Chaff, "chop": yard.Chaff, "alfalfa chop": yard.Chaff, "chopped hay": yard.Chaff, "chopped straw": yard.Chaff, "chaff/chop": yard.Chaff, "alfalfa chaff": yard.Chaff,
	"oil": yard.Oil, "fat": yard.Oil, "vegetable oil": yard.Oil,
	"salt": yard.Salt, "table salt": yard.Salt,
	"supplement": yard.Supplement, "supplements": yard.Supplement, "vitamins": yard.Supplement, "minerals": yard.Supplement, "vitamin": yard.Supplement, "mineral": yard.Supplement, "additive": yard.Supplement, "electrolyte": yard.Supplement, "electrolytes": yard.Supplement, "vits & mins": yard.Supplement, "vits and mins": yard.Supplement, "medicine": yard.Supplement,
	"succulent": yard.Succulent, "succulents": yard.Succulent, "carrot": yard.Succulent, "carrots": yard.Succulent, "apple": yard.Succulent, "apples": yard.Succulent, "roots": yard.Succulent, "swede": yard.Succulent, "treat": yard.Succulent,
}

// feedRoom are the feeds of the yard, by their names.
type feedRoom struct {
	list []yard.Feed
	at   map[string]int         // name, as it is and folded -> its place in list
	like map[string][]string    // plain name -> the feeds so called; nil: to be gathered
	bad  map[string]yard.Saying // folded name -> why no horse fed it gets a card
}

// find is the feed with a name.
func (f *feedRoom) find(name string) (yard.Feed, bool) {
	if i := f.place(name); i >= 0 {
		return f.list[i], true
	}
	return yard.Feed{}, false
}

// place is where in the list the feed with a name is; -1: nowhere.
func (f *feedRoom) place(name string) int {
	if i, ok := f.at[name]; ok { // which most are
		return i
	}
	if i, ok := f.at[fold(name)]; ok {
		return i
	}
	return -1
}

// named gives the feeds sheet's own spelling of a feed.
func (f *feedRoom) named(name string) string {
	if i := f.place(name); i >= 0 {
		return f.list[i].Name
	}
	if f.like == nil {
		f.like = map[string][]string{}
		for _, feed := range f.list {
			f.like[plainName(feed.Name)] = append(f.like[plainName(feed.Name)], feed.Name)
		}
	}
	if same := f.like[plainName(name)]; len(same) == 1 {
		return same[0]
	}
	return name
}

// feedSheets reads the feeds, each a row.
type feedSheets struct {
	cells    *cellReader
	measures measures
	room     feedRoom
}

func readFeeds(in *layout, cells *cellReader, ms measures) *feedRoom {
	r := &feedSheets{cells: cells, measures: ms, room: feedRoom{at: map[string]int{}, bad: map[string]yard.Saying{}}}
	for i := range in.tables[feedsKind] {
		t := &in.tables[feedsKind][i]
		in.headings(t)
		in.walk().each(t, "feed", func(rw xlsx.Row) { r.readFeed(t, rw) })
	}
	return &r.room
}

func (r *feedSheets) readFeed(t *table, rw xlsx.Row) {
	if len(r.room.list) > mostFeeds {
		return // refused in the end
	}
	nameCell := t.cell(rw, "feed")
	name := r.cells.name(t, nameCell, "feed")
	if name == "" {
		if nameCell.Kind == xlsx.Empty {
			r.cells.log.find("name-missing", yard.Warn, "", t.sheet.place(rw.Cells[0]), yard.Say("finding.name-missing.feed", yard.Said("line", t.line(rw))))
		}
		return
	}
	place := t.sheet.place(nameCell)
	if first, ok := r.room.find(name); ok {
		r.cells.log.find("feed-twice", yard.Warn, "", place, yard.Say("finding.feed-twice.sheet", wrote("feed", name), yard.Named("first", yard.Place, first.Cell.Ref), yard.Named("second", yard.Place, place.Ref)))
		return
	}
	f := yard.Feed{Name: name, Cell: place}
	f.Class = choice(r.cells, t, t.cell(rw, "kind"), yard.Say("field.kind"), "", kindWords, yard.Unclassed,
		yard.Say("part.expected.kind"))
	f.LitresNotByKilo = f.Class == yard.Oil
	f.Generic = r.cells.word(t, t.cell(rw, "what it is"), yard.Say("field.generic"), "")
	f.MeasureName = r.readMeasureName(t, t.cell(rw, "measure"))
	if col, ok := t.col("one measure"); ok {
		c := rw.At(col.col)
		f.MeasureKg = r.crucial(t, c, col.heading.unit, name, field{what: ofFeed("field.one measure", name), factors: kgPer, unit: "kg", min: 0.005, max: 20, in: yard.Kilograms, imperial: true, example: "1.2 kg",
			do: yard.Say("part.do.weigh measure")})
	}
	f.MeasureWeighed = r.cells.date(t, t.cell(rw, "weighed on"), yard.Say("field.date.measure"), "")
	r.readAnalysis(t, rw, &f)
	r.readPack(t, rw, &f)
	f.BatchSince = r.cells.date(t, t.cell(rw, "batch since"), yard.Say("field.date.batch"), "")
	f.OpenedOn = r.cells.date(t, t.cell(rw, "opened on"), yard.Say("field.date.opened"), "")
	f.BestBefore = r.cells.date(t, t.cell(rw, "best before"), yard.Say("field.date.best before"), "")
	f.AnalysedOn = r.cells.date(t, t.cell(rw, "analysed on"), yard.Say("field.date.analysis"), "")
	if col, ok := t.col("label rate"); ok {
		f.LabelKg = r.cells.take(t, rw.At(col.col), col.heading.unit, field{what: ofFeed("field.label rate", name), factors: kgPer, unit: "g", min: 0.001, max: 3, in: yard.Kilograms, imperial: true, example: "60 g"}, "", yard.Warn)
	}
	f.Notes = r.cells.word(t, t.cell(rw, "notes"), yard.Say("field.notes"), "")
	r.room.at[name], r.room.at[fold(name)] = len(r.room.list), len(r.room.list)
	r.room.list = append(r.room.list, f)
}

// crucial reads a figure without which the feed's amounts or limits would be
// worked out from something else than the yard wrote. A negative one means that
// no horse fed it gets a card.
func (r *feedSheets) crucial(t *table, c xlsx.Cell, headUnit, feed string, f field) yard.Num {
	v := r.cells.take(t, c, headUnit, f, "", yard.Warn)
	if q, rule, _ := quantityOf(c); !v.IsKnown() && rule == "" && q.Value < 0 {
		r.room.bad[fold(feed)] = yard.Say("why.negative", yard.Said("what", f.what), wrote("wrote", c.Shown), yard.Named("ref", yard.Place, t.sheet.ref(c.Col, c.Row)), yard.Named("sheet", yard.Place, t.sheet.Name))
	}
	return v
}

func (r *feedSheets) readMeasureName(t *table, c xlsx.Cell) string {
	text := r.cells.word(t, c, yard.Say("field.measure"), "")
	if text == "" {
		return ""
	}
	var known []string
	for _, m := range r.measures {
		if singular(fold(m.Name)) == singular(fold(text)) {
			return m.Name
		}
		known = append(known, m.Name)
	}
	r.cells.log.find("measure-unknown", yard.Warn, "", t.sheet.place(c), orNear("finding.measure-unknown", nearest(text, known), wrote("wrote", text), someNames("known", known)))
	return ""
}

func singular(w string) string { return strings.TrimSuffix(w, "s") }

func (r *feedSheets) readPack(t *table, rw xlsx.Row, f *yard.Feed) {
	f.PackName = "bag"
	if f.Class == yard.Forage {
		f.PackName = "bale"
	}
	if col, ok := t.col("pack"); ok {
		c := rw.At(col.col)
		words := " " + col.heading.words + " "
		switch bag, bale := strings.Contains(words, " bag "), strings.Contains(words, " bale "); {
		case bag && !bale && f.Class != yard.Forage:
			f.PackName = "bag"
		case bale && !bag:
			f.PackName = "bale"
		}
		q, rule, _ := quantityOf(c)
		if litres, isLitres := litresPer[packUnit(q.Unit, col.heading.unit)]; rule == "" && isLitres && !blank(c) {
			if f.Class != yard.Oil {
				r.cells.log.find("cell-unit", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-unit.pack", yard.FeedArg("feed", f.Name)))
			} else if q.Value > 0 && q.Value*litres < 2000 {
				f.PackKg, f.PackName = yard.Known(exact(q.Value*litres*oilKgPerLitre)), "can"
			} else {
				r.cells.log.find("cell-range", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-range.pack", yard.FeedArg("feed", f.Name), yard.Figures("litres", q.Value*litres, yard.NoUnit, 6)))
			}
		} else {
			f.PackKg = r.cells.take(t, c, col.heading.unit, field{what: ofFeed("field.pack", f.Name), factors: kgPer, unit: "kg", min: 0.05, max: 2000, in: yard.Kilograms, imperial: true, example: "20 kg"}, "", yard.Warn)
		}
	}
	if w := r.cells.word(t, t.cell(rw, "pack name"), yard.Say("field.pack name"), ""); w != "" {
		f.PackName = singular(fold(w))
	}
	price := t.cell(rw, "price")
	if price.Kind == xlsx.Text {
		price.Shown = strings.TrimSpace(strings.TrimLeft(tidy(price.Shown), "£€$ "))
	}
	f.PackPrice = r.cells.take(t, price, "", field{what: ofFeed("field.price", f.Name), min: 0, max: 100000, example: "12.50"}, "", yard.Note)
	if col, ok := t.col("stock"); ok {
		f.StockPacks = r.cells.take(t, stripPack(rw.At(col.col)), "", field{what: ofFeed("field.stock", f.Name), min: 0, max: 100000, example: "3"}, "", yard.Note)
	}
}

// packUnit is the unit of the cell, else of the header.
func packUnit(inCell, inHeader string) string {
	if inCell != "" {
		return inCell
	}
	return unitName(inHeader)
}

// stripPack drops the pack's name behind a stock: "3 bags".
func stripPack(c xlsx.Cell) xlsx.Cell {
	if c.Kind == xlsx.Text {
		if q, err := ParseQuantity(c.Shown); err == nil {
			switch singular(q.Unit) {
			case "bag", "bale", "sack", "pack", "tub", "can", "bottle", "drum":
				c.Kind, c.Num = xlsx.Number, q.Value
			}
		}
	}
	return c
}

// writtenIn says how the figures of a unit are written: the factors to it and the
// unit taken where none is said; energy always says its own.
var writtenIn = map[yard.Unit]struct {
	factors map[string]float64
	unit    string
	example string
}{
	yard.Mcal:       {map[string]float64{"MJ": 1 / mjPerMcal, "Mcal": 1, "Mcal/lb": 1 / kgPer["lb"]}, "", "12 MJ/kg"},
	yard.Grams:      {map[string]float64{"%": 10, "g/kg": 1, "mg/kg": 0.001}, "%", "10 %"},
	yard.Milligrams: {map[string]float64{"mg/kg": 1, "ppm": 1, "g/kg": 1000, "%": 10000}, "mg/kg", "50 mg/kg"},
	yard.IU:         {map[string]float64{"iu/kg": 1, "iu": 1}, "iu/kg", "1000 IU/kg"},
}

// unused are figures of one feed that cannot be used for one reason, which is told once.
type unused struct {
	first yard.Cell
	names []string
}

func (u *unused) add(at yard.Cell, name string) {
	if u.names == nil {
		u.first = at
	}
	u.names = append(u.names, name)
}

func (u unused) tell(said *log, feed, key string) {
	if u.names != nil {
		said.find("feed-basis", yard.Warn, "", u.first, yard.Say(key, yard.FeedArg("feed", feed), yard.Names("what", yard.And, yard.Term, u.names)))
	}
}

// readAnalysis takes the figures off the bag or the laboratory's sheet. Inside,
// all are per kilogram of dry matter; what is printed as fed is divided by the
// dry matter, and cannot be used without it.
func (r *feedSheets) readAnalysis(t *table, rw xlsx.Row, f *yard.Feed) {
	rowBasis := choice(r.cells, t, t.cell(rw, "basis"), yard.Say("field.basis"), "", basisWords, notSaid, yard.Say("part.expected.basis"))
	a := &f.Analysis
	if col, ok := t.col("dry matter"); ok {
		unit := col.heading.unit
		if unit == "" {
			unit = "%"
		}
		percent := r.crucial(t, rw.At(col.col), unit, f.Name, field{what: ofFeed("field.dry matter", f.Name), factors: map[string]float64{"%": 1, "g/kg": 0.1}, unit: "%", min: 5, max: 100, in: yard.Percent, example: "88", do: yard.Say("part.do.dry matter")})
		if v, ok := percent.Get(); ok {
			a.DM = yard.Known(exact(v / 100))
		}
	}
	unsaid, wet := unused{}, unused{}
	for _, n := range yard.Constituents() {
		col, ok := t.col(n.Key)
		if n.Unit == yard.Kilograms || !ok || blank(rw.At(col.col)) { // dry matter is read already
			continue
		}
		g := writtenIn[n.Unit]
		c := rw.At(col.col)
		what := yard.Say("field.constituent", yard.Named("what", yard.Term, n.Key), yard.FeedArg("feed", f.Name))
		fl := field{what: what, factors: g.factors, unit: g.unit, min: 0, max: n.Most, in: n.Unit + "/kg", example: g.example, do: yard.Say("part.do.unit in heading")}
		unit := col.heading.unit
		if n.Unit == yard.Mcal {
			if q, rule, _ := quantityOf(c); rule == "" && q.Unit == "" && g.factors[unitName(unit)] == 0 {
				r.cells.log.find("cell-unit", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-unit.energy", yard.FeedArg("feed", f.Name)))
				continue
			}
		}
		var v yard.Num
		if n.Crucial {
			v = r.crucial(t, c, unit, f.Name, fl)
		} else {
			v = r.cells.take(t, c, unit, fl, "", yard.Warn)
		}
		x, ok := v.Get()
		if !ok {
			continue
		}
		b := col.heading.basis
		if b == notSaid {
			b = rowBasis
		}
		switch b {
		case notSaid:
			unsaid.add(t.sheet.place(c), n.Key)
			continue
		case asFed:
			dm, ok := a.DM.Get()
			if !ok {
				wet.add(t.sheet.place(c), n.Key)
				continue
			}
			x /= dm
			if x > n.Most {
				r.cells.log.find("cell-range", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-range.dry matter", yard.Said("what", what), yard.Figures("value", x, yard.NoUnit, 6)))
				continue
			}
			if f.AnalysisFrom == "" {
				f.AnalysisFrom = "workbook: as fed"
			}
		case dryMatter:
			if f.AnalysisFrom == "" {
				f.AnalysisFrom = "workbook: dry matter"
			}
		}
		*n.In(a) = yard.Known(x)
	}
	unsaid.tell(r.cells.log, f.Name, "finding.feed-basis")
	wet.tell(r.cells.log, f.Name, "finding.feed-basis.no dry matter")
	if a.DM.IsKnown() && f.AnalysisFrom == "" {
		f.AnalysisFrom = "workbook: dry matter"
	}
}

var basisWords = map[string]basis{
	"as fed": asFed, "as-fed": asFed, "fed": asFed, "fresh": asFed, "fresh weight": asFed, "bag": asFed, "as is": asFed, "as sold": asFed,
	"dry matter": dryMatter, "dm": dryMatter, "dry": dryMatter, "dry matter basis": dryMatter, "in dm": dryMatter, "dm basis": dryMatter, "on dm": dryMatter,
}
