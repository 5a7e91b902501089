package inbox

import (
	"strings"
	"sync"

	"hardfeed/ingest/disk"
)

// past is what the archive says was done.
type past struct {
	mu    sync.Mutex
	done  []archived
	names map[string]bool // result folders named by jobs that may not stand yet; lower case
}

type archived struct {
	journal
	dir string
}

// readArchive reads the job.json of every archived edition. What cannot be
// read is somebody's own and is skipped.
func readArchive(root disk.FS) (*past, error) {
	p := &past{names: map[string]bool{}}
	weeks, err := disk.Names(root, archiveDir)
	if err != nil {
		return nil, err
	}
	for _, week := range weeks {
		if !week.IsDir() {
			continue
		}
		editions, err := disk.Names(root, archiveDir+"/"+week.Name())
		if err != nil {
			return nil, err
		}
		for _, e := range editions {
			if !e.IsDir() {
				continue
			}
			dir := archiveDir + "/" + week.Name() + "/" + e.Name()
			data, is, err := disk.ReadIfThere(root, dir+"/"+journalName)
			if err != nil {
				return nil, err // an edition skipped would be counted twice
			}
			if !is {
				continue
			}
			if j, err := readJournal(data); err == nil {
				p.add(dir, j)
			}
		}
	}
	return p, nil
}

func (p *past) add(dir string, j journal) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done = append(p.done, archived{j, dir})
}

func (p *past) takeName(folder string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.names[strings.ToLower(folder)] = true
}

// same is the last edition made from these very bytes.
func (p *past) same(sum string) (found *archived) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, a := range p.done {
		if a.SHA256 == sum && (found == nil || a.Edition > found.Edition) {
			found = &a
		}
	}
	return found
}

// latest is the highest edition of a yard's week; edition 0 if there is none.
func (p *past) latest(yard, week string) (found archived) {
	p.each(yard, week, func(a archived) {
		if a.Edition > found.Edition {
			found = a
		}
	})
	return found
}

// edition is that edition of a yard's week; edition 0 if it is not there.
func (p *past) edition(yard, week string, number int) (found archived) {
	p.each(yard, week, func(a archived) {
		if a.Edition == number {
			found = a
		}
	})
	return found
}

func (p *past) each(yard, week string, do func(archived)) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, a := range p.done {
		if seriesName(a.Yard) == seriesName(yard) && a.Week == week {
			do(a)
		}
	}
}

// maxRecord is the largest results.json that is read: some ten thousand horses.
const maxRecord = 128 << 20

// record is the results.json kept of an edition; nil if there is none, empty if
// it is too large to be one.
func (p *past) record(root disk.FS, a archived) ([]byte, error) {
	if a.dir == "" {
		return nil, nil
	}
	if info, err := root.Stat(a.dir + "/" + resultsName); err == nil && info.Size() > maxRecord {
		return []byte{}, nil
	}
	data, is, err := disk.ReadIfThere(root, a.dir+"/"+resultsName)
	if err != nil || !is {
		return nil, err
	}
	return data, nil
}
