// Package templates holds what the program brings along: a starter workbook,
// the workbook of an invented yard to try it on, and a settings file in which
// every setting is explained.
//
// The two workbooks are in the source as small tables (one file a sheet), so
// that a change to them can be read. [Starter] and [Demo] make real workbooks
// of them; [Workbook] does the same for any tables.
//
// Cold Brook Yard, its horses and its people are invented. Its telephone
// numbers are from 01632 960000 to 960999, which Ofcom keeps free for use in
// stories (from memory). The analyses on its feeds sheet are invented too, in
// the range usual for such feeds, and stand for no product.
package templates
