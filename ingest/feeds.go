package ingest

import (
	"fmt"
	"strings"

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

func (r *reader) readFeeds() {
	for i := range r.tables[feedsKind] {
		t := &r.tables[feedsKind][i]
		r.headings(t)
		r.rowsOf(t, "feed", func(rw row) { r.readFeed(t, rw) })
	}
}

func (r *reader) readFeed(t *table, rw row) {
	if len(r.week.Feeds) > mostFeeds {
		return // refused in the end
	}
	nameCell := t.cell(rw, "feed")
	name := r.nameOf(t, nameCell, "feed")
	if name == "" {
		if nameCell.kind == empty {
			r.find("name-missing", yard.Warn, "", t.sheet.place(rw.cells[0]), "%s of the feeds sheet has entries but no feed name, so it was not used. Write the name.", t.line(rw))
		}
		return
	}
	place := t.sheet.place(nameCell)
	if i, ok := r.feedAt[fold(name)]; ok {
		r.find("feed-twice", yard.Warn, "", place, "%.80s stands twice on the feeds sheet, in %s and %s; the first was used. Give the other another name, or make them one row.", name, r.week.Feeds[i].Cell.Ref, place.Ref)
		return
	}
	f := yard.Feed{Name: name, Cell: place}
	f.Class = choice(r, t, t.cell(rw, "kind"), "kind of feed", "", kindWords, yard.Unclassed,
		"forage, hay, haylage, hard feed, cereal, mix, cubes, balancer, chaff, oil, salt, supplement or carrots")
	f.LitresNotByKilo = f.Class == yard.Oil
	f.Generic = r.word(t, t.cell(rw, "what it is"), "entry for what the feed is", "")
	f.MeasureName = r.readMeasureName(t, t.cell(rw, "measure"))
	if col, ok := t.col("one measure"); ok {
		c := rw.at(col.col)
		f.MeasureKg = r.crucial(t, c, col.heading.unit, name, field{what: "weight of one measure of " + name, factors: kgPer, unit: "kg", min: 0.005, max: 20, in: "kg", imperial: true,
			do: "weigh one level measure again, and check the unit in the header (g or kg?)"})
	}
	f.MeasureWeighed = r.takeDate(t, t.cell(rw, "weighed on"), "on which the measure was weighed", "")
	r.readAnalysis(t, rw, &f)
	r.readPack(t, rw, &f)
	f.BatchSince = r.takeDate(t, t.cell(rw, "batch since"), "of the batch", "")
	f.OpenedOn = r.takeDate(t, t.cell(rw, "opened on"), "of opening", "")
	f.BestBefore = r.takeDate(t, t.cell(rw, "best before"), "until which it is best used", "")
	f.AnalysedOn = r.takeDate(t, t.cell(rw, "analysed on"), "of the analysis", "")
	f.Notes = r.word(t, t.cell(rw, "notes"), "notes on "+name, "")
	r.feedAt[fold(name)] = len(r.week.Feeds)
	r.week.Feeds = append(r.week.Feeds, f)
}

// crucial reads a figure without which the feed's amounts or limits would be
// reckoned from something else than the yard wrote. A negative one means that
// no horse fed it gets a card.
func (r *reader) crucial(t *table, c cell, headUnit, feed string, f field) yard.Num {
	v := r.take(t, c, headUnit, f, "", yard.Warn)
	if q, rule, _ := c.quantity(); !v.IsKnown() && rule == "" && q.Value < 0 {
		r.badFeed[fold(feed)] = fmt.Sprintf("the %s is negative (%s, %s on %s)", f.what, c.shown, t.sheet.ref(c.col, c.row), t.sheet.name)
	}
	return v
}

func (r *reader) readMeasureName(t *table, c cell) string {
	text := r.word(t, c, "name of the measure", "")
	if text == "" {
		return ""
	}
	var known []string
	for _, m := range r.week.Measures {
		if singular(fold(m.Name)) == singular(fold(text)) {
			return m.Name
		}
		known = append(known, m.Name)
	}
	msg := fmt.Sprintf("The measure %.60q is not one of the yard's (%s), so the first was taken", text, strings.Join(known, ", "))
	if near := nearest(text, known); near != "" {
		msg += fmt.Sprintf("; did you mean %q?", near)
	} else {
		msg += ". Add it to Measures on the yard sheet."
	}
	r.find("measure-unknown", yard.Warn, "", t.sheet.place(c), "%s", msg)
	return ""
}

func singular(w string) string { return strings.TrimSuffix(w, "s") }

func (r *reader) readPack(t *table, rw row, f *yard.Feed) {
	f.PackName = "bag"
	if f.Class == yard.Forage {
		f.PackName = "bale"
	}
	if col, ok := t.col("pack"); ok {
		c := rw.at(col.col)
		words := " " + col.heading.words + " "
		switch bag, bale := strings.Contains(words, " bag "), strings.Contains(words, " bale "); {
		case bag && !bale && f.Class != yard.Forage:
			f.PackName = "bag"
		case bale && !bag:
			f.PackName = "bale"
		}
		q, rule, _ := c.quantity()
		if litres, isLitres := litresPer[packUnit(q.Unit, col.heading.unit)]; rule == "" && isLitres && !blank(c) {
			if f.Class != yard.Oil {
				r.find("cell-unit", yard.Warn, "", t.sheet.place(c), "The pack of %s is given by volume, and what that weighs is known for oil only: write its weight in kg.", f.Name)
			} else if q.Value > 0 && q.Value*litres < 2000 {
				f.PackKg, f.PackName = yard.Known(exact(q.Value*litres*oilKgPerLitre)), "can"
			} else {
				r.find("cell-range", yard.Warn, "", t.sheet.place(c), "The pack of %s reads as %s litres: check the number.", f.Name, plain(q.Value*litres))
			}
		} else {
			f.PackKg = r.take(t, c, col.heading.unit, field{what: "pack weight of " + f.Name, factors: kgPer, unit: "kg", min: 0.05, max: 2000, in: "kg", imperial: true}, "", yard.Warn)
		}
	}
	if w := r.word(t, t.cell(rw, "pack name"), "pack name", ""); w != "" {
		f.PackName = singular(fold(w))
	}
	price := t.cell(rw, "price")
	if price.kind == written {
		price.shown = strings.TrimSpace(strings.TrimLeft(tidy(price.shown), "£€$ "))
	}
	f.PackPrice = r.take(t, price, "", field{what: "price of " + f.Name, min: 0, max: 100000}, "", yard.Note)
	if col, ok := t.col("stock"); ok {
		f.StockPacks = r.take(t, stripPack(rw.at(col.col)), "", field{what: "stock of " + f.Name, min: 0, max: 100000}, "", yard.Note)
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
func stripPack(c cell) cell {
	if c.kind == written {
		if q, err := ParseQuantity(c.shown); err == nil {
			switch singular(q.Unit) {
			case "bag", "bale", "sack", "pack", "tub", "can", "bottle", "drum":
				c.kind, c.num = number, q.Value
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
}{
	yard.Mcal:       {map[string]float64{"MJ": 1 / mjPerMcal, "Mcal": 1, "Mcal/lb": 1 / kgPer["lb"]}, ""},
	yard.Grams:      {map[string]float64{"%": 10, "g/kg": 1, "mg/kg": 0.001}, "%"},
	yard.Milligrams: {map[string]float64{"mg/kg": 1, "ppm": 1, "g/kg": 1000, "%": 10000}, "mg/kg"},
	yard.IU:         {map[string]float64{"iu/kg": 1, "iu": 1}, "iu/kg"},
}

// readAnalysis takes the figures off the bag or the laboratory's sheet. Inside,
// all are per kilogram of dry matter; what is printed as fed is divided by the
// dry matter, and cannot be used without it.
func (r *reader) readAnalysis(t *table, rw row, f *yard.Feed) {
	rowBasis := choice(r, t, t.cell(rw, "basis"), "basis of the analysis", "", basisWords, notSaid, `"as fed" or "dry matter"`)
	a := &f.Analysis
	if col, ok := t.col("dry matter"); ok {
		unit := col.heading.unit
		if unit == "" {
			unit = "%"
		}
		a.DM = r.crucial(t, rw.at(col.col), unit, f.Name, field{what: "dry matter of " + f.Name, factors: map[string]float64{"%": 0.01, "g/kg": 0.001}, unit: "%", min: 0.05, max: 1, in: "kg a kg", do: "dry matter is written in %, such as 88"})
	}
	for _, n := range yard.Constituents() {
		col, ok := t.col(n.Key)
		if n.Unit == yard.Kilograms || !ok || blank(rw.at(col.col)) { // dry matter is read already
			continue
		}
		g := writtenIn[n.Unit]
		c := rw.at(col.col)
		what := n.Key + " of " + f.Name
		fl := field{what: what, factors: g.factors, unit: g.unit, min: 0, max: n.Most, in: string(n.Unit) + " a kg", do: "check the number and the unit in the header"}
		unit := col.heading.unit
		if n.Unit == yard.Mcal {
			if q, rule, _ := c.quantity(); rule == "" && q.Unit == "" && g.factors[unitName(unit)] == 0 {
				r.find("cell-unit", yard.Warn, "", t.sheet.place(c), "The energy of %s has no unit: head the column DE (MJ/kg), DE (Mcal/kg) or DE (Mcal/lb). It was not used.", f.Name)
				continue
			}
		}
		var v yard.Num
		if n.Crucial {
			v = r.crucial(t, c, unit, f.Name, fl)
		} else {
			v = r.take(t, c, unit, fl, "", yard.Warn)
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
			r.find("feed-basis", yard.Warn, "", t.sheet.place(c), "The %s was not used, because it is not said whether it is as fed or in dry matter. Write one of the two in the column Basis (bags say as fed, laboratories mostly dry matter).", what)
			continue
		case asFed:
			dm, ok := a.DM.Get()
			if !ok {
				r.find("feed-basis", yard.Warn, "", t.sheet.place(c), "The %s is given as fed and was not used, because the feed's dry matter is not known. Fill in DM %%.", what)
				continue
			}
			x /= dm
			if x > n.Most {
				r.find("cell-range", yard.Warn, "", t.sheet.place(c), "The %s comes to %s a kg of dry matter, more than there can be: check it and the dry matter.", what, plain(x))
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
	if a.DM.IsKnown() && f.AnalysisFrom == "" {
		f.AnalysisFrom = "workbook: dry matter"
	}
}

var basisWords = map[string]basis{
	"as fed": asFed, "as-fed": asFed, "fed": asFed, "fresh": asFed, "fresh weight": asFed, "bag": asFed, "as is": asFed, "as sold": asFed,
	"dry matter": dryMatter, "dm": dryMatter, "dry": dryMatter, "dry matter basis": dryMatter, "in dm": dryMatter, "dm basis": dryMatter, "on dm": dryMatter,
}
