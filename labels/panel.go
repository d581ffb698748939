package labels

import "math"

// FlatPanel is the principal display panel of a flat side, without shoulder and neck (21 CFR 101.1(a)). It is rounded to
// what converting units may lose, so that a panel of 5 square inches is one.
func FlatPanel(height, width Millimeters) SquareInches {
	const inch = 25.4
	return SquareInches(math.Round(float64(height)/inch*float64(width)/inch*1e6) / 1e6)
}

// ContentsHeight is NetTypeHeight, with 1/16 inch more where the letters are blown or moulded into the glass.
func ContentsHeight(panel SquareInches, moulded bool) Millimeters {
	if moulded {
		return NetTypeHeight(panel) + 25.4/16
	}
	return NetTypeHeight(panel)
}
