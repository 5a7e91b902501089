package work_test

import (
	"fmt"

	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// Half an hour of walk, twenty minutes of trot and ten of canter of a horse and
// rider of 580 kg: 3.31 Mcal (the German light day, exercise §2d; the speeds are
// those of the NRC 1989 table).
func ExampleSessionMcal() {
	rules := yard.Rules{WorkModel: yard.ByPace, PaceMPerMin: [yard.Gaits]float64{yard.Walk: 95, yard.Trot: 200, yard.Canter: 300}, Going: 1}
	day := yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 30, yard.Trot: 20, yard.Canter: 10}}
	fmt.Printf("%.2f Mcal DE\n", work.SessionMcal(day, 500, 80, rules))
	// Output: 3.31 Mcal DE
}

// Five per cent up costs 1.63 of the level (Schroter and Marlin 2002, exercise §4).
func ExampleSlopeFactor() {
	fmt.Printf("%.2f\n", work.SlopeFactor(0.05))
	// Output: 1.63
}
