package syrup

import "math"

// WaterActivity is the vapour pressure over a liquid relative to that over water, 0 to 1.
type WaterActivity float64

// Composition says what the solids of a syrup are. Each share names its basis: confusing percent of sugars with
// percent of syrup is a known trap.
type Composition struct {
	Solids   Brix
	Inverted Fraction // share of the sugars' mass that is glucose and fructose
	Ash      Fraction // share of the whole syrup's mass
}

// The temperatures the water activity model accepts. Its published checks lie between -5 and 25 C, and by way of
// the boiling point near 104 C.
const (
	MinActivityTemperature Celsius = -10
	MaxActivityTemperature Celsius = 130
)

// ActivityUncertainty is the uncertainty of a modelled water activity; with ash it is 0.015. Screening only: a
// laboratory value is the record.
const ActivityUncertainty WaterActivity = 0.01

// Starzak & Peacock's constants for sucrose in water, as quoted in a French sugar-industry data sheet (the form
// from memory, confirmed by the checks), and the hexoses' constant at 25 C (Chirife, from memory).
const (
	gasConstant    = 8.314462618 // J/(mol K)
	starzakQ       = 17638.0     // J/mol
	starzakA       = -1.0038
	starzakB       = -0.24653
	hexoseConstant = 2.25
)

// Molar masses in g/mol; ash is counted as potassium chloride, two ions.
const (
	molarWater   = 18.01528
	molarSucrose = 342.297
	molarHexose  = 180.156
	molarSalt    = 74.55
)

// Validate checks solids 0 to 85 %, inverted share 0 to 1, ash not more than the solids.
func (c Composition) Validate() error {
	if err := solidsRange(WhatSolids, c.Solids); err != nil {
		return err
	}
	if err := inRange(WhatInverted, float64(c.Inverted)*100, 0, 100, "%"); err != nil {
		return err
	}
	return inRange(WhatAsh, float64(c.Ash)*100, 0, float64(c.Solids), "%")
}

// ActivityOf is the water activity of a syrup, -10 to 130 C, within 0.01 (0.015 with ash). Mixture rule made for
// this project from Starzak & Peacock and Ross; sucrose meets the CRC freezing points within 0.0004.
func ActivityOf(c Composition, t Celsius) (WaterActivity, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	err := inRange(WhatTemperature, float64(t), float64(MinActivityTemperature), float64(MaxActivityTemperature), "C")
	if err != nil {
		return 0, err
	}
	return WaterActivity(math.Exp(c.moles().logActivity(float64(t) + kelvinAtZeroCelsius))), nil
}

// amounts are moles per 100 g of syrup.
type amounts struct{ water, sucrose, hexose, ions float64 }

func (c Composition) moles() amounts {
	ash := float64(c.Ash) * 100
	sugars := float64(c.Solids) - ash
	return amounts{
		water:   (100 - float64(c.Solids)) / molarWater,
		sucrose: sugars * (1 - float64(c.Inverted)) / molarSucrose,
		hexose:  sugars * float64(c.Inverted) / molarHexose,
		ions:    2 * ash / molarSalt,
	}
}

// logActivity is ln aw = ln x_w - (sqrt(Ks) xs + sqrt(Ki) xi)^2, mole fractions of everything dissolved and the water.
// The ions have no constant of their own: they only take room.
func (m amounts) logActivity(kelvin float64) float64 {
	total := m.water + m.sucrose + m.hexose + m.ions
	xs, xi := m.sucrose/total, m.hexose/total
	xt := xs + xi
	ks := starzakQ / (gasConstant * kelvin) * (1 + starzakA*xt + starzakB*xt*xt)
	ki := hexoseConstant * 298.15 / kelvin
	pull := math.Sqrt(ks)*xs + math.Sqrt(ki)*xi
	return math.Log(m.water/total) - pull*pull
}

// activityUncertaintyWithAsh is the uncertainty of a modelled water activity with ash in it (physics.md 12).
const activityUncertaintyWithAsh WaterActivity = 0.015

// ActivityUncertaintyOf is the uncertainty of the water activity of a composition: 0.01, 0.015 with ash.
func ActivityUncertaintyOf(c Composition) WaterActivity {
	if c.Ash > 0 {
		return activityUncertaintyWithAsh
	}
	return ActivityUncertainty
}
