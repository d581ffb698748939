package lineage

import (
	"cmp"
	"slices"

	"canewright/hazards/syrup"
)

// Line is one origin in a list of shares.
type Line struct {
	ID string
	Share
}

// Tail is what a list leaves out of sight: how many origins, and how much they are together.
type Tail struct {
	Count int
	Share
}

// Listed puts shares in order, largest first, equal ones by id, and folds what comes after the first most lines into a
// tail. A tail of one is shown as a line instead, since it takes the same room. The tail is for the eye only: reach is
// never folded.
func Listed(shares map[string]Share, most int) ([]Line, Tail) {
	lines := make([]Line, 0, len(shares))
	for id, share := range shares {
		lines = append(lines, Line{ID: id, Share: share})
	}
	slices.SortFunc(lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(b.Fraction, a.Fraction), cmp.Compare(a.ID, b.ID))
	})
	most = max(most, 0)
	if len(lines) <= most+1 {
		return lines, Tail{}
	}
	tail := Tail{Count: len(lines) - most}
	// From the smallest up, so that little ones are not lost in the sum.
	for _, line := range slices.Backward(lines[most:]) {
		tail.Fraction += line.Fraction
		tail.Estimated = tail.Estimated || line.Estimated
	}
	return lines[:most], tail
}

// Total adds up the fractions of shares; 1 for all origins of a thing.
func Total(shares map[string]Share) syrup.Fraction {
	lines, tail := Listed(shares, 0)
	if len(lines) == 1 {
		return lines[0].Fraction
	}
	return tail.Fraction
}
