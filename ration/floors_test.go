package ration_test

// floor is the worst that may come out of a quick run and of a long one.
type floor struct{ quick, long float64 }

type followedFloors struct{ passed, swung, unreached, outside floor }

// floors are the worst figures each proof lets pass: what was measured last. Whoever
// betters a figure lowers its floor with it; none is raised. A name stands in one of
// the two lists of dangers only until the program is better: what is not in it must
// pass.
var floors = struct {
	// unseen are planted dangers that nobody is told of on the card or among the
	// stops and warnings; harmful those whose harm is on the card.
	unseen, harmful []string
	// Of the planted horses: those with a stop though the card is what was planned, and
	// the stops and warnings each is told of.
	idleStops, toldEach floor
	// A horse and week of a calm yard.
	calmStops, calmWarns, calmHeld floor
	otherCalmWarns                 floor // of one of the yards of calm2_test.go, the loudest
	// Of the horses followed, the share of whom each is true of in some week.
	followed, scattered followedFloors
	// Of the horses with a proposal, those it is warned of: amounts it chose itself.
	ownWarned floor
	// Hands: shares of the servings of hard feed and of the horses; steps a week.
	// A balancer that comes in is fed by halves: two steps (1.202 a horse and week without them).
	tinyServings, weighed, not50g, steps, manySteps, hayJumps floor
	racersCut                                                 floor // racers that lose oats they need
}{
	unseen: []string{
		// Its oats are kept, and it holds its weight on them: a note.
		"a racer's oats, six kilos, against the formula",
		// Its weighings do not tell yet whether it loses, and its energy stays.
		"the racer, two weeks on, its card cut already",
	},
	harmful: []string{
		// What brings oil in too fast is a warning, and the card is as she planned it.
		"oil 300 ml at once",
	},
	idleStops: floor{0, 0}, toldEach: floor{2.2, 2.2}, ownWarned: floor{0.036, 0.022},
	calmStops: floor{0, 0}, calmWarns: floor{0.093, 0.115}, otherCalmWarns: floor{0.125, 0.15}, calmHeld: floor{0, 0},
	followed: followedFloors{passed: floor{0, 0}, swung: floor{0, 0}, unreached: floor{0, 0.01}, outside: floor{0.1, 0.014}},
	// Forage that follows no scatter of the scales swings a third as often, and leaves one
	// horse more outside low and high.
	scattered:    followedFloors{passed: floor{0, 0}, swung: floor{0.05, 0.07}, unreached: floor{0, 0.01}, outside: floor{0.1, 0.021}},
	tinyServings: floor{0.297, 0.297}, weighed: floor{0.064, 0.074}, not50g: floor{0, 0}, steps: floor{1.001, 1.03}, manySteps: floor{0, 0}, hayJumps: floor{0, 0},
	racersCut: floor{0, 0.035},
}
