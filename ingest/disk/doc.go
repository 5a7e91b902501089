// Package disk is the one place where the program meets a file system for what
// must last: result folders, the drop folder, the outbox of the mail. It knows
// nothing of workbooks, cards or mails.
//
// [FS] is all that is asked of a file system; [Open] gives a folder of this
// machine as one. Everything else (writing a file whole, moving one so that it
// lasts, folders for work in hand) is made of it, so that a test which puts
// another FS in its place can fail every single step, cut the power after it, or
// make it slow.
//
// # What is assumed of a file system
//
// A rename is one step: after a power cut a folder has its old name or its new one, and
// so has a file, which may have both where they are in two folders. What a file holds
// lasts once Sync has returned, names in a folder once SyncDir has. Nothing is assumed
// of what was not synced: it may be there in part, in any order, or not at all. That is
// what ext4, XFS, APFS and NTFS promise; a stick with FAT promises less.
package disk
