// Package xlsx turns the bytes of a workbook into cells, or refuses them.
//
// [Open] is the door. What comes through it was read whole: every part to its end, with
// its check sum; the parts that hold values strictly, an unknown element among them
// refused; rows and cells in rising order and where they say they stand; every text that
// a cell names. A damaged workbook is refused, never read short: the spreadsheet library
// returns one as fewer rows, without an error, so it is asked only how a number looks in
// its format, on a workbook written here.
//
// Nothing hostile comes through either: no more than 96 MB unpacked, 450,000 cells with a
// value, 80,000 rows, 256 columns and 32,767 characters in a cell; no document types, no
// deep nesting, no part twice or out of place. What is more is a [*Refused] that says what
// there is too much of; a panic, of ours or the library's, is one too. What one refused
// file says is quoted on one line and cut.
//
// A [Cell] is what was saved, with what its number format makes of it: a date by the
// workbook's own epoch of 1900 or 1904, a time of day, hours and minutes, a share. What
// lies under a joined block is left out, as nobody sees it. What a cell means is not
// settled here: the package knows no horses.
//
// The package has no clock and keeps no state: equal bytes give equal books.
package xlsx
