package inbox

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"strings"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
)

// journal is job.json: what was decided for one workbook, before anything of
// it can be seen.
type journal struct {
	Schema  int    `json:"schema"`
	SHA256  string `json:"sha256"`
	Name    string `json:"name"` // of the workbook, made fit
	Yard    string `json:"yard"`
	Week    string `json:"week"`    // ISO 8601 date of its first day, or "undated"
	Edition int    `json:"edition"` // from 1; 0: not decided
	Folder  string `json:"folder"`  // of the results

	// What done means: these are the results, made of the workbook and of what is
	// named here. While all of it is as it was, the same workbook is not done again.
	Why      string            `json:"why,omitempty"`      // it was done, where it was done before
	Files    map[string]string `json:"files,omitempty"`    // each file of the results, and its SHA-256
	Program  string            `json:"program,omitempty"`  // [Box.Program]
	Settings string            `json:"settings,omitempty"` // [Box.Settings]
	Records  map[string]string `json:"records,omitempty"`  // each week looked up in the archive, and the SHA-256 of its record; "" where there was none
}

// readJournal takes job.json apart. Anything that this program would not have
// written is an error: a wrong name must never become a path.
func readJournal(data []byte) (journal, error) {
	var j journal
	if err := json.Unmarshal(data, &j); err != nil {
		return journal{}, err
	}
	if j.Schema != 1 || len(j.SHA256) != 64 || strings.Trim(j.SHA256, "0123456789abcdef") != "" ||
		j.Edition < 1 || j.Edition > 1e6 || !plainName(j.Folder) || j.Name != Fit(j.Name) {
		return journal{}, errors.New("job.json is not ours")
	}
	if _, err := time.Parse(isoDate, j.Week); err != nil && j.Week != undated {
		return journal{}, errors.New("job.json holds no week")
	}
	for name := range j.Files {
		if name != Fit(name) {
			return journal{}, errors.New("job.json names another's file")
		}
	}
	return j, nil
}

// plainName says whether a result folder's name leads nowhere but into the
// folder: [Fit] and a few words around it.
func plainName(name string) bool {
	return name != "" && len(name) <= 2*maxNameBytes && !strings.HasPrefix(name, ".") &&
		!strings.ContainsAny(name, "<>:\"/\\|?*\x00") && strings.TrimRight(name, ". ") == name
}

// resultsGone is why a workbook is done again as the same edition.
const resultsGone = "results gone"

// The other reasons.
const (
	settingsChanged = "settings changed"
	programChanged  = "program changed"
	archiveChanged  = "archive changed"
	recordChanged   = "record changed " // and the week
)

// weekArg is a week as job.json has it: the date of its first day, or none.
func weekArg(week string) yard.Arg {
	if day, err := time.Parse(isoDate, week); err == nil {
		return yard.Arg{Name: "week", Value: yard.Date{Date: day, Year: true}}
	}
	return yard.Said("week", yard.Say("inbox.undated"))
}

// sumOf is the SHA-256 of a record; "" of none.
func sumOf(data []byte) string {
	if data == nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func (j *job) writeJournal() error {
	data, err := json.MarshalIndent(j.journal, "", " ")
	if err != nil {
		return err
	}
	return disk.WriteWhole(j.root, scratch, j.dir+"/"+journalName, append(data, '\n'))
}

func weekBefore(week string) string {
	day, err := time.Parse(isoDate, week)
	if err != nil {
		return ""
	}
	return day.AddDate(0, 0, -7).Format(isoDate)
}
