package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
// How each workbook was made is in testdata/workbooks/README.md.
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

// One small yard in many layouts, written by programs that are not ours, gives
// the same week: all numbers of results.json, and findings of the same rules. How
// each workbook was made is in testdata/workbooks/README.md.
func TestOneYardInManyLayouts(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "workbooks")
	all, err := filepath.Glob(filepath.Join(dir, "*_*.xls[xm]"))
	if err != nil || len(all) < 13 {
		t.Fatalf("%d workbooks, %v", len(all), err)
	}
	// The week without what depends on the layout.
	week := func(name string) (numbers []byte, rules []string) {
		t.Helper()
		language, _, _ := strings.Cut(name, "_")
		t.Setenv("HARDFEED_HEADINGS", map[string]string{"german": "de", "french": "fr", "spanish": "es"}[language])
		var results map[string]any
		if err := json.Unmarshal(checkJSON(t, "check", "--json", filepath.Join(dir, name)), &results); err != nil {
			t.Fatal(err)
		}
		if n := results["read"].(map[string]any)["horses"]; n != 3.0 {
			t.Errorf("%s: %v horses", name, n)
		}
		for _, f := range results["findings"].([]any) {
			if rule := f.(map[string]any)["rule"].(string); rule != "row-skipped" && rule != "rows-hidden" { // remarks and hidden rows, where a layout has them
				rules = append(rules, rule)
			}
		}
		slices.Sort(rules)
		delete(results, "read")
		delete(results, "findings")
		delete(results, "crc32")
		for _, h := range results["horses"].([]any) {
			delete(h.(map[string]any), "findings")
		}
		if numbers, err = json.MarshalIndent(results, "", " "); err != nil {
			t.Fatal(err)
		}
		return numbers, rules
	}
	want, wantRules := week("plain_libreoffice.xlsx")
	for _, path := range all {
		name := filepath.Base(path)
		got, rules := week(name)
		if !slices.Equal(rules, wantRules) {
			t.Errorf("%s: the rules found are %v, want %v", name, rules, wantRules)
		}
		w, g := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
		for i := range min(len(w), len(g)) {
			if w[i] != g[i] {
				t.Errorf("%s gives %s where the plain layout gives %s", name, g[i], w[i])
				break
			}
		}
		if len(w) != len(g) {
			t.Errorf("%s gives %d lines of results, the plain layout %d", name, len(g), len(w))
		}
	}
}

// The demo yard is there to show what the program does; each sort of horse the
// README speaks of is in it.
func TestDemoShowsEverySort(t *testing.T) {
	var results struct {
		Horses []struct {
			Name, Status, Fitness string
			Basis                 string                                `json:"body_weight_basis"`
			HardFeed              struct{ Now, Planned, Card *float64 } `json:"hard_feed_kg"`
			Step                  struct{ Verdict string }
		}
		Findings []struct{ Message string }
	}
	if err := json.Unmarshal(checkJSON(t, "demo", "--json", "-o", filepath.Join(t.TempDir(), "demo")), &results); err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	proposed, withHardFeed := 0, 0
	for _, h := range results.Horses {
		got[h.Name] = h.Status + " " + h.Fitness + " " + h.Basis + " " + h.Step.Verdict
		if h.HardFeed.Planned == nil {
			proposed++
			if h.HardFeed.Card == nil {
				t.Errorf("nothing is proposed for %s", h.Name)
			} else if *h.HardFeed.Card > 0 { // forage first: some need none
				withHardFeed++
			}
		}
		if (h.Name == "Nettle") != (h.HardFeed.Now == nil) {
			t.Errorf("%s: what is fed now is %v", h.Name, h.HardFeed.Now)
		}
	}
	for name, want := range map[string]string{
		"Juniper": "carded soft scale within",
		"Marlow":  "carded part-fit scale within",
		"Sable":   "carded hard scale within",
		"Kestrel": "held part-fit scale stop",
		"Rowan":   "held part-fit scale warn",
		"Captain": "carded part-fit scale overridden",
		"Nettle":  "held part-fit tape unknown",
		"Clover":  "carded part-fit girth_length within",
	} {
		if got[name] != want {
			t.Errorf("%s is %q, want %q", name, got[name], want)
		}
	}
	if len(results.Horses) != 18 || proposed < 3 || withHardFeed == 0 || withHardFeed == proposed {
		t.Errorf("%d horses, %d of them with a proposal, %d of these with hard feed", len(results.Horses), proposed, withHardFeed)
	}
	unweighed := false
	for _, f := range results.Findings {
		unweighed = unweighed || strings.Contains(f.Message, "UNWEIGHED")
	}
	if !unweighed {
		t.Error("no feed of the demo is unweighed")
	}
}
