package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"
)

const (
	settingsName     = "hardfeed.yaml"
	settingsVariable = envPrefix + "CONFIG"
)

// programFolder is where the program itself lies; "" if that cannot be told. A test sets
// another.
var programFolder = func() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return filepath.Dir(path)
}

// settingsFile is the file the settings come from: the one that is named, the one the
// variable names, else hardfeed.yaml in the folder, else hardfeed.yaml beside the program;
// "" where there is none. found says that nobody named it.
func settingsFile(named, folder string) (path string, found bool, err error) {
	if named != "" {
		return named, false, nil
	}
	if v := os.Getenv(settingsVariable); v != "" {
		return v, false, nil
	}
	for _, dir := range []string{folder, programFolder()} {
		if dir == "" {
			continue
		}
		path := filepath.Join(dir, settingsName)
		switch _, err := os.Stat(path); {
		case err == nil:
			return path, true, nil
		case !errors.Is(err, fs.ErrNotExist): // a file that is there and cannot be looked at is not skipped
			return "", false, refuse("The settings file %s could not be read: %v.", path, reason(err))
		}
	}
	return "", false, nil
}

// settings are read from the file that counts for a folder, which is named where nobody
// chose it.
func (j *jobFlags) settings(std streams, folder string, flags *pflag.FlagSet) (Settings, error) {
	path, found, err := settingsFile(j.config, folder)
	if err != nil {
		return Settings{}, err
	}
	s, err := loadSettings(path, flags)
	if err == nil && found && !j.quiet {
		sayLine(std.err, "Settings from %s.", path)
	}
	return s, err
}

// folderOf is the folder a workbook lies in; "" for one that is built in.
func folderOf(workbook string) string {
	if !strings.ContainsRune(workbook, filepath.Separator) && !isWorkbookName(workbook) {
		return ""
	}
	return filepath.Dir(workbook)
}
