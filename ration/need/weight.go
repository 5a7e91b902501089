package need

import "hardfeed/ration/yard"

// GirthLengthKg is body weight from heart girth and length, cm: girth² ×
// length / divisor. The divisor is 11,877 for horses (Carroll and Huntington
// 1988; requirements §10: paper seen, divisor from memory, 11,880 seen in field
// use) and 10,802 for ponies (girth² × length / 299 in inches and pounds, seen,
// converted).
func GirthLengthKg(girthCm, lengthCm float64, t yard.HorseType) float64 {
	return girthCm * girthCm * lengthCm / GirthLengthDivisor(t)
}

// GirthLengthDivisor is the divisor of [GirthLengthKg], cm³ per kg.
func GirthLengthDivisor(t yard.HorseType) float64 {
	if t == yard.TypePony {
		return 10802
	}
	return 11877
}
