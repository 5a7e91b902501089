package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardfeed/ingest"
)

// A double click with no workbook writes a starter where it says, only when it is asked
// to, and never over a file.
func TestADoubleClickOffersAStarter(t *testing.T) {
	for answer, writes := range map[string]bool{"y\n": true, "Y\r\n": true, " yes \n": true, "ja\n": true, "oui\n": true, "y": true,
		"\n": false, "": false, "n\n": false, "no\n": false, "yonder\n": false, "week.xlsx\n": false} {
		dir := t.TempDir()
		path := filepath.Join(dir, "week.xlsx")
		var said bytes.Buffer
		if code := welcome(strings.NewReader(answer), console{&said}, dir); code != exitDone {
			t.Errorf("%q: exit %d", answer, code)
		}
		before, after, _ := strings.Cut(said.String(), "Write it?")
		if !strings.Contains(before, path) || !strings.Contains(before, "Drag the workbook on this program") {
			t.Errorf("%q: it does not say where before it asks: %s", answer, said.String())
		}
		_, err := ingest.ReadFile(path, ingest.Options{})
		if entries, _ := os.ReadDir(dir); (len(entries) == 1) != writes || writes && err != nil && strings.Contains(err.Error(), "not a workbook") {
			t.Errorf("%q: %v in the folder, %v", answer, entries, err)
		}
		if strings.Contains(after, "Written: "+path) != writes || strings.Contains(after, "Nothing was written") == writes {
			t.Errorf("%q: it says %s", answer, after)
		}
	}
	dir := t.TempDir()
	hers := filepath.Join(dir, "week.xlsx")
	if err := os.WriteFile(hers, []byte("hers"), 0o640); err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	if code := welcome(strings.NewReader("y\n"), console{&said}, dir); code != exitNothing || !strings.Contains(said.String(), "already there and was left as it is") {
		t.Errorf("exit %d: %s", code, said.String())
	}
	if data, err := os.ReadFile(hers); err != nil || string(data) != "hers" {
		t.Errorf("her workbook is %q, %v", data, err)
	}
}

// Every file that is kept under another name is known again by it.
func TestWhatWasKeptIsKnownAgain(t *testing.T) {
	for _, name := range ourFiles {
		for n := 1; n < 3; n++ {
			if kept := keptName(name, n); !isOurs(kept) {
				t.Errorf("%s is kept as %s, which the next run takes for somebody else's", name, kept)
			}
		}
	}
	for _, name := range []string{"cards, changed by hand.xlsx", "notes.txt", "cards, changed by hand.pdf.exe", "season.xlsx"} {
		if isOurs(name) {
			t.Errorf("%s is taken for ours", name)
		}
	}
}
