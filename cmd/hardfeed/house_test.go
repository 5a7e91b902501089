package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// importsOf returns, for every package of the tree by its import path, what its
// files import, tests aside.
func importsOf(t *testing.T) map[string][]string {
	t.Helper()
	root := filepath.Join("..", "..")
	all := map[string][]string{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && file != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		pkg := path.Join("hardfeed", filepath.ToSlash(rel))
		for _, i := range f.Imports {
			p, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			if !slices.Contains(all[pkg], p) {
				all[pkg] = append(all[pkg], p)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, must := range []string{"hardfeed/cmd/hardfeed", "hardfeed/ingest", "hardfeed/ingest/xlsx", "hardfeed/ration", "hardfeed/ration/evidence", "hardfeed/ration/guard", "hardfeed/report", "hardfeed/report/post", "hardfeed/templates"} {
		if all[must] == nil {
			t.Errorf("package %s was not found: the walk is wrong or the house is", must)
		}
	}
	return all
}

func within(p, room string) bool { return p == room || strings.HasPrefix(p, room+"/") }

// isStd says whether an import is of the standard library: its first part has no dot.
func isStd(p string) bool {
	first, _, _ := strings.Cut(p, "/")
	return !strings.Contains(first, ".") && first != "hardfeed"
}

// ioOfStd are parts of the standard library a pure package has no use for.
// embed is allowed: the generic feed table is part of the program.
var ioOfStd = []string{"os", "net", "net/http", "io/fs", "log", "log/slog", "path/filepath", "syscall", "os/exec", "time/tzdata", "math/rand", "math/rand/v2"}

// storeys are the rooms of ingest, ration and report from the ground up: a room imports
// those of its own house on lower storeys only.
var storeys = map[string]int{
	"hardfeed/ingest/disk": 1, "hardfeed/ingest/disk/disktest": 2, "hardfeed/ingest/inbox": 2, "hardfeed/ingest/lexicon": 1, "hardfeed/ingest/quantity": 2, "hardfeed/ingest/phrase": 3, "hardfeed/ingest/board": 4, "hardfeed/ingest/xlsx": 1,
	"hardfeed/ingest": 5, "hardfeed/ingest/edit": 1, "hardfeed/ingest/rollover": 6,

	"hardfeed/report/draw": 1, "hardfeed/report/words": 2, "hardfeed/report/flow": 3,
	"hardfeed/report/wall": 4, "hardfeed/report/office": 4, "hardfeed/report/season": 4, "hardfeed/report/record": 4, "hardfeed/report": 5,
	"hardfeed/report/post": 1, "hardfeed/report/pdftest": 1, "hardfeed/report/reporttest": 6,

	"hardfeed/ration/yard": 1, "hardfeed/ration/choose": 1, "hardfeed/ration/need": 2, "hardfeed/ration/work": 2, "hardfeed/ration/feeds": 2,
	"hardfeed/ration/evidence": 3, "hardfeed/ration/guard": 4, "hardfeed/ration/dish": 5, "hardfeed/ration/serve": 6, "hardfeed/ration/propose": 7, "hardfeed/ration": 8,
}

// sameHouse says whether two packages are rooms of one of the three.
func sameHouse(a, b string) bool {
	return slices.ContainsFunc([]string{"hardfeed/ingest", "hardfeed/ration", "hardfeed/report"}, func(h string) bool { return within(a, h) && within(b, h) })
}

// brokenRule says which rule of the house an import breaks; "" none.
func brokenRule(pkg, imp string) string {
	only := func(lib string, rooms ...string) bool {
		return within(imp, lib) && !slices.ContainsFunc(rooms, func(r string) bool { return within(pkg, r) })
	}
	switch {
	case within(imp, "hardfeed/cmd"):
		return "nothing imports cmd"
	case within(pkg, "hardfeed/ration/yard") && within(imp, "hardfeed"):
		return "ration/yard imports nothing of ours"
	case only("gonum.org/v1/gonum", "hardfeed/ration/evidence"):
		return "gonum in ration/evidence only"
	case within(pkg, "hardfeed/ration") && !isStd(imp) && !within(imp, "hardfeed/ration") && !within(imp, "gonum.org/v1/gonum/mat"):
		return "ration imports the standard library, itself and gonum's matrices only"
	case within(pkg, "hardfeed/ration") && slices.Contains(ioOfStd, imp):
		return "ration is pure: no files, no network, no logging, no chance"
	case pkg == "hardfeed/ingest/disk" && within(imp, "hardfeed"):
		return "ingest/disk imports nothing of ours"
	case imp == "hardfeed/ingest/disk" && !within(pkg, "hardfeed/ration") && !within(pkg, "hardfeed/templates"):
		return "" // it knows nothing of what is written: whoever writes what must last may use it
	case only("github.com/gofrs/flock", "hardfeed/ingest/disk"):
		return "locks in ingest/disk only"
	case within(pkg, "hardfeed/ingest") && (within(imp, "hardfeed/report") || within(imp, "hardfeed/templates") && imp != "hardfeed/templates/words" || within(imp, "hardfeed/ration") && imp != "hardfeed/ration/yard"):
		return "ingest knows the nouns only"
	case within(pkg, "hardfeed/report/draw") && within(imp, "hardfeed"):
		return "draw knows nothing of horses"
	case within(imp, "hardfeed/report/reporttest"), within(imp, "hardfeed/report/pdftest") && pkg != "hardfeed/report/reporttest", within(imp, "hardfeed/ingest/disk/disktest"):
		return "it is for tests"
	case only("github.com/ledongthuc/pdf", "hardfeed/report/pdftest"), only("github.com/pdfcpu/pdfcpu", "hardfeed/report/pdftest"):
		return "PDFs are read in tests only"
	case sameHouse(pkg, imp) && storeys[imp] >= storeys[pkg]:
		return "arrows point down"
	case within(pkg, "hardfeed/report") && !within(pkg, "hardfeed/report/reporttest") && (within(imp, "hardfeed/ingest") || within(imp, "hardfeed/ration") && imp != "hardfeed/ration/yard"):
		return "report knows the nouns only"
	case within(pkg, "hardfeed/report/post") && within(imp, "hardfeed/report"):
		return "post reads finished files, and draws none"
	case only("github.com/wneessen/go-mail", "hardfeed/report/post"):
		return "mail in report/post only"
	case within(pkg, "hardfeed/templates") && within(imp, "hardfeed"):
		return "templates imports nothing of ours"
	case within(imp, "github.com/xuri/excelize/v2") && !slices.Contains([]string{"hardfeed/ingest", "hardfeed/ingest/xlsx", "hardfeed/ingest/rollover", "hardfeed/templates", "hardfeed/report/record", "hardfeed/report/reporttest"}, pkg) && !within(pkg, "hardfeed/testdata"):
		return "excelize where workbooks are opened or written only"
	case imp == "hardfeed/ingest/xlsx" && pkg != "hardfeed/ingest" && pkg != "hardfeed/cmd/hardfeed":
		return "what cells mean is settled without knowing how they were saved"
	case only("github.com/jung-kurt/gofpdf", "hardfeed/report/draw"):
		return "gofpdf in report/draw only"
	case only("github.com/spf13/viper", "hardfeed/cmd"), only("github.com/spf13/cobra", "hardfeed/cmd"):
		return "viper and cobra in cmd only"
	}
	return ""
}

func TestTheHouseStands(t *testing.T) {
	for pkg, imports := range importsOf(t) {
		if sameHouse(pkg, pkg) && storeys[pkg] == 0 {
			t.Errorf("%s has no floor: say in storeys which rooms it may know", pkg)
		}
		for _, imp := range imports {
			if rule := brokenRule(pkg, imp); rule != "" {
				t.Errorf("%s imports %s: %s", pkg, imp, rule)
			}
		}
	}
}

// The rules must be able to fail.
func TestTheHouseRulesBite(t *testing.T) {
	for _, c := range []struct{ pkg, imp string }{
		{"hardfeed/ration", "hardfeed/cmd/hardfeed"},
		{"hardfeed/ration/evidence", "hardfeed/ration/guard"},
		{"hardfeed/ration/evidence", "hardfeed/ration"},
		{"hardfeed/ration/evidence", "gonum.org/v1/gonum/optimize"},
		{"hardfeed/report", "hardfeed/ration/evidence"},
		{"hardfeed/ration", "gonum.org/v1/gonum/mat"},
		{"hardfeed/ration/yard", "hardfeed/ration/need"},
		{"hardfeed/ration/need", "github.com/xuri/excelize/v2"},
		{"hardfeed/ration/feeds", "os"},
		{"hardfeed/ration/need", "hardfeed/ration"},
		{"hardfeed/ingest", "hardfeed/report"},
		{"hardfeed/ingest", "hardfeed/ration/feeds"},
		{"hardfeed/ingest/phrase", "hardfeed/templates"},
		{"hardfeed/report/draw", "hardfeed/ingest"},
		{"hardfeed/report/post", "hardfeed/ingest/inbox"},
		{"hardfeed/ration", "hardfeed/ingest/disk"},
		{"hardfeed/ingest/disk", "hardfeed/ration/yard"},
		{"hardfeed/report/post", "github.com/gofrs/flock"},
		{"hardfeed/report/draw", "github.com/xuri/excelize/v2"},
		{"hardfeed/report/wall", "github.com/xuri/excelize/v2"},
		{"hardfeed/ingest", "github.com/jung-kurt/gofpdf"},
		{"hardfeed/report/wall", "github.com/jung-kurt/gofpdf"},
		{"hardfeed/report", "github.com/spf13/viper"},
		{"hardfeed/templates", "hardfeed/ration/yard"},
		{"hardfeed/report/post", "hardfeed/report"},
		{"hardfeed/report/post", "hardfeed/ration"},
		{"hardfeed/cmd/hardfeed", "github.com/wneessen/go-mail"},
		{"hardfeed/ration/need", "hardfeed/ration/guard"},
		{"hardfeed/ration/feeds", "hardfeed/ration/need"},
		{"hardfeed/ration/guard", "hardfeed/ration"},
		{"hardfeed/report/words", "hardfeed/report/flow"},
		{"hardfeed/report/flow", "hardfeed/report/wall"},
		{"hardfeed/report/wall", "hardfeed/report/office"},
		{"hardfeed/report/office", "hardfeed/report/wall"},
		{"hardfeed/report/record", "hardfeed/report"},
		{"hardfeed/report/draw", "hardfeed/report/words"},
		{"hardfeed/report/draw", "hardfeed/ration/yard"},
		{"hardfeed/report/wall", "hardfeed/report/reporttest"},
		{"hardfeed/ingest/xlsx", "hardfeed/ingest"},
		{"hardfeed/ingest/xlsx", "hardfeed/ingest/board"},
		{"hardfeed/ingest/xlsx", "hardfeed/ingest/quantity"},
		{"hardfeed/ingest/board", "hardfeed/ingest/xlsx"},
		{"hardfeed/ingest/board", "github.com/xuri/excelize/v2"},
	} {
		if brokenRule(c.pkg, c.imp) == "" {
			t.Errorf("%s may import %s", c.pkg, c.imp)
		}
	}
}

// Every module whose code is in the program has its licence printed.
func TestLicencesOfAllThatIsBuiltIn(t *testing.T) {
	for _, system := range []string{"linux", "windows", "darwin"} {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
		cmd.Env = append(cmd.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		modules := strings.Fields(string(out))
		if len(modules) < 10 {
			t.Fatalf("only %d packages of modules found", len(modules))
		}
		slices.Sort(modules)
		for _, m := range slices.Compact(modules) {
			if m != "hardfeed" && !strings.Contains(licences, "\n"+m+" (LICEN") {
				t.Errorf("on %s %s is built in and its licence does not stand in licences.txt", system, m)
			}
		}
	}
	for _, must := range []string{"the hardfeed authors", "SIL Open Font Licen", "the Go standard library and runtime (LICENSE)"} {
		if !strings.Contains(licences, must) {
			t.Errorf("licences.txt lacks %q", must)
		}
	}
}
