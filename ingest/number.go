package ingest

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// Quantity is a number with the unit written behind it. Unit is one of the
// unit names of the table unitWords, or "" where none was written.
type Quantity struct {
	Value float64
	Unit  string
}

// Factors to the units used inside the program. The pound, the ounce, the
// stone, the inch and the pints are exact by definition (International Yard
// and Pound Agreement 1959; UK Weights and Measures Act 1985, schedule 1; NIST
// Handbook 44, appendix C for the US liquid and dry quart).
var (
	kgPer     = map[string]float64{"kg": 1, "g": 0.001, "mg": 1e-6, "lb": 0.45359237, "oz": 0.028349523125, "st": 6.35029318}
	cmPer     = map[string]float64{"cm": 1, "m": 100, "mm": 0.1, "in": 2.54, "ft": 30.48, "hh": 10.16}
	litresPer = map[string]float64{"l": 1, "ml": 0.001, "qt": 0.946352946, "dry qt": 1.101220942715, "pt": 0.56826125, "cup": 0.2365882365}
	minPer    = map[string]float64{"min": 1, "h": 60}
)

// unitWords maps what people write to one name a unit. "scoop" is matched
// with the yard's measures by the caller; "measure" is whichever the feed has.
var unitWords = map[string]string{
	"kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
	"g": "g", "gm": "g", "gms": "g", "gr": "g", "gram": "g", "grams": "g", "mg": "mg",
	"lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "oz": "oz", "ounce": "oz", "ounces": "oz",
	"st": "st", "stone": "st", "stones": "st",
	"cm": "cm", "cms": "cm", "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "mm": "mm",
	"in": "in", "ins": "in", "inch": "in", "inches": "in", "\"": "in", "″": "in", "ft": "ft", "foot": "ft", "feet": "ft",
	"hh": "hh", "hand": "hh", "hands": "hh", "h.h": "hh",
	"l": "l", "lt": "l", "ltr": "l", "ltrs": "l", "litre": "l", "litres": "l", "liter": "l", "liters": "l",
	"ml": "ml", "mls": "ml", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
	"qt": "qt", "qts": "qt", "quart": "qt", "quarts": "qt", "dry qt": "dry qt", "dry qts": "dry qt", "dry quart": "dry qt", "dry quarts": "dry qt", "pt": "pt", "pint": "pt", "pints": "pt", "cup": "cup", "cups": "cup",
	"min": "min", "mins": "min", "minute": "min", "minutes": "min", "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
	"y": "year", "yr": "year", "yrs": "year", "year": "year", "years": "year", "yo": "year", "y/o": "year", "years old": "year",
	"%": "%", "c": "°C", "°c": "°C", "f": "°F", "°f": "°F", "°": "°C", "deg": "°C", "deg c": "°C", "deg f": "°F",
	"mj": "MJ", "mj/kg": "MJ", "mcal": "Mcal", "mcal/kg": "Mcal", "mcal/lb": "Mcal/lb", "g/kg": "g/kg",
	"scoop": "scoop", "scoops": "scoop", "sc": "scoop", "scp": "scoop", "scps": "scoop", "level scoop": "scoop", "level scoops": "scoop",
	"measure": "measure", "measures": "measure",
}

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅓': 1. / 3, '⅔': 2. / 3,
	'⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5, '⅙': 1. / 6, '⅚': 5. / 6,
	'⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
}

var (
	errNoNumber  = unread(yard.Say("part.number.none"))
	errNotFirst  = unread(yard.Say("part.number.not first"))
	errAmbiguous = unread(yard.Say("part.number.comma"))
	errTooLong   = unread(yard.Say("part.number.long"))
)

// tidy makes every kind of blank a plain one, every dash that stands for a
// minus a hyphen, drops invisible marks, and trims.
func tidy(s string) string {
	if isPlain(s) {
		return strings.TrimSpace(s)
	}
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == '−' || r == '–' || r == '—' || r == '‐' || r == '‑' || r == '‒':
			return '-'
		case r == '⁄':
			return '/'
		case r == '\u200b' || r == '\ufeff' || r == '\u00ad' || r == '\u2060', isDirection(r):
			return -1
		case unicode.IsSpace(r) || unicode.Is(unicode.Zs, r):
			return ' '
		}
		return r
	}, s))
}

// isPlain says whether s is made of nothing but the printing characters of
// ASCII and the plain blank: most cells are, and need no tidying.
func isPlain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// isDirection says whether r is a mark that turns the direction of writing; it
// shows nothing itself.
func isDirection(r rune) bool {
	return r == '\u200e' || r == '\u200f' || r == '\u061c' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}

// ParseNumber reads a number as a person types it: "520", "1,5", "1.5", "½",
// "2½", "1 1/2", "-3". It refuses what can be read in two ways ("1,250") and
// everything that is not a number from end to end.
func ParseNumber(text string) (float64, error) {
	s := tidy(text)
	v, rest, err := leadingNumber(s)
	if err != nil {
		return 0, err
	}
	if strings.TrimSpace(rest) != "" {
		return 0, unread(yard.Say("part.number.after", yard.Words("word", strings.TrimSpace(rest))))
	}
	return v, nil
}

// ParseQuantity reads a number and the unit behind it: "1.5kg", "2½ scoops",
// "3 lb 8 oz", "16.1hh" (which stays 16.1: see [HandsToCm]), "1h15". Two-part
// quantities come back in the first unit. A unit it does not know is returned
// as written, in lower case, for the caller to match with the yard's measures.
func ParseQuantity(text string) (Quantity, error) {
	s := tidy(text)
	v, rest, err := leadingNumber(s)
	if err != nil {
		return Quantity{}, err
	}
	word, rest := leadingWord(rest)
	q := Quantity{v, unitName(word)}
	rest = strings.TrimSpace(rest)
	switch strings.ToLower(rest) {
	case "", "a day", "per day", "/day", "daily", "level", "/d", "each day":
		return q, nil
	}
	// Hands keep their own notation: 16 hands 1 inch is 16.1.
	if q.Unit == "hh" && q.Value == math.Trunc(q.Value) {
		if inches, more, err := leadingNumber(rest); err == nil && inches >= 0 && inches <= 3 && inches == math.Trunc(inches) {
			if word, end := leadingWord(more); unitName(word) == "in" && strings.TrimSpace(end) == "" {
				q.Value += inches / 10
				return q, nil
			}
		}
	}
	// A second part is only taken where it must be smaller than the first.
	second := map[string]struct {
		unit string
		per  float64
	}{"st": {"lb", 14}, "lb": {"oz", 16}, "h": {"min", 60}, "ft": {"in", 12}, "kg": {"g", 1000}}
	if p, ok := second[q.Unit]; ok {
		v2, rest2, err := leadingNumber(rest)
		if err == nil {
			word2, rest2 := leadingWord(rest2)
			u2 := unitName(word2)
			if strings.TrimSpace(rest2) == "" && (u2 == p.unit || u2 == "" && q.Unit != "kg") && v2 >= 0 && v2 < p.per && v >= 0 {
				q.Value += v2 / p.per
				return q, nil
			}
		}
	}
	return Quantity{}, unread(yard.Say("part.number.after amount", yard.Words("word", rest)))
}

func unitName(word string) string {
	w := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(word)), ".")
	if u, ok := unitWords[w]; ok {
		return u
	}
	return w
}

// leadingWord takes the unit: letters, %, ", ° and a slash between letters.
func leadingWord(s string) (word, rest string) {
	s = strings.TrimLeft(s, " ")
	low := strings.ToLower(s)
	for _, two := range []string{"level scoops", "level scoop", "deg c", "deg f", "years old", "dry quarts", "dry quart", "dry qts", "dry qt"} {
		if strings.HasPrefix(low, two) && (len(low) == len(two) || low[len(two)] == ' ') {
			return s[:len(two)], s[len(two):]
		}
	}
	end := 0
	for i, r := range s {
		if unicode.IsLetter(r) || r == '%' || r == '"' || r == '″' || r == '°' || r == '/' && i > 0 || r == '.' && i > 0 {
			end = i + utf8.RuneLen(r)
			continue
		}
		break
	}
	return s[:end], s[end:]
}

// leadingNumber reads the number s begins with. s has been through tidy.
func leadingNumber(s string) (float64, string, error) {
	sign := 1.0
	if t, ok := strings.CutPrefix(s, "-"); ok {
		sign, s = -1, strings.TrimLeft(t, " ")
	} else if t, ok := strings.CutPrefix(s, "+"); ok {
		s = t
	}
	v, rest, err := plainNumber(s)
	switch {
	case errors.Is(err, errNoNumber):
		f, rest, ok := fraction(s)
		if !ok {
			if strings.ContainsFunc(s, unicode.IsDigit) {
				return 0, "", errNotFirst
			}
			return 0, "", errNoNumber
		}
		return sign * f, rest, nil
	case err != nil:
		return 0, "", err
	}
	whole := v == math.Trunc(v) && !strings.ContainsAny(s[:len(s)-len(rest)], ".,")
	// "2½", "1 1/2", "1-1/2", or "1/2" where the whole number was the upper part.
	if whole {
		if f, r, ok := fraction(s); ok {
			return sign * f, r, nil
		}
		if strings.HasPrefix(rest, "/") {
			return 0, "", unread(yard.Say("part.number.fraction", yard.Words("word", s)))
		}
		if f, r, ok := fraction(strings.TrimLeft(rest, " ")); ok {
			return sign * (v + f), r, nil
		}
		if t, ok := strings.CutPrefix(rest, "-"); ok {
			if f, r, ok := fraction(t); ok {
				return sign * (v + f), r, nil
			}
		}
	}
	return sign * v, rest, nil
}

// fraction reads "½" or "1/2". Halves, thirds, quarters, fifths, sixths,
// eighths, tenths and sixteenths below one; anything else ("6/7", "30/11") is
// more likely a date or a pair of numbers.
func fraction(s string) (float64, string, bool) {
	r, n := utf8.DecodeRuneInString(s)
	if f, ok := vulgar[r]; ok {
		if len(s) > n && (s[n] >= '0' && s[n] <= '9' || s[n] == '/') {
			return 0, "", false
		}
		return f, s[n:], true
	}
	up, rest := digits(s)
	if up == "" || len(up) > 2 || !strings.HasPrefix(rest, "/") {
		return 0, "", false
	}
	low, rest := digits(rest[1:])
	switch low {
	case "2", "3", "4", "5", "6", "8", "10", "16":
	default:
		return 0, "", false
	}
	if strings.HasPrefix(rest, "/") || strings.HasPrefix(rest, ".") {
		return 0, "", false
	}
	a, _ := strconv.Atoi(up)
	b, _ := strconv.Atoi(low)
	if a == 0 || a >= b {
		return 0, "", false
	}
	return float64(a) / float64(b), rest, true
}

func digits(s string) (d, rest string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}

// plainNumber reads digits with decimal points or commas.
func plainNumber(s string) (float64, string, error) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || (s[i] == '.' || s[i] == ',') && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9') {
		i++
	}
	num, rest := s[:i], s[i:]
	if num == "" {
		return 0, "", errNoNumber
	}
	if len(num) > 18 {
		return 0, "", errTooLong
	}
	plain, err := withPoint(num)
	if err != nil {
		return 0, "", err
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		return 0, "", unusual(num)
	}
	// "1 250": a blank between figures is neither a fraction nor a new number.
	if t := strings.TrimLeft(rest, " "); t != rest && t != "" && t[0] >= '0' && t[0] <= '9' {
		if _, _, ok := fraction(t); !ok {
			return 0, "", unread(yard.Say("part.number.two", yard.Words("word", s)))
		}
	}
	return v, rest, nil
}

func unusual(num string) error {
	return unread(yard.Say("part.number.unusual", yard.Words("word", num)))
}

// withPoint is a number of figures, points and commas with a point before its decimals
// and no other mark; an error where it can be read in two ways, or in none.
func withPoint(num string) (string, error) {
	points, commas := strings.Count(num, "."), strings.Count(num, ",")
	switch {
	case commas == 0 && points <= 1:
		return num, nil
	case commas == 1 && points == 0:
		before, after, _ := strings.Cut(num, ",")
		// "0,250" cannot be a thousand; "1,250" can.
		if len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before != "0" {
			return "", errAmbiguous
		}
		if len(after) > 3 || before == "" {
			return "", unusual(num)
		}
		return before + "." + after, nil
	case points <= 1 && thousands(num, ",", "."):
		return strings.ReplaceAll(num, ",", ""), nil
	case commas <= 1 && thousands(num, ".", ","):
		return strings.Replace(strings.ReplaceAll(num, ".", ""), ",", ".", 1), nil
	}
	return "", unusual(num)
}

// thousands says whether num is groups of three parted by mark, with at most
// one decimal mark behind them, as in 1,250.5 or 1.250.000,5.
func thousands(num, mark, decimal string) bool {
	whole, _, _ := strings.Cut(num, decimal)
	groups := strings.Split(whole, mark)
	if len(groups) < 2 || len(groups[0]) < 1 || len(groups[0]) > 3 || strings.Contains(num[len(whole):], mark) {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}

// unitOfFormat finds a unit that a number's format writes beside the number:
// 0.0" kg" shows 2.5 kg for 2.5.
func unitOfFormat(code string) string {
	if !strings.Contains(code, `"`) {
		return ""
	}
	code, _, _ = strings.Cut(code, ";")
	for i, part := range strings.Split(code, `"`) {
		if u, ok := unitWords[strings.ToLower(strings.TrimSpace(part))]; ok && i%2 == 1 {
			return u
		}
	}
	return ""
}

// HandsToCm turns a height in hands into centimetres. Hands are written
// hands.inches: 16.1 is sixteen hands one inch, so only .0 to .3 exist (British
// Horse Society and every passport; one hand is four inches, 10.16 cm).
func HandsToCm(hands float64) (float64, error) {
	whole := math.Floor(hands + 1e-9)
	inches := math.Round((hands - whole) * 10)
	if hands < 0 || math.Abs(hands-whole-inches/10) > 1e-6 || inches > 3 {
		return 0, unread(yard.Say("part.number.hands"))
	}
	return (whole*4 + inches) * 2.54, nil
}
