package board

import (
	"regexp"
	"strconv"
	"strings"
)

// language reads single cells.
type language struct{ lb bool }

func (l *language) pounds() bool { return l.lb }

var weightText = regexp.MustCompile(`(?i)^\D{0,10}(\d{1,2}[,.]?\d{3}|\d{2,4})([.,]\d+)?\s*(kg|kgs|lb|lbs|kilos?|ish)?\b.*$`)

func (l *language) looksLikeWeight(c *Cell) bool {
	if c.Kind == Number {
		return c.Num >= 60 && c.Num <= 2200 && !c.Percent
	}
	if c.Kind != Text || len(c.Text) > 40 {
		return false
	}
	m := weightText.FindStringSubmatch(c.Text)
	if m == nil {
		return strings.TrimSpace(c.Text) == "?"
	}
	n, _ := strconv.Atoi(strings.NewReplacer(",", "", ".", "").Replace(m[1]))
	return n >= 60 && n <= 2400
}

func (l *language) looksLikeHeight(c *Cell) bool {
	if c.Kind == Number {
		return c.Num >= 9 && c.Num < 19 || c.Num > 0.8 && c.Num < 2
	}
	return regexp.MustCompile(`(?i)^\d{1,2}([.,]\d{1,2})?\s*(hh|h\.h|hands|m)?$`).MatchString(strings.TrimSpace(c.Text))
}

func (l *language) looksLikeFeed(c *Cell) bool {
	return c.Kind == Number || regexp.MustCompile(`(?i)^[\d½¼¾.,/ ]+\s*(sc|scoop|scp|kg|lb|qt|bowl|mug|can|g|l|litre)`).MatchString(c.Text)
}
func (l *language) isWeightUnit(u string) bool { return u == "" || u == "kg" || u == "lb" || u == "st" }
func (l *language) isLegend(text string) bool {
	return regexp.MustCompile(`(?i)(=|\d\s*(kg|lb|g)\b.*\b(scoop|sc)|scoop.*kg)`).MatchString(text)
}

func (l *language) emptyStable(text string) bool {
	return regexp.MustCompile(`(?i)\b(empty|vacant|leer|vide|libre|vac[ií]o)\b`).MatchString(text)
}
func (l *language) phone(text string) bool {
	n := 0
	for _, r := range text {
		if r >= '0' && r <= '9' {
			n++
		}
	}
	return n >= 6 && regexp.MustCompile(`\d[\d ()/-]{5,}`).MatchString(text)
}

// until the words of the trade are here
func init() {
	crude = map[string]string{}
	for _, l := range []string{"kg kgs kilo kilos", "g gms", "lb lbs pound pounds libras", "scoop scoops sc scp scs", "mug mugs", "bowl bowls bwl bwls", "quart quarts qt qts", "can cans", "schaufel schaufeln sch", "l ltr liter litre litres litro litros", "mesure mesures mes", "medida medidas med"} {
		ws := strings.Fields(l)
		for _, w := range ws {
			crude[w] = ws[0]
		}
	}
}

var crude map[string]string
