// Package board reads a workbook that is laid out in the yard's own way, as staff
// keep one for themselves: no table of the program's own is looked for.
//
// It goes from the whole to the cell. A step takes values of the steps before it, and is
// handed just those it needs (book.go):
//
//  1. The pages: the tabs with their cells (grid.go), and what any text says by itself: as
//     a heading (label.go, heading.go, letters.go, dates.go), as work, feed, a weight, an
//     illness (language.go). Each text is read once (reading.go).
//  2. What her legends define: feeds and what a measure of them weighs (feedroom.go), and
//     what figures alone are (bare.go, legend.go).
//  3. The calendar: weeks as titles, tabs and dates have them (week.go, firstday.go), and
//     how dates are written (calendar.go).
//  4. Who the horses are, over the whole book: by the headings over them, by what the texts
//     look like and by names that come back on other tabs (who.go, namelike.go), so that a
//     horse may be called Barley or Monday.
//  5. The regions: tables with their headings in one row or two, upright or turned
//     (findtables.go and what it leads to), what their columns are about (role.go, look.go)
//     and of which days (datecolumns.go); then forms of one horse, a tab or a block each
//     (findforms.go).
//  6. The observations: of each cell of a region whose it is, and of what (obs.go, rows.go,
//     readform.go); the herd they name (herd.go), with what lines outside the regions say of
//     it (remarks.go); and what titles say of all of a table (titles.go).
//  7. The week that is planned (calendar.go).
//  8. The facts of each horse: its feed now and as planned (feeding.go, feed.go), its weight
//     (weights.go), its work (work.go, blank.go), its notes (notes.go). They are held against
//     each other (check.go, compare.go, blankmeal.go) and put together (facts.go, result.go).
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
