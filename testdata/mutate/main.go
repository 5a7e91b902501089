// Command mutate flips, one at a time, every comparison and every number of a
// package's code, runs the tests, and lists what they did not notice.
//
//	go run ./testdata/mutate ration/guard ./ration/guard
//
// The first argument is the folder (or file) whose code is flipped, the rest are
// the packages whose tests must notice. A flip that does not compile is left out.
package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// flips of a comparison: its border, and its sense.
var flips = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
}

// flip is one change of one file.
type flip struct {
	file       string
	from, to   int // bytes
	text, what string
	line       int
}

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "mutate FOLDER-OR-FILE PACKAGE...")
		os.Exit(2)
	}
	files, err := filepath.Glob(filepath.Join(os.Args[1], "*.go"))
	if strings.HasSuffix(os.Args[1], ".go") {
		files, err = []string{os.Args[1]}, nil
	}
	if err != nil || len(files) == 0 {
		fmt.Fprintln(os.Stderr, "no Go files there:", err)
		os.Exit(2)
	}
	var all []flip
	for _, f := range files {
		if !strings.HasSuffix(f, "_test.go") {
			all = append(all, flipsOf(f)...)
		}
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	defer os.RemoveAll(dir)
	var (
		mu                    sync.Mutex
		survivors             []string
		caught, noBuild, done int
		wg                    sync.WaitGroup
		next                  = make(chan int)
	)
	for range 2 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				result := try(dir, i, all[i], os.Args[2:])
				mu.Lock()
				switch result {
				case "caught":
					caught++
				case "no build":
					noBuild++
				default:
					survivors = append(survivors, fmt.Sprintf("%s:%d: %s", all[i].file, all[i].line, all[i].what))
				}
				done++
				if done%50 == 0 {
					fmt.Fprintf(os.Stderr, "%d of %d\n", done, len(all))
				}
				mu.Unlock()
			}
		}()
	}
	for i := range all {
		next <- i
	}
	close(next)
	wg.Wait()
	sort.Strings(survivors)
	for _, s := range survivors {
		fmt.Println(s)
	}
	total := caught + len(survivors)
	fmt.Printf("%d flips, %d caught (%.1f %%), %d survived; %d more did not compile\n", total, caught, 100*float64(caught)/float64(max(1, total)), len(survivors), noBuild)
}

// flipsOf finds every comparison and number of a file.
func flipsOf(path string) []flip {
	src, err := os.ReadFile(path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	fset := token.NewFileSet()
	tree, err := parser.ParseFile(fset, path, src, 0)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	var out []flip
	add := func(at token.Pos, old, text string) {
		p := fset.Position(at)
		out = append(out, flip{path, p.Offset, p.Offset + len(old), text, old + " -> " + text + "   " + lineOf(src, p.Offset), p.Line})
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.GenDecl:
			return x.Tok != token.IMPORT
		case *ast.BinaryExpr:
			for _, t := range flips[x.Op] {
				add(x.OpPos, x.Op.String(), t.String())
			}
		case *ast.IndexExpr: // a place in a list is no mark
			ast.Inspect(x.X, func(ast.Node) bool { return true })
			return false
		case *ast.BasicLit:
			if v, err := strconv.ParseFloat(x.Value, 64); err == nil && (x.Kind == token.INT || x.Kind == token.FLOAT) && v != 1e-9 {
				text := strconv.FormatFloat(v*1.1+0.1, 'g', -1, 64)
				if x.Kind == token.INT {
					text = strconv.Itoa(int(v*1.1) + 1)
				}
				add(x.Pos(), x.Value, text)
			}
		}
		return true
	})
	return out
}

func lineOf(src []byte, at int) string {
	from := strings.LastIndexByte(string(src[:at]), '\n') + 1
	to := strings.IndexByte(string(src[at:]), '\n')
	return strings.TrimSpace(string(src[from : at+to]))
}

// try runs the tests with one flip, laid over the tree without touching it.
func try(dir string, i int, f flip, packages []string) string {
	src, err := os.ReadFile(f.file)
	if err != nil {
		return err.Error()
	}
	changed := filepath.Join(dir, fmt.Sprintf("%d.go", i))
	if err := os.WriteFile(changed, []byte(string(src[:f.from])+f.text+string(src[f.to:])), 0o600); err != nil {
		return err.Error()
	}
	abs, err := filepath.Abs(f.file)
	if err != nil {
		return err.Error()
	}
	overlay := filepath.Join(dir, fmt.Sprintf("%d.json", i))
	b, err := json.Marshal(map[string]map[string]string{"Replace": {abs: changed}})
	if err != nil {
		return err.Error()
	}
	if err := os.WriteFile(overlay, b, 0o600); err != nil {
		return err.Error()
	}
	args := append([]string{"test", "-overlay", overlay, "-vet=off", "-count=1"}, packages...)
	cmd := exec.Command("go", args...)
	text, err := cmd.CombinedOutput()
	switch {
	case err == nil:
		return "survived"
	case strings.Contains(string(text), "[build failed]"), strings.Contains(string(text), "[setup failed]"):
		return "no build"
	}
	return "caught"
}
