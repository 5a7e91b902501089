package need

import "hardfeed/ration/yard"

// WaterLitres is the water an adult drinks and eats in a day, litres: the NRC
// 2007 ranges of a 500 kg horse, by body weight (requirements §8).
//
//	             20 °C      30 °C
//	idle         21-29      42-54
//	moderate     26-46      72-92    (26 as printed; 36 is recalled: the wider one stands)
//
// Between 20 and 30 °C the ends lie on a straight line, below 20 °C those of 20
// are taken (both ours). Above 30 °C, and in heavy work, only the low end is
// known and the high end is unknown: "at least". Light work, for which nothing is
// printed, reaches from the idle low to the moderate high (ours). An unknown
// temperature counts as 20 °C; say so.
func WaterLitres(c yard.WorkClass, bodyKg float64, temperatureC yard.Num) yard.Range {
	idle := [2][2]float64{{21, 29}, {42, 54}}
	moderate := [2][2]float64{{26, 46}, {72, 92}}
	low, high := idle, idle
	switch c {
	case yard.ClassLight:
		high = moderate
	case yard.ClassModerate, yard.ClassHeavy, yard.ClassVeryHeavy:
		low, high = moderate, moderate
	}
	t := temperatureC.Or(20)
	f := min(max((t-20)/10, 0), 1)
	at := func(rows [2][2]float64, end int) yard.Num {
		return yard.Known((rows[0][end]*(1-f) + rows[1][end]*f) * bodyKg / 500)
	}
	r := yard.Range{Low: at(low, 0), High: at(high, 1)}
	if t > 30 || c == yard.ClassHeavy || c == yard.ClassVeryHeavy {
		r.High = yard.Num{}
	}
	return r
}
