package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Where the settings come from: what is named, the variable, beside the workbook, beside
// the program; each before the next, and what nobody named is said.
func TestWhereTheSettingsComeFrom(t *testing.T) {
	yard, program, elsewhere := t.TempDir(), t.TempDir(), t.TempDir()
	was := programFolder
	programFolder = func() string { return program }
	defer func() { programFolder = was }()
	write := func(dir, name, paper string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte("cards_per_page: "+paper+"\n"), 0o640); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var code int
	flags := runCommand(streams{io.Discard, io.Discard}, &code).Flags()
	// 1 named, 2 by the variable, 4 of the files found, told apart by their paper below.
	read := func(named string) (cards int, said string) {
		t.Helper()
		var out bytes.Buffer
		j := jobFlags{config: named}
		s, err := j.settings(streams{io.Discard, &out}, yard, flags)
		if err != nil {
			t.Fatal(err)
		}
		return s.CardsPerPage, out.String()
	}
	byValue := defaultSettings().CardsPerPage
	if cards, said := read(""); cards != byValue || said != "" {
		t.Errorf("without a file: %d, and it says %q", cards, said)
	}
	beside := write(program, settingsName, "4")
	if cards, said := read(""); cards != 4 || said != "Settings from "+beside+".\n" {
		t.Errorf("beside the program: %d, and it says %q", cards, said)
	}
	hers := write(yard, settingsName, "1")
	if cards, said := read(""); cards != 1 || said != "Settings from "+hers+".\n" {
		t.Errorf("beside the workbook: %d, and it says %q", cards, said)
	}
	t.Setenv(settingsVariable, write(elsewhere, "variable.yaml", "4"))
	if cards, said := read(""); cards != 4 || said != "" {
		t.Errorf("by the variable: %d, and it says %q", cards, said)
	}
	named := write(elsewhere, "named.yaml", "1")
	if cards, said := read(named); cards != 1 || said != "" {
		t.Errorf("named: %d, and it says %q", cards, said)
	}
	// A variable for one setting goes before every file, a flag before that.
	t.Setenv("HARDFEED_CARDS_PER_PAGE", "2")
	if cards, _ := read(named); cards != 2 {
		t.Errorf("with a variable of its own: %d", cards)
	}
	if err := flags.Set("cards-per-page", "4"); err != nil {
		t.Fatal(err)
	}
	if cards, _ := read(named); cards != 4 {
		t.Errorf("by flag: %d", cards)
	}
	t.Setenv(settingsVariable, filepath.Join(elsewhere, "none.yaml"))
	j := jobFlags{}
	if _, err := j.settings(streams{io.Discard, io.Discard}, yard, flags); err == nil || !strings.Contains(err.Error(), "none.yaml") {
		t.Errorf("a variable that names no file: %v", err)
	}
}

// A faulty file that nobody named stops the run as a named one does.
func TestAFaultySettingsFileBesideTheWorkbookStops(t *testing.T) {
	yard := t.TempDir()
	if err := os.WriteFile(filepath.Join(yard, settingsName), []byte("papr: A4\n"), 0o640); err != nil {
		t.Fatal(err)
	}
	book := filepath.Join(yard, "week.xlsx")
	var said bytes.Buffer
	if code := run(t.Context(), []string{"starter", book, "--example"}, nil, io.Discard, &said); code != exitDone {
		t.Fatal(said.String())
	}
	for _, args := range [][]string{{"run", book}, {"check", book}, {"why", book, "Juniper"}, {"watch", yard, "--once"}, {book}} {
		said.Reset()
		if code := run(t.Context(), args, nil, io.Discard, &said); code != exitNothing || !strings.Contains(said.String(), filepath.Join(yard, settingsName)) || !strings.Contains(said.String(), "papr") {
			t.Errorf("%v: exit %d, %s", args, code, said.String())
		}
	}
	if _, err := os.Stat(filepath.Join(yard, "week")); err == nil {
		t.Error("something was written")
	}
}

// Every command a person sees has its manual page, with its flags and no date of its own.
func TestManualPages(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	for range 2 { // over themselves
		if code := run(t.Context(), []string{"man", dir}, nil, io.Discard, io.Discard); code != exitDone {
			t.Fatal(code)
		}
	}
	var code int
	for _, c := range rootCommand(streams{io.Discard, io.Discard}, &code).Commands() {
		if c.IsAvailableCommand() && c.Runnable() {
			data, err := os.ReadFile(filepath.Join(dir, "hardfeed-"+c.Name()+".1"))
			if err != nil {
				t.Error(err)
				continue
			}
			if text := string(data); !strings.Contains(text, c.Short[:20]) || !strings.Contains(text, version) || strings.Contains(text, "Auto generated") {
				t.Errorf("the page of %s is\n%s", c.Name(), text)
			}
		}
	}
	page, err := os.ReadFile(filepath.Join(dir, "hardfeed-run.1"))
	if err != nil || !bytes.Contains(page, []byte("history")) || !bytes.Contains(page, []byte("Nov 2026")) {
		t.Errorf("%v\n%s", err, page)
	}
}

// A shell is offered the horses of the workbook, and what a flag can be.
func TestWhatAShellOffers(t *testing.T) {
	book := filepath.Join(t.TempDir(), "week.xlsx")
	if code := run(t.Context(), []string{"starter", book, "--example"}, nil, io.Discard, io.Discard); code != exitDone {
		t.Fatal(code)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"why", book, "ju"}, "Juniper"},
		{[]string{"run", "--paper", ""}, "Letter"},
		{[]string{"check", "--cards-per-page", ""}, "4"},
	} {
		var out bytes.Buffer
		if code := run(t.Context(), append([]string{"__complete"}, c.args...), nil, &out, io.Discard); code != exitDone || !strings.Contains(out.String(), c.want+"\n") {
			t.Errorf("%v: exit %d, offered %q", c.args, code, out.String())
		}
	}
}
