package syrup

// Celsius is a temperature on the Celsius scale.
type Celsius float64

// Fahrenheit is a temperature on the Fahrenheit scale.
type Fahrenheit float64

// CelsiusDelta is a difference of two temperatures, in kelvin (= Celsius degrees). 7 F apart is not 7 F converted,
// so a difference has its own type.
type CelsiusDelta float64

// FahrenheitDelta is a difference of two temperatures in Fahrenheit degrees.
type FahrenheitDelta float64

// Fahrenheit converts to the Fahrenheit scale (exact by definition: F = 9/5 C + 32).
func (c Celsius) Fahrenheit() Fahrenheit { return Fahrenheit(c*9/5 + 32) }

// Celsius converts to the Celsius scale.
func (f Fahrenheit) Celsius() Celsius { return Celsius((f - 32) * 5 / 9) }

// Sub gives the difference c - d.
func (c Celsius) Sub(d Celsius) CelsiusDelta { return CelsiusDelta(c - d) }

// Fahrenheit converts a difference to Fahrenheit degrees.
func (d CelsiusDelta) Fahrenheit() FahrenheitDelta { return FahrenheitDelta(d * 9 / 5) }

// Celsius converts a difference to Celsius degrees.
func (d FahrenheitDelta) Celsius() CelsiusDelta { return CelsiusDelta(d * 5 / 9) }
