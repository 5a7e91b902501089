// Command bigyard writes a workbook of many horses, the same for the same seed:
//
//	go run ./testdata/bigyard -horses 1000 big.xlsx
//
// The horses are those of the demo yard over and over, under other names, with
// other weights, scores, work and amounts, so that no two weeks are alike. The
// yard is invented.
package main

import (
	"encoding/csv"
	"flag"
	"fmt"
	"log"
	"math/rand/v2"
	"os"
	"strconv"

	"hardfeed/templates"
)

func main() {
	horses := flag.Int("horses", 1000, "how many horses")
	seed := flag.Uint64("seed", 1, "another yard for another seed")
	demo := flag.String("demo", "templates/demo", "folder of the demo yard's tables")
	flag.Parse()
	if flag.NArg() != 1 || *horses < 1 {
		log.Fatal("usage: bigyard [-horses N] [-seed N] FILE.xlsx")
	}
	data, err := templates.Workbook(yard(*demo, *horses, rand.New(rand.NewPCG(*seed, 1))))
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(flag.Arg(0), data, 0o640); err != nil {
		log.Fatal(err)
	}
}

func yard(demo string, horses int, rng *rand.Rand) []templates.Sheet {
	var sheets []templates.Sheet
	names := map[string][]string{} // demo horse -> its namesakes
	for _, name := range []string{"horses", "work", "rations", "feeds", "sessions", "yard"} {
		rows := table(demo + "/" + name + ".csv")
		s := templates.Sheet{Name: name, Rows: rows[:1:1]}
		switch name {
		case "horses":
			for i := range horses {
				row := append([]string{}, rows[1+i%(len(rows)-1)]...)
				names[row[0]] = append(names[row[0]], fmt.Sprintf("%s %d", row[0], i+1))
				row[0] = fmt.Sprintf("%s %d", row[0], i+1)
				if kg, err := strconv.Atoi(row[1]); err == nil {
					row[1] = strconv.Itoa(kg - 20 + rng.IntN(41))
				}
				s.Rows = append(s.Rows, row)
			}
		case "work", "rations":
			for _, row := range rows[1:] {
				for _, horse := range names[row[0]] {
					r := append([]string{horse}, row[1:]...)
					if name == "work" {
						rng.Shuffle(5, func(i, j int) { r[1+i], r[1+j] = r[1+j], r[1+i] })
					}
					s.Rows = append(s.Rows, r)
				}
			}
		default:
			s.Rows = rows
		}
		sheets = append(sheets, s)
	}
	return sheets
}

func table(path string) [][]string {
	f, err := os.Open(path)
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		log.Fatal(err)
	}
	return rows
}
