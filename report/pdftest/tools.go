package pdftest

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
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
	// By columns, as poppler does by default and MuPDF does, the order is another one. The
	// letters are the same, and so are the numbers with a fraction: none comes apart.
	for _, other := range [][]string{{"pdftotext", "-enc", "UTF-8", "FILE", "-"}, {"mutool", "draw", "-N", "-q", "-F", "txt", "-o", "-", "FILE"}} {
		said, err := outside(t, file, other[0], other[1:]...)
		if err != nil {
			t.Fatalf("%s: %v %s", other[0], err, said)
		}
		theirs := strings.Split(said, "\f")
		for i := range pages {
			a, b := unordered(theirs[i]), unordered(pages[i])
			if !slices.Equal(a, b) {
				t.Errorf("page %d: %s reads %q, which we do not, and not %q, which we do, in\n%s\nand\n%s", i+1, other[0], without(a, b), without(b, a), theirs[i], pages[i])
			}
		}
	}
}

// unordered is what a page has whatever the order it is read in: its letters, and its
// numbers with a fraction in one piece.
func unordered(page string) (all []string) {
	all = strings.Split(strings.ReplaceAll(unspaced(page), "-", ""), "") // poppler takes a hyphen at the end of a line for a broken word
	all = append(all, withFraction.FindAllString(page, -1)...)
	slices.Sort(all)
	return all
}

// without are those of a that b does not have; both are in order.
func without(a, b []string) (rest []string) {
	for _, s := range a {
		for len(b) > 0 && b[0] < s {
			b = b[1:]
		}
		if len(b) > 0 && b[0] == s {
			b = b[1:]
			continue
		}
		rest = append(rest, s)
	}
	return rest
}

var withFraction = regexp.MustCompile(`\d*[¼½¾]`)

// secondFonts holds the fonts against poppler's list of them.
func secondFonts(t testing.TB, file []byte, fonts []Font) {
	t.Helper()
	said, err := outside(t, file, "pdffonts", "FILE")
	if err != nil {
		t.Fatalf("pdffonts: %v %s", err, said)
	}
	lines := strings.Split(strings.TrimSpace(said), "\n")[2:]
	if len(lines) != len(fonts) {
		t.Errorf("pdffonts lists %q, and %+v were read", lines, fonts)
	}
	for _, l := range lines {
		is := regexp.MustCompile(`^(\S+) .* (yes|no) +(yes|no) +(yes|no) +\d+ +\d+$`).FindStringSubmatch(l)
		if is == nil || !slices.Contains(fonts, Font{is[1], is[2] == "yes", is[4] == "yes"}) {
			t.Errorf("pdffonts says %q, and %+v were read", l, fonts)
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
