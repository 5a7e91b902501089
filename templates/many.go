package templates

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
)

// Many returns a workbook of that many horses, the same for the same seed, to
// measure with. They are those of the demo yard over and over, under other names,
// with other weights and their work on other days, so that no two are alike.
func Many(horses int, seed uint64) ([]byte, error) {
	sheets, err := sheetsOf("demo")
	if err != nil {
		return nil, err
	}
	rng := rand.New(rand.NewPCG(seed, 1))
	namesakes := map[string][]string{}
	for i, s := range sheets {
		head, rows := s.Rows[0], s.Rows[1:]
		out := [][]string{head}
		switch s.Name {
		case "horses":
			for n := range horses {
				row := slices.Clone(rows[n%len(rows)])
				name := fmt.Sprintf("%s %d", row[0], n+1)
				namesakes[row[0]] = append(namesakes[row[0]], name)
				row[0] = name
				if kg, err := strconv.Atoi(row[1]); err == nil {
					row[1] = strconv.Itoa(kg - 20 + rng.IntN(41))
				}
				out = append(out, row)
			}
		case "work", "rations":
			for _, row := range rows {
				for _, name := range namesakes[row[0]] {
					r := append([]string{name}, row[1:]...)
					if s.Name == "work" {
						rng.Shuffle(5, func(i, j int) { r[1+i], r[1+j] = r[1+j], r[1+i] })
					}
					out = append(out, r)
				}
			}
		default:
			out = s.Rows
		}
		sheets[i].Rows = out
	}
	return Workbook(sheets)
}
