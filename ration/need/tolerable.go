package need

// Tolerable is the most of a nutrient a kg of the whole ration's dry matter may
// hold: the maximum tolerable levels of NRC 2005 and 2007 (requirements §6), in
// the nutrient's own unit per kg of dry matter.
type Tolerable struct {
	PerKgDM float64
	Source  string
}

// Share of salt that is sodium and chloride, by their atomic weights (22.990 and
// 35.453; IUPAC).
const (
	sodiumOfSalt   = 22.990 / (22.990 + 35.453)
	chlorideOfSalt = 1 - sodiumOfSalt
)

// saltPerKgDM is the maximum tolerable salt, g per kg of dry matter.
const saltPerKgDM = 60.0

// MaxTolerable gives the level for a nutrient by its name in [Nutrients]; ok is
// false where there is none. Potassium has none on purpose: ordinary hay passes
// the printed level. Of the two levels for selenium the cautious one is used.
func MaxTolerable(nutrient string) (t Tolerable, ok bool) {
	const memory = "maximum tolerable level, NRC 2005/2007 (requirements §6, from memory)"
	const seen = "maximum tolerable level, NRC 2005/2007 as quoted (requirements §6)"
	switch nutrient {
	case "calcium":
		t = Tolerable{20, memory}
	case "phosphorus":
		t = Tolerable{10, memory}
	case "magnesium":
		t = Tolerable{8, memory}
	case "sodium":
		t = Tolerable{saltPerKgDM * sodiumOfSalt, memory + "; its share of salt"}
	case "chloride":
		t = Tolerable{saltPerKgDM * chlorideOfSalt, memory + "; its share of salt"}
	case "sulphur":
		t = Tolerable{5, memory}
	case "cobalt":
		t = Tolerable{25, seen}
	case "copper":
		t = Tolerable{250, seen}
	case "iodine":
		t = Tolerable{5, seen}
	case "iron":
		t = Tolerable{500, seen}
	case "manganese":
		t = Tolerable{400, memory}
	case "selenium":
		t = Tolerable{2, seen + "; the cautious one of two"}
	case "zinc":
		t = Tolerable{500, seen}
	case "vitamin A":
		t = Tolerable{16000, seen}
	case "vitamin D":
		t = Tolerable{2200, memory}
	case "vitamin E":
		t = Tolerable{1000, seen + "; set from other species"}
	}
	return t, t.PerKgDM > 0
}
