package main

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"hardfeed/report/pdftest"
	"hardfeed/report/reporttest"
	"hardfeed/templates"
)

func TestMain(m *testing.M) {
	testscript.Main(withProgram{m}, map[string]func(){"hardfeed-killed": mainKilled})
}

// withProgram runs the tests with the program built, once, and the first that is found by
// its name. A test binary could stand for it, but starts slower. Garbage of the tests
// themselves is collected seldom.
type withProgram struct{ tests *testing.M }

func (w withProgram) Run() int {
	debug.SetGCPercent(400)
	dir, err := os.MkdirTemp("", "hardfeed-program")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	program = filepath.Join(dir, "hardfeed")
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	build := exec.Command("go", "build", "-buildvcs=false", "-ldflags", "-X main.version="+testVersion, "-o", program)
	if reporttest.Raced {
		build.Args = append(build.Args, "-race")
	}
	if out, err := build.CombinedOutput(); err != nil {
		fmt.Fprintf(os.Stderr, "the program could not be built: %v\n%s", err, out)
		return 1
	}
	if err := os.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH")); err != nil {
		panic(err)
	}
	return w.tests.Run()
}

// program is the path of the program that the tests start.
var program string

// testVersion is of all programs that the tests run: for the drop folder they are one.
const testVersion = "0.0.1"

func mainOfTests() {
	version = testVersion
	main()
}

// One script for each promise of the README.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		WorkdirRoot:         workdirInMemory(t),
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":    exitsCommand,
			"workbook": workbookCommand,
			"pdftext":  pdftextCommand,
			"paper":    paperCommand,
			"onlyjson": onlyJSONCommand,
			"sentence": sentenceCommand,
			"samefile": sameFilesCommand,
			"bytes":    bytesCommand,
			"zipfile":  zipfileCommand,
		},
	})
}

// workdirInMemory is a folder where files cost no disk, if there is such a place: no script
// is about what lasts through a power cut.
func workdirInMemory(t *testing.T) string {
	dir, err := os.MkdirTemp(inMemory(t), "scripts")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// exitsCommand runs a program and fails unless it ends with that exit code:
//
//	exits 2 hardfeed run none.xlsx
func exitsCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code program [argument...]")
	}
	code := 0
	err := ts.Exec(args[1], args[2:]...)
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		code = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if fmt.Sprint(code) != args[0] {
		ts.Fatalf("exit code %d, want %s", code, args[0])
	}
}

// workbookCommand makes an .xlsx of a text table:
//
//	workbook week.xlsx tables.txt
//
// A line [horses] starts a sheet, cells are parted by |, a line starting with
// # is a remark. Numbers and dates are typed as in templates.Workbook; #REF!,
// #N/A and the like become error cells, as a spreadsheet program writes them.
func workbookCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: workbook out.xlsx tables.txt")
	}
	data, err := workbookOf(ts.ReadFile(args[1]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o640))
}

func workbookOf(text string) ([]byte, error) {
	var sheets []templates.Sheet
	faults := map[string]string{} // stand-in number → error value
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		switch {
		case line == "" || strings.HasPrefix(line, "# "):
		case strings.HasPrefix(line, "["):
			sheets = append(sheets, templates.Sheet{Name: strings.Trim(line, "[]")})
		case len(sheets) == 0:
			return nil, fmt.Errorf("a row before the first [sheet]: %s", line)
		default:
			var row []string
			for cell := range strings.SplitSeq(line, "|") {
				cell = strings.TrimSpace(cell)
				if regexp.MustCompile(`^#[A-Z/0]+[!?]?$`).MatchString(cell) {
					standIn := fmt.Sprint(987650000 + len(faults))
					faults[standIn], cell = cell, standIn
				}
				row = append(row, cell)
			}
			s := &sheets[len(sheets)-1]
			s.Rows = append(s.Rows, row)
		}
	}
	data, err := templates.Workbook(sheets)
	if err != nil || len(faults) == 0 {
		return data, err
	}
	return withErrorCells(data, faults)
}

// withErrorCells turns number cells into error cells; excelize writes none.
func withErrorCells(data []byte, faults map[string]string) ([]byte, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	done := 0
	for _, part := range z.File {
		r, err := part.Open()
		if err != nil {
			return nil, err
		}
		xml, err := io.ReadAll(r)
		if err := errors.Join(err, r.Close()); err != nil {
			return nil, err
		}
		for standIn, fault := range faults {
			cell := regexp.MustCompile(`<c ([^>]*)><v>` + standIn + `</v></c>`)
			if cell.Match(xml) {
				done++
				xml = cell.ReplaceAll(xml, []byte(`<c $1 t="e"><v>`+fault+`</v></c>`))
			}
		}
		p, err := w.Create(part.Name)
		if err != nil {
			return nil, err
		}
		if _, err := p.Write(xml); err != nil {
			return nil, err
		}
	}
	if done != len(faults) {
		return nil, fmt.Errorf("%d of %d error cells were written", done, len(faults))
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// inScript is a test for what wants one, in a script.
type inScript struct {
	testing.TB
	ts *testscript.TestScript
}

func (inScript) Helper()                             {}
func (s inScript) Fatalf(format string, args ...any) { s.ts.Fatalf(format, args...) }
func (s inScript) Errorf(format string, args ...any) { s.ts.Fatalf(format, args...) }

// pdftextCommand prints a PDF's text to the script's standard output.
func pdftextCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: pdftext file.pdf")
	}
	fmt.Fprint(ts.Stdout(), pdftest.Layout(inScript{ts: ts}, []byte(ts.ReadFile(args[0]))))
}

// paperCommand fails unless all pages of a PDF are of that size: paper A4 file.pdf.
func paperCommand(ts *testscript.TestScript, neg bool, args []string) {
	want, ok := map[string][2]int{"A4": {210, 297}, "Letter": {216, 279}}[args[0]] // ISO 216; ANSI/ASME Y14.1
	if neg || len(args) != 2 || !ok {
		ts.Fatalf("usage: paper A4|Letter file.pdf")
	}
	for i, got := range pdftest.Paper(inScript{ts: ts}, []byte(ts.ReadFile(args[1]))) {
		if got != want {
			ts.Fatalf("page %d is %v mm, not %s", i+1, got, args[0])
		}
	}
}

// onlyJSONCommand fails unless a file holds one JSON object and a line's end, no more.
func onlyJSONCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: onlyjson file|stdout")
	}
	ts.Check(oneJSONObject([]byte(ts.ReadFile(args[0]))))
}

// sentenceCommand fails unless the last command said one line to people.
func sentenceCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: sentence")
	}
	text := ts.ReadFile("stderr")
	if !strings.HasPrefix(text, "hardfeed: ") || strings.Count(text, "\n") != 1 || !strings.HasSuffix(text, "\n") {
		ts.Fatalf("not one sentence: %q", text)
	}
	for _, jargon := range []string{"panic", "goroutine", "EOF", "zip:", "xml", "nil", "%!"} {
		if strings.Contains(text, jargon) {
			ts.Fatalf("%q is no word for a yard manager: %q", jargon, text)
		}
	}
}

// sameFilesCommand fails unless two folders hold the same names and bytes.
func sameFilesCommand(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] samefile dir1 dir2")
	}
	var all [2]string
	for i, dir := range args {
		entries, err := os.ReadDir(ts.MkAbs(dir))
		ts.Check(err)
		if len(entries) == 0 {
			ts.Fatalf("%s is empty", dir)
		}
		for _, e := range entries {
			all[i] += e.Name() + "\n" + ts.ReadFile(filepath.Join(dir, e.Name())) + "\n"
		}
	}
	if same := all[0] == all[1]; same == neg {
		ts.Fatalf("same files: %v", same)
	}
}

// bytesCommand writes a file from a Go string literal's escapes, for files
// that are no text: bytes old.xls '\xd0\xcf\x11\xe0'.
func bytesCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: bytes file escapes")
	}
	var out []byte
	for i := 0; i < len(args[1]); i++ {
		if strings.HasPrefix(args[1][i:], `\x`) {
			var b byte
			if _, err := fmt.Sscanf(args[1][i+2:i+4], "%02x", &b); err != nil {
				ts.Fatalf("%s: %v", args[1], err)
			}
			out = append(out, b)
			i += 3
			continue
		}
		out = append(out, args[1][i])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), out, 0o640))
}

// zipfileCommand writes a zip of small parts: zipfile out.ods name=text ...
func zipfileCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: zipfile file name=text ...")
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, part := range args[1:] {
		name, text, _ := strings.Cut(part, "=")
		p, err := w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		ts.Check(err)
		_, err = io.WriteString(p, text)
		ts.Check(err)
	}
	ts.Check(w.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), out.Bytes(), 0o640))
}
