package wording

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// sentencesLeft is how many texts of five words and more may stand in a part of the
// program beside the tables of words: sources, names, words that are read, and errors
// of the program's own making, which nobody is shown. Lower it with the change that
// takes one out.
var sentencesLeft = map[string]int{"ingest": 19, "ration": 207, "report/post": 18}

// What is said is data until it is printed: the sentences stand in the tables.
func TestSentencesStandInTheTables(t *testing.T) {
	for dir, most := range sentencesLeft {
		var found []string
		err := filepath.WalkDir(filepath.Join("..", "..", filepath.FromSlash(dir)), func(path string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			f, err := parser.ParseFile(files, path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
					// A piece of a file's markup is no sentence.
					if text, err := strconv.Unquote(lit.Value); err == nil && len(strings.Fields(text)) >= 5 && !strings.HasPrefix(text, "<") {
						found = append(found, files.Position(lit.Pos()).String()+": "+text)
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if len(found) > most {
			t.Errorf("%s has %d texts of five words and more, %d may stand there:\n%s", dir, len(found), most, strings.Join(found, "\n"))
		}
		if len(found) == 0 {
			t.Errorf("none was found in %s: the walk is wrong", dir)
		}
	}
}
