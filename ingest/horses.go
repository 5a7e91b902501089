package ingest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

var (
	howWords = map[string]yard.WeightBasis{
		"scale": yard.ByScale, "scales": yard.ByScale, "weighbridge": yard.ByScale, "weigh bridge": yard.ByScale, "weighed": yard.ByScale, "weighscale": yard.ByScale, "weighing scale": yard.ByScale,
		"tape": yard.ByTape, "weigh tape": yard.ByTape, "weightape": yard.ByTape, "weight tape": yard.ByTape, "weightape reading": yard.ByTape, "taped": yard.ByTape, "weigh-tape": yard.ByTape,
		"stated": yard.Stated, "guess": yard.Stated, "guessed": yard.Stated, "estimate": yard.Stated, "estimated": yard.Stated, "est": yard.Stated, "by eye": yard.Stated, "eye": yard.Stated, "passport": yard.Stated, "owner": yard.Stated, "vet": yard.Stated,
		"girth length": yard.ByGirthLength, "girth and length": yard.ByGirthLength, "girth + length": yard.ByGirthLength, "girth_length": yard.ByGirthLength, "girth & length": yard.ByGirthLength, "formula": yard.ByGirthLength, "measured": yard.ByGirthLength, "girth/length": yard.ByGirthLength,
		"unknown": yard.NoWeight,
	}
	typeWords = map[string]yard.HorseType{
		"horse": yard.TypeHorse, "cob": yard.TypeHorse, "tb": yard.TypeHorse, "thoroughbred": yard.TypeHorse, "warmblood": yard.TypeHorse, "wb": yard.TypeHorse, "hunter": yard.TypeHorse, "id": yard.TypeHorse, "isb": yard.TypeHorse, "sport horse": yard.TypeHorse, "sports horse": yard.TypeHorse, "arab": yard.TypeHorse, "tbx": yard.TypeHorse, "tb x": yard.TypeHorse, "idx": yard.TypeHorse, "hack": yard.TypeHorse, "riding horse": yard.TypeHorse, "mare": yard.TypeHorse, "gelding": yard.TypeHorse, "stallion": yard.TypeHorse, "filly": yard.TypeHorse, "colt": yard.TypeHorse, "broodmare": yard.TypeHorse, "brood mare": yard.TypeHorse,
		"pony": yard.TypePony, "native": yard.TypePony, "native pony": yard.TypePony, "welsh": yard.TypePony, "shetland": yard.TypePony, "connemara": yard.TypePony, "miniature": yard.TypePony, "mini": yard.TypePony, "miniature horse": yard.TypePony, "new forest": yard.TypePony, "exmoor": yard.TypePony, "dartmoor": yard.TypePony, "highland": yard.TypePony, "fell": yard.TypePony, "dales": yard.TypePony,
		"donkey": yard.TypeDonkey, "draught": yard.TypeDraught, "draft": yard.TypeDraught, "heavy": yard.TypeDraught, "heavy horse": yard.TypeDraught, "draught horse": yard.TypeDraught, "draft horse": yard.TypeDraught, "shire": yard.TypeDraught, "clydesdale": yard.TypeDraught, "suffolk": yard.TypeDraught, "percheron": yard.TypeDraught,
	}
	fitnessWords = map[string]yard.Fitness{
		"soft": yard.Soft, "unfit": yard.Soft, "let down": yard.Soft, "just up": yard.Soft, "off grass": yard.Soft, "resting": yard.Soft,
		"part-fit": yard.PartFit, "part fit": yard.PartFit, "partfit": yard.PartFit, "half fit": yard.PartFit, "half-fit": yard.PartFit, "getting fit": yard.PartFit, "medium": yard.PartFit, "coming fit": yard.PartFit, "semi-fit": yard.PartFit, "moderate": yard.PartFit,
		"hard": yard.Hard, "fit": yard.Hard, "hard fit": yard.Hard, "race fit": yard.Hard, "fully fit": yard.Hard, "very fit": yard.Hard,
		"unknown": yard.FitnessUnknown, "?": yard.FitnessUnknown,
	}
	keeperWords = map[string]yard.Keeper{
		"good doer": yard.GoodDoer, "good": yard.GoodDoer, "easy keeper": yard.GoodDoer, "easy": yard.GoodDoer, "very good doer": yard.GoodDoer, "good keeper": yard.GoodDoer, "easy doer": yard.GoodDoer,
		"normal": yard.NormalDoer, "average": yard.NormalDoer, "ok": yard.NormalDoer, "medium": yard.NormalDoer, "normal doer": yard.NormalDoer, "normal keeper": yard.NormalDoer, "average doer": yard.NormalDoer,
		"poor doer": yard.PoorDoer, "poor": yard.PoorDoer, "hard keeper": yard.PoorDoer, "hard": yard.PoorDoer, "bad doer": yard.PoorDoer, "poor keeper": yard.PoorDoer, "difficult": yard.PoorDoer,
	}
	// diagnosisWords are looked for as whole words in what is written, the
	// first that fits; the words on the sheet are kept beside.
	diagnosisWords = []struct {
		word string
		kind yard.Diagnosis
	}{
		{"laminitis", yard.Laminitis}, {"laminitic", yard.Laminitis}, {"lami", yard.Laminitis}, {"lammi", yard.Laminitis}, {"founder", yard.Laminitis}, {"foundered", yard.Laminitis},
		{"ems", yard.InsulinEMS}, {"insulin", yard.InsulinEMS}, {"metabolic syndrome", yard.InsulinEMS}, {"ir", yard.InsulinEMS}, {"hyperinsulinaemia", yard.InsulinEMS},
		{"ppid", yard.PPID}, {"cushings", yard.PPID}, {"cushing s", yard.PPID}, {"cushing", yard.PPID},
		{"tying up", yard.TyingUp}, {"tied up", yard.TyingUp}, {"tying-up", yard.TyingUp}, {"azoturia", yard.TyingUp}, {"rer", yard.TyingUp}, {"pssm", yard.TyingUp}, {"pssm1", yard.TyingUp}, {"pssm2", yard.TyingUp}, {"setfast", yard.TyingUp}, {"set fast", yard.TyingUp}, {"rhabdomyolysis", yard.TyingUp}, {"ties up", yard.TyingUp},
		{"ulcers", yard.Ulcers}, {"ulcer", yard.Ulcers}, {"egus", yard.Ulcers}, {"egsus", yard.Ulcers}, {"eggus", yard.Ulcers}, {"esgd", yard.Ulcers}, {"eggd", yard.Ulcers},
		{"hypp", yard.HYPP}, {"choke", yard.Choke}, {"choked", yard.Choke},
		{"past colic", yard.PastColic}, {"colic", yard.PastColic}, {"colics", yard.PastColic}, {"colicky", yard.PastColic},
		{"dental", yard.PoorTeeth}, {"quidding", yard.PoorTeeth}, {"bad teeth", yard.PoorTeeth}, {"poor teeth", yard.PoorTeeth}, {"missing teeth", yard.PoorTeeth}, {"few teeth", yard.PoorTeeth}, {"no teeth", yard.PoorTeeth}, {"toothless", yard.PoorTeeth},
		{"obese", yard.Overweight}, {"obesity", yard.Overweight}, {"overweight", yard.Overweight}, {"weight loss plan", yard.Overweight}, {"slimming", yard.Overweight},
		// what vets name that asks nothing of the feed (common practice, no source)
		{"arthritis", yard.NoFeedRule}, {"arthritic", yard.NoFeedRule}, {"djd", yard.NoFeedRule}, {"navicular", yard.NoFeedRule}, {"kissing spines", yard.NoFeedRule}, {"kissing spine", yard.NoFeedRule},
		{"sarcoid", yard.NoFeedRule}, {"sarcoids", yard.NoFeedRule}, {"sweet itch", yard.NoFeedRule}, {"spavin", yard.NoFeedRule}, {"sidebone", yard.NoFeedRule}, {"ringbone", yard.NoFeedRule},
		{"cataract", yard.NoFeedRule}, {"uveitis", yard.NoFeedRule}, {"mud fever", yard.NoFeedRule}, {"thrush", yard.NoFeedRule}, {"splint", yard.NoFeedRule}, {"splints", yard.NoFeedRule}, {"stringhalt", yard.NoFeedRule},
		{"heaves", yard.Heaves}, {"copd", yard.Heaves}, {"rao", yard.Heaves}, {"asthma", yard.Heaves}, {"sea", yard.Heaves},
	}
)

// horseSheets reads the horses, each a row.
type horseSheets struct {
	cells  *cellReader
	week   time.Time // its first day; zero: not known
	rows   int       // of all tables of horses
	horses *horseList
}

func readHorses(in *layout, cells *cellReader, week time.Time) *horseList {
	r := &horseSheets{cells: cells, week: week, rows: in.rowsIn(horsesKind), horses: newHorseList(cells.log)}
	for i := range in.tables[horsesKind] {
		t := &in.tables[horsesKind][i]
		in.headings(t)
		if len(in.tables[weightsKind]) == 0 {
			weightColumn(cells.log, t)
		}
		if t.nameless {
			t.horse = xlsx.Cell{Kind: xlsx.Text, Shown: strings.TrimSpace(t.sheet.Name)}
		}
		n := len(r.horses.all)
		in.walk().each(t, "horse", func(rw xlsx.Row) {
			if len(r.horses.all) <= maxHorses { // one more is enough to be refused
				r.readHorse(t, rw)
			}
		})
		if t.sheet.turned && len(r.horses.all) == n+1 {
			r.horses.owner[t.sheet.Name] = r.horses.all[n].Name
		}
	}
	return r.horses
}

var scoreField = field{what: yard.Say("field.score"), example: "5", min: 1, max: 9, outOf: "9", do: yard.Say("part.do.condition score")}

// weightColumn says which headings were not known where none of them was read as
// the weight, nor the girth: no horse of the table can have a card then.
func weightColumn(said *log, t *table) {
	for _, key := range []string{"weight", "girth"} {
		if _, ok := t.col(key); ok || t.head < 0 {
			return
		}
	}
	var unread []string
	var first xlsx.Cell
	for _, c := range clip(t.sheet.Rows[t.head], t.c1, t.c2).Cells {
		if c.Kind == xlsx.Text && !slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.Col }) {
			if unread == nil {
				first = c
			}
			unread = append(unread, "\""+shortened(c.Shown, 40)+"\" in "+t.sheet.ref(c.Col, c.Row))
		}
	}
	if unread == nil {
		return
	}
	said.find("column-unknown", yard.Warn, "", t.sheet.place(first), yard.Say("finding.column-unknown.weight", someNames("headings", unread)))
}

// tidyName makes one line of a name and drops marks that show nothing.
func tidyName(s string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if isDirection(r) || r == '\u200b' || r == '\ufeff' || r == '\u2060' || r == '\u00ad' {
			return -1
		}
		return r
	}, s)), " ")
}

// withoutName gives a row that says several things, figures among them, and no name that can
// be read a horse's place without a card, and says what it is called: whoever it is must not
// be forgotten. A row of units or words alone is none.
func (r *horseSheets) withoutName(t *table, rw xlsx.Row) string {
	figure := func(c xlsx.Cell) bool {
		return c.Kind == xlsx.Number || c.Kind != xlsx.Text && c.Kind != xlsx.Empty || strings.ContainsAny(t.cell(rw, "weight").Shown, "0123456789")
	}
	if len(rw.Cells) < 2 || !slices.ContainsFunc(rw.Cells, figure) {
		return ""
	}
	name := fmt.Sprintf("Row %d on %s", rw.N, t.sheet.Name)
	r.horses.all = append(r.horses.all, yard.Horse{Name: name, Cell: t.sheet.place(rw.Cells[0]), WeightBasis: yard.NoWeight, Cells: map[string]yard.Cell{},
		Type: yard.TypeHorse, NoCard: []yard.Saying{yard.Say("why.board.nameless")}})
	return name
}

func (r *horseSheets) readHorse(t *table, rw xlsx.Row) {
	nameCell := t.cell(rw, "horse")
	var name string
	if k := nameCell.Kind; k != xlsx.Empty && k != xlsx.Wrong && k != xlsx.Uncached {
		name = tidyName(nameCell.Shown)
	}
	if name == "" {
		who := r.withoutName(t, rw)
		if nameCell.Kind == xlsx.Empty {
			c := rw.Cells[0]
			r.cells.log.find("name-missing", yard.Stop, who, t.sheet.place(c), yard.Say("finding.name-missing.horse", yard.Said("line", t.line(rw)), yard.Named("ref", yard.Place, t.sheet.ref(nameColumn(t), rw.N))))
		} else if nameCell.Kind != xlsx.Text {
			_, _, why := quantityOf(nameCell)
			r.cells.log.find("name-missing", yard.Stop, who, t.sheet.place(nameCell), yard.Say("finding.cell.name", yard.Said("what", yard.Say("field.name.horse")), yard.Said("why", why), sheetArg("sheet", t.kind)))
		}
		return
	}
	place := t.sheet.place(nameCell)
	if i, ok := r.horses.names.at[plainName(name)]; ok {
		h := r.horses.all[i]
		r.horses.twice[plainName(h.Name)] = append(r.horses.twice[plainName(h.Name)], place)
		r.cells.log.find("horse-twice", yard.Stop, h.Name, place, yard.Say("finding.horse-twice", yard.Named("horse", yard.HorseName, h.Name), yard.Named("first", yard.Place, h.Cell.Ref), yard.Named("sheet", yard.Place, h.Cell.Sheet), yard.Named("second", yard.Place, place.Ref), yard.Named("second_sheet", yard.Place, place.Sheet)))
		return
	}
	h := yard.Horse{Name: name, Cell: place, WeightBasis: yard.NoWeight, Cells: map[string]yard.Cell{}}
	in := horseRow{cells: r.cells, week: r.week, t: t, rw: rw, h: &h}
	for i := range horseColumns {
		c := &horseColumns[i]
		if in.key = c.key; c.printed {
			in.print()
		}
		if c.read != nil {
			c.read(&in)
		}
	}
	illnessElsewhere(r.cells.log, t, rw, &h)
	foalElsewhere(r.cells.log, &h)
	r.horses.names.add(name, len(r.horses.all))
	if r.horses.all == nil {
		r.horses.all = make([]yard.Horse, 0, min(r.rows, maxHorses+1))
	}
	r.horses.all = append(r.horses.all, h)
}

var (
	keptWords = []struct {
		word string
		kept yard.Kept
	}{
		// the first that fits: "stabled, paddock by day" is a stabled horse
		{"stable", yard.Stabled}, {"stabled", yard.Stabled}, {"box", yard.Stabled}, {"stall", yard.Stabled}, {"barn", yard.Stabled}, {"in", yard.Stabled},
		{"paddock", yard.InPaddock}, {"pen", yard.InPaddock}, {"corral", yard.InPaddock}, {"track", yard.InPaddock}, {"dry lot", yard.InPaddock},
		{"field", yard.InField}, {"pasture", yard.InField}, {"grass", yard.InField}, {"out", yard.InField}, {"turned out", yard.InField},
	}
	breedingWords = map[string]yard.Breeding{
		"in foal": yard.InFoal, "pregnant": yard.InFoal, "yes": yard.InFoal, "foal at foot": yard.Lactating, "lactating": yard.Lactating, "nursing": yard.Lactating, "suckling": yard.Lactating,
		"no": yard.NotBreeding, "not in foal": yard.NotBreeding, "barren": yard.NotBreeding, "empty": yard.NotBreeding, "none": yard.NotBreeding, "gelding": yard.NotBreeding, "maiden": yard.NotBreeding,
		"n/a": yard.NotBreeding, "na": yard.NotBreeding, "n": yard.NotBreeding, "male": yard.NotBreeding, "stallion": yard.NotBreeding, "y": yard.InFoal, "in-foal": yard.InFoal,
	}
	// One of the words that say it does not eat up is enough, whatever is beside
	// it: "not eating up".
	offWords  = []string{"off", "not", "no", "poor", "bad", "less", "little", "half", "leaves", "leaving", "left", "picking", "picks", "picky", "fussy", "off feed"}
	eatsWords = []string{"eats", "eating", "good", "normal", "ok", "okay", "yes", "fine", "well", "up", "greedy", "hungry", "keen", "excellent", "great", "healthy"}
)

// offFeed says whether a horse is off its feed by what is written of its appetite.
// What is not understood is read as off: of a pony nothing may be made of a guess.
func offFeed(text string) (off, known bool) {
	words := strings.Fields(splitWords(text))
	has := func(list []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	switch {
	case has(offWords):
		return true, true
	case has(eatsWords):
		return false, true
	}
	return true, false
}

// readBreeding reads what stands in the column for mares. What is not understood
// may be a mare in foal: the figures are not for her.
func readBreeding(r *cellReader, t *table, c xlsx.Cell, name string) yard.Breeding {
	text := r.word(t, c, yard.Say("field.breeding"), name)
	if text == "" {
		return yard.NotBreeding
	}
	if b, ok := breedingWords[fold(text)]; ok {
		return b
	}
	if i := strings.IndexAny(text, ",;(–—"); i > 0 { // "yes, due April"
		if b, ok := breedingWords[fold(text[:i])]; ok {
			return b
		}
	}
	r.log.find("cell-word", yard.Warn, name, t.sheet.place(c), yard.Say("finding.cell-word.breeding", wrote("wrote", text)))
	return yard.BreedingUnclear
}

// litresOrKg: a litre of sweat counts as a kilogram.
var litresOrKg = map[string]float64{"l": 1, "kg": 1}

// weightField: the bounds are those of the smallest Shetland and the largest
// Shire with room to spare (common practice, no source).
var weightField = field{what: yard.Say("field.weight"), factors: kgPer, unit: "kg", min: 50, max: 1300, in: yard.Kilograms, imperial: true, example: "520 kg", do: yard.Say("part.do.weigh")}

func nameColumn(t *table) int {
	c, _ := t.col("horse")
	return c.col
}

func readBasis(r *cellReader, t *table, c xlsx.Cell, name string, kg yard.Num) yard.WeightBasis {
	b := choice(r, t, c, yard.Say("field.how"), name, howWords, yard.NoWeight, yard.Say("part.expected.how"))
	switch {
	case !kg.IsKnown():
		if b == yard.ByGirthLength {
			return b
		}
		return yard.NoWeight
	case b == yard.NoWeight:
		return yard.Stated
	}
	return b
}

func readHeight(r *cellReader, t *table, c xlsx.Cell, headUnit, name string) yard.Num {
	if blank(c) {
		return yard.Num{}
	}
	place := t.sheet.place(c)
	q, rule, why := quantityOf(c)
	if rule != "" {
		r.log.find(rule, yard.Warn, name, place, yard.Say("finding.cell.height", yard.Said("why", why)))
		return yard.Num{}
	}
	unit := q.Unit
	if unit == "" {
		unit = unitName(headUnit)
	}
	if unit == "" {
		switch {
		case q.Value < 20:
			unit = "hh"
		case q.Value >= 50:
			unit = "cm"
		}
	}
	var cm float64
	if unit == "hh" {
		v, err := HandsToCm(q.Value)
		if err != nil {
			r.log.find("cell-number", yard.Warn, name, place, yard.Say("finding.cell-number.height", yard.Words("wrote", c.Shown), yard.Failure("why", err)))
			return yard.Num{}
		}
		cm = v
	} else if k, ok := cmPer[unit]; ok {
		cm = q.Value * k
	} else {
		r.log.find("cell-unit", yard.Warn, name, place, yard.Say("finding.cell-unit.height", yard.Words("wrote", c.Shown)))
		return yard.Num{}
	}
	if cm < 50 || cm > 220 {
		r.log.find("cell-range", yard.Warn, name, place, yard.Say("finding.cell-range.height", yard.Figures("cm", cm, yard.NoUnit, 6)))
		return yard.Num{}
	}
	return yard.Known(cm)
}

func readAge(r *cellReader, t *table, c xlsx.Cell, name string) yard.Num {
	if c.Kind == xlsx.Text {
		// "rising 5" is four years and some months; five is near enough.
		for _, p := range []string{"rising ", "r ", "aged "} {
			if s, ok := strings.CutPrefix(fold(c.Shown), p); ok {
				c.Shown = s
			}
		}
		if fold(c.Shown) == "aged" {
			return yard.Num{}
		}
	}
	return r.take(t, c, "", field{what: yard.Say("field.age"), example: "7", factors: map[string]float64{"year": 1, "m": 1. / 12, "months": 1. / 12}, unit: "year", min: 0, max: 50, in: yard.Years}, name, yard.Warn)
}

// readWeights takes the newest weighing of each horse where the horses sheet
// has none or an older one.
func readWeights(in *layout, cells *cellReader, horses *horseList) {
	for i := range in.tables[weightsKind] {
		t := &in.tables[weightsKind][i]
		in.headings(t)
		in.walkWith(horses).each(t, "horse", func(rw xlsx.Row) {
			nameCell := t.cell(rw, "horse")
			name := cells.name(t, nameCell, "horse")
			if name == "" {
				return
			}
			h := horses.ofRow(t, nameCell, name, yard.Note)
			if h == nil {
				return
			}
			date := cells.date(t, t.cell(rw, "date"), yard.Say("field.date.weighing"), h.Name)
			if date.IsZero() {
				return
			}
			col, _ := t.col("weight")
			weighing := yard.Weighing{Date: date, Cell: t.sheet.place(rw.At(col.col)),
				Kg:    cells.take(t, rw.At(col.col), col.heading.unit, weightField, h.Name, yard.Warn),
				Score: cells.take(t, t.cell(rw, "score"), "", scoreField, h.Name, yard.Warn)}
			weighing.Basis = readBasis(cells, t, t.cell(rw, "how"), h.Name, weighing.Kg)
			h.Weighings = append(h.Weighings, weighing)
			newer := h.Weighed.IsZero() && !h.WeightKg.IsKnown() || !h.Weighed.IsZero() && date.After(h.Weighed)
			if h.Weighed.IsZero() && h.WeightKg.IsKnown() {
				newer = true // a dated weighing goes before a number without a date
			}
			if !newer {
				return
			}
			if !weighing.Kg.IsKnown() {
				return
			}
			h.WeightKg, h.Weighed, h.WeightBasis = weighing.Kg, date, weighing.Basis
			h.Cells["weight"] = weighing.Cell
			if weighing.Score.IsKnown() {
				h.Score = weighing.Score
				h.Cells["score"] = t.sheet.place(t.cell(rw, "score"))
			}
		})
	}
}

// sortWeighings puts each horse's history in order, oldest first.
func sortWeighings(horses []yard.Horse) {
	for _, h := range horses {
		slices.SortStableFunc(h.Weighings, func(a, b yard.Weighing) int { return a.Date.Compare(b.Date) })
	}
}
