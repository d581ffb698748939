package labels

// Millimeters is a length on paper.
type Millimeters float64

// Points is the size of type: the em, in 1/72 inch.
type Points float64

// pointsPerMillimeter is exact: 72 points are an inch of 25.4 mm.
const pointsPerMillimeter = 72 / 25.4

// em is the length of the em.
func (p Points) em() Millimeters { return Millimeters(p / pointsPerMillimeter) }

// points is the size of type whose em is m.
func (m Millimeters) points() Points { return Points(m * pointsPerMillimeter) }

// Paper is a page's size.
type Paper struct {
	Name          string
	Width, Height Millimeters
}

// Letter is US Letter, 8 1/2 by 11 inches.
func Letter() Paper { return Paper{"Letter", 215.9, 279.4} }

// A4 is ISO 216 A4.
func A4() Paper { return Paper{"A4", 210, 297} }

// Roll is one label on a roll, as its own page.
func Roll(width, height Millimeters) Paper { return Paper{"roll", width, height} }
