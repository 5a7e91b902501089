package xlsx

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// A package's parts may be UTF-16 (ECMA-376 part 2, 9.1.2), which the XML reader and the
// spreadsheet library do not know; other programs also take the two letter sets that old
// tools of the west write. Where a part says such a one, it is written again as UTF-8.

// startOf is how much of a part its declaration fits in.
const startOf = 200

// lettersOf is what a part that begins so is written in; nil where that is UTF-8, or
// nothing we can read.
func lettersOf(start []byte) encoding.Encoding {
	if bytes.HasPrefix(start, []byte("\xff\xfe")) || bytes.HasPrefix(start, []byte("\xfe\xff")) {
		return unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM)
	}
	said := declared().FindSubmatch(start)
	if said == nil {
		return nil
	}
	switch strings.ToLower(string(said[2])) {
	case "iso-8859-1", "latin1":
		return charmap.ISO8859_1
	case "windows-1252":
		return charmap.Windows1252
	}
	return nil
}

var declared = lazily(`^(<\?xml[^>]*\sencoding\s*=\s*["'])([A-Za-z0-9._-]+)`)

// otherLetters says that a part is not in UTF-8.
func otherLetters(f *zip.File) bool {
	switch strings.ToLower(path.Ext(f.Name)) {
	case ".xml", ".rels", ".vml":
	default:
		return false
	}
	r, err := f.Open()
	if err != nil {
		return false // the later look says what is wrong with it
	}
	defer r.Close()
	start := make([]byte, startOf)
	n, _ := io.ReadFull(r, start)
	return lettersOf(start[:n]) != nil
}

// inUTF8 is a part in UTF-8, as it is where that cannot be.
func inUTF8(part string) string {
	letters := lettersOf([]byte(part[:min(startOf, len(part))]))
	if letters == nil {
		return part
	}
	text, err := letters.NewDecoder().String(part)
	if err != nil {
		return part
	}
	return declared().ReplaceAllString(text, "${1}UTF-8")
}
