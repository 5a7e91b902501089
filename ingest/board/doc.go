// Package board reads a workbook that is laid out in the yard's own way, as staff
// keep one for themselves: no table of the program's own is looked for.
//
// It goes from the whole to the cell. [Sheet]s become regions: tables with their
// headings in one row or two, upright or turned (table.go), forms of one horse, a
// tab or a block each (form.go), legends (legend.go). Who the horses are is decided
// over the whole book, by the headings over them, by what the texts look like and
// by names that come back on other tabs (rows.go, book.go), so that a horse may be
// called Barley or Monday. Titles, tabs and dates say which week a region is of
// (week.go); headings, and where they leave it open what is below them, say
// what a column is about (role.go). Each cell of a region is then one observation:
// whose it is, and of what. The facts of a horse are put together from its
// observations (facts.go, feed.go, work.go, notes.go).
//
// # The account
//
// Every cell that is not empty ends as one of these: used for a fact, a name, a
// label, a legend, decoration, asked about, or named once as not used ([Account]).
//
// # Questions
//
// What could not be read, or can be meant in two ways, is asked once for all cells
// that say the same (ask.go, say.go). Unknown stays unknown.
package board
