package wording

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Comments are in the same plain English as everything else.
func TestTheCommentsVoice(t *testing.T) {
	banned := bansIn(t, "banned_in_comments.txt")
	there := regexp.MustCompile(`(?i)\bthere is no `)
	var odd []string
	files, words := 0, 0
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		files++
		for _, group := range f.Comments {
			text := there.ReplaceAllString(strings.Join(strings.Fields(group.Text()), " "), "")
			words += len(wordsOf(text))
			for _, b := range banned {
				for _, found := range b.is.FindAllString(text, -1) {
					odd = append(odd, set.Position(group.Pos()).String()+": "+found+", say: "+b.says)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d odd words in the %d words of the comments of %d files", len(odd), words, files)
	for _, o := range odd {
		t.Error(o)
	}
	if files < 300 || words < 50_000 {
		t.Errorf("only %d files with %d words of comments were read", files, words)
	}
}
