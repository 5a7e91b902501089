package disk

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"path"
	"strings"
	"syscall"
	"time"
)

// MakeFolder makes a folder and those above it, lasting. It is no error if it
// is there; it is one if something else is.
func MakeFolder(d FS, dir string) error {
	if !fs.ValidPath(dir) {
		return &fs.PathError{Op: "mkdir", Path: dir, Err: fs.ErrInvalid}
	}
	if info, err := d.Stat(dir); err == nil {
		if !info.IsDir() {
			return &fs.PathError{Op: "mkdir", Path: dir, Err: fs.ErrExist}
		}
		return nil
	}
	if up := path.Dir(dir); up != "." {
		if err := MakeFolder(d, up); err != nil {
			return err
		}
	}
	if err := d.Mkdir(dir); err != nil {
		// Another process may have made it meanwhile; a link that leads out is no folder.
		if info, look := d.Stat(dir); look != nil || !info.IsDir() {
			return err
		}
	}
	return d.SyncDir(path.Dir(dir))
}

// MakeTemp makes a new folder, its name the beginning and chance, and returns its
// name. It is not made to last.
func MakeTemp(d FS, beginning string) (string, error) {
	for try := 0; ; try++ {
		name := beginning + strings.ToLower(rand.Text()[:10])
		err := d.Mkdir(name)
		if err == nil || try == 10 || !errors.Is(err, fs.ErrExist) {
			return name, err
		}
	}
}

// WriteSynced writes a new file and sees it onto the disk. What could not be
// written whole is removed again.
func WriteSynced(d FS, name string, data []byte) error {
	f, err := d.Create(name)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		d.Remove(name)
	}
	return err
}

// WriteWhole makes a file appear, or be replaced, whole. It is written under a name of
// its own that begins with scratch, so that two who write the same file at once do not
// write into one; whoever looks after the scratch names clears what a power cut leaves.
func WriteWhole(d FS, scratch, name string, data []byte) error {
	temp := scratch + strings.ToLower(rand.Text()[:10])
	if err := WriteSynced(d, temp, data); err != nil {
		return err
	}
	if err := Move(d, temp, name); err != nil {
		d.Remove(temp)
		return err
	}
	return nil
}

// Move renames and makes that last: the new place first, so that a power cut
// can leave two names for one file but never none.
func Move(d FS, from, to string) error {
	if err := d.Rename(from, to); err != nil {
		return err
	}
	err := d.SyncDir(path.Dir(to))
	if path.Dir(from) != path.Dir(to) {
		err = errors.Join(err, d.SyncDir(path.Dir(from)))
	}
	return err
}

// RemoveAll takes a file away, or a folder with all in it. Links are not followed.
// It is no error if nothing is there.
func RemoveAll(d FS, name string) error {
	err := d.Remove(name)
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	info, look := d.Lstat(name)
	if errors.Is(look, fs.ErrNotExist) {
		return nil
	}
	if look != nil || !info.IsDir() {
		return err
	}
	entries, err := d.ReadDir(name)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := RemoveAll(d, name+"/"+e.Name()); err != nil {
			return err
		}
	}
	if err := d.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// There says whether something of that name exists, a dangling link included.
func There(d FS, name string) (bool, error) {
	_, err := d.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// Names lists a folder; one that is not there has nothing in it.
func Names(d FS, dir string) ([]fs.DirEntry, error) {
	entries, err := d.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, err
}

// ReadFile returns all that a file holds.
func ReadFile(d FS, name string) ([]byte, error) {
	f, err := d.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// ReadIfThere is ReadFile where an own, plain file is to be read that may not be there.
// It tells one that is not there, or that is not for this program to read, from one that
// is there and cannot be read just now.
func ReadIfThere(d FS, name string) (data []byte, there bool, err error) {
	absent := func(err error) bool {
		return errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.ENOTDIR)
	}
	info, err := d.Lstat(name)
	switch {
	case err != nil && absent(err), err == nil && !info.Mode().IsRegular():
		return nil, false, nil
	case err != nil:
		return nil, false, err
	}
	if data, err = ReadFile(d, name); err != nil && absent(err) {
		return nil, false, nil
	}
	return data, err == nil, err
}

// Sum returns a file's SHA-256 in hexadecimal and its bytes, of which at most
// limit+1 are kept: a file larger than that is refused by its length.
func Sum(d FS, name string, limit int64) (sum string, data []byte, err error) {
	f, err := d.Open(name)
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

// Age is how long ago a file or folder was last changed, told by the file system's
// own clock, since the disk may be another machine's: probe is a name under which a
// folder can be made for a moment.
func Age(d FS, name, probe string) (time.Duration, error) {
	fresh, err := MakeTemp(d, probe)
	if err != nil {
		return 0, err
	}
	defer d.Remove(fresh)
	now, err := d.Stat(fresh)
	if err != nil {
		return 0, err
	}
	then, err := d.Lstat(name)
	if err != nil {
		return 0, err
	}
	return now.ModTime().Sub(then.ModTime()), nil
}
