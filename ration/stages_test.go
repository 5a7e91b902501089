package ration

import (
	"slices"
	"testing"

	"hardfeed/ration/yard"
)

// On the way to a week's last amounts each hard feed keeps its own pace: what falls at once
// is down from the first day, what rises waits for its share, and hay is as in the end.
func TestEachFeedKeepsItsOwnPaceOnTheWay(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	w := smallYard(h)
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), kilos(8)), line("Fern", "Oats", kilos(1), kilos(3)), line("Fern", "Cubes", kilos(2), kilos(1))}
	x, _ := modelOf(t, h, w, nil)
	at := func(name string) int {
		return slices.IndexFunc(x.dish.bucket, func(it item) bool { return it.feed.Feed.Name == name })
	}
	hay, cubes, oats := at("Hay"), at("Cubes"), at("Oats")
	end := slices.Clone(x.nowFed())
	end[hay], end[cubes], end[oats] = 8, 1, 3
	c := x.dealing()
	last := stage{day: end, meals: x.dish.shares(end)}
	for _, f := range []struct {
		what   string
		stage  stage
		atOnce bool
	}{
		{"halfway, falls at once", c.interpolateStage(last, 0.5, true), true},
		{"halfway, falls along", c.interpolateStage(last, 0.5, false), false},
	} {
		day := f.stage.day
		if kg := day[oats]; !alike(kg, 2) {
			t.Errorf("%s: %v kg of the oats that rise from 1 to 3", f.what, kg)
		}
		if want := map[bool]float64{true: 1, false: 1.5}[f.atOnce]; !alike(day[cubes], want) {
			t.Errorf("%s: %v kg of the cubes that fall from 2 to 1, want %v", f.what, day[cubes], want)
		}
		if day[hay] != 8 || sum(f.stage.meals[hay]) != 8 {
			t.Errorf("%s: %v kg of hay, %v at meals", f.what, day[hay], f.stage.meals[hay])
		}
		for _, i := range []int{cubes, oats} {
			if !alike(sum(f.stage.meals[i]), day[i]) {
				t.Errorf("%s: %v kg a day, %v at meals", f.what, day[i], f.stage.meals[i])
			}
		}
	}
	for _, atOnce := range []bool{true, false} {
		stages := c.walk(last, []int{0, 2, 4, 6}, 0.8, 9, atOnce, onScale)
		if stages == nil {
			t.Fatal("no way in four steps")
		}
		first := stages[0].day
		if above(first[cubes]+first[oats], 3+0.8) || first[oats] <= 1 || atOnce != alike(first[cubes], 1) || first[cubes] >= 2 {
			t.Errorf("falls at once %v: the first day has %v kg of cubes and %v of oats", atOnce, first[cubes], first[oats])
		}
	}
	day := slices.Clone(end)
	day[oats], day[cubes] = 1.9, 1.5 // halfway is 3.5 kg in all
	c.keepTotal(day, end, 0.5, inGrams)
	if !alike(day[oats], 1.9) || !alike(day[cubes], 1.6) {
		t.Errorf("what oats were rounded down by comes from cubes: %v kg of oats, %v of cubes", day[oats], day[cubes])
	}
	if half := c.partWay(end, 0.5); half[oats] <= 1 || above(half[oats], 2) || below(half[cubes], 1.5) || half[cubes] >= 2 {
		t.Errorf("half the way: %v kg of oats, %v of cubes", half[oats], half[cubes])
	}
}
