package ingest

import (
	"strings"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// horseColumn is a column of the horses sheet.
type horseColumn struct {
	key     string             // as [Options.Synonyms] calls it
	heading string             // as the starter and the README have it; "": they have not
	printed bool               // it is printed on the office sheet as it is written
	read    func(in *horseRow) // nil: nothing else is made of it, or it is read with another
	words   []string           // what it is known by, in small letters, without units and marks
}

// horseColumns are the columns of the horses sheet, in the order the README lists them. A
// printed column's label on the office sheet is office.column.KEY of the tables of words.
var horseColumns = []horseColumn{
	{"horse", "Name", false, nil, []string{"name", "horse", "horse name", "horses name", "horse s name", "pony", "animal", "stable name", "horses"}},
	{"weight", "Weight (kg)", false, (*horseRow).weight, []string{"weight", "body weight", "bodyweight", "bw", "wt", "liveweight", "live weight", "weight now", "current weight"}},
	{"how", "How weighed", false, nil, []string{"how weighed", "weight by", "weighed by", "weighed how", "how", "weight basis", "basis", "method", "weight method", "weighed with"}},
	{"weighed", "Date weighed", false, nil, []string{"date weighed", "weighed", "weighed on", "weight date", "last weighed", "date of weight", "when weighed", "weigh date"}},
	{"girth", "Girth (cm)", false, (*horseRow).girth, []string{"girth", "heart girth", "heartgirth", "girth measurement"}},
	{"length", "Length (cm)", false, (*horseRow).length, []string{"length", "body length"}},
	{"height", "Height (hh)", false, (*horseRow).height, []string{"height", "size", "hands"}},
	{"age", "Age", false, (*horseRow).age, []string{"age"}},
	{"type", "Type", false, (*horseRow).kind, []string{"type", "horse type", "sort"}},
	{"score", "Score", false, (*horseRow).score, []string{"score", "condition score", "body condition", "body condition score", "bcs", "condition", "cs", "fat score"}},
	{"target score", "Target score", false, (*horseRow).targetScore, []string{"target score", "target", "target condition", "target bcs", "target condition score", "score wanted"}},
	{"fitness", "Fitness", false, (*horseRow).fitness, []string{"fitness"}},
	{"keeper", "Keeper", false, (*horseRow).keeper, []string{"keeper", "doer", "keep"}},
	{"temper", "Temper", true, nil, []string{"temper", "temperament", "nature"}},
	{"housing", "Housing", true, (*horseRow).housing, []string{"housing", "housed", "kept", "living", "turnout", "stabling"}},
	{"grass hours", "Hours at grass", false, (*horseRow).grassHours, []string{"hours at grass", "grass hours", "hours on grass", "turnout hours", "hours out", "hours turned out", "hours out a day"}},
	{"grass before", "Hours at grass last week", false, (*horseRow).grassBefore, []string{"hours at grass last week", "grass hours last week", "hours out last week", "turnout hours last week"}},
	{"rider", "Rider + tack (kg)", false, (*horseRow).rider, []string{"rider tack", "rider and tack", "rider plus tack", "rider", "load", "rider weight", "rider with tack"}},
	{"breed", "Breed", false, (*horseRow).breed, []string{"breed", "breeding type", "blood"}},
	{"breeding", "In foal", false, (*horseRow).breeding, []string{"in foal", "breeding", "mare state", "foal", "in foal or foal at foot"}},
	{"appetite", "Appetite", false, (*horseRow).appetite, []string{"appetite", "eating", "eats up", "off feed"}},
	{"in work since", "In work since", false, (*horseRow).inWorkSince, []string{"in work since", "came up", "brought up", "back in work", "work began", "up since"}},
	{"sweat score", "Sweat score (1-5)", false, (*horseRow).sweatScore, []string{"sweat score", "sweat score 1 5"}},
	{"sweat litres", "Sweat (l a work day)", false, (*horseRow).sweatLitres, []string{"sweat", "sweat loss", "measured sweat", "sweat measured"}},
	{"diagnoses", "Diagnoses", false, (*horseRow).diagnoses, []string{"diagnoses", "diagnosis", "vet diagnoses", "vet diagnosis", "medical", "known conditions", "health", "vet named", "known problems", "health problems", "problems", "ailments", "medical conditions", "medical history"}},
	{"check vet", "Vet check", false, check(yard.CheckVet), []string{"vet check", "vet checked", "vetted", "seen by vet"}},
	{"check farrier", "Shod", false, check(yard.CheckFeet), []string{"shod", "farrier check", "feet done", "seen by farrier", "shoeing"}},
	{"check saddle", "Saddle checked", false, check(yard.CheckSaddle), []string{"saddle checked", "saddle fit", "saddle check", "saddle fitted"}},
	{"check teeth", "Teeth", false, check(yard.CheckTeeth), []string{"teeth done", "teeth", "teeth checked"}},
	{"check worms", "Worm count", false, check(yard.CheckWorms), []string{"worm count", "worming", "worms", "worm egg count", "wormed by count"}},
	{"override", "", false, nil, []string{"override", "overrule"}},
	{"override by", "Override by", false, (*horseRow).override, []string{"override by", "override who", "overridden by", "overruled by"}},
	{"override reason", "Override reason", false, nil, []string{"override reason", "override why", "reason for override", "reason"}},
	{"notes", "Notes", false, (*horseRow).notes, []string{"notes", "note", "remarks", "comments", "comment"}},
}

func init() { // the readers know the words, so that the words cannot know the readers sooner
	words := map[string][]string{}
	for _, c := range horseColumns {
		words[c.key] = c.words
	}
	columnWords[horsesKind] = words
}

// HorseHeadings are the headings of the horses sheet that are read, by the keys of
// [Options.Synonyms], as the starter and the README have them, in their order.
func HorseHeadings() (keys, headings []string) {
	for _, c := range horseColumns {
		if c.heading != "" {
			keys, headings = append(keys, c.key), append(headings, c.heading)
		}
	}
	return keys, headings
}

// PrintedColumns are the keys of the columns that are printed as they are written.
func PrintedColumns() (keys []string) {
	for _, c := range horseColumns {
		if c.printed {
			keys = append(keys, c.key)
		}
	}
	return keys
}

// horseRow is a row of the horses sheet that is being read, column by column.
type horseRow struct {
	cells *cellReader
	week  time.Time // the first day of the week; zero: not known
	t     *table
	rw    xlsx.Row
	h     *yard.Horse
	key   string // of the column
}

func (in *horseRow) cell() xlsx.Cell { return in.t.cell(in.rw, in.key) }

// keep notes where the column's cell stands, for who has to be told.
func (in *horseRow) keep() {
	if c := in.cell(); c.Kind != xlsx.Empty {
		in.h.Cells[in.key] = in.t.sheet.place(c)
	}
}

func (in *horseRow) num(f field) yard.Num {
	col, ok := in.t.col(in.key)
	if !ok {
		return yard.Num{}
	}
	in.keep()
	return in.cells.take(in.t, in.rw.At(col.col), col.heading.unit, f, in.h.Name, yard.Warn)
}

func (in *horseRow) word(what string) string {
	return in.cells.word(in.t, in.cell(), yard.Say(what), in.h.Name)
}

// weight is the weight, how it was found and when: all three may stand in its cell.
func (in *horseRow) weight() {
	r, t, h := in.cells, in.t, in.h
	var basis yard.WeightBasis
	var weighed time.Time
	if col, ok := t.col("weight"); ok {
		in.keep()
		var c xlsx.Cell
		c, basis, weighed = weighing(in.rw.At(col.col), col.heading.unit, in.week)
		h.WeightKg = r.take(t, c, col.heading.unit, weightField, h.Name, yard.Stop)
	}
	how, on := t.cell(in.rw, "how"), t.cell(in.rw, "weighed")
	h.WeightBasis = readBasis(r, t, how, h.Name, h.WeightKg)
	if basis != yard.NoWeight && basis != "" && h.WeightKg.IsKnown() && blank(how) {
		h.WeightBasis = basis
	}
	if h.Weighed = r.date(t, on, yard.Say("field.date.weighing"), h.Name); blank(on) {
		h.Weighed = weighed
	}
}

func (in *horseRow) girth() {
	in.h.GirthCm = in.num(field{what: yard.Say("field.girth"), factors: cmPer, unit: "cm", min: 80, max: 260, in: yard.Centimetres, imperial: true, example: "185 cm", do: yard.Say("part.do.inches")})
}

func (in *horseRow) length() {
	in.h.LengthCm = in.num(field{what: yard.Say("field.length"), factors: cmPer, unit: "cm", min: 70, max: 260, in: yard.Centimetres, imperial: true, example: "160 cm", do: yard.Say("part.do.inches")})
}

func (in *horseRow) height() {
	if col, ok := in.t.col(in.key); ok {
		in.h.HeightCm = readHeight(in.cells, in.t, in.rw.At(col.col), col.heading.unit, in.h.Name)
	}
}

func (in *horseRow) age() { in.h.AgeYears = readAge(in.cells, in.t, in.cell(), in.h.Name) }

func (in *horseRow) kind() {
	in.h.Type = choice(in.cells, in.t, in.cell(), yard.Say("field.type"), in.h.Name, typeWords, yard.TypeHorse, yard.Say("part.expected.type"))
}

func (in *horseRow) score() { in.h.Score = in.num(scoreField) }

func (in *horseRow) targetScore() {
	f := scoreField
	f.what = yard.Say("field.target score")
	in.h.TargetScore = in.num(f)
}

func (in *horseRow) fitness() {
	in.h.Fitness = choice(in.cells, in.t, in.cell(), yard.Say("field.fitness"), in.h.Name, fitnessWords, yard.FitnessUnknown, yard.Say("part.expected.fitness"))
}

func (in *horseRow) keeper() {
	in.keep()
	in.h.Keeper = choice(in.cells, in.t, in.cell(), yard.Say("field.keeper"), in.h.Name, keeperWords, yard.NormalDoer, yard.Say("part.expected.keeper"))
}

// print takes what is printed as it is written.
func (in *horseRow) print() {
	col, ok := in.t.col(in.key)
	if !ok {
		return
	}
	if text := in.cells.word(in.t, in.rw.At(col.col), yard.Say("field.column", wrote("heading", col.cell.Shown)), in.h.Name); text != "" {
		in.h.Facts = append(in.h.Facts, yard.Fact{Column: in.key, Text: text})
	}
}

func (in *horseRow) housing() {
	c := in.cell()
	if c.Kind != xlsx.Text || blank(c) {
		return
	}
	housed := splitWords(c.Shown)
	for _, k := range keptWords {
		if strings.Contains(housed, " "+k.word+" ") {
			in.h.Kept = k.kept
			break
		}
	}
}

func (in *horseRow) notes() { in.h.Notes = in.word("field.notes") }

func (in *horseRow) rider() {
	in.h.RiderTackKg = in.num(field{what: yard.Say("field.rider"), factors: kgPer, unit: "kg", min: 0, max: 250, in: yard.Kilograms, imperial: true, example: "75 kg"})
}

func (in *horseRow) breed() {
	in.h.Breed = in.word("field.breed")
	if kind := in.t.cell(in.rw, "type"); in.h.Breed == "" && kind.Kind == xlsx.Text && !strings.EqualFold(tidy(kind.Shown), string(in.h.Type)) {
		in.h.Breed = strings.TrimSpace(kind.Shown) // "TB" under Type is both
	}
}

func (in *horseRow) breeding() {
	if c := in.cell(); !blank(c) {
		in.h.Breeding = readBreeding(in.cells, in.t, c, in.h.Name)
	}
}

func (in *horseRow) appetite() {
	c := in.cell()
	if blank(c) {
		return
	}
	off, known := offFeed(c.Shown)
	if !known {
		in.cells.log.find("cell-word", yard.Warn, in.h.Name, in.t.sheet.place(c), yard.Say("finding.cell-word.appetite", wrote("wrote", c.Shown)))
	}
	in.h.OffFeed = off
	in.keep()
}

func (in *horseRow) inWorkSince() {
	in.h.InWorkSince = in.cells.date(in.t, in.cell(), yard.Say("field.date.work"), in.h.Name)
	in.keep()
}

func (in *horseRow) sweatScore() {
	in.h.SweatScore = in.num(field{what: yard.Say("field.sweat score"), min: 1, max: 5, example: "3", do: yard.Say("part.do.sweat score")})
}

func (in *horseRow) sweatLitres() {
	in.h.SweatLitres = in.num(field{what: yard.Say("field.sweat litres"), factors: litresOrKg, unit: "l", min: 0, max: 60, in: yard.Litres, example: "8", do: yard.Say("part.do.sweat litres")})
}

func hoursAtGrass(what string) field {
	return field{what: yard.Say(what), factors: map[string]float64{"h": 1, "hour": 1, "hours": 1, "hr": 1, "hrs": 1}, unit: "h", min: 0, max: 24, in: yard.Hours, example: "4"}
}

func (in *horseRow) grassHours() { in.h.GrassHours = in.num(hoursAtGrass("field.grass hours")) }

func (in *horseRow) grassBefore() { in.h.GrassBefore = in.num(hoursAtGrass("field.grass before")) }

func (in *horseRow) diagnoses() {
	in.h.Diagnoses = readDiagnoses(in.cells, in.t, in.cell(), in.h.Name)
}

// check reads whether a check was made before work began.
func check(c yard.Check) func(in *horseRow) {
	return func(in *horseRow) {
		cell := in.cell()
		if blank(cell) {
			return
		}
		is, said := yes(cell)
		if is || cell.Kind == xlsx.Date || !said && fold(cell.Shown) == "done" {
			in.h.Checks = append(in.h.Checks, c)
		} else if !said {
			in.cells.log.find("cell-word", yard.Note, in.h.Name, in.t.sheet.place(cell), yard.Say("finding.cell-word.check", wrote("wrote", cell.Shown), yard.Named("check", yard.Term, in.key)))
		}
	}
}

func (in *horseRow) override() { in.h.Override = readOverride(in.cells, in.t, in.rw, in.h.Name) }
