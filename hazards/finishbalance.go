package hazards

import "canewright/hazards/syrup"

// DrawnOffFacts is a run that was drawn off as syrup: the solids that went in, less what is known to have gone elsewhere, and
// what came out. Volumes are at the temperature it was drawn at.
type DrawnOffFacts struct {
	SolidsIn    syrup.Kilograms
	Elsewhere   syrup.Kilograms // solids ladled into another kettle or left as a heel
	Ended       syrup.Brix
	Temperature *syrup.Celsius // drawn at; nil is not recorded
	Drawn       *syrup.Liters  // nil is not recorded
}

// DrawnOffBalance is the syrup a run should have given beside what was drawn off. Rest is what is unaccounted for: skimmings,
// what stuck to the kettle, and every error of the figures; negative when more came out than went in. It is shown and
// spread over nothing.
type DrawnOffBalance struct {
	Expected     syrup.Liters
	ExpectedMass syrup.Kilograms
	Rest         *syrup.Liters
	Share        syrup.Fraction // the rest as a part of what was expected
	At           syrup.Celsius
	Assumed      bool // the temperature was not recorded
}

// drawnHot is the temperature syrup is taken to be drawn at where nobody wrote it (common practice, no source).
const drawnHot syrup.Celsius = 85

// BalanceDrawnOff works out the balance of syrup; false when the figures say nothing.
func BalanceDrawnOff(f DrawnOffFacts) (DrawnOffBalance, bool) {
	b := DrawnOffBalance{At: drawnHot, Assumed: f.Temperature == nil}
	if f.Temperature != nil {
		b.At = *f.Temperature
	}
	rho, err := syrup.Density(f.Ended, b.At)
	left := f.SolidsIn - f.Elsewhere
	if err != nil || f.Ended <= 0 || left <= 0 {
		return b, false
	}
	b.ExpectedMass = left * 100 / syrup.Kilograms(f.Ended)
	b.Expected = syrup.Liters(float64(b.ExpectedMass) / float64(rho) * 1000)
	if f.Drawn != nil {
		rest := b.Expected - *f.Drawn
		b.Rest, b.Share = &rest, syrup.Fraction(rest/b.Expected)
	}
	return b, true
}
