package choose

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// The same models solved by general-purpose solvers: GLPK's glpsol and COIN-OR
// CBC. A plain run compares with their optima as they were written down in
// testdata/choose; with -solvers they are run again, and -write writes them down.
var (
	solvers = flag.String("solvers", "", "solve the models again with these programs, comma-separated: glpsol, cbc")
	write   = flag.Bool("write", false, "write down what the solvers found")
)

const (
	fullModels = 320
	storedFile = "../../testdata/choose/optima.csv"
)

// lpText writes one stage of a model in the CPLEX LP format: the limits, the
// goals before it held at their best, its own made least. constant is to be
// added to the objective.
func lpText(m Model, stage int, held []int64) (text []byte, constant int64) {
	w := &lpWriter{m: m, steps: map[string]string{}}
	var rows []string
	constrain := func(l line, low, high int64) {
		if low != NoLow && low == high {
			rows = append(rows, l.String()+" = "+fmt.Sprint(low-l.constant))
			return
		}
		if low != NoLow {
			rows = append(rows, l.String()+" >= "+fmt.Sprint(low-l.constant))
		}
		if high != NoHigh {
			rows = append(rows, l.String()+" <= "+fmt.Sprint(high-l.constant))
		}
	}
	value := func(k int) line {
		g := m.Goals[k]
		l := w.line(g.Sum)
		for i, b := range g.Bands {
			name := fmt.Sprintf("p%d_%d", k, i)
			l.add(name, 1)
			f := w.line(b.Sum)
			if b.Low != NoLow {
				up := f.clone()
				up.add(name, 1)
				constrain(up, b.Low, NoHigh)
			}
			if b.High != NoHigh {
				f.add(name, -1)
				constrain(f, NoLow, b.High)
			}
		}
		return l
	}
	for _, l := range m.Limits {
		for _, r := range l.Rows {
			constrain(w.line(r.Sum), r.Low, r.High)
		}
	}
	for k := range stage {
		constrain(value(k), NoLow, held[k]*max(1, m.Goals[k].Grain))
	}
	goal := line{}
	if stage < len(m.Goals) {
		goal = value(stage)
	}
	b := &bytes.Buffer{}
	fmt.Fprintf(b, "Minimize\n obj: %s\nSubject To\n", goal)
	for i, r := range slices.Concat(rows, w.rows) {
		fmt.Fprintf(b, " c%d: %s\n", i, r)
	}
	fmt.Fprintf(b, "Bounds\n")
	for j, f := range m.Feeds {
		fmt.Fprintf(b, " 0 <= x%d <= %d\n", j, f.Choices-1)
	}
	fmt.Fprintf(b, "General\n")
	for j := range m.Feeds {
		fmt.Fprintf(b, " x%d\n", j)
	}
	for _, v := range w.ints {
		fmt.Fprintf(b, " %s\n", v)
	}
	if len(w.bins) > 0 {
		fmt.Fprintf(b, "Binary\n")
		for _, v := range w.bins {
			fmt.Fprintf(b, " %s\n", v)
		}
	}
	fmt.Fprintf(b, "End\n")
	return b.Bytes(), goal.constant
}

type line struct {
	constant int64
	names    []string
	by       []int64
}

func (l *line) add(name string, by int64) {
	if by != 0 {
		l.names, l.by = append(l.names, name), append(l.by, by)
	}
}

func (l line) clone() line { return line{l.constant, slices.Clone(l.names), slices.Clone(l.by)} }

func (l line) String() string {
	if len(l.names) == 0 {
		return "0 x0"
	}
	b := &strings.Builder{}
	for i, n := range l.names {
		if i > 0 && i%8 == 0 {
			b.WriteString("\n  ")
		}
		fmt.Fprintf(b, "%+d %s ", l.by[i], n)
	}
	return b.String()
}

type lpWriter struct {
	m          Model
	steps      map[string]string // variables that stand for the steps of a feed, by feed and kind
	rows       []string
	ints, bins []string
}

// line writes a sum as a line: straight tables by the feed's own variable, halves
// rounded down by a whole variable, "there at all" and "changed" by a yes or no,
// any other table by one yes or no for each amount.
func (w *lpWriter) line(s Sum) line {
	l := line{constant: s.Const}
	for j, t := range s.Adds {
		if t == nil {
			continue
		}
		x, most := fmt.Sprintf("x%d", j), int64(len(t)-1)
		if most == 0 {
			l.constant += t[0]
			continue
		}
		l.constant += t[0]
		a := t[1] - t[0]
		if fits(t, func(v int64) int64 { return t[0] + a*v }) {
			l.add(x, a)
			continue
		}
		if b := t[2] - t[0] - 2*a; fits(t, func(v int64) int64 { return t[0] + a*v + b*(v/2) }) {
			y := w.step(j, "half", func(y string) {
				w.ints = append(w.ints, y)
				w.rows = append(w.rows, fmt.Sprintf("%s - 2 %s >= 0", x, y), fmt.Sprintf("%s - 2 %s <= 1", x, y))
			})
			l.add(x, a)
			l.add(y, b)
			continue
		}
		if fits(t, func(v int64) int64 { return t[0] + a*min(v, 1) }) {
			l.add(w.step(j, "there", func(y string) {
				w.bins = append(w.bins, y)
				w.rows = append(w.rows, fmt.Sprintf("%s - %d %s <= 0", x, most, y), fmt.Sprintf("%s - %s >= 0", x, y))
			}), a)
			continue
		}
		if now := slices.Index(t, t[0]-1); now > 0 && fits(t, func(v int64) int64 {
			if v == int64(now) {
				return t[0] - 1
			}
			return t[0]
		}) {
			l.constant--
			l.add(w.step(j, fmt.Sprintf("not%d", now), func(y string) {
				w.bins = append(w.bins, y)
				w.rows = append(w.rows, fmt.Sprintf("%s - %d %s <= %d", x, most-int64(now), y, now), fmt.Sprintf("%s + %d %s >= %d", x, now, y, now))
			}), 1)
			continue
		}
		for v := range t {
			l.add(w.step(j, fmt.Sprintf("is%d", v), func(y string) {
				w.bins = append(w.bins, y)
				if v > 0 {
					return
				}
				one, all := line{}, line{}
				all.add(x, -1)
				for v := range t {
					z := fmt.Sprintf("s%d_is%d", j, v)
					one.add(z, 1)
					all.add(z, int64(v))
				}
				w.rows = append(w.rows, one.String()+" = 1", all.String()+" = 0")
			}), t[v]-t[0])
			if v == 0 {
				w.step(j, "is0", func(y string) {})
			}
		}
	}
	return l
}

func (w *lpWriter) step(j int, kind string, make func(name string)) string {
	name := fmt.Sprintf("s%d_%s", j, kind)
	if _, made := w.steps[name]; !made {
		w.steps[name] = name
		make(name)
	}
	return name
}

func fits(t []int64, f func(v int64) int64) bool {
	for v := range t {
		if t[v] != f(int64(v)) {
			return false
		}
	}
	return true
}

// reference is what a solver found for a model, goal by goal; no values: no
// ration keeps the limits.
type reference struct {
	model  uint64
	hash   string // of the model's first stage
	solver string // with its version
	values []int64
}

func hashOf(m Model) string {
	b := sha256.New()
	for k := range m.Goals {
		text, constant := lpText(m, k, make([]int64, k))
		b.Write(text)
		fmt.Fprintln(b, constant)
	}
	return hex.EncodeToString(b.Sum(nil))[:16]
}

// solveWith has a program solve a model goal by goal.
func solveWith(solver string, m Model, dir string) ([]int64, error) {
	var held []int64
	for k := range m.Goals {
		text, constant := lpText(m, k, held)
		file, out := filepath.Join(dir, "m.lp"), filepath.Join(dir, "m.sol")
		if err := os.WriteFile(file, text, 0o600); err != nil {
			return nil, err
		}
		raw, feasible, err := runSolver(solver, file, out)
		if err != nil {
			return nil, err
		}
		if !feasible {
			if k > 0 {
				return nil, fmt.Errorf("%s: no solution to goal %d, though there was one to the goal before", solver, k)
			}
			return nil, nil
		}
		whole := math.Round(raw)
		if math.Abs(raw-whole) > 0.01 {
			return nil, fmt.Errorf("%s: goal %d is %v, not whole", solver, k, raw)
		}
		held = append(held, grains(int64(whole)+constant, m.Goals[k].Grain))
	}
	return held, nil
}

func runSolver(solver, file, out string) (value float64, feasible bool, err error) {
	var cmd *exec.Cmd
	if solver == "glpsol" {
		cmd = exec.Command("glpsol", "--lp", file, "--write", out)
	} else {
		cmd = exec.Command("cbc", file, "ratioGap", "0", "allowableGap", "0", "solve", "solu", out)
	}
	said, err := cmd.CombinedOutput()
	if err != nil && bytes.Contains(said, []byte("Assertion")) {
		// CBC 2.10.8 fails an assertion of its own on some models; without its
		// heuristics it searches the same model to the end.
		said, err = exec.Command("cbc", file, "ratioGap", "0", "allowableGap", "0", "heuristicsOnOff", "off", "preprocess", "off", "solve", "solu", out).CombinedOutput()
	}
	if err != nil {
		return 0, false, fmt.Errorf("%s: %w\n%s", solver, err, said)
	}
	f, err := os.ReadFile(out)
	if err != nil {
		if solver == "glpsol" && bytes.Contains(said, []byte("NO PRIMAL FEASIBLE")) || bytes.Contains(said, []byte("INTEGER FEASIBLE SOLUTION")) {
			return 0, false, nil
		}
		return 0, false, fmt.Errorf("%s wrote nothing: %w\n%s", solver, err, said)
	}
	defer os.Remove(out)
	lines := bufio.NewScanner(bytes.NewReader(f))
	for lines.Scan() {
		t := strings.Fields(lines.Text())
		if solver == "glpsol" {
			if len(t) == 6 && t[0] == "s" { // s mip ROWS COLUMNS STATUS VALUE
				if t[4] == "n" {
					return 0, false, nil
				}
				if t[4] != "o" {
					if bytes.Contains(said, []byte("NO PRIMAL FEASIBLE")) || bytes.Contains(said, []byte("NO INTEGER FEASIBLE")) {
						return 0, false, nil
					}
					return 0, false, fmt.Errorf("glpsol ended with status %s\n%s", t[4], said)
				}
				value, err = strconv.ParseFloat(t[5], 64)
				return value, true, err
			}
			continue
		}
		switch {
		case strings.HasPrefix(lines.Text(), "Optimal - objective value"):
			value, err = strconv.ParseFloat(t[len(t)-1], 64)
			return value, true, err
		case strings.HasPrefix(lines.Text(), "Infeasible"), strings.HasPrefix(lines.Text(), "Integer infeasible"):
			return 0, false, nil
		default:
			return 0, false, fmt.Errorf("cbc ended with %q", lines.Text())
		}
	}
	return 0, false, fmt.Errorf("%s wrote no status", solver)
}

func version(t *testing.T, solver string) string {
	if solver == "glpsol" {
		out, err := exec.Command("glpsol", "--version").CombinedOutput()
		if err != nil {
			t.Fatal(err)
		}
		first, _, _ := strings.Cut(string(out), "\n")
		_, v, _ := strings.Cut(first, "Solver")
		return "GLPK glpsol" + v
	}
	out, err := exec.Command("cbc", "quit").CombinedOutput()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		if v, ok := strings.CutPrefix(line, "Version: "); ok {
			return "COIN-OR CBC " + strings.TrimSpace(v)
		}
	}
	t.Fatalf("cbc does not say its version:\n%s", out)
	return ""
}

func stored(t *testing.T) []reference {
	f, err := os.Open(storedFile)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []reference
	for _, row := range rows[1:] {
		n, err := strconv.ParseUint(row[0], 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		ref := reference{model: n, hash: row[1], solver: row[2]}
		for _, v := range strings.Fields(row[3]) {
			x, err := strconv.ParseInt(v, 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			ref.values = append(ref.values, x)
		}
		out = append(out, ref)
	}
	return out
}

// live runs the solvers over all models, two at a time.
func live(t *testing.T, names []string) []reference {
	refs := make([]reference, fullModels*len(names))
	for i, solver := range names {
		v := version(t, solver)
		for n := range fullModels {
			refs[n*len(names)+i] = reference{model: uint64(n) + 1, solver: v}
		}
	}
	var wait sync.WaitGroup
	next := make(chan int)
	for range 2 {
		wait.Go(func() {
			dir := t.TempDir()
			for k := range next {
				m := fullModel(refs[k].model)
				values, err := solveWith(names[k%len(names)], m, dir)
				if err != nil {
					t.Errorf("model %d: %v", refs[k].model, err)
				}
				refs[k].hash, refs[k].values = hashOf(m), values
			}
		})
	}
	for k := range refs {
		next <- k
	}
	close(next)
	wait.Wait()
	return refs
}

// Sources: GLPK (glpsol) and COIN-OR CBC as packaged by Debian, run on the same
// models written in the CPLEX LP format, one goal after the other.
func TestEveryGoalIsAsGoodAsTheReferenceSolversFindIt(t *testing.T) {
	var refs []reference
	if *solvers != "" {
		refs = live(t, strings.Split(*solvers, ","))
		if *write && !t.Failed() {
			writeDown(t, refs)
		}
	} else {
		refs = stored(t)
	}
	ours := map[uint64]Answer{}
	hashes := map[uint64]string{}
	by := map[string]int{}
	clashes := 0
	for _, r := range refs {
		a, seen := ours[r.model]
		if !seen {
			m := fullModel(r.model)
			a = answer(t, m)
			ours[r.model], hashes[r.model] = a, hashOf(m)
		}
		if hashes[r.model] != r.hash {
			t.Fatalf("model %d is no longer the one the optimum was found for: run with -solvers glpsol,cbc -write", r.model)
		}
		by[r.solver]++
		if a.Clash != nil {
			clashes++
			if r.values != nil {
				t.Errorf("model %d: %s found %v, here the limits are said to clash", r.model, r.solver, r.values)
			}
			continue
		}
		if !slices.Equal(a.Values, r.values) {
			t.Errorf("model %d: %v, %s found %v", r.model, a.Values, r.solver, r.values)
		}
	}
	for _, solver := range []string{"GLPK glpsol", "COIN-OR CBC"} {
		if *solvers != "" && !strings.Contains(*solvers, strings.ToLower(strings.Fields(solver)[1])) {
			continue
		}
		n := 0
		for name, k := range by {
			if strings.HasPrefix(name, solver) {
				n += k
			}
		}
		if n != fullModels {
			t.Errorf("%s solved %d models, want %d", solver, n, fullModels)
		}
	}
	if clashes == 0 {
		t.Error("none of the models clashes: that answer was not compared")
	}
}

func writeDown(t *testing.T, refs []reference) {
	b := &bytes.Buffer{}
	fmt.Fprintf(b, "# The best value of every goal of the models fullModel makes (ration/choose), in the goals' grains, as found by the\n# solver named; none: no ration keeps the limits. Written by go test ./ration/choose -run Reference -solvers glpsol,cbc -write\n")
	w := csv.NewWriter(b)
	rows := [][]string{{"model", "hash", "solver", "values"}}
	for _, r := range refs {
		values := strings.Trim(fmt.Sprint(r.values), "[]")
		rows = append(rows, []string{fmt.Sprint(r.model), r.hash, r.solver, values})
	}
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(storedFile, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}
