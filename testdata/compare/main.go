// Command compare measures the program against public tools doing the nearest
// thing beside it, on this machine, and prints ratios:
//
//	go run ./testdata/compare week.xlsx
//
// Needed: soffice (LibreOffice) and, for the chooser, glpsol (GLPK) and cbc.
// Each time is the middle of several runs. Quiet the machine first: the ratios
// travel, the seconds do not.
package main

import (
	"archive/zip"
	"bytes"
	"compress/zlib"
	"encoding/xml"
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/report"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("usage: compare WORKBOOK.xlsx")
	}
	book := os.Args[1]
	data, err := os.ReadFile(book)
	check(err)
	week, err := ingest.Read(filepath.Base(book), data, ingest.Options{})
	check(err)
	rules := ration.DefaultRules()
	rules.Workings = false
	plan := report.Proof(ration.Plan(week, rules))
	fmt.Printf("%s: %d horses\n", filepath.Base(book), len(week.Horses))

	fmt.Println("\nreading, against unzipping and tokenising the same parts with the standard library")
	beside(middle(9, func() { _, err := ingest.Read("x.xlsx", data, ingest.Options{}); check(err) }), middle(9, func() { tokens(data) }))

	fmt.Println("\nall files, against compressing the same page contents with zlib")
	files, err := report.Files(plan, report.Meta{CardsPerPage: 2})
	check(err)
	var pages [][]byte
	for _, f := range files {
		if strings.HasSuffix(f.Name, ".pdf") {
			pages = append(pages, streams(f.Bytes)...)
		}
	}
	beside(middle(5, func() { _, err := report.Files(plan, report.Meta{CardsPerPage: 2}); check(err) }), middle(5, func() { deflate(pages) }))

	dir, err := os.MkdirTemp("", "compare")
	check(err)
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "hardfeed")
	command(exec.Command("go", "build", "-trimpath", "-o", program, "./cmd/hardfeed"))
	fmt.Println("\nthe whole run, against LibreOffice only printing the same workbook to PDF")
	ours := middle(9, func() { run(program, "run", book, "-o", filepath.Join(dir, "out")) })
	if soffice, err := exec.LookPath("soffice"); err != nil {
		fmt.Printf("  ours %v; soffice is not installed\n", ours)
	} else {
		print := func() { command(exec.Command(soffice, "--headless", "--convert-to", "pdf", "--outdir", dir, book)) }
		print() // once to warm it up
		beside(ours, middle(3, print))
	}

	fmt.Println("\none start of the program")
	fmt.Printf("  %v\n", middle(21, func() { run(program, "version") }))

	fmt.Println("\none ration to its proven best, against GLPK and CBC on the same models")
	out, err := exec.Command("go", "test", "./ration/choose", "-run", "Reference", "-bench", "AgainstGLPK", "-benchtime", "1x", "-timeout", "60m", "-solvers", "glpsol,cbc").CombinedOutput()
	for line := range strings.Lines(string(out)) {
		if strings.HasPrefix(line, "Benchmark") || strings.HasPrefix(line, "ok") || strings.Contains(line, "FAIL") {
			fmt.Print("  ", strings.TrimSpace(line), "\n")
		}
	}
	check(err)
}

// run ends quietly where a horse has no card.
func run(program string, args ...string) {
	cmd := exec.Command(program, args...)
	if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() != 1 {
		log.Fatal(program, args, err)
	}
}

func command(cmd *exec.Cmd) {
	if out, err := cmd.CombinedOutput(); err != nil {
		log.Fatalf("%v: %v\n%s", cmd.Args, err, out)
	}
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

func middle(n int, do func()) time.Duration {
	all := make([]time.Duration, n)
	for i := range all {
		start := time.Now()
		do()
		all[i] = time.Since(start)
	}
	slices.Sort(all)
	return all[n/2]
}

func beside(ours, other time.Duration) {
	fmt.Printf("  ours %v, the other %v: %.2f times as long\n", ours.Round(100*time.Microsecond), other.Round(100*time.Microsecond), float64(ours)/float64(other))
}

func tokens(data []byte) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	check(err)
	for _, f := range z.File {
		r, err := f.Open()
		check(err)
		if !strings.HasSuffix(f.Name, ".xml") && !strings.HasSuffix(f.Name, ".rels") {
			_, err = io.Copy(io.Discard, r)
			check(err)
			continue
		}
		d := xml.NewDecoder(r)
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				log.Fatal(f.Name, err)
			}
		}
	}
}

// streams are the compressed parts of a PDF, uncompressed.
func streams(pdf []byte) [][]byte {
	var all [][]byte
	for _, part := range bytes.Split(pdf, []byte("stream\n"))[1:] {
		if r, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			if b, err := io.ReadAll(r); err == nil {
				all = append(all, b)
			}
		}
	}
	return all
}

func deflate(parts [][]byte) {
	w, err := zlib.NewWriterLevel(io.Discard, zlib.BestSpeed)
	check(err)
	for _, p := range parts {
		w.Reset(io.Discard)
		_, err := w.Write(p)
		check(err)
		check(w.Close())
	}
}
