// Command bigyard writes a workbook of many horses, the same for the same seed:
//
//	go run ./testdata/bigyard -horses 1000 big.xlsx
//
// See [templates.Many].
package main

import (
	"flag"
	"log"
	"os"

	"hardfeed/templates"
)

func main() {
	horses := flag.Int("horses", 1000, "how many horses")
	seed := flag.Uint64("seed", 1, "another yard for another seed")
	flag.Parse()
	if flag.NArg() != 1 || *horses < 1 {
		log.Fatal("usage: bigyard [-horses N] [-seed N] FILE.xlsx")
	}
	data, err := templates.Many(*horses, *seed)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(flag.Arg(0), data, 0o640); err != nil {
		log.Fatal(err)
	}
}
