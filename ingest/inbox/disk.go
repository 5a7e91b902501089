package inbox

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"runtime"
)

const (
	fileMode   fs.FileMode = 0o640
	folderMode fs.FileMode = 0o750
)

const tempEnding = ".tmp"

// makeFolder makes a folder and those above it, lasting. It is no error if it
// is there; it is one if something else is.
func makeFolder(root *os.Root, dir string) error {
	if info, err := root.Stat(dir); err == nil {
		if !info.IsDir() {
			return &fs.PathError{Op: "mkdir", Path: dir, Err: fs.ErrExist}
		}
		return nil
	}
	if up := path.Dir(dir); up != "." {
		if err := makeFolder(root, up); err != nil {
			return err
		}
	}
	if err := root.Mkdir(dir, folderMode); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return syncFolder(root, path.Dir(dir))
}

// writeSynced writes a new file and sees it onto the disk.
func writeSynced(root *os.Root, name string, data []byte) error {
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// writeWhole makes a file appear, or be replaced, whole.
func writeWhole(root *os.Root, name string, data []byte) error {
	temp := name + tempEnding
	if err := root.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := writeSynced(root, temp, data); err != nil {
		root.Remove(temp)
		return err
	}
	return move(root, temp, name)
}

// move renames and makes that last: the new place first, so that a power cut
// can leave two names for one file but never none.
func move(root *os.Root, from, to string) error {
	if err := root.Rename(from, to); err != nil {
		return err
	}
	err := syncFolder(root, path.Dir(to))
	if path.Dir(from) != path.Dir(to) {
		err = errors.Join(err, syncFolder(root, path.Dir(from)))
	}
	return err
}

// syncFolder makes renames in a folder last through a power cut. Windows has
// no such call, and some network shares refuse it.
func syncFolder(root *os.Root, dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := root.Open(dir)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, errors.ErrUnsupported) || notSyncable(err) {
		err = nil
	}
	return errors.Join(err, d.Close())
}

// there says whether something of that name exists, a dangling link included.
func there(root *os.Root, name string) (bool, error) {
	_, err := root.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// read returns a file's SHA-256 and its bytes, of which at most limit+1 are
// kept: a file larger than that is refused by its length.
func read(root *os.Root, name string, limit int64) (sum string, data []byte, err error) {
	f, err := root.Open(name)
	if err != nil {
		return "", nil, err
	}
	defer f.Close()
	h := sha256.New()
	var head bytes.Buffer
	if _, err = io.Copy(io.MultiWriter(h, &head), io.LimitReader(f, limit+1)); err == nil {
		_, err = io.Copy(h, f)
	}
	return hex.EncodeToString(h.Sum(nil)), head.Bytes(), err
}

// freeName is name, or name with the first number under which nothing lies.
func freeName(name string, taken func(string) (bool, error)) (string, error) {
	for n := 1; ; n++ {
		s := numbered(name, n)
		if is, err := taken(s); err != nil || !is {
			return s, err
		}
	}
}

func namesIn(root *os.Root, dir string) ([]fs.DirEntry, error) {
	d, err := root.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer d.Close()
	return d.ReadDir(-1)
}
