package need_test

import (
	"fmt"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// A 500 kg horse in moderate work needs 23.3 Mcal of digestible energy a day (NRC
// 2007, the printed table).
func ExampleClassMcal() {
	fmt.Printf("%.1f Mcal DE\n", need.ClassMcal(yard.ClassModerate, yard.NormalDoer, 500))
	// Output: 23.3 Mcal DE
}

// One condition score up in ninety days, 20 kg at 20 Mcal a kg, is 4.4 Mcal a day,
// were there no mark on how fast a horse may gain: 0.35 % of body weight a week is
// less than that of a pony of 200 kg, and more than that of a horse.
func ExampleChangeMcal() {
	fmt.Printf("%.2f Mcal a day at 500 kg\n", need.ChangeMcal(4, 5, 500, 90))
	fmt.Printf("%.2f Mcal a day for two scores in forty days\n", need.ChangeMcal(3, 5, 500, 40))
	// Output:
	// 4.44 Mcal a day at 500 kg
	// 5.00 Mcal a day for two scores in forty days
}

// A heart girth of 180 cm and a length of 160 cm: 436 kg (Carroll and Huntington
// 1988).
func ExampleGirthLengthKg() {
	fmt.Printf("%.0f kg\n", need.GirthLengthKg(180, 160, yard.TypeHorse))
	// Output: 436 kg
}
