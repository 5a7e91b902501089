// Package evidence learns what each horse holds its weight on from its weighings,
// what it was fed and what it did. The tables give a need for a body weight; two
// horses of one weight and work differ by a fifth. Weighings tell which is which,
// and how sure that is.
//
// [Learn] is the one entry: a [Yard] in, a [Result] out. [Learnt.NeedOn],
// [Learnt.Forecast] and [Learnt.MoreWeighings] answer further questions of a result. Everything is a
// value, nothing is kept, and equal input gives equal output.
//
// # The model
//
// A horse's weight goes from day to day by
//
//	weight + (forage·(1+f) + other - maintenance·(1+own) - work·(1+w) + error) / cost
//
// where forage, other and work are Mcal DE a day as the tables count them, own is how
// far the horse's maintenance lies from the tables', w the same of its work, f the
// error of the yard's forage, shared by its horses, cost the energy of a kilogram
// and error what a week's record leaves out. A heavier horse needs more, so the
// change is drawn back. A weighing shows the weight, plus what more forage leaves in
// the gut, plus a tape's own error on that horse, plus scatter. Days of unknown feed
// or work let the weight go where it likes: they teach nothing.
//
// All errors are normal with the spreads of [Published], each with its source. The
// model is linear but for one product, cost and balance: it is solved with the
// cost at its mean, and once more with the cost's spread at the balances found.
// Each solution is in closed form, by Cholesky's factors of the information matrix
// with every unknown in its own prior spread, which is well conditioned whatever the
// data. Horses are solved one by one and tell each other what they know of the
// forage, which is exact. Half a year is looked at, and a horse's own need counts
// as the same all through it.
//
// # What counts as losing
//
// The trend is the straight line through the weighings alone, over six weeks and
// over twelve: what a horse is fed must not talk its fall away. It is
// called losing or gaining only beyond its error, at most 1 in 100 times a week on a
// steady horse, and holding where the 90 % range lies inside 0.3 % of body weight a
// week.
//
// A weighing unlike both its neighbours is set aside and shown. The latest has no
// neighbour after it: it is set aside, shown, and counts as a fall until the next.
//
// # What it does not do
//
// A learnt need is kept between 0.75 and 1.45 of the tables', and said to be far
// from them over a fifth: teeth, worms, illness or another hand in the feed may be
// behind it, and a vet should look. [yard.Evidence.MayLower] is false for a horse
// that is thin, unscored, losing or perhaps falling. It makes no diagnosis.
//
// Condition scores are not read as weighings: scores stayed while weight fell (EN-28),
// and a change of score is told badly (WG-17). A horse's own work is not told apart
// from its own maintenance while the work stays the same; their sum is. Forage of
// several kinds shares one error. How far a horse's weight on a scale scatters from
// day to day was not found (WG-18): 0.7 % is used and each horse's own scatter, if
// larger, is weighed in; while that is being learnt, losing and gaining are said too
// often of horses that scatter more.
//
// With the cost of a kilogram certain and the scatter given, another weighing never
// widens a range. In use it can: a weighing may show that a horse scatters more, or
// is further from balance, than was thought.
//
// # Joining it up
//
// Of each horse: the body weight the plan uses and its basis, its score, [PriorOf]
// its keeper, all its weighings of half a year, the days of events, each past week's
// energy from forage, from other feed, and its need less maintenance (work and
// cold), and the same of this week. Unknown stays unknown. All horses of a yard go
// in together, with the first day of the week planned for. Package ration does this
// (learn.go): the energy of a past week is that of its card, counted with what was known
// of its feeds then, or of what somebody wrote that was fed instead.
//
// Out come the need to plan on, to be compared with the supply as the tables count
// it, its range, the trend, the weighings that do not fit, and of the yard what its
// forage seems to be worth. Where [yard.Evidence.NotLearnt] says so, nothing changes.
package evidence
