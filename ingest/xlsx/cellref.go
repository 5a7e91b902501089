package xlsx

import "strconv"

// parseRef reads "B12" as column 2, row 12.
func ParseRef(ref string) (col, row int, ok bool) {
	i := 0
	for i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z' && i < 3 {
		col = col*26 + int(ref[i]-'A') + 1
		i++
	}
	if i == 0 || i == len(ref) || col > 16384 || ref[i] == '0' || len(ref)-i > 7 {
		return 0, 0, false
	}
	for _, c := range ref[i:] {
		if c < '0' || c > '9' {
			return 0, 0, false
		}
		row = row*10 + int(c-'0')
	}
	return col, row, row <= maxSheetRows
}

// refOf is the inverse of parseRef.
func RefOf(col, row int) string {
	s := ""
	for col > 0 {
		col--
		s = string(rune('A'+col%26)) + s
		col /= 26
	}
	return s + strconv.Itoa(row)
}
