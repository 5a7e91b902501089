package choose_test

import (
	"fmt"

	"hardfeed/ration/choose"
)

// Example E01 of the worked rations (university slides, "Balancing Horse Diets"):
// beside 5 kg of hay (1.95 Mcal and 84.6 g of protein a kg as fed) and 0.5 kg of oil
// (9.2 Mcal), how much of a feed of 1.75 Mcal and 180 g and of a grain of 2.45 Mcal
// and 89 g brings a horse to 24.6 Mcal and 984 g? The slides solve it by hand: 1.62
// and 3.02 kg. In steps of 20 g, with as little of the grain as can be:
func ExampleSolve() {
	steps := func(each int64) []int64 {
		out := make([]int64, 201) // to 4 kg
		for n := range out {
			out[n] = each * int64(n)
		}
		return out
	}
	sum := func(constant, feed, grain int64) choose.Sum {
		return choose.Sum{Const: constant, Adds: [][]int64{steps(feed), steps(grain)}}
	}
	m := choose.Model{
		Feeds: []choose.Feed{{Name: "feed", Choices: 201}, {Name: "grain", Choices: 201}},
		Goals: []choose.Goal{
			{Name: "energy, kcal", Bands: []choose.Row{{Sum: sum(5*1950+500*92/10, 35, 49), Low: 24550, High: 24650}}},
			{Name: "protein, hundredths of a g", Bands: []choose.Row{{Sum: sum(5*8460, 360, 178), Low: 98300, High: 98500}}},
			{Name: "grain", Sum: sum(0, 0, 20)},
		},
	}
	a, err := choose.Solve(m)
	fmt.Printf("%.2f and %.2f kg, proven %v, %v\n", float64(a.Choice[0])/50, float64(a.Choice[1])/50, a.Proven, err)
	// Output: 1.62 and 3.02 kg, proven true, <nil>
}
