package inbox

import (
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// maxNameBytes leaves room, below the 255 bytes that most file systems allow,
// for the words and numbers put behind a name.
const maxNameBytes = 100

// Fit makes a text fit to be the name of a file or folder on every file system
// in use: no separators, no characters Windows refuses, no control or
// direction characters, no leading or trailing dots or spaces, no device
// name, NFC, at most 100 bytes. A text of which nothing is left becomes "unnamed".
// An .xlsx ending survives the cut. Fit of a fit name is that name.
func Fit(text string) string {
	for {
		fit := fitOnce(text)
		if fit == text {
			return fit
		}
		text = fit // a cut can leave a dot or a device's name at an end
	}
}

func fitOnce(text string) string {
	text = norm.NFC.String(strings.ToValidUTF8(text, "_"))
	var b strings.Builder
	for _, r := range text {
		switch {
		case strings.ContainsRune(`<>:"/\|?*`, r):
			b.WriteByte('_')
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case !unicode.IsGraphic(r), r == utf8.RuneError:
			// control, format and unassigned characters: invisible, or they turn the
			// reading direction of what follows
		default:
			b.WriteRune(r)
		}
	}
	name := strings.Join(strings.Fields(b.String()), " ")
	stem, ext := cutExt(name)
	for len(stem)+len(ext) > maxNameBytes {
		_, n := utf8.DecodeLastRuneInString(stem)
		stem = stem[:len(stem)-n]
	}
	stem = norm.NFC.String(strings.Trim(stem, ". "))
	// NUL.xlsx is the device on Windows as much as NUL is.
	if first, _, _ := strings.Cut(stem, "."); reserved(strings.TrimSpace(first)) {
		stem = "_" + stem
	}
	if stem == "" {
		stem = "unnamed"
	}
	return stem + ext
}

// cutExt parts a workbook's ending from its name; "" for any other name.
func cutExt(name string) (stem, ext string) {
	ext = path.Ext(name)
	if slices.Contains(workbookEndings, strings.ToLower(ext)) {
		return strings.TrimSuffix(name, ext), ext
	}
	return name, ""
}

// reserved names are devices on Windows, whatever follows the first dot.
func reserved(name string) bool {
	name = strings.ToUpper(name)
	switch name {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	for _, port := range []string{"COM", "LPT"} {
		if n, ok := strings.CutPrefix(name, port); ok && utf8.RuneCountInString(n) == 1 && strings.Contains("0123456789¹²³", n) {
			return true
		}
	}
	return false
}

// numbered is name for n = 1, and "name (n)" before its ending for others.
func numbered(name string, n int) string {
	if n == 1 {
		return name
	}
	stem, ext := cutExt(name)
	return stem + " (" + strconv.Itoa(n) + ")" + ext
}
