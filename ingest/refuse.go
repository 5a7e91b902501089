package ingest

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// Refused is the answer to a file from which nothing can be taken. Its
// sentence is for the person who dropped the file in: what is wrong, and what
// to do. Cause is the technical reason where there is one.
type Refused struct {
	Sentence string
	Cause    error
}

func (r *Refused) Error() string { return r.Sentence }

// Unwrap gives the technical reason.
func (r *Refused) Unwrap() error { return r.Cause }

func refuse(cause error, format string, args ...any) *Refused {
	return &Refused{fmt.Sprintf(format, args...), cause}
}

func damaged(name string, cause error) *Refused {
	return refuse(cause, "%s is damaged and cannot be read whole%s: open it in your spreadsheet program, save it again and drop it in once more.", name, oddity(cause))
}

// oddity says in brackets what is odd about a damaged file, for whoever looks after the
// computer; "" where only a library's own words are known.
func oddity(cause error) string {
	text := ""
	var syntax *xml.SyntaxError
	switch {
	case cause == nil:
	case errors.Is(cause, zip.ErrChecksum):
		text = "a part of it is not what it was when it was saved"
	case errors.Is(cause, zip.ErrFormat), errors.Is(cause, io.ErrUnexpectedEOF), errors.Is(cause, io.EOF):
		text = "a part of it is cut short"
	case errors.Is(cause, zip.ErrAlgorithm):
		text = "a part of it is packed in an unusual way"
	case errors.As(cause, &syntax):
		text = fmt.Sprintf("a part of it is broken at its line %d", syntax.Line)
	default:
		if text = cause.Error(); strings.ContainsAny(text, "%\n") || len(text) > 160 || libraryWords().MatchString(text) {
			return ""
		}
	}
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

var libraryWords = lazily(`(?i)\b(flate|zip:|xml:|strconv|runtime|invalid syntax|EOF|nil|panic)`)

// MaxFileBytes is the largest workbook read: a yard's week is well under 1 MB.
const MaxFileBytes = 20 << 20

// FileBytes reads a workbook's file once, so that what is checked is what is
// read. The error is a [*Refused]: no such file, a folder, no right to read it,
// or more than 20 MB.
func FileBytes(path string) ([]byte, error) {
	name := filepath.Base(path)
	st, err := os.Stat(path)
	switch {
	case os.IsNotExist(err):
		return nil, refuse(err, "There is no file %s: check the name and the folder.", path)
	case err != nil:
		return nil, refuse(err, "%s cannot be opened: check that you may read it and that no other program holds it.", path)
	case st.IsDir():
		return nil, refuse(nil, "%s is a folder, not a workbook: name the .xlsx file in it.", path)
	case !st.Mode().IsRegular(): // it may never end, or never begin
		return nil, refuse(nil, "%s is a pipe or a device, not a workbook: name a file.", path)
	case st.Size() > MaxFileBytes:
		return nil, tooLarge(name, st.Size())
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, refuse(err, "%s cannot be opened: check that you may read it and that no other program holds it.", path)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxFileBytes+1))
	if err != nil {
		return nil, refuse(err, "%s cannot be read to its end: copy it to this computer and try again.", path)
	}
	return data, nil
}

func tooLarge(name string, size int64) *Refused {
	return refuse(nil, "%s is %d MB, and a workbook may have %d MB at most: take out pictures and old sheets and save it again.",
		name, size>>20, MaxFileBytes>>20)
}

// sniff tells a workbook from everything else that is dropped in a folder. It
// returns nil for a zip archive that holds a workbook part.
func sniff(name string, data []byte) *Refused {
	const saveAs = "open it in your spreadsheet program and save it as an Excel workbook (.xlsx)"
	switch {
	case len(data) > MaxFileBytes:
		return tooLarge(name, int64(len(data)))
	case len(data) == 0:
		return refuse(nil, "%s is empty: it holds nothing at all; save the workbook again and drop it in once more.", name)
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")):
		if bytes.Contains(data, utf16le("EncryptedPackage")) {
			return refuse(nil, "%s is protected by a password: open it, take the password off and save it again.", name)
		}
		return refuse(nil, "%s is an old Excel file (.xls): %s.", name, saveAs)
	case !bytes.HasPrefix(data, []byte("PK")):
		head := bytes.TrimLeft(bytes.TrimPrefix(data[:min(len(data), 4096)], []byte("\ufeff")), " \t\r\n")
		low := bytes.ToLower(head)
		switch {
		case bytes.HasPrefix(low, []byte("<!doctype html")), bytes.HasPrefix(low, []byte("<html")):
			return refuse(nil, "%s is a web page under another name, not a workbook: download the workbook itself, or %s.", name, saveAs)
		case bytes.HasPrefix(low, []byte("<")):
			return refuse(nil, "%s is an XML text, not an Excel workbook: %s.", name, saveAs)
		case bytes.HasPrefix(low, []byte("%pdf")):
			return refuse(nil, "%s is a PDF, not a workbook: drop in the workbook it was printed from.", name)
		case !bytes.ContainsRune(head, 0) && textual(head):
			return refuse(nil, "%s is plain text, such as a .csv file, not a workbook: %s.", name, saveAs)
		}
		return refuse(nil, "%s is not an Excel workbook: %s.", name, saveAs)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return refuse(err, "%s was cut off or is damaged: copy it again, or open it, save it again and drop it in once more.", name)
	}
	for _, f := range z.File {
		if f.Flags&1 != 0 {
			return refuse(nil, "%s is protected by a password: open it, take the password off and save it again.", name)
		}
	}
	for _, f := range z.File {
		switch f.Name {
		case "xl/workbook.xml":
			return nil
		case "mimetype":
			if b, err := readPart(f, 200); err == nil && strings.Contains(b, "opendocument") {
				return refuse(nil, "%s is an OpenDocument file (.ods), not an Excel workbook: %s.", name, saveAs)
			}
		case "xl/workbook.bin":
			return refuse(nil, "%s is a binary Excel workbook (.xlsb): %s.", name, saveAs)
		}
	}
	return refuse(nil, "%s is a zip archive without a workbook in it: %s.", name, saveAs)
}

// textual allows for a character cut in half at the end of the sample.
func textual(b []byte) bool {
	for i := 0; i < 4 && len(b) > 0; i++ {
		if utf8.Valid(b) {
			return true
		}
		b = b[:len(b)-1]
	}
	return false
}

func utf16le(s string) []byte {
	b := make([]byte, 0, 2*len(s))
	for i := range len(s) {
		b = append(b, s[i], 0)
	}
	return b
}
