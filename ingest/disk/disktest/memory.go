// Package disktest has file systems for tests: one in memory whose power can be cut
// after any step, and one that fails, interrupts or delays what is asked of another.
package disktest

import (
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"hardfeed/ingest/disk"
)

// Memory is a file system in memory. It keeps apart what is there and what would still
// be there after a power cut, as [disk] states it.
type Memory struct {
	mu    sync.Mutex
	root  *node
	locks map[string]*memoryLock
	last  int // the last rename's number
	now   func() time.Time
	// changed is called after every step that changes anything, with nothing locked.
	changed func(step string)
}

// New is an empty file system with a clock.
func New(now func() time.Time) *Memory {
	return &Memory{root: newFolder(now()), locks: map[string]*memoryLock{}, now: now}
}

// OnChange has do called after every step that changes something.
func (m *Memory) OnChange(do func(step string)) { m.changed = do }

// AnotherMachine is the same file system as another machine sees it to which no locks
// are passed on.
func (m *Memory) AnotherMachine() disk.FS {
	return elsewhere{m, &Memory{locks: map[string]*memoryLock{}}}
}

type elsewhere struct {
	*Memory
	own *Memory
}

func (e elsewhere) TryLock(name string) (disk.Lock, error) { return e.own.lock(name) }

// node is a file or a folder.
type node struct {
	folder  bool
	changed time.Time
	data    []byte // of a file, as it reads
	synced  []byte // as of the last Sync
	isFixed bool   // there was one, or it came through a power cut

	entries map[string]*node // of a folder, as it lists
	lasting map[string]*node // as of the last SyncDir
	pending []*change        // since then, in order
}

// change is a name in a folder that came, went, or now stands for another thing.
type change struct {
	name   string
	to     *node // nil: it went
	rename int   // number of the rename it is half of; 0: none
	folder bool  // the rename is of a folder: its halves are never saved apart
	in     *node
}

func newFolder(now time.Time) *node {
	return &node{folder: true, changed: now, entries: map[string]*node{}, lasting: map[string]*node{}}
}

func pathError(op, name string, err error) error { return &fs.PathError{Op: op, Path: name, Err: err} }

// find walks to a name.
func (m *Memory) find(op, name string) (*node, error) {
	n := m.root
	if name == "." {
		return n, nil
	}
	if !fs.ValidPath(name) {
		return nil, pathError(op, name, fs.ErrInvalid)
	}
	for part := range strings.SplitSeq(name, "/") {
		if !n.folder {
			return nil, pathError(op, name, syscall.ENOTDIR)
		}
		next, ok := n.entries[part]
		if !ok {
			return nil, pathError(op, name, fs.ErrNotExist)
		}
		n = next
	}
	return n, nil
}

// parent is the folder in which a name stands.
func (m *Memory) parent(op, name string) (*node, error) {
	up, err := m.find(op, path.Dir(name))
	if err == nil && !up.folder {
		err = pathError(op, name, syscall.ENOTDIR)
	}
	return up, err
}

func (m *Memory) set(in *node, name string, to *node, rename int) {
	if to == nil {
		delete(in.entries, name)
	} else {
		in.entries[name] = to
	}
	in.changed = m.now()
	in.pending = append(in.pending, &change{name: name, to: to, rename: rename, in: in})
}

func (m *Memory) done(step, name string) {
	if m.changed != nil {
		m.changed(step + " " + name)
	}
}

// Close does nothing: the memory stays.
func (m *Memory) Close() error { return nil }

// Create implements [disk.FS].
func (m *Memory) Create(name string) (disk.File, error) {
	m.mu.Lock()
	in, err := m.parent("create", name)
	if err == nil {
		if _, is := in.entries[path.Base(name)]; is {
			err = pathError("create", name, fs.ErrExist)
		}
	}
	if err != nil {
		m.mu.Unlock()
		return nil, err
	}
	n := &node{changed: m.now()}
	m.set(in, path.Base(name), n, 0)
	m.mu.Unlock()
	m.done("create", name)
	return &file{m: m, n: n, name: name, writes: true}, nil
}

// Open implements [disk.FS].
func (m *Memory) Open(name string) (disk.File, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.find("open", name)
	if err != nil {
		return nil, err
	}
	return &file{m: m, n: n, name: name}, nil
}

// Lstat implements [disk.FS].
func (m *Memory) Lstat(name string) (fs.FileInfo, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.find("lstat", name)
	if err != nil {
		return nil, err
	}
	return info{path.Base(name), int64(len(n.data)), n.changed, n.folder}, nil
}

// Stat implements [disk.FS]: there are no links.
func (m *Memory) Stat(name string) (fs.FileInfo, error) { return m.Lstat(name) }

// ReadDir implements [disk.FS].
func (m *Memory) ReadDir(name string) ([]fs.DirEntry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.find("readdir", name)
	if err == nil && !n.folder {
		err = pathError("readdir", name, syscall.ENOTDIR)
	}
	if err != nil {
		return nil, err
	}
	var all []fs.DirEntry
	for _, s := range slices.Sorted(maps.Keys(n.entries)) {
		e := n.entries[s]
		all = append(all, fs.FileInfoToDirEntry(info{s, int64(len(e.data)), e.changed, e.folder}))
	}
	return all, nil
}

// Mkdir implements [disk.FS].
func (m *Memory) Mkdir(name string) error {
	m.mu.Lock()
	in, err := m.parent("mkdir", name)
	if err == nil {
		if _, is := in.entries[path.Base(name)]; is {
			err = pathError("mkdir", name, fs.ErrExist)
		}
	}
	if err == nil {
		m.set(in, path.Base(name), newFolder(m.now()), 0)
	}
	m.mu.Unlock()
	if err == nil {
		m.done("mkdir", name)
	}
	return err
}

// Rename implements [disk.FS].
func (m *Memory) Rename(from, to string) error {
	err := m.rename(from, to)
	if err == nil {
		m.done("rename", from+" "+to)
	}
	return err
}

func (m *Memory) rename(from, to string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	n, err := m.find("rename", from)
	if err != nil {
		return err
	}
	a, err := m.parent("rename", from)
	if err != nil {
		return err
	}
	b, err := m.parent("rename", to)
	if err != nil {
		return err
	}
	if old, is := b.entries[path.Base(to)]; is {
		switch {
		case old.folder:
			return pathError("rename", to, fs.ErrExist)
		case n.folder:
			return pathError("rename", to, syscall.ENOTDIR)
		}
	}
	if from == to {
		return nil
	}
	m.last++
	m.set(b, path.Base(to), n, m.last)
	m.set(a, path.Base(from), nil, m.last)
	for _, in := range []*node{a, b} {
		for _, c := range in.pending {
			c.folder = c.folder || c.rename == m.last && n.folder
		}
	}
	return nil
}

// Remove implements [disk.FS].
func (m *Memory) Remove(name string) error {
	m.mu.Lock()
	n, err := m.find("remove", name)
	if err == nil && len(n.entries) > 0 {
		err = pathError("remove", name, syscall.ENOTEMPTY)
	}
	if err == nil {
		var in *node
		if in, err = m.parent("remove", name); err == nil {
			m.set(in, path.Base(name), nil, 0)
		}
	}
	m.mu.Unlock()
	if err == nil {
		m.done("remove", name)
	}
	return err
}

// SyncDir implements [disk.FS].
func (m *Memory) SyncDir(name string) error {
	m.mu.Lock()
	n, err := m.find("syncdir", name)
	if err == nil {
		for _, c := range n.pending {
			m.settle(c)
			if c.rename > 0 && (c.to == nil || c.folder) {
				m.settleOther(m.root, c)
			}
		}
		n.pending = nil
	}
	m.mu.Unlock()
	if err == nil {
		m.done("syncdir", name)
	}
	return err
}

func (m *Memory) settle(c *change) {
	if c.to == nil {
		delete(c.in.lasting, c.name)
	} else {
		c.in.lasting[c.name] = c.to
	}
}

// settleOther makes the other half of a rename last, wherever it is.
func (m *Memory) settleOther(n *node, half *change) {
	for i, c := range n.pending {
		if c.rename == half.rename && c != half {
			m.settle(c)
			if n != half.in {
				n.pending = slices.Delete(slices.Clone(n.pending), i, i+1)
			}
			return
		}
	}
	for _, e := range n.entries {
		if e.folder {
			m.settleOther(e, half)
		}
	}
}

type memoryLock struct {
	in   *Memory
	name string
}

// TryLock implements [disk.FS].
func (m *Memory) TryLock(name string) (disk.Lock, error) { return m.lock(name) }

func (m *Memory) lock(name string) (disk.Lock, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.locks[name] != nil {
		return nil, disk.ErrLocked
	}
	l := &memoryLock{m, name}
	m.locks[name] = l
	return l, nil
}

func (l *memoryLock) Holds() bool {
	l.in.mu.Lock()
	defer l.in.mu.Unlock()
	return l.in.locks[l.name] == l
}

func (l *memoryLock) Close() error {
	l.in.mu.Lock()
	defer l.in.mu.Unlock()
	if l.in.locks[l.name] == l {
		delete(l.in.locks, l.name)
	}
	return nil
}

type file struct {
	m      *Memory
	n      *node
	name   string
	at     int
	writes bool
}

func (f *file) Read(b []byte) (int, error) {
	f.m.mu.Lock()
	defer f.m.mu.Unlock()
	if f.n.folder {
		return 0, pathError("read", f.name, syscall.EISDIR)
	}
	if f.at >= len(f.n.data) {
		return 0, io.EOF
	}
	n := copy(b, f.n.data[f.at:])
	f.at += n
	return n, nil
}

func (f *file) Write(b []byte) (int, error) {
	if !f.writes {
		return 0, pathError("write", f.name, fs.ErrPermission)
	}
	f.m.mu.Lock()
	f.n.data = append(slices.Clip(f.n.data), b...)
	f.n.changed = f.m.now()
	f.m.mu.Unlock()
	f.m.done("write", f.name)
	return len(b), nil
}

func (f *file) Sync() error {
	f.m.mu.Lock()
	f.n.synced, f.n.isFixed = f.n.data, true
	f.m.mu.Unlock()
	f.m.done("sync", f.name)
	return nil
}

func (f *file) Close() error { return nil }

type info struct {
	name    string
	size    int64
	changed time.Time
	folder  bool
}

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) ModTime() time.Time { return i.changed }
func (i info) IsDir() bool        { return i.folder }
func (i info) Sys() any           { return nil }
func (i info) Mode() fs.FileMode {
	if i.folder {
		return fs.ModeDir | disk.FolderMode
	}
	return disk.FileMode
}

// Put is a file that lies there as if for ever.
func (m *Memory) Put(name string, data []byte) {
	m.mu.Lock()
	defer m.mu.Unlock()
	n := m.root
	parts := strings.Split(name, "/")
	for _, p := range parts[:len(parts)-1] {
		next := n.entries[p]
		if next == nil {
			next = newFolder(m.now())
			n.entries[p], n.lasting[p] = next, next
		}
		n = next
	}
	f := &node{changed: m.now(), data: slices.Clone(data), synced: slices.Clone(data), isFixed: true}
	n.entries[parts[len(parts)-1]], n.lasting[parts[len(parts)-1]] = f, f
}

// All is every file by its name, with what it holds; folders are not named.
func (m *Memory) All() map[string]string {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := map[string]string{}
	var walk func(at string, n *node)
	walk = func(at string, n *node) {
		for name, e := range n.entries {
			if e.folder {
				walk(at+name+"/", e)
			} else {
				all[at+name] = string(e.data)
			}
		}
	}
	walk("", m.root)
	return all
}

// PowerCut is the file system as it could be found after the power went now. choose is
// asked for a number from 0 to n-1 wherever more than one thing could have happened to
// what was not synced; with 0 always, nothing of it was saved, with n-1 all.
func (m *Memory) PowerCut(choose func(n int) int) *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	c := powerCut{choose: choose, saved: map[*change]bool{}, isNewSaved: map[int]bool{}, copies: map[*node]*node{}}
	eachFolder(m.root, map[*node]bool{}, c.decideNew)
	eachFolder(m.root, map[*node]bool{}, c.decideOld)
	return &Memory{root: c.found(m.root), locks: map[string]*memoryLock{}, now: m.now}
}

// powerCut is what was chosen of a power cut so far.
type powerCut struct {
	choose     func(n int) int
	saved      map[*change]bool
	isNewSaved map[int]bool // of a rename whose new name is pending
	copies     map[*node]*node
}

// eachFolder calls f for a folder and all in it, as it is and as it was last synced, once
// each.
func eachFolder(n *node, seen map[*node]bool, f func(*node)) {
	if seen[n] {
		return
	}
	seen[n] = true
	f(n)
	for _, of := range []map[string]*node{n.entries, n.lasting} {
		for _, name := range slices.Sorted(maps.Keys(of)) {
			if of[name].folder {
				eachFolder(of[name], seen, f)
			}
		}
	}
}

// decideNew chooses which pending names of a folder were saved.
func (p *powerCut) decideNew(n *node) {
	for _, c := range n.pending {
		if c.to != nil {
			p.saved[c] = p.choose(2) == 1
			if c.rename > 0 {
				p.isNewSaved[c.rename] = p.saved[c]
			}
		}
	}
}

// decideOld chooses which names that were to go are gone: a file that was renamed is
// somewhere.
func (p *powerCut) decideOld(n *node) {
	inHere := map[int]bool{} // renames whose both names are in this folder
	for _, c := range n.pending {
		if c.to != nil {
			inHere[c.rename] = c.rename > 0
		}
	}
	for _, c := range n.pending {
		if c.to != nil {
			continue
		}
		isNew, pending := p.isNewSaved[c.rename]
		switch {
		case c.rename > 0 && (inHere[c.rename] || c.folder):
			p.saved[c] = isNew
		case c.rename > 0 && pending && !isNew:
			p.saved[c] = false
		default:
			p.saved[c] = p.choose(2) == 1
		}
	}
}

// found is a file or a folder as it is found afterwards.
func (p *powerCut) found(n *node) *node {
	if c := p.copies[n]; c != nil {
		return c
	}
	if !n.folder {
		data := p.dataOf(n)
		p.copies[n] = &node{changed: n.changed, data: data, synced: data, isFixed: true}
		return p.copies[n]
	}
	c := newFolder(n.changed)
	p.copies[n] = c
	names := maps.Clone(n.lasting)
	for _, x := range n.pending {
		switch {
		case !p.saved[x]:
		case x.to == nil:
			delete(names, x.name)
		default:
			names[x.name] = x.to
		}
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		e := p.found(names[name])
		c.entries[name], c.lasting[name] = e, e
	}
	return c
}

// dataOf is what a file holds afterwards: what was synced, all, or something between.
func (p *powerCut) dataOf(n *node) []byte {
	if n.isFixed && len(n.synced) == len(n.data) {
		return slices.Clone(n.synced)
	}
	least := len(n.synced)
	switch p.choose(3) {
	case 0:
		return slices.Clone(n.data[:least])
	case 1: // in part, and what was not written reads as zeros
		half := (least + len(n.data)) / 2
		return append(slices.Clone(n.data[:half]), make([]byte, len(n.data)-half)...)
	}
	return slices.Clone(n.data)
}
