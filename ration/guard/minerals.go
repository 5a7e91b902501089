package guard

import (
	"slices"
	"strings"
	"unicode"

	"hardfeed/ration/yard"
)

// sayLevel says what a level comes to. Feeds of the bucket that bring it together are
// named together; hay at the high end of what it may hold is said to be.
func sayLevel(key string, c Compared, r Ration, of func(yard.Composition) yard.Num, args ...yard.Arg) yard.Saying {
	if with := broughtBy(r, of); len(with) > 1 {
		return yard.Say(key+".together", append(args, feedNames("feeds", with))...)
	}
	if c.AtMost {
		return yard.Say(key+".at most", args...)
	}
	return yard.Say(key, args...)
}

// broughtBy are the feeds, forage aside, that bring a tenth or more of the known total.
func broughtBy(r Ration, of func(yard.Composition) yard.Num) (with []string) {
	const share = 0.1 // ours
	total, _ := r.total(of)
	for f := range r.fed() {
		if f.Feed.Feed.Class != yard.Forage && over(known(f.amount(of)), share*total) {
			with = append(with, f.Feed.Feed.Name)
		}
	}
	return with
}

func seleniumInDM(c yard.Composition) yard.Num { return c.Se }
func iodineInDM(c yard.Composition) yard.Num   { return c.I }
func vitaminAInDM(c yard.Composition) yard.Num { return c.VitA }
func vitaminDInDM(c yard.Composition) yard.Num { return c.VitD }

func saySelenium(c Compared, r Ration, l yard.Limits) yard.Saying {
	if over(c.Value, l.SeVetMg) {
		return yard.Say("finding.D-23.vet", c.value(yard.Milligrams, 2), yard.Fixed("mark", l.SeVetMg, yard.Milligrams, 1))
	}
	return sayLevel("finding.D-23", c, r, seleniumInDM, c.value(yard.Milligrams, 2), c.word(), c.mark(yard.Milligrams, 1))
}

// addedSeleniumMg is what a feed holds where selenium was added to it: an order
// of magnitude over what grows (ours).
const addedSeleniumMg = 1.0

func twoSeleniums(r Ration, _ yard.Limits) (yard.Severity, yard.Saying) {
	var with []string
	for f := range r.fed() {
		if f.Feed.Feed.Class != yard.Forage && (!under(known(f.Feed.Composition.Se), addedSeleniumMg) || wordsOf(f.Feed.Feed).has("selenium")) {
			with = append(with, f.Feed.Feed.Name)
		}
	}
	if len(with) < 2 {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.D-23.sources", feedNames("feeds", with))
}

func sayIodine(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return sayLevel("finding.D-24", c, r, iodineInDM, c.value(yard.Milligrams, 2), c.word(), c.mark(yard.Milligrams, 1))
}

func sayVitaminA(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return sayLevel("finding.D-25.vitamin A", c, r, vitaminAInDM, c.value(yard.IU, 0), c.word(), c.mark(yard.IU, 0))
}

func sayVitaminD(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return sayLevel("finding.D-25.vitamin D", c, r, vitaminDInDM, c.value(yard.IU, 1), c.word(), c.mark(yard.IU, 0))
}

func ironSupplement(r Ration, _ yard.Limits) (yard.Severity, yard.Saying) {
	var iron []string
	for f := range r.fed() {
		if f.Feed.Feed.Class == yard.Supplement && wordsOf(f.Feed.Feed).has("iron", "ferrous", "haematinic") {
			iron = append(iron, f.Feed.Feed.Name)
		}
	}
	if iron == nil {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.D-25.iron", feedNames("feeds", iron))
}

func sayPotassium(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-27", c.value(yard.Percent, 2), c.word(), c.mark(yard.Percent, 1), asSet(r.Diagnoses))
}

func potassiumUnknown(c Compared, r Ration, l yard.Limits) yard.Saying {
	if c.Unknown {
		return yard.Say("finding.D-27.no dry matter", asSet(r.Diagnoses))
	}
	return yard.Say("finding.D-27.unknown", feedNames("feeds", c.Missing), yard.Fixed("mark", l.KStopPct, yard.Percent, 1), asSet(r.Diagnoses))
}

func sayPotassiumMeal(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-27.meal", c.meal(), yard.Fixed("value", c.Value, yard.Grams, 0), c.mark(yard.Grams, 0), asSet(r.Diagnoses))
}

func sayMaize(c Compared, _ Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.SH-03", c.value(yard.Percent, 0), c.mark(yard.Percent, 0))
}

// feedWords are the words of a feed's name, description and label.
type feedWords []string

func wordsOf(f yard.Feed) feedWords {
	return strings.FieldsFunc(strings.ToLower(f.Name+" "+f.Generic+" "+f.Notes), func(r rune) bool { return !unicode.IsLetter(r) })
}

func (w feedWords) has(words ...string) bool {
	return slices.ContainsFunc(words, func(x string) bool { return slices.Contains(w, x) })
}

// ionophoreWords are the ionophores by their chemical names.
var ionophoreWords = []string{"monensin", "lasalocid", "salinomycin", "narasin", "maduramicin", "laidlomycin", "semduramicin"}

// stockWords are the animals whose feeds may hold them, sheep and goats too (from
// memory), in the languages a workbook is written in.
var stockWords = []string{
	"cattle", "cow", "cows", "beef", "calf", "calves", "bullock", "bullocks", "heifer", "heifers", "dairy", "poultry", "chicken", "chickens",
	"chick", "chicks", "hen", "hens", "layers", "broiler", "broilers", "turkey", "turkeys", "sheep", "ewe", "ewes", "lamb", "lambs",
	"goat", "goats", "pheasant", "pheasants", "partridge", "partridges", "gamebird", "gamebirds", "poult", "poults", "duck", "ducks", "quail", "quails",
	"rabbit", "rabbits", "pig", "pigs", "piglet", "piglets", "sow", "sows",
	"bovin", "bovins", "vache", "vaches", "veau", "veaux", "génisse", "génisses", "volaille", "volailles", "poule", "poules", "pondeuse", "pondeuses",
	"poulet", "poulets", "dinde", "dindes", "mouton", "moutons", "brebis", "agneau", "agneaux", "chèvre", "chèvres",
	"faisan", "faisans", "perdrix", "canard", "canards", "caille", "cailles", "lapin", "lapins", "porc", "porcs", "porcelet", "porcelets",
	"vacuno", "vaca", "vacas", "ternero", "terneros", "bovino", "bovinos", "gallina", "gallinas", "ponedora", "ponedoras", "pollo", "pollos", "aves",
	"pavo", "pavos", "oveja", "ovejas", "cordero", "corderos", "cabra", "cabras",
	"faisán", "perdiz", "pato", "patos", "codorniz", "codornices", "conejo", "conejos", "cerdo", "cerdos", "porcino", "lechones",
	"bydło", "bydła", "krowa", "krowy", "krów", "cielęta", "cieląt", "drób", "drobiu", "kury", "kur", "nioski", "niosek", "brojlery",
	"brojlerów", "indyki", "indyków", "owce", "owiec", "kozy", "kóz",
	"bażanty", "bażantów", "kaczki", "kaczek", "przepiórki", "przepiórek", "króliki", "królików", "świnie", "świń", "prosięta", "prosiąt",
	"vitelo", "vitelos", "galinha", "galinhas", "poedeira", "poedeiras", "frango", "frangos", "ovelha", "ovelhas", "cordeiro", "cordeiros",
	"faisão", "codornizes", "coelho", "coelhos", "porco", "porcos", "suínos", "leitões",
}

// stockStems are those that German joins to other words.
var stockStems = []string{
	"rinder", "rindvieh", "kuh", "kühe", "kälber", "kalb", "bullen", "milchvieh", "milchleistung", "geflügel", "hühner", "huhn", "legehenn", "legemehl",
	"legekorn", "küken", "puten", "schaffutter", "schafe", "lämmer", "lammfutter", "ziegen",
	"fasan", "wachtel", "kaninchen", "schwein", "ferkel", "enten",
}

// forCattle says whether a feed is one for cattle or other stock by its name and by what
// it is said to be, or has an ionophore in it by any word about it: a label may well say
// "not for sheep". Hay off the sheep field is hay.
func forCattle(f yard.Feed) bool {
	about := wordsOf(yard.Feed{Name: f.Name, Generic: f.Generic})
	if f.Class == yard.Forage {
		return wordsOf(f).has(ionophoreWords...)
	}
	return wordsOf(f).has(ionophoreWords...) || about.has(stockWords...) || slices.ContainsFunc(about, func(w string) bool {
		return slices.ContainsFunc(stockStems, func(stem string) bool { return strings.HasPrefix(w, stem) })
	})
}

func ionophores(r Ration, _ yard.Limits) (yard.Severity, yard.Saying) {
	for f := range r.fed() {
		if forCattle(f.Feed.Feed) {
			return yard.Stop, yard.Say("finding.SH-01", yard.FeedArg("feed", f.Feed.Feed.Name))
		}
	}
	return 0, yard.Saying{}
}

// cuttingWords are grass that was mown and not dried, alone or beside a word for grass.
var (
	cuttingWords = []string{"clippings", "mowings", "rasenschnitt", "grasschnitt", "tonte", "aparas"}
	besideGrass  = []string{"cuttings", "skoszona", "recortes", "segada", "cortada"}
	grassWords   = []string{"grass", "lawn", "trawa", "hierba", "césped", "relva", "erva"}
)

// mownGrass tells of grass cuttings: they heat and ferment within hours, and are eaten in
// mouthfuls.
func mownGrass(r Ration, _ yard.Limits) (yard.Severity, yard.Saying) {
	for f := range r.fed() {
		about := wordsOf(yard.Feed{Name: f.Feed.Feed.Name, Generic: f.Feed.Feed.Generic})
		if about.has(cuttingWords...) || about.has(besideGrass...) && about.has(grassWords...) {
			return yard.Warn, yard.Say("finding.cuttings", yard.FeedArg("feed", f.Feed.Feed.Name))
		}
	}
	return 0, yard.Saying{}
}
