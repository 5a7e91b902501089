package pdftest

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
)

// tools has every file that is read or checked looked at by other programs as well:
// pdftotext of poppler, qpdf and mutool of MuPDF.
var tools = flag.Bool("pdftools", false, "have every PDF looked at by pdftotext, qpdf and mutool too")

// outside runs a program over a file.
func outside(t testing.TB, file []byte, program string, args ...string) (said string, err error) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(name, file, 0o640); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = name
		}
	}
	out, err := exec.Command(program, args...).CombinedOutput()
	return string(out), err
}

// secondReading holds the text of each page against poppler's. Blanks and ends of lines
// are each program's own.
func secondReading(t testing.TB, file []byte, pages []string) {
	t.Helper()
	said, err := outside(t, file, "pdftotext", "-raw", "-enc", "UTF-8", "FILE", "-")
	if err != nil {
		t.Fatalf("pdftotext: %v %s", err, said)
	}
	theirs := strings.Split(said, "\f")
	theirs = theirs[:len(theirs)-1]
	if len(theirs) != len(pages) {
		t.Fatalf("pdftotext reads %d pages, and %d were read", len(theirs), len(pages))
	}
	for i := range pages {
		if a, b := unspaced(theirs[i]), unspaced(pages[i]); a != b {
			t.Errorf("page %d: pdftotext reads\n%s\nand what was read is\n%s", i+1, a, b)
		}
	}
}

// secondCheck has qpdf look at the file's order and MuPDF draw it, both without a word.
func secondCheck(t testing.TB, file []byte) {
	t.Helper()
	if said, err := outside(t, file, "qpdf", "--check", "FILE"); err != nil || strings.Contains(said, "WARNING") {
		t.Errorf("qpdf: %v %s", err, said)
	}
	// -N: Debian builds it without colour profiles, of which it would warn
	if said, err := outside(t, file, "mutool", "draw", "-N", "-q", "-r", "36", "-F", "pgm", "-o", os.DevNull, "FILE"); err != nil || said != "" {
		t.Errorf("mutool: %v %s", err, said)
	}
}

func unspaced(s string) string { return strings.Join(strings.FieldsFunc(s, unicode.IsSpace), "") }
