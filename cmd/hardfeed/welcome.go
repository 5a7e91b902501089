package main

import (
	"bufio"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"hardfeed/templates"
)

// starterName is the workbook that is offered to somebody who has none.
const starterName = "week.xlsx"

// yeses are yes in the languages of the cards.
var yeses = []string{"y", "yes", "j", "ja", "o", "oui", "s", "si", "sí", "sim", "t", "tak"}

// welcome is for somebody who has double-clicked the program: it says what to do, and
// offers to write a starter workbook into the program's folder. It writes only where the
// answer is yes, and never over a file.
func welcome(answers io.Reader, people console, folder string) int {
	path := filepath.Join(folder, starterName)
	fmt.Fprintf(people, "hardfeed %s makes feed cards from the workbook your yard keeps.\n\n"+
		"Drag the workbook on this program. The cards appear in a folder beside it.\n\n"+
		"No workbook yet? A starter with drop-down lists and notes can be written here:\n%s\n\n"+
		"Write it? Type y and press Enter. Enter alone writes nothing. ", version, path)
	answer, _ := bufio.NewReader(io.LimitReader(answers, 100)).ReadString('\n')
	if !slices.Contains(yeses, strings.ToLower(strings.TrimSpace(answer))) {
		fmt.Fprintln(people, "\nNothing was written.")
		return exitDone
	}
	data, err := templates.Starter()
	if err == nil {
		err = writeNew(streams{io.Discard, people}, path, data)
	}
	if err != nil {
		fmt.Fprintln(people, sayError(err))
		return exitNothing
	}
	fmt.Fprintln(people, "Open it, fill it in, save it, and drag it on this program.")
	return exitDone
}
