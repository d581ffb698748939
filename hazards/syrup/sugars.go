package syrup

// Sugars are the parts of a syrup in percent of its mass, as a laboratory reports them. What the solids hold beside
// glucose, fructose and ash is sucrose.
type Sugars struct {
	Solids   Brix
	Glucose  Brix
	Fructose Brix
	Ash      Brix
}

// Composition turns a laboratory's percentages into the shares the models take: glucose and fructose together as a
// share of the sugars. Refused when the parts are more than the solids, or the solids not 0 to 85 %.
func (s Sugars) Composition() (Composition, error) {
	if err := solidsRange(WhatSolids, s.Solids); err != nil {
		return Composition{}, err
	}
	if err := inRange(WhatGlucose, float64(s.Glucose), 0, float64(s.Solids), "%"); err != nil {
		return Composition{}, err
	}
	if err := inRange(WhatFructose, float64(s.Fructose), 0, float64(s.Solids-s.Glucose), "%"); err != nil {
		return Composition{}, err
	}
	hexoses := s.Glucose + s.Fructose
	if err := inRange(WhatAsh, float64(s.Ash), 0, float64(s.Solids-hexoses), "%"); err != nil {
		return Composition{}, err
	}
	c := Composition{Solids: s.Solids, Ash: Fraction(s.Ash / 100)}
	if sugars := s.Solids - s.Ash; hexoses > 0 {
		c.Inverted = min(1, Fraction(hexoses/sugars))
	}
	return c, nil
}
