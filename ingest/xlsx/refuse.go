package xlsx

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// Refused is the answer to a file from which nothing can be taken. What it says
// is for the person who dropped the file in: what is wrong, and what to do. Cause is the technical reason where there is one.
type Refused struct {
	Saying yard.Saying
	Cause  error
}

func (r *Refused) Error() string { return r.Saying.String() }

// Told is what is wrong, and what to do.
func (r *Refused) Told() yard.Saying { return r.Saying }

// Unwrap gives the technical reason.
func (r *Refused) Unwrap() error { return r.Cause }

// Refuse is a refusal with what is said of it, and the technical reason; nil: none.
func Refuse(cause error, says yard.Saying) *Refused { return &Refused{Saying: says, Cause: cause} }

// refuseFile is a refusal that says no more than which file it is about.
func refuseFile(cause error, key, file string) *Refused {
	return Refuse(cause, yard.Say(key, yard.Named("file", yard.Place, file)))
}

func damaged(name string, cause error) *Refused {
	if odd := oddity(cause); !odd.Empty() {
		return Refuse(cause, yard.Say("refused.damaged", yard.Named("file", yard.Place, name), yard.Said("why", odd)))
	}
	return refuseFile(cause, "refused.damaged.somehow", name)
}

// oddity says what is odd about a damaged file, for whoever looks after the computer;
// nothing where only a library's own words are known.
func oddity(cause error) yard.Saying {
	var syntax *xml.SyntaxError
	switch {
	case cause == nil:
	case errors.Is(cause, zip.ErrChecksum):
		return yard.Say("part.damage.changed")
	case errors.Is(cause, zip.ErrFormat), errors.Is(cause, io.ErrUnexpectedEOF), errors.Is(cause, io.EOF):
		return yard.Say("part.damage.short")
	case errors.Is(cause, zip.ErrAlgorithm):
		return yard.Say("part.damage.packing")
	case errors.As(cause, &syntax):
		return yard.Say("part.damage.line", yard.Count("line", syntax.Line))
	default:
		if t, ok := errors.AsType[yard.Teller](cause); ok {
			return t.Told()
		}
	}
	return yard.Saying{}
}

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
		return nil, refuseFile(err, "refused.no file", path)
	case err != nil:
		return nil, refuseFile(err, "refused.not opened", path)
	case st.IsDir():
		return nil, refuseFile(nil, "refused.folder", path)
	case !st.Mode().IsRegular(): // it may never end, or never begin
		return nil, refuseFile(nil, "refused.device", path)
	case st.Size() > MaxFileBytes:
		return nil, tooLarge(name, st.Size())
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, refuseFile(err, "refused.not opened", path)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxFileBytes+1))
	if err != nil {
		return nil, refuseFile(err, "refused.cut", path)
	}
	return data, nil
}

func tooLarge(name string, size int64) *Refused {
	return Refuse(nil, yard.Say("refused.large", yard.Named("file", yard.Place, name), yard.Count("mb", int(size>>20)), yard.Count("most", MaxFileBytes>>20)))
}

// sniff tells a workbook from everything else that is dropped in a folder. It
// returns nil for a zip archive that holds a workbook part.
func sniff(name string, data []byte) *Refused {
	switch {
	case len(data) > MaxFileBytes:
		return tooLarge(name, int64(len(data)))
	case len(data) == 0:
		return refuseFile(nil, "refused.empty", name)
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")):
		if bytes.Contains(data, utf16le("EncryptedPackage")) {
			return refuseFile(nil, "refused.password", name)
		}
		return refuseFile(nil, "refused.xls", name)
	case !bytes.HasPrefix(data, []byte("PK")):
		head := bytes.TrimLeft(bytes.TrimPrefix(data[:min(len(data), 4096)], []byte("\ufeff")), " \t\r\n")
		low := bytes.ToLower(head)
		switch {
		case bytes.HasPrefix(low, []byte("<!doctype html")), bytes.HasPrefix(low, []byte("<html")):
			return refuseFile(nil, "refused.web page", name)
		case bytes.HasPrefix(low, []byte("<")):
			return refuseFile(nil, "refused.xml", name)
		case bytes.HasPrefix(low, []byte("%pdf")):
			return refuseFile(nil, "refused.pdf", name)
		case !bytes.ContainsRune(head, 0) && textual(head):
			return refuseFile(nil, "refused.text", name)
		}
		return refuseFile(nil, "refused.no workbook", name)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return refuseFile(err, "refused.cut off", name)
	}
	for _, f := range z.File {
		if f.Flags&1 != 0 {
			return refuseFile(nil, "refused.password", name)
		}
	}
	for _, f := range z.File {
		switch f.Name {
		case "xl/workbook.xml":
			return nil
		case "mimetype":
			if b, err := readPart(f, 200); err == nil && strings.Contains(b, "opendocument") {
				return refuseFile(nil, "refused.ods", name)
			}
		case "xl/workbook.bin":
			return refuseFile(nil, "refused.xlsb", name)
		}
		if strings.HasSuffix(f.Name, ".iwa") { // Apple's Numbers keeps its tables so (from memory)
			return refuseFile(nil, "refused.numbers", name)
		}
	}
	return refuseFile(nil, "refused.zip", name)
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
