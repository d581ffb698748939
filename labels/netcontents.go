package labels

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"canewright/hazards/syrup"
)

// Net is the net quantity of contents in the words of a label.
type Net struct {
	US     string // such as "16 fl oz (1 pt)"
	Metric string // such as "473 mL"
}

// String is both on one line: "12 fl oz (354 mL)", or "16 fl oz (1 pt) 473 mL" where the US figure has brackets itself.
func (n Net) String() string {
	if strings.Contains(n.US, "(") {
		return n.US + " " + n.Metric
	}
	return n.US + " (" + n.Metric + ")"
}

// largestNet is far beyond any bottle; a larger volume is a slip of units.
const largestNet syrup.Milliliters = 100_000

// NetContents words the volume of a container, meant at 68 F (20 C), for its label: below a gallon in fluid ounces, then
// from a pint on in the largest whole units with the remainder in brackets; from a gallon on in the largest whole units
// (21 CFR 101.7(b), (j), (m)). Both figures are rounded down, so that neither promises more than the container is filled
// to (NIST Handbook 133: where a label carries two declarations the larger is tested). Ounces and liters keep at most
// two decimals (101.7(d)).
func NetContents(volume syrup.Milliliters) (Net, error) {
	if !(volume > 0 && volume <= largestNet) {
		return Net{}, fmt.Errorf("net contents: the container must hold more than 0 and at most %v mL, not %v mL",
			float64(largestNet), float64(volume))
	}
	ounces := roundDown(float64(volume.USFluidOunces()), 100)
	if ounces == 0 {
		return Net{}, fmt.Errorf("net contents: %v mL is less than a hundredth of a fluid ounce", float64(volume))
	}
	return Net{US: usContents(ounces), Metric: metricContents(float64(volume))}, nil
}

// usContents words fluid ounces that are already rounded to hundredths.
func usContents(ounces float64) string {
	switch {
	case ounces >= 128:
		return wholeUnits(ounces)
	case ounces >= 16:
		return decimal(ounces) + " fl oz (" + wholeUnits(ounces) + ")"
	default:
		return decimal(ounces) + " fl oz"
	}
}

// wholeUnits writes ounces in gallons, quarts and pints with the rest in ounces: 56 is "1 qt 1 pt 8 oz".
func wholeUnits(ounces float64) string {
	var parts []string
	for _, unit := range []struct {
		name   string
		ounces float64
	}{{"gal", 128}, {"qt", 32}, {"pt", 16}} {
		if n := math.Floor(ounces / unit.ounces); n > 0 {
			parts = append(parts, decimal(n)+" "+unit.name)
			ounces -= n * unit.ounces
		}
	}
	if rest := math.Round(ounces*100) / 100; rest > 0 {
		parts = append(parts, decimal(rest)+" oz")
	}
	return strings.Join(parts, " ")
}

// metricContents writes whole milliliters below a liter and liters to two decimals from there on.
func metricContents(milliliters float64) string {
	if whole := roundDown(milliliters, 1); whole >= 1 && whole < 1000 {
		return decimal(whole) + " mL"
	} else if whole < 1 {
		return decimal(roundDown(milliliters, 100)) + " mL"
	}
	return decimal(roundDown(milliliters/1000, 100)) + " L"
}

// roundDown cuts x to 1/parts, forgiving what converting a round figure to milliliters and back with two decimals
// loses (half of a hundredth of a milliliter).
func roundDown(x, parts float64) float64 {
	const forgiven = 0.0002
	return math.Floor((x+forgiven)*parts) / parts
}

// decimal writes a number without needless zeros.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// SquareInches is an area, here of the principal display panel.
type SquareInches float64

// NetTypeHeight is the smallest height of the net contents' letters for a principal display panel: the capital, or the
// lower-case o where small letters are used (21 CFR 101.7(i)). Lettering blown or moulded into
// the glass needs 1/16 inch more.
func NetTypeHeight(panel SquareInches) Millimeters {
	const inch Millimeters = 25.4
	switch {
	case panel <= 5:
		return inch / 16
	case panel <= 25:
		return inch / 8
	case panel <= 100:
		return inch * 3 / 16
	case panel <= 400:
		return inch / 4
	default:
		return inch / 2
	}
}

// CylinderPanel is the principal display panel of a round bottle: 40 percent of height times circumference of its body,
// without shoulder and neck (21 CFR 101.1(b)).
func CylinderPanel(height, diameter Millimeters) SquareInches {
	const inch = 25.4
	return SquareInches(0.4 * float64(height) / inch * math.Pi * float64(diameter) / inch)
}
