package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// checkJSON runs a command with --json and returns its standard output.
func checkJSON(t *testing.T, args ...string) []byte {
	t.Helper()
	var out, words bytes.Buffer
	if code := run(t.Context(), args, nil, &out, &words); code != exitDone {
		t.Fatalf("%v: exit %d\n%s", args, code, words.String())
	}
	if err := oneJSONObject(out.Bytes()); err != nil {
		t.Fatalf("%v: %v", args, err)
	}
	return out.Bytes()
}

// The demo yard saved by programs that are not ours gives the same results.
// How each workbook was made stands in testdata/workbooks/README.md.
func TestWorkbooksOfOtherPrograms(t *testing.T) {
	want := checkJSON(t, "demo", "--json", "-o", filepath.Join(t.TempDir(), "demo"))
	for _, name := range []string{"libreoffice.xlsx", "openpyxl.xlsx"} {
		path := filepath.Join("..", "..", "testdata", "workbooks", name)
		got := checkJSON(t, "check", "--json", path)
		if !bytes.Equal(got, want) {
			w, g := bytes.Split(want, []byte("\n")), bytes.Split(got, []byte("\n"))
			for i := range min(len(w), len(g)) {
				if !bytes.Equal(w[i], g[i]) {
					t.Errorf("%s: line %d of results.json is\n%s\nand of the demo\n%s", name, i+1, g[i], w[i])
					break
				}
			}
			t.Errorf("%s gives other results than the demo", name)
		}
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if info.Size() > 100_000 {
			t.Errorf("%s has %d bytes", name, info.Size())
		}
	}
}
