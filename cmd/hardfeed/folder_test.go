package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hardfeed/report"
)

// someFiles fills a folder.
func someFiles(text string) func(report.To) error {
	return func(to report.To) error {
		for name, content := range map[string]string{"cards.pdf": text, resultsName: `{"program":"hardfeed","text":"` + text + `"}`} {
			w, err := to(name)
			if err != nil {
				return err
			}
			if _, err := io.WriteString(w, content); err != nil {
				return err
			}
			if err := w.Close(); err != nil {
				return err
			}
		}
		return nil
	}
}

func namesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func textOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestFolderAppearsAndIsReplaced(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "week")
	for _, text := range []string{"first", "second"} {
		if _, err := writeFolder(t.Context(), dir, "week.xlsx", someFiles(text)); err != nil {
			t.Fatal(err)
		}
		if got := textOf(t, filepath.Join(dir, "cards.pdf")); got != text {
			t.Errorf("cards.pdf is of the run %q, want %q", got, text)
		}
		if got := namesIn(t, parent); !slices.Equal(got, []string{"week"}) {
			t.Errorf("beside the folder lies %v", got)
		}
	}
	for path, want := range map[string]os.FileMode{dir: 0o750, filepath.Join(dir, "cards.pdf"): 0o640} {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		// The umask may take rights away, never add any.
		if got := info.Mode().Perm(); got&^want != 0 || got&0o600 != 0o600 {
			t.Errorf("%s has mode %o, want %o", path, got, want)
		}
	}
}

func TestAnEmptyFolderIsTaken(t *testing.T) {
	dir := t.TempDir()
	if _, err := writeFolder(t.Context(), dir, "week.xlsx", someFiles("x")); err != nil {
		t.Fatal(err)
	}
}

func TestALinkedFolderStaysLinked(t *testing.T) {
	parent := t.TempDir()
	real, link := filepath.Join(parent, "real"), filepath.Join(parent, "link")
	if err := os.Mkdir(real, 0o750); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Fatal(err)
	}
	if _, err := writeFolder(t.Context(), link, "week.xlsx", someFiles("x")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", info, err)
	}
	if got := textOf(t, filepath.Join(real, "cards.pdf")); got != "x" {
		t.Errorf("the folder behind the link has %q", got)
	}
}

func TestSomebodysFolderIsLeftAlone(t *testing.T) {
	for name, fill := range map[string]map[string]string{
		"a photo beside our files":         {resultsName: `{"program":"hardfeed"}`, "photo.jpg": "x"},
		"results of another program":       {resultsName: `{"program":"other"}`},
		"results that are not JSON":        {resultsName: `hardfeed`},
		"cards without results":            {"cards.pdf": "x"},
		"a hidden file":                    {resultsName: `{"program":"hardfeed"}`, ".keep": ""},
		"a folder with one of our names":   {resultsName: `{"program":"hardfeed"}`, "cards.pdf/inner": "x"},
		"results under a name in capitals": {"RESULTS.JSON": `{"program":"hardfeed"}`},
	} {
		t.Run(name, func(t *testing.T) {
			parent := t.TempDir()
			dir := filepath.Join(parent, "week")
			for file, text := range fill {
				path := filepath.Join(dir, file)
				if err := os.MkdirAll(filepath.Dir(path), 0o750); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(text), 0o640); err != nil {
					t.Fatal(err)
				}
			}
			before := namesIn(t, dir)
			_, err := writeFolder(t.Context(), dir, "week.xlsx", someFiles("x"))
			if err == nil || !strings.Contains(err.Error(), "left as it") {
				t.Errorf("got %v", err)
			}
			if after := namesIn(t, dir); !slices.Equal(before, after) {
				t.Errorf("the folder had %v and has %v", before, after)
			}
			if got := namesIn(t, parent); !slices.Equal(got, []string{"week"}) {
				t.Errorf("left behind: %v", got)
			}
		})
	}
}

func TestOtherPlacesThatCannotBeWritten(t *testing.T) {
	parent := t.TempDir()
	file := filepath.Join(parent, "file")
	if err := os.WriteFile(file, nil, 0o640); err != nil {
		t.Fatal(err)
	}
	for name, dir := range map[string]string{
		"a file of that name": file,
		"below a file":        filepath.Join(file, "week"),
		"no such folder":      filepath.Join(parent, "none", "week"),
	} {
		if _, err := writeFolder(t.Context(), dir, "week.xlsx", someFiles("x")); err == nil || !strings.Contains(err.Error(), "-o") {
			t.Errorf("%s: got %v", name, err)
		}
	}
	if got := namesIn(t, parent); !slices.Equal(got, []string{"file"}) {
		t.Errorf("left behind: %v", got)
	}
}

// What goes wrong while the files are made or written leaves nothing behind, and
// an older folder as it was.
func TestAFolderThatIsNotFinishedDoesNotAppear(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "week")
	if _, err := writeFolder(t.Context(), dir, "week.xlsx", someFiles("old")); err != nil {
		t.Fatal(err)
	}
	ours := errors.New("no such glyph")
	for name, c := range map[string]struct {
		then func(report.To) error
		want string
	}{
		"a sheet cannot be drawn":   {func(report.To) error { return ours }, ours.Error()},
		"a file cannot be written":  {someFiles("twice"), "could not be written"},
		"and the maker passes over": {func(to report.To) error { to("cards.pdf"); return nil }, "could not be written"},
	} {
		_, err := writeFolder(t.Context(), dir, "week.xlsx", func(to report.To) error {
			if err := someFiles("new")(to); err != nil {
				return err
			}
			return c.then(to)
		})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v", name, err)
		}
		if got := textOf(t, filepath.Join(dir, "cards.pdf")); got != "old" {
			t.Errorf("%s: the folder has %q", name, got)
		}
		if got := namesIn(t, parent); !slices.Equal(got, []string{"week"}) {
			t.Errorf("%s: left behind: %v", name, got)
		}
	}
}
