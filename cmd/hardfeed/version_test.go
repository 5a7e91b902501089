package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"
	"unicode/utf16"
)

// utf16Text is how a PDF's properties hold text (ISO 32000-1, 7.9.2.2).
func utf16Text(s string) []byte {
	b := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return b
}

// One version everywhere: what the command says, what is in each file, and the
// newest heading of the changelog.
func TestTheVersionIsTheSameEverywhere(t *testing.T) {
	guide, err := os.ReadFile(filepath.Join("..", "..", "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	heading := regexp.MustCompile(`## Changelog\s+- \*\*(\S+), (\d+ \w+ \d{4})\*\*`).FindSubmatch(guide)
	if heading == nil {
		t.Fatal("DEVELOPERS.md has no changelog")
	}
	day, err := time.Parse("2 January 2006", string(heading[2]))
	if err != nil || string(heading[1]) != released || day.Format(time.DateOnly) != releasedOn {
		t.Errorf("the changelog begins with %q of %q (%v), and the program is %s of %s", heading[1], heading[2], err, released, releasedOn)
	}

	said := func(args ...string) string {
		t.Helper()
		var out bytes.Buffer
		if code := run(t.Context(), args, nil, &out, io.Discard); code != exitDone {
			t.Fatalf("%v ended with %d", args, code)
		}
		return out.String()
	}
	want := "hardfeed " + version
	for _, args := range [][]string{{"version"}, {"--version"}} {
		if got := said(args...); got != want+"\n" {
			t.Errorf("%v says %q", args, got)
		}
	}
	dir := filepath.Join(t.TempDir(), "demo")
	said("demo", "-o", dir)
	var record struct{ Version string }
	readResults(t, dir, &record)
	if record.Version != version {
		t.Errorf("%s has version %q", resultsName, record.Version)
	}
	sheets, err := filepath.Glob(filepath.Join(dir, "*.pdf"))
	if err != nil || len(sheets) < 3 {
		t.Fatal(err, sheets)
	}
	for _, sheet := range sheets {
		data, err := os.ReadFile(sheet)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(data, append([]byte("/Producer ("), utf16Text(want)...)) {
			t.Errorf("%s does not say that %s made it", filepath.Base(sheet), want)
		}
	}
}
