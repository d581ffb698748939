package labels

import (
	"cmp"
	"slices"
)

// farthestOffer is how many slips a typed code may be from an existing one to be offered.
const farthestOffer = 4

// Nearest gives up to n of the existing codes that differ from the typed text by the fewest slips (a wrong, missing,
// extra or swapped character), nearest first, newest first among equals. A code more than four slips away is not offered.
func Nearest(typed string, existing []string, n int) []string {
	type offer struct {
		code  string
		slips int
	}
	folded := []rune(FoldCode(typed))
	var offers []offer
	for _, code := range existing {
		if slips := editDistance(folded, []rune(FoldCode(code))); slips <= farthestOffer {
			offers = append(offers, offer{code, slips})
		}
	}
	slices.SortFunc(offers, func(a, b offer) int {
		return cmp.Or(cmp.Compare(a.slips, b.slips), cmp.Compare(b.code, a.code))
	})
	nearest := make([]string, 0, max(n, 0))
	for _, o := range offers[:min(len(offers), max(n, 0))] {
		nearest = append(nearest, o.code)
	}
	return nearest
}

// editDistance counts the insertions, deletions, substitutions and swaps of neighbours between two texts (optimal
// string alignment).
func editDistance(a, b []rune) int {
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			changed := 1
			if a[i-1] == b[j-1] {
				changed = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+changed)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
