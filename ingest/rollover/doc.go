// Package rollover makes next week's workbook out of this week's and its results: a copy
// of hers, cell for cell, with the dates moved on, what the cards ended on written as
// what is fed now, and what was planned cleared or filled in.
//
// What it has written it reads again as any workbook is read, and compares: the week
// must be the next one, with the same horses, each fed now what its card said. A horse
// for which that cannot be brought about is left as it stands, and is on the list.
package rollover
