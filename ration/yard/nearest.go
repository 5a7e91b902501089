package yard

import "strings"

// Nearest returns the candidate most like word, or "" if none is close enough
// to be worth suggesting or two are equally close. Case is ignored. Close
// enough is an edit distance of at most a third of the word's length, found by
// trial to suggest "trot" for "trott" and nothing for "tractor".
func Nearest(word string, candidates []string) string {
	w := []rune(strings.ToLower(strings.TrimSpace(word)))
	if len(w) == 0 || len(w) > 60 {
		return ""
	}
	best, bestDist, tie := "", max(1, len(w)/3)+1, false
	for _, c := range candidates {
		d := editDistance(w, []rune(strings.ToLower(c)))
		switch {
		case d < bestDist:
			best, bestDist, tie = c, d, false
		case d == bestDist && best != "" && !strings.EqualFold(c, best):
			tie = true
		}
	}
	if tie {
		return ""
	}
	return best
}

func editDistance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, ra := range a {
		prev := row[0]
		row[0] = i + 1
		for j, rb := range b {
			cost := 1
			if ra == rb {
				cost = 0
			}
			prev, row[j+1] = row[j+1], min(row[j]+1, row[j+1]+1, prev+cost)
		}
	}
	return row[len(b)]
}
