// Package edit changes cells of a workbook and leaves every other byte of it as it is.
//
// The spreadsheet library writes a workbook anew from what it understands of it, and
// loses what it does not: slicers, form controls, threaded comments, macros. A copy of
// somebody's workbook that is to be filled in again must lose nothing, so here the
// parts of the package are taken as they are, and in those with changed cells only the
// elements of these cells are written anew (ECMA-376 part 1, §18.3.1.4).
//
// What it knows of besides cells: the list of texts (a text that no cell uses any more
// makes way for a new one), names of tabs wherever formulas and links use them, the
// names of the columns of tables, which must be those of their headings, and one new
// sheet in front of the others. A workbook that is signed, or keeps a log of its
// changes, cannot be changed without breaking that, and is refused.
package edit
