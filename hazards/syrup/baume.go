package syrup

// DefaultModulus is the modulus of American heavy Baume scales: Be = 145 - 145/SG. It reproduces the pairs
// 36 Be = 66.9 Brix and 37 Be = 68.9 Brix (maple hydrometer chart note, 2021). Old French instruments, in texts
// before 1920, have 144.3 (from memory).
const DefaultModulus = 145.0

// The scale limits of physics.md 12.
const (
	MinBaume Baume = 0
	MaxBaume Baume = 50
)

// A modulus outside this is a slip of the pen, not an instrument.
const (
	MinModulus = 140.0
	MaxModulus = 150.0
)

// SpecificGravity is a density relative to water; which temperatures are meant stands with each function.
type SpecificGravity float64

// BaumeFromGravity converts a specific gravity to heavy Baume, Be = m - m/SG, 0 to 50 Be. Exact by definition; the
// temperatures of SG are the instrument's (20/20 C for the syrup tables).
func BaumeFromGravity(sg SpecificGravity, modulus float64) (Baume, error) {
	if err := checkModulus(modulus); err != nil {
		return 0, err
	}
	highest := modulus / (modulus - float64(MaxBaume))
	if err := inRange(WhatGravity, float64(sg), 1, highest, ""); err != nil {
		return 0, err
	}
	return Baume(baumeOf(float64(sg), modulus)), nil
}

// GravityFromBaume converts heavy Baume, 0 to 50, to specific gravity, SG = m/(m - Be). Exact by definition.
func GravityFromBaume(be Baume, modulus float64) (SpecificGravity, error) {
	if err := checkModulus(modulus); err != nil {
		return 0, err
	}
	if err := baumeRange(be); err != nil {
		return 0, err
	}
	return SpecificGravity(gravityOf(float64(be), modulus)), nil
}

// BaumeFromSolids is the Baume mark that belongs to a strength in the tables: true specific gravity 20/20 C.
// 0 to 85 %; within 0.045 Be of the published table (Mohos 2010, Appendix 2), 0.013 at 60 %.
func BaumeFromSolids(w Brix, modulus float64) (Baume, error) {
	sg, err := TrueGravity(w)
	if err != nil {
		return 0, err
	}
	return BaumeFromGravity(sg, modulus)
}

// SolidsFromBaume is the inverse of BaumeFromSolids: the strength that a table gives for a Baume mark at 20/20 C.
// Readings above the mark of 85 % are refused.
func SolidsFromBaume(be Baume, modulus float64) (Brix, error) {
	sg, err := GravityFromBaume(be, modulus)
	if err != nil {
		return 0, err
	}
	highest, err := BaumeFromSolids(MaxSolids, modulus)
	if err != nil {
		return 0, err
	}
	if err := inRange(WhatBaume, float64(be), 0, float64(highest), "Be"); err != nil {
		return 0, err
	}
	curve := densityAt(float64(ReferenceTemperature))
	w, _ := curve.massFraction(float64(sg) * curve.of(0))
	return Brix(w * 100), nil
}

// TrueGravity is the true specific gravity 20/20 C (masses, no air buoyancy), 0 to 85 %, to about 0.0005.
func TrueGravity(w Brix) (SpecificGravity, error) {
	rho, err := Density(w, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	return SpecificGravity(float64(rho) / waterDensity(float64(ReferenceTemperature))), nil
}

// ApparentGravity is the specific gravity 20/20 C as weighed in air, 0 to 85 %; up to 40 % within 0.02 Brix of the
// cubic fitted to the NBS table.
func ApparentGravity(w Brix) (SpecificGravity, error) {
	rho, err := Density(w, ReferenceTemperature)
	if err != nil {
		return 0, err
	}
	water := waterDensity(float64(ReferenceTemperature))
	return SpecificGravity((float64(rho) - airDensity) / (water - airDensity)), nil
}

func baumeOf(sg, modulus float64) float64   { return modulus - modulus/sg }
func gravityOf(be, modulus float64) float64 { return modulus / (modulus - be) }

func checkModulus(m float64) error { return inRange(WhatModulus, m, MinModulus, MaxModulus, "") }

func baumeRange(be Baume) error {
	return inRange(WhatBaume, float64(be), float64(MinBaume), float64(MaxBaume), "Be")
}
