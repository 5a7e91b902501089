package disk

import (
	"io/fs"
	"slices"
	"strings"
)

// litterNames are what operating systems, office programs and network boxes leave in
// a folder by themselves. Nothing in them is a person's work.
var litterNames = []string{".ds_store", ".localized", ".directory", "thumbs.db", "thumbs.db:encryptable", "ehthumbs.db", "desktop.ini",
	"icon\r", ".appledouble", "@eadir", ".@__thumb", ".thumbnails",
	".sync", ".stfolder", ".dropbox", ".dropbox.attr", ".nextcloudsync.log"}

// litterBeginnings and litterEnds are of lock files, of forks of Apple's, and of
// files removed while open on network and user-space file systems.
var (
	litterBeginnings = []string{"._", "~$", ".~lock.", ".nfs", ".fuse_hidden", ".smbdelete"}
	litterEnds       = []string{".tmp", ".ldb", ".laccdb"}
)

// IsLitter says whether an entry of a folder is not a person's: a trace of an operating
// system, or the lock file of an office program.
func IsLitter(e fs.DirEntry) bool {
	name := strings.ToLower(e.Name())
	if slices.Contains(litterNames, name) {
		return true
	}
	if !e.Type().IsRegular() {
		return false
	}
	begins := slices.ContainsFunc(litterBeginnings, func(b string) bool { return strings.HasPrefix(name, b) })
	return begins || strings.HasPrefix(name, "~") && slices.ContainsFunc(litterEnds, func(e string) bool { return strings.HasSuffix(name, e) })
}
