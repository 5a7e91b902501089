//go:build unix

package post

import (
	"os"
	"path/filepath"
	"testing"
)

// Nobody but owner and group may read mail on its way. Windows keeps rights another way.
func TestRights(t *testing.T) {
	o := outboxWith(t, hattie)
	err := filepath.WalkDir(o.Dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err == nil && info.Mode().Perm()&^map[bool]os.FileMode{true: 0o750, false: 0o640}[d.IsDir()] != 0 {
			t.Errorf("%s has rights %v", path, info.Mode())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
