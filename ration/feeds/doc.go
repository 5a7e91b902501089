// Package feeds knows what is in a feed: the table of generic feeds, the
// composition a yard's own analysis gives, and how the two are put together.
//
// # Sources
//
// generic.csv beside this file was picked from the project's reference table
// of feeds; each line names the row its composition, its energy and its bulk
// density came from, whose figure that is, and whether the figure was seen or
// is from memory. Everything is per kilogram of dry matter. An empty field is
// unknown, never zero.
//
// Energy: a printed figure for horses is preferred; where only an equation
// gives one the line says "estimate". Oil is 9.2 Mcal a kilogram as fed
// (feeds.csv row 142). Soya hulls, linseed and roots have no energy here: no
// horse figure was found, and the equations are known to fail on them.
//
// Bulk density: where sources differ the heavier is used, because it turns a
// weight into fewer scoops. A scoop that rests on it is always called UNWEIGHED.
//
// # Ranges
//
// ranges.csv says what each kind of feed holds: the ends it lies between, which
// a yard's own analysis is compared with, and the low end, mean and high end that are
// published. Where one feed of a kind is used that nobody has analysed, its content lies
// between the two ends ([Resolved.Between]); the yard's own figures are their own ends.
// unused.csv keeps the figures a source has wrong, which are unknown here.
package feeds
