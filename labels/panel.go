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

// SquareMillimeters is an area as it is measured.
type SquareMillimeters float64

// SurfacePanel is the principal display panel of a container of another shape: 40 percent of its surface, without top,
// bottom, shoulder and neck (21 CFR 101.1(c)). It is rounded as FlatPanel is.
func SurfacePanel(surface SquareMillimeters) SquareInches {
	const inch = 25.4
	return SquareInches(math.Round(0.4*float64(surface)/inch/inch*1e6) / 1e6)
}
