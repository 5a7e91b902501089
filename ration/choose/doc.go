// Package choose finds the best of the rations that can be dished out: so many
// quarter scoops of this, so many quarter kilos of that, inside every limit and
// then best by a list of goals in strict order. It knows nothing of feeds: it
// is given whole numbers and gives back whole numbers, with the proof that
// nothing better exists.
//
// # The model
//
// Each [Feed] has a list of amounts to choose from, numbered from 0. Everything
// a limit or a goal looks at is a [Sum]: each feed adds something that depends
// on its own choice alone. That covers plain proportions (energy, starch,
// dry matter), ratios once multiplied out (calcium less phosphorus at least 0)
// and steps (what is left of an amount on a day off, a feed being there at all).
// All numbers are whole: who builds the model chooses the unit and rounds
// towards the strict side.
//
// # Exact
//
// [Solve] takes the goals one after the other: the best value of the first is
// found and proven, then held while the second is made best, and so on, until a
// search shows that only one ration is left. Each is a branch and bound. What
// proves a bound is weak duality: a sum of limits and goals, each times a factor,
// that no choice can bring below the best found. The factors come from a linear
// program in floating point, which may be as wrong as it likes: a bad factor makes
// a weak bound, never a false one. The bound itself is evaluated with its rounding
// error taken off, and every ration is judged in whole numbers. A settled goal
// without bands holds from both sides, and where its feeds come to that value in
// few ways these are listed and nothing else is looked at. Since the best
// value of every goal is proven and ties are broken by name, the answer does not
// depend on the order of search, on the machine, or on the order of the feeds.
//
// # Source
//
// The lower bounds from approximate multipliers are those of Neumaier and
// Shcherbina, Safe bounds in linear and mixed-integer linear programming,
// Mathematical Programming 99 (2004), from memory.
package choose
