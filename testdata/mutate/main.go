// Command mutate flips, one at a time, every comparison, every condition and
// every number of a package's code, runs the tests, and lists what they did not notice.
//
//	nice go run ./testdata/mutate ration/guard -rapid.seed=1 -rapid.nofailfile
//	nice go run ./testdata/mutate -file week.go ration/guard -rapid.seed=1 -rapid.nofailfile
//	nice go run ./testdata/mutate -sample 40 -seed 7 -also ration:Published -least 0 ration/need
//
// With -also the tests of other packages, or those of a name, are run where the
// package's own did not notice. With -sample so many flips are tried, drawn by -seed, the same each time.
// What is behind the folder is handed to its tests: here the same random yards
// each time, and no files of what failed.
//
// The flips are:
//
//   - a comparison's border (> to >=) and its sense (> to <=), == and !=
//   - "and" and "or" exchanged, a "not" left out, a condition without one turned
//   - a whole number one higher, a fraction a tenth higher (0.0 becomes 0.1)
//
// A flip counts once where it changes what the program does. It is not counted
//
//   - where the compiler refuses it;
//   - where the program compiled with it is, bit for bit, the program compiled
//     without it (len(x) > 0 and len(x) != 0);
//   - where a whole number is made one higher beside < or >=: that is the flip of
//     the border (x < 2 to x < 3 or x <= 2), which is tried already;
//   - where equivalent.txt beside this file gives a reason why it can change no
//     result. Those are printed, and may be no more than two in a hundred.
//
// The package is compiled once with all flips in it, each asleep until its number
// stands in the environment; a flip of a constant, which must be one when the
// program is compiled, is compiled by itself. Tests that fail, panic or take over
// two minutes have noticed. Exit status 1: fewer than -least per cent were noticed,
// or the list of reasons is too long.
package main

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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
}

// flip is one change of one file.
type flip struct {
	file      string
	line, at  int // at: the byte of the file
	old, text string
	code      string // the line it is on
	asleep    bool   // compiled in with the others
}

// name is how equivalent.txt calls a flip; it holds no line number, so that it
// stays true when lines above it come and go.
func (f flip) name() string {
	return fmt.Sprintf("%s: %s -> %s: %s", filepath.Base(f.file), f.old, f.text, f.code)
}

func (f flip) String() string {
	return fmt.Sprintf("%s:%d: %s -> %s   %s", f.file, f.line, cmp.Or(f.old, "nothing"), cmp.Or(f.text, "nothing"), f.code)
}

// sleeper is the code that wakes one flip: the one whose number, counted from 1,
// stands in the environment.
const sleeper = `package %s

import (
	"os"
	"strconv"
)

var awake = func() int { n, _ := strconv.Atoi(os.Getenv("FLIP")); return n }()

// flipped is the first, or the one whose flip is awake; the second has the number n.
func flipped[T any](n int, as ...T) T {
	if i := awake - n + 1; i > 0 && i < len(as) {
		return as[i]
	}
	return as[0]
}

func flippedNot(n int, a bool) bool {
	return a == (awake == n)
}

func flippedAnd(n int, a bool, b func() bool) bool {
	if awake == n {
		return a || b()
	}
	return a && b()
}

func flippedOr(n int, a bool, b func() bool) bool {
	if awake == n {
		return a && b()
	}
	return a || b()
}
`

func main() {
	least := flag.Float64("least", 95, "per cent of the flips that must be noticed")
	only := flag.String("file", "", "flip this file of the folder alone")
	at := flag.Int("at", 2, "flips tried at a time")
	sample := flag.Int("sample", 0, "try so many flips, drawn at random; 0 all")
	seed := flag.Uint64("seed", 1, "of the sample")
	also := flag.String("also", "", "packages whose tests are run as well, with commas between them")
	flag.Parse()
	if flag.NArg() < 1 {
		fmt.Fprintln(os.Stderr, "mutate [-least 95] [-at 2] [-file NAME] [-sample N] [-seed N] [-also FOLDER,...] FOLDER [ARGUMENT OF THE TESTS...]")
		os.Exit(2)
	}
	tests := []suite{{flag.Arg(0), flag.Args()[1:]}}
	for _, a := range strings.FieldsFunc(*also, func(r rune) bool { return r == ',' }) {
		folder, which, some := strings.Cut(a, ":")
		t := suite{folder, flag.Args()[1:]}
		if some {
			t.args = append(slices.Clone(t.args), "-test.run="+which)
		}
		tests = append(tests, t)
	}
	if err := run(tests, *only, *least, *at, *sample, *seed); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// suite is the tests of a folder and what is handed to them.
type suite struct {
	folder string
	args   []string
}

// run flips the folder of the first suite; the tests of all of them are run.
func run(tests []suite, only string, least float64, at, sample int, seed uint64) error {
	reasons, err := reasonsOf(filepath.Join("testdata", "mutate", "equivalent.txt"))
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b := bench{dir: dir, folder: tests[0].folder, tests: tests}
	all, overlay, err := b.putToSleep(only)
	if err != nil {
		return err
	}
	if b.plain, err = b.compile("plain", b.folder, nil); err != nil {
		return err
	}
	sleeping, err := b.compileAll("sleeping", overlay)
	if err != nil {
		return err
	}
	for _, p := range append(sleeping, program{b.plain, tests[0]}) {
		if b.notice(p, 0) {
			return fmt.Errorf("the tests of %s do not pass without any flip", p.suite.folder)
		}
	}
	chosen := make([]int, len(all))
	for i := range chosen {
		chosen[i] = i
	}
	if sample > 0 && sample < len(all) {
		rand.New(rand.NewPCG(seed, 0)).Shuffle(len(chosen), func(i, k int) { chosen[i], chosen[k] = chosen[k], chosen[i] })
		chosen = chosen[:sample]
	}

	var (
		mu                              sync.Mutex
		wg                              sync.WaitGroup
		next                            = make(chan int)
		caught, refused, same, survived int
		told                            []string
		failed                          error
	)
	for range at {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				f := all[i]
				what, err := b.try(i, f, sleeping)
				mu.Lock()
				switch {
				case err != nil:
					failed = err
				case what == "caught":
					caught++
				case what == "refused":
					refused++
				case what == "same":
					same++
				case reasons[f.name()] != "":
					told = append(told, f.String()+"\n    "+reasons[f.name()])
				default:
					survived++
					fmt.Println(f)
				}
				mu.Unlock()
			}
		}()
	}
	for _, i := range chosen {
		next <- i
	}
	close(next)
	wg.Wait()
	if failed != nil {
		return failed
	}

	slices.Sort(told)
	for i, s := range told {
		if i == 0 {
			fmt.Println("not counted, with the reason:")
		}
		fmt.Println(s)
	}
	total := caught + survived
	pct := 100 * float64(caught) / float64(max(1, total))
	fmt.Printf("%s: %d of %d flips tried: ", b.folder, len(chosen), len(all))
	fmt.Printf("%d count, %d caught (%.1f %%), %d survived; not counted: %d the compiler refuses, %d that compile to the same program, %d with a reason\n",
		total, caught, pct, survived, refused, same, len(told))
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

// bench compiles and runs the tests of a folder.
type bench struct {
	dir, folder string
	tests       []suite // that are run, the flipped folder's first
	plain       string  // the folder's tests compiled without a flip
}

// program is the compiled tests of a suite.
type program struct {
	path  string
	suite suite
}

// putToSleep finds the flips and writes the package's files anew with all of them
// in, asleep; overlay says which file stands for which.
func (b *bench) putToSleep(only string) (all []flip, overlay map[string]string, err error) {
	paths, err := filepath.Glob(filepath.Join(b.folder, "*.go"))
	if err != nil {
		return nil, nil, err
	}
	fset := token.NewFileSet()
	var trees []*ast.File
	var sources [][]byte
	for _, p := range paths {
		if strings.HasSuffix(p, "_test.go") {
			continue
		}
		src, err := os.ReadFile(p)
		if err != nil {
			return nil, nil, err
		}
		tree, err := parser.ParseFile(fset, p, src, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		trees, sources = append(trees, tree), append(sources, src)
	}
	if len(trees) == 0 {
		return nil, nil, fmt.Errorf("no Go files in %s", b.folder)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	conf := types.Config{Importer: importer.ForCompiler(fset, "source", nil)}
	pkg, err := conf.Check(b.folder, fset, trees, info)
	if err != nil {
		return nil, nil, err
	}
	overlay = map[string]string{}
	put := func(path, text string) error {
		abs, err := filepath.Abs(path)
		if err != nil {
			return err
		}
		overlay[abs] = filepath.Join(b.dir, filepath.Base(path))
		return os.WriteFile(overlay[abs], []byte(text), 0o600)
	}
	for i, tree := range trees {
		path := fset.File(tree.Pos()).Name()
		if only != "" && filepath.Base(path) != only {
			continue
		}
		w := writer{fset: fset, src: sources[i], info: info, pkg: pkg, path: path, all: &all, bare: bareConditions(tree)}
		if err := put(path, w.text(tree.FileStart, tree.FileEnd, tree)); err != nil {
			return nil, nil, err
		}
	}
	return all, overlay, put(filepath.Join(b.folder, "sleeper.go"), fmt.Sprintf(sleeper, trees[0].Name.Name))
}

// add makes a flip and gives its number.
func (w *writer) add(at token.Pos, old, text string) int {
	p := w.fset.Position(at)
	*w.all = append(*w.all, flip{w.path, p.Line, p.Offset, old, text, lineOf(w.src, p.Offset), !w.constant})
	return len(*w.all)
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
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := lines.Text()
		switch {
		case strings.HasPrefix(line, "#"), line == "":
		case strings.HasPrefix(line, " "):
			out[name] = strings.TrimSpace(line)
		default:
			name = line
		}
	}
	return out, lines.Err()
}

// errRefused is the compiler's.
var errRefused = errors.New("does not compile")

// compile compiles the tests with some files laid over the tree's. Without
// symbols, build ids and version stamps the program depends on nothing but what it
// does and on which line.
func (b *bench) compile(id, folder string, overlay map[string]string) (path string, err error) {
	text, err := json.Marshal(map[string]any{"Replace": overlay})
	if err != nil {
		return "", err
	}
	list := filepath.Join(b.dir, id+".json")
	if err := os.WriteFile(list, text, 0o600); err != nil {
		return "", err
	}
	path = filepath.Join(b.dir, id+".test")
	said, err := exec.Command("go", "test", "-c", "-overlay", list, "-vet=off", "-buildvcs=false", "-trimpath", "-gcflags=-l", "-ldflags=-s -w -buildid=", "-o", path, "./"+filepath.ToSlash(folder)).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", errRefused, said)
	}
	return path, nil
}

// compileAll compiles the tests of every folder.
func (b *bench) compileAll(id string, overlay map[string]string) (out []program, err error) {
	for i, t := range b.tests {
		path, err := b.compile(id+"-"+strconv.Itoa(i), t.folder, overlay)
		if err != nil {
			return nil, err
		}
		out = append(out, program{path, t})
	}
	return out, nil
}

// anyNotices says whether the tests of some folder notice a flip.
func (b *bench) anyNotices(ps []program, number int) bool {
	return slices.ContainsFunc(ps, func(p program) bool { return b.notice(p, number) })
}

// notice says whether the tests notice a flip, 0 for none.
func (b *bench) notice(p program, number int) bool {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, p.path, append([]string{"-test.failfast"}, p.suite.args...)...)
	cmd.Dir = p.suite.folder
	cmd.Env = append(os.Environ(), "FLIP="+strconv.Itoa(number))
	return cmd.Run() != nil
}

// try says what became of a flip.
func (b *bench) try(i int, f flip, sleeping []program) (string, error) {
	if f.asleep && b.anyNotices(sleeping, i+1) {
		return "caught", nil
	}
	src, err := os.ReadFile(f.file)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(b.dir, fmt.Sprintf("%d.go", i))
	if err := os.WriteFile(changed, []byte(string(src[:f.at])+f.text+string(src[f.at+len(f.old):])), 0o600); err != nil {
		return "", err
	}
	abs, err := filepath.Abs(f.file)
	if err != nil {
		return "", err
	}
	overlay := map[string]string{abs: changed}
	path, err := b.compile(strconv.Itoa(i), b.folder, overlay)
	if errors.Is(err, errRefused) {
		return "refused", nil
	}
	if err != nil {
		return "", err
	}
	defer os.Remove(path)
	a, err := os.ReadFile(b.plain)
	if err != nil {
		return "", err
	}
	c, err := os.ReadFile(path)
	switch {
	case err != nil:
		return "", err
	case bytes.Equal(a, c):
		return "same", nil
	case f.asleep:
		return "survived", nil
	case b.notice(program{path, b.tests[0]}, 0):
		return "caught", nil
	}
	for k, t := range b.tests[1:] {
		p, err := b.compile(strconv.Itoa(i)+"-"+strconv.Itoa(k), t.folder, overlay)
		if err != nil {
			return "", err
		}
		noticed := b.notice(program{p, t}, 0)
		os.Remove(p)
		if noticed {
			return "caught", nil
		}
	}
	return "survived", nil
}
