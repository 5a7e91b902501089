package board

import (
	"fmt"
	"strconv"
	"strings"
)

var clockText = lazily(`(?i)^\s*(\d{1,2})(?:[.:h](\d{2}))?\s*(am|pm|a\.m\.|p\.m\.|uhr|h|o'clock|hrs)?\s*$`)

// clockOf reads a time of day that stands alone, as 24-hour "06:30". Figures
// alone are none.
func clockOf(text string) (string, bool) {
	if strings.EqualFold(strings.TrimSpace(text), "noon") {
		return "12:00", true
	}
	if !beginsWithFigure(text) {
		return "", false
	}
	m := clockText().FindStringSubmatch(text)
	if m == nil || m[2] == "" && m[3] == "" {
		return "", false
	}
	h, _ := strconv.Atoi(m[1])
	mi, _ := strconv.Atoi(m[2])
	if h > 24 || mi > 59 {
		return "", false
	}
	if m[3] == "" && strings.Contains(text, ".") && (mi != 0 && mi != 15 && mi != 30 && mi != 45 || h < 4) {
		return "", false
	}
	if strings.HasPrefix(strings.ToLower(m[3]), "p") && h < 12 {
		h += 12
	}
	return fmt.Sprintf("%02d:%02d", h, mi), true
}

// beginsWithFigure says whether a figure is the first of a text but for blanks: a look costs
// less than the pattern, and rules most texts out.
func beginsWithFigure(text string) bool {
	text = strings.TrimLeft(text, " \t\n\f\r")
	return text != "" && text[0] >= '0' && text[0] <= '9'
}
