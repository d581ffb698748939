package syrup

// Kilograms is a mass.
type Kilograms float64

// Grams is a mass.
type Grams float64

// Pounds is an avoirdupois mass.
type Pounds float64

// Liters is a volume.
type Liters float64

// Milliliters is a volume.
type Milliliters float64

// USGallons is a volume in US gallons of 231 cubic inches.
type USGallons float64

// Kilopascals is an absolute pressure.
type Kilopascals float64

// Meters is a length or a height above the sea.
type Meters float64

// KilogramsPerCubicMeter is a density.
type KilogramsPerCubicMeter float64

// Exact by definition: the international pound, the gallon of 231 cubic inches, the foot of 1959.
const (
	kilogramsPerPound = 0.45359237
	litersPerUSGallon = 3.785411784
	fluidOuncesPerGal = 128
	metersPerFoot     = 0.3048
)

// kilopascalsPerInHg is the conventional inch of mercury, NIST SP 811 appendix B, from memory.
const kilopascalsPerInHg = 3.386389

// Pounds converts to pounds.
func (m Kilograms) Pounds() Pounds { return Pounds(m / kilogramsPerPound) }

// Kilograms converts to kilograms.
func (m Pounds) Kilograms() Kilograms { return Kilograms(m * kilogramsPerPound) }

// Grams converts to grams.
func (m Kilograms) Grams() Grams { return Grams(m * 1000) }

// Kilograms converts to kilograms.
func (m Grams) Kilograms() Kilograms { return Kilograms(m / 1000) }

// USGallons converts to US gallons.
func (v Liters) USGallons() USGallons { return USGallons(v / litersPerUSGallon) }

// Liters converts to liters.
func (v USGallons) Liters() Liters { return Liters(v * litersPerUSGallon) }

// Milliliters converts to milliliters.
func (v Liters) Milliliters() Milliliters { return Milliliters(v * 1000) }

// Liters converts to liters.
func (v Milliliters) Liters() Liters { return Liters(v / 1000) }

// USFluidOunces is a volume of 1/128 US gallon.
type USFluidOunces float64

// USFluidOunces converts to US fluid ounces.
func (v Milliliters) USFluidOunces() USFluidOunces {
	return USFluidOunces(v / (litersPerUSGallon * 1000 / fluidOuncesPerGal))
}

// Milliliters converts to milliliters.
func (v USFluidOunces) Milliliters() Milliliters {
	return Milliliters(v * litersPerUSGallon * 1000 / fluidOuncesPerGal)
}
