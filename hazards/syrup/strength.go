package syrup

// Brix is dissolved solids in percent by mass, as a sucrose solution of the same density would hold.
type Brix float64

// Baume is a degree of the heavy Baume scale (modulus 145 unless an instrument says otherwise).
type Baume float64

// Fraction is a share from 0 to 1.
type Fraction float64

// Stem names how a hydrometer was marked; see physics: the syrup trade's 60 F stem, the laboratory's 68 F (20 C)
// stem, and the literal specific gravity 60 F / 60 F stem.
type Stem string

// The three stems.
const (
	Stem60F  Stem = "60F"
	Stem68F  Stem = "68F"
	Stem6060 Stem = "60/60"
)

// Scale is the scale a reading was taken on.
type Scale string

// The scales of hydrometers and refractometers.
const (
	ScaleBaume Scale = "Be"
	ScaleBrix  Scale = "Bx"
)
