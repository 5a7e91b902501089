// Command mutate flips, one at a time, every comparison, every "not" and every
// number of a package's code, runs the tests, and lists what they did not notice.
//
//	nice go run ./testdata/mutate ration/guard ./ration/guard
//	nice go run ./testdata/mutate ration/guard/week.go ./ration/guard
//
// The first argument is the folder or file whose code is flipped, the rest are
// the packages whose tests must notice. The flips are:
//
//   - a comparison's border (> to >=) and its sense (> to <=), == and !=
//   - "and" and "or" exchanged, a "not" left out
//   - a whole number one higher, a fraction a tenth higher (0.0 becomes 0.1)
//
// A flip counts once where it changes what the machine does, and is left out
//
//   - where the compiler refuses it;
//   - where the program compiled with it is, bit for bit, the program compiled
//     without it (len(x) > 0 and len(x) != 0): it changes nothing;
//   - where it is, bit for bit, the program compiled with another flip: it is the
//     same change, written in two ways;
//   - where equivalent.txt beside this file gives a reason why it can change no
//     result. Those are printed, and may be no more than two in a hundred.
//
// Tests that fail, panic or take over two minutes have noticed. Exit status 1:
// fewer than -least per cent were noticed, or the list of reasons is too long.
package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
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
	"time"
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
	file     string
	from, to int // bytes
	text     string
	old      string
	code     string // the line it stands on
	line     int
}

// name is how equivalent.txt calls a flip; it holds no line number, so that it
// stays true when lines above it come and go.
func (f flip) name() string {
	return fmt.Sprintf("%s: %s -> %s: %s", filepath.ToSlash(f.file), f.old, f.text, f.code)
}

// outcome of a flip.
type outcome int

const (
	refused outcome = iota
	same            // the program is another's, bit for bit
	caught
	survived
)

func main() {
	least := flag.Float64("least", 95, "per cent of the flips that must be noticed")
	at := flag.Int("at", 2, "flips tried at a time")
	flag.Parse()
	if flag.NArg() < 2 {
		fmt.Fprintln(os.Stderr, "mutate [-least 95] [-at 2] FOLDER-OR-FILE PACKAGE...")
		os.Exit(2)
	}
	if err := run(flag.Arg(0), flag.Args()[1:], *least, *at); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(code string, packages []string, least float64, at int) error {
	files, err := filepath.Glob(filepath.Join(code, "*.go"))
	if strings.HasSuffix(code, ".go") {
		files = []string{code}
	}
	if err != nil || len(files) == 0 {
		return fmt.Errorf("no Go files in %s: %v", code, err)
	}
	var all []flip
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		found, err := flipsOf(f)
		if err != nil {
			return err
		}
		all = append(all, found...)
	}
	reasons, err := reasonsOf(filepath.Join("testdata", "mutate", "equivalent.txt"))
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := bench{dir: dir, packages: packages, seen: map[[sha256.Size]byte]bool{}}
	switch first, err := b.try("unchanged", flip{}); {
	case err != nil:
		return err
	case first != survived:
		return errors.New("the tests do not pass, or do not build, without any flip")
	}

	var (
		mu     sync.Mutex
		wg     sync.WaitGroup
		next   = make(chan int)
		counts [survived + 1]int
		left   []string // survivors
		told   []string // survivors with a reason
		failed error
		done   int
	)
	for range at {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				what, err := b.try(strconv.Itoa(i), all[i])
				mu.Lock()
				if err != nil {
					failed = err
				}
				if f := all[i]; what == survived && reasons[f.name()] != "" {
					told = append(told, fmt.Sprintf("%s:%d: %s -> %s   %s\n    %s", f.file, f.line, f.old, f.text, f.code, reasons[f.name()]))
				} else {
					counts[what]++
					if what == survived {
						left = append(left, fmt.Sprintf("%s:%d: %s -> %s   %s", f.file, f.line, f.old, f.text, f.code))
					}
				}
				if done++; done%100 == 0 {
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
	if failed != nil {
		return failed
	}

	sort.Strings(left)
	sort.Strings(told)
	for _, s := range left {
		fmt.Println(s)
	}
	if len(told) > 0 {
		fmt.Println("left out, with the reason:")
		for _, s := range told {
			fmt.Println(s)
		}
	}
	total := counts[caught] + counts[survived]
	pct := 100 * float64(counts[caught]) / float64(max(1, total))
	fmt.Printf("%d flips, %d caught (%.1f %%), %d survived; not counted: %d the compiler refuses, %d that compile to a program already tried, %d with a reason\n",
		total, counts[caught], pct, counts[survived], counts[refused], counts[same], len(told))
	switch {
	case total == 0:
		return errors.New("nothing was flipped")
	case 50*len(told) > total+len(told):
		return fmt.Errorf("%d left out by hand are over two in a hundred", len(told))
	case pct < least:
		return fmt.Errorf("%.1f %% are under %.1f %%", pct, least)
	}
	return nil
}

// flipsOf finds every comparison, "not" and number of a file.
func flipsOf(path string) ([]flip, error) {
	src, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	fset := token.NewFileSet()
	tree, err := parser.ParseFile(fset, path, src, 0)
	if err != nil {
		return nil, err
	}
	var out []flip
	add := func(at token.Pos, old, text string) {
		p := fset.Position(at)
		out = append(out, flip{path, p.Offset, p.Offset + len(old), text, old, lineOf(src, p.Offset), p.Line})
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.BinaryExpr:
			for _, t := range flips[x.Op] {
				add(x.OpPos, x.Op.String(), t.String())
			}
		case *ast.UnaryExpr:
			if x.Op == token.NOT {
				add(x.OpPos, "!", "")
			}
		case *ast.BasicLit:
			v, err := strconv.ParseFloat(x.Value, 64)
			switch {
			case err != nil:
			case x.Kind == token.INT:
				add(x.Pos(), x.Value, strconv.Itoa(int(v)+1))
			case x.Kind == token.FLOAT && v == 0:
				add(x.Pos(), x.Value, "0.1")
			case x.Kind == token.FLOAT:
				add(x.Pos(), x.Value, strconv.FormatFloat(v*1.1, 'g', -1, 64))
			}
		}
		return true
	})
	return out, nil
}

func lineOf(src []byte, at int) string {
	from := bytes.LastIndexByte(src[:at], '\n') + 1
	to := len(src)
	if n := bytes.IndexByte(src[at:], '\n'); n >= 0 {
		to = at + n
	}
	return strings.TrimSpace(string(src[from:to]))
}

// reasonsOf reads the flips left out by hand: a flip's name on one line, its
// reason on the next, indented.
func reasonsOf(path string) (map[string]string, error) {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	out, name := map[string]string{}, ""
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		switch {
		case strings.HasPrefix(line, "#"), line == "":
		case strings.HasPrefix(line, " "):
			out[name] = strings.TrimSpace(line)
		default:
			name = line
		}
	}
	return out, nil
}

// bench compiles and runs the tests, and remembers every program it has seen.
type bench struct {
	dir      string
	packages []string
	mu       sync.Mutex
	seen     map[[sha256.Size]byte]bool
}

// try runs the tests with one flip, laid over the tree without touching it; the
// zero flip changes nothing.
func (b *bench) try(id string, f flip) (outcome, error) {
	overlay := map[string]string{}
	if f.file != "" {
		src, err := os.ReadFile(f.file)
		if err != nil {
			return refused, err
		}
		changed := filepath.Join(b.dir, id+".go")
		if err := os.WriteFile(changed, []byte(string(src[:f.from])+f.text+string(src[f.to:])), 0o600); err != nil {
			return refused, err
		}
		abs, err := filepath.Abs(f.file)
		if err != nil {
			return refused, err
		}
		overlay[abs] = changed
	}
	text, err := json.Marshal(map[string]any{"Replace": overlay})
	if err != nil {
		return refused, err
	}
	list := filepath.Join(b.dir, id+".json")
	if err := os.WriteFile(list, text, 0o600); err != nil {
		return refused, err
	}
	// Without symbols, build ids and version stamps a program depends on nothing
	// but what it does and on which line.
	var programs []string
	all := sha256.New()
	for i, p := range b.packages {
		program := filepath.Join(b.dir, fmt.Sprintf("%s-%d.test", id, i))
		defer os.Remove(program)
		if _, err := exec.Command("go", "test", "-c", "-overlay", list, "-vet=off", "-buildvcs=false", "-trimpath", "-ldflags=-s -w -buildid=", "-o", program, p).CombinedOutput(); err != nil {
			return refused, nil
		}
		code, err := os.ReadFile(program)
		if err != nil {
			return refused, err
		}
		all.Write(code)
		programs = append(programs, program)
	}
	sum := [sha256.Size]byte(all.Sum(nil))
	b.mu.Lock()
	known := b.seen[sum]
	b.seen[sum] = true
	b.mu.Unlock()
	if known {
		return same, nil
	}
	for i, p := range b.packages {
		where, err := exec.Command("go", "list", "-f", "{{.Dir}}", p).Output()
		if err != nil {
			return refused, err
		}
		ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
		defer stop()
		cmd := exec.CommandContext(ctx, programs[i], "-test.failfast")
		cmd.Dir = strings.TrimSpace(string(where))
		if err := cmd.Run(); err != nil {
			return caught, nil
		}
	}
	return survived, nil
}
