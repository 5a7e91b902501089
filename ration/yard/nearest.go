package yard

import "strings"

// Nearest returns the candidate most like word, or "" if none is close enough
// to be worth suggesting or two are equally close. Case is ignored. Close
// enough is an edit distance (letters put in, left out, changed or swapped with
// their neighbour) of a third of the word's length, found by trial to suggest
// "trot" for "torrt" and nothing for "tractor".
func Nearest(word string, candidates []string) string {
	w := []rune(strings.ToLower(strings.TrimSpace(word)))
	if len(w) == 0 || len(w) > 60 {
		return ""
	}
	best, bestDist, tie := "", max(1, (len(w)+1)/3)+1, false
	for _, c := range candidates {
		r := []rune(strings.ToLower(c))
		if len(r)-len(w) > bestDist || len(w)-len(r) > bestDist {
			continue // at least that far
		}
		d := editDistance(w, r)
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

// editDistance is the optimal string alignment distance.
func editDistance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i, ra := range a {
		row[0] = i + 1
		for j, rb := range b {
			cost := 1
			if ra == rb {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && ra == b[j-1] && a[i-1] == rb {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
