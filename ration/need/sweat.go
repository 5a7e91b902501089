package need

import "hardfeed/ration/yard"

// ClassSweatKg is the sweat a day behind the NRC 2007 work classes, kg, the mean
// of the week: 0.25, 0.5, 1 and 2 % of body weight in light, moderate, heavy and
// very heavy work, none at rest (requirements §7: solved from the printed Na, K
// and Cl; memory agrees).
func ClassSweatKg(c yard.WorkClass, bodyKg float64) float64 {
	switch c {
	case yard.ClassLight:
		return 0.0025 * bodyKg
	case yard.ClassModerate:
		return 0.005 * bodyKg
	case yard.ClassHeavy:
		return 0.01 * bodyKg
	case yard.ClassVeryHeavy:
		return 0.02 * bodyKg
	}
	return 0
}

// HeatShare is how much more a horse sweats at its work in the heat, 1 at 20 °C and below:
// five horses lost 7.9 litres in a hard bout in cool and 9.9 in hot dry air (evidence SW-01,
// seen; that the air had 20 and 34 °C is from memory). Between them the share lies on a
// straight line, above it stays (ours). An unknown temperature counts as 20 °C.
func HeatShare(temperatureC yard.Num) float64 {
	const cool, hot, more = 20, 34, 9.9/7.9 - 1
	return 1 + more*min(max((temperatureC.Or(cool)-cool)/(hot-cool), 0), 1)
}

// ScoreLitres is the sweat of one piece of work by the sweat score of Zeyner and
// others 2014, in litres (exercise §7): 1 a patch under the saddle, dark flanks;
// 2 saddle and throat wet, white at the saddle's corners (both seen); 3 to 5 from
// memory. The volumes are of riding horses and are not scaled by body weight.
// It is unknown for any other score; between two scores it lies between them.
func ScoreLitres(score float64) yard.Range {
	table := [...][2]float64{{1, 4}, {4, 7}, {7, 9}, {9, 12}, {12, 18}}
	if !(score >= 1 && score <= float64(len(table))) {
		return yard.Range{}
	}
	i := min(int(score)-1, len(table)-2)
	f := score - float64(i+1)
	at := func(end int) yard.Num { return yard.Known(table[i][end]*(1-f) + table[i+1][end]*f) }
	return yard.Range{Low: at(0), High: at(1)}
}
