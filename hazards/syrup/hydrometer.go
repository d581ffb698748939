package syrup

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// glassExpansion is the conventional cubic expansion coefficient of hydrometer glass, per C: ISO 1768:1975.
const glassExpansion = 25e-6

// The two uncertainties of a hydrometer reading, in percent solids (physics.md 12, a judgement: surface tension, foam
// and syrup on the stem are not in the model).
const (
	ColdUncertainty Brix = 0.3
	HotUncertainty  Brix = 0.5
)

// solidsRounding lets a reading made from 85 % come back as 85 %, not as a hair more.
const solidsRounding Brix = 1e-9

// ColdUpTo is where a reading begins to count as hot. The published temperature correction of spindles
// (wine-laboratory polynomial, 10 to 40 C) is met within 0.05 Brix up to 40 C; above it only the rounded
// maple charts stand, which the model meets to 0.35 Brix. A reading at exactly 40 C (104 F) is cold.
const ColdUpTo Celsius = 40

// Hydrometer is one spindle. The zero value is the syrup trade's stem: 60F, modulus 145. What was assumed because
// it was not known must be printed as assumed by whoever fills it in.
type Hydrometer struct {
	Stem    Stem
	Modulus float64
}

// Solids is a strength with its uncertainty: the true value is estimated to lie within Percent +- Uncertainty.
type Solids struct {
	Percent     Brix
	Uncertainty Brix
}

// Stems lists the stems in the order a form offers them.
var Stems = []Stem{Stem60F, Stem68F, Stem6060}

// ParseStem reads "60F", "68F" or "60/60"; case and spaces are forgiven.
func ParseStem(text string) (Stem, error) {
	stem := Stem(strings.ToUpper(strings.ReplaceAll(text, " ", "")))
	if slices.Contains(Stems, stem) {
		return stem, nil
	}
	return "", fmt.Errorf("hydrometer stem %q: expected 60F, 68F or 60/60", text)
}

// Validate refuses an unknown stem and an impossible modulus. Zero fields mean 60F and 145.
func (h Hydrometer) Validate() error {
	if h.Stem != "" && !slices.Contains(Stems, h.Stem) {
		return fmt.Errorf("hydrometer stem %q: expected 60F, 68F or 60/60", string(h.Stem))
	}
	return checkModulus(h.modulus())
}

func (h Hydrometer) modulus() float64 {
	if h.Modulus == 0 {
		return DefaultModulus
	}
	return h.Modulus
}

// calibration is the temperature at which the stem's marks are true.
func (h Hydrometer) calibration() float64 {
	if h.Stem == Stem68F {
		return float64(ReferenceTemperature)
	}
	return float64(Fahrenheit(60).Celsius())
}

// TrueSolids turns a reading taken at t into true solids. Readings 0 to 50 Be or 0 to 85 Bx, t 0 to 110 C, true
// solids 0 to 85 %; a reading that would mean less or more is refused with the range at that temperature.
// Uncertainty 0.3 % up to ColdUpTo, 0.5 % above. The liquid is taken as sucrose in water (AOAC 932.14).
func (h Hydrometer) TrueSolids(scale Scale, reading float64, t Celsius) (Solids, error) {
	if err := h.check(scale, t); err != nil {
		return Solids{}, err
	}
	top := scaleTop(scale)
	if err := inRange(WhatReading, reading, 0, top, string(scale)); err != nil {
		return Solids{}, err
	}
	curve := densityAt(float64(t))
	w, ok := 0.0, false
	if felt, found := h.feltDensity(scale, reading); found {
		w, ok = curve.massFraction(felt / h.glass(t))
	}
	if percent := Brix(w * 100); ok && percent <= MaxSolids+solidsRounding {
		return Solids{Percent: min(percent, MaxSolids), Uncertainty: ReadingUncertainty(t)}, nil
	}
	low, high := h.readingBounds(scale, t)
	return Solids{}, RangeError{What: WhatReading, Got: reading, Min: low, Max: high, Unit: string(scale)}
}

// Reading is what this hydrometer shows in a syrup of the given true solids at t: the inverse of TrueSolids, same
// ranges. Solids so thin that the stem sinks past its zero mark are refused.
func (h Hydrometer) Reading(scale Scale, solids Brix, t Celsius) (float64, error) {
	if err := h.check(scale, t); err != nil {
		return 0, err
	}
	if err := solidsRange(WhatSolids, solids); err != nil {
		return 0, err
	}
	reading := h.rawReading(scale, float64(solids)/100, t)
	if reading >= 0 && reading <= scaleTop(scale) {
		return reading, nil
	}
	low, high := h.solidsBounds(scale, t)
	return 0, RangeError{What: WhatSolids, Got: float64(solids), Min: float64(low), Max: float64(high), Unit: "%"}
}

func (h Hydrometer) check(scale Scale, t Celsius) error {
	if scale != ScaleBaume && scale != ScaleBrix {
		return fmt.Errorf("hydrometer scale %q: expected Be or Bx", string(scale))
	}
	if err := h.Validate(); err != nil {
		return err
	}
	return densityTemperature(t)
}

// glass is the volume of the bulb at t, relative to its calibration temperature.
func (h Hydrometer) glass(t Celsius) float64 {
	return 1 + glassExpansion*(float64(t)-h.calibration())
}

// feltDensity is the density, at the calibration temperature, of the liquid whose mark this reading is. False when
// the mark lies past the end of the density model.
func (h Hydrometer) feltDensity(scale Scale, reading float64) (float64, bool) {
	marks := densityAt(h.calibration())
	if scale == ScaleBrix {
		return marks.of(reading / 100), true
	}
	gravity := gravityOf(reading, h.modulus())
	if !h.tradeStem() {
		return gravity * marks.of(0), true
	}
	// The trade's stem is a Brix scale true at 60 F whose Baume marks follow the 20/20 C relation.
	table := densityAt(float64(ReferenceTemperature))
	w, ok := table.massFraction(gravity * table.of(0))
	return marks.of(w), ok
}

// rawReading is the reading without limits; NaN when the mark lies outside the density model (water so warm that
// the stem sinks past zero).
func (h Hydrometer) rawReading(scale Scale, w float64, t Celsius) float64 {
	marks := densityAt(h.calibration())
	felt := densityAt(float64(t)).of(w) * h.glass(t)
	if scale == ScaleBaume && !h.tradeStem() {
		return baumeOf(felt/marks.of(0), h.modulus())
	}
	mark, ok := marks.massFraction(felt)
	if !ok {
		return math.NaN()
	}
	if scale == ScaleBrix {
		return mark * 100
	}
	table := densityAt(float64(ReferenceTemperature))
	return baumeOf(table.of(mark)/table.of(0), h.modulus())
}

func (h Hydrometer) tradeStem() bool { return h.Stem == "" || h.Stem == Stem60F }

// readingBounds are the readings that mean 0 % and 85 % at t, cut to the ends of the scale.
func (h Hydrometer) readingBounds(scale Scale, t Celsius) (low, high float64) {
	low = h.rawReading(scale, 0, t)
	if !(low > 0) {
		low = 0
	}
	return low, math.Min(h.rawReading(scale, float64(MaxSolids)/100, t), scaleTop(scale))
}

// solidsBounds are the solids between which the stem shows a reading on its scale at t.
func (h Hydrometer) solidsBounds(scale Scale, t Celsius) (low, high Brix) {
	low, high = MinSolids, MaxSolids
	if s, err := h.TrueSolids(scale, 0, t); err == nil {
		low = s.Percent
	}
	if s, err := h.TrueSolids(scale, scaleTop(scale), t); err == nil {
		high = s.Percent
	}
	return low, high
}

func scaleTop(scale Scale) float64 {
	if scale == ScaleBrix {
		return float64(MaxSolids)
	}
	return float64(MaxBaume)
}

// ReadingUncertainty is the uncertainty of a hydrometer reading taken at t, in percent solids: 0.3 up to ColdUpTo,
// 0.5 above.
func ReadingUncertainty(t Celsius) Brix {
	if t <= ColdUpTo {
		return ColdUncertainty
	}
	return HotUncertainty
}
