package app

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
)

// hydrometer asks which hydrometer, on which scale, and what it showed at what temperature; reading is false where the
// reading is what is wanted.
func (f *reckonForm) hydrometer(reading bool) (h syrup.Hydrometer, scale syrup.Scale, read float64, at syrup.Celsius) {
	if reading {
		parse := syrup.ParseNumber
		if f.reading() && f.raw.Get("scale") == string(syrup.ScaleBrix) {
			parse = syrup.ParsePercent // 0.74 is refused, likely 74
		}
		read = known(numberAsked(f, "reading", "", nil, required, parse, syrup.WhatReading))
		scale = syrup.Scale(f.choose("scale", string(syrup.ScaleBaume), string(syrup.ScaleBaume), string(syrup.ScaleBrix)))
	}
	at = f.temperature("at", nil)
	f.fold("reckoner.more.hydrometer")
	h.Stem = syrup.Stem(f.choose("stem", string(syrup.Stem60F), string(syrup.Stem60F), string(syrup.Stem68F), string(syrup.Stem6060)))
	h.Modulus = syrup.DefaultModulus
	if given := f.number("modulus", optional, syrup.WhatModulus); given != nil {
		h.Modulus = *given
	}
	if h.Modulus < syrup.MinModulus || h.Modulus > syrup.MaxModulus { // 0 would mean "not given"
		f.refuse(syrup.RangeError{What: syrup.WhatModulus, Got: h.Modulus, Min: syrup.MinModulus, Max: syrup.MaxModulus})
	}
	return h, scale, read, at
}

// reckonSolids is what a hydrometer read at any temperature means in true solids.
func reckonSolids(f *reckonForm) (*reckoned, error) {
	h, scale, read, at := f.hydrometer(true)
	if !f.ready() {
		return nil, nil
	}
	solids, err := h.TrueSolids(scale, read, at)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelHydrometer)
	r.add(f, "true_solids", f.solidsOf(solids.Percent), f.percentOff(solids.Uncertainty))
	word := f.words.say("reckoner.field.scale." + keyWord(string(scale)))
	r.say(f, "reckoner.said.read", "Reading", plainNumber(read), "Scale", word, "At", f.degrees(at).both())
	if lost, below := hazards.LostToCane(solids.Percent); below {
		r.say(f, "reckoner.said.lost_to_74", "Lost", f.percentOf(float64(lost)*100, 1).value)
	}
	if syrup.DoubtfulScale(scale, read, at) {
		r.say(f, "reckoner.said.doubtful", "Scale", word)
	}
	r.say(f, "reckoner.said.sucrose")
	return r, nil
}

// reckonReading is what the hydrometer shows at the target.
func reckonReading(f *reckonForm) (*reckoned, error) {
	solids := f.solids("to", f.target)
	h, _, _, at := f.hydrometer(false)
	if !f.ready() {
		return nil, nil
	}
	baume, err := h.Reading(syrup.ScaleBaume, solids, at)
	if err != nil {
		return nil, err
	}
	brix, err := h.Reading(syrup.ScaleBrix, solids, at)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelHydrometer)
	r.add(f, "baume", f.one(fixed(baume, 1), "unit.baume"), "")
	r.add(f, "brix_scale", f.one(fixed(brix, 1), "unit.brix"), "")
	r.say(f, "reckoner.said.reading", "Solids", f.solidsOf(solids).value, "At", f.degrees(at).both(), "Off", f.percentOff(syrup.ReadingUncertainty(at)))
	r.say(f, "reckoner.said.sucrose")
	return r, nil
}

// mix asks for invert in percent of the sugars and ash in percent of the syrup; assumed when neither is known.
func (f *reckonForm) mix() (inverted, ash syrup.Fraction, assumed bool) {
	i := f.share("invert", false, syrup.WhatInverted)
	a := f.share("ash", true, syrup.WhatAsh)
	return syrup.Fraction(known(i) / 100), syrup.Fraction(known(a) / 100), i == nil && a == nil
}

// place asks for the height above the sea or the pressure there; assumed is sea level.
func (f *reckonForm) place() (pressure syrup.Kilopascals, assumed bool) {
	height := quantityAsked(f, "altitude", measure[syrup.Meters]{[]string{"ft", "m"}, "ft", "m", syrup.LengthFrom, true}, nil, optional,
		syrup.WhatAltitude, syrup.WhatLength)
	given := quantityAsked(f, "pressure", measure[syrup.Kilopascals]{syrup.PressureUnits, "inHg", "kPa", syrup.PressureFrom, false}, nil, optional,
		syrup.WhatPressure)
	switch {
	case height != nil && given != nil:
		f.wrong(f.named("pressure"), "reckoner.one_of_place")
	case given != nil:
		return *given, false
	case height != nil:
		p, err := syrup.PressureAtAltitude(*height)
		if err != nil {
			f.refuse(err)
		}
		return p, false
	}
	return syrup.StandardPressure, true
}

// reckonBoil is where syrup boils, and water beside it.
func reckonBoil(f *reckonForm) (*reckoned, error) {
	solids := f.solids("solids", f.target)
	f.fold("reckoner.more.place")
	pressure, sea := f.place()
	inverted, ash, pure := f.mix()
	if !f.ready() {
		return nil, nil
	}
	b, err := syrup.SyrupBoiling(syrup.Composition{Solids: solids, Inverted: inverted, Ash: ash}, pressure)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelBoiling)
	r.add(f, "boils", f.degrees(b.Syrup), f.degreesApart(b.Uncertainty).value)
	r.add(f, "rise", f.degreesApart(b.Rise), f.degreesApart(b.Uncertainty).value)
	r.add(f, "water_boils", f.degrees(b.Water), "")
	r.saidPressure(f, pressure, sea)
	if pure {
		r.say(f, "reckoner.said.pure")
	} else {
		r.say(f, "reckoner.said.mix", "Invert", plainNumber(float64(inverted)*100), "Ash", plainNumber(float64(ash)*100))
	}
	return r, nil
}

// saidPressure says which pressure was taken.
func (r *reckoned) saidPressure(f *reckonForm, p syrup.Kilopascals, assumed bool) {
	key := "reckoner.said.pressure"
	if assumed {
		key = "reckoner.said.sea_level"
	}
	r.say(f, key, "Pressure", f.one(fixed(p, 1), "unit.kilopascal").value)
}

// reckonCompare sets the solids by density beside those by boiling point.
func reckonCompare(f *reckonForm) (*reckoned, error) {
	boiled := f.temperature("boiled", nil)
	water := f.maybeTemperature("water", nil, optional)
	h, scale, read, at := f.hydrometer(true)
	pressure, sea := f.place()
	inverted, ash, usual := f.mix()
	if !f.ready() {
		return nil, nil
	}
	if _, err := h.TrueSolids(scale, read, at); err != nil {
		return nil, err
	}
	facts := hazards.CompareFacts{
		Density: hazards.ReadingFacts{Stage: hazards.StageFinish, Scale: scale, Reading: read, Temperature: &at,
			Instrument: &hazards.InstrumentFacts{Measures: hazards.MeasuresDensity, Stem: h.Stem, Modulus: &h.Modulus}},
		Boiling: hazards.BoilingFacts{Syrup: boiled, Water: water},
	}
	if !sea || water == nil {
		facts.Boiling.Pressure = &pressure
	}
	if !usual {
		facts.Inverted, facts.Ash = &inverted, &ash
	}
	c, ok := hazards.Compare(facts, hazards.Rules{})
	if !ok {
		f.wrong(f.named("boiled"), "reckoner.no_comparison", "Boiled", f.degrees(boiled).both())
		return nil, nil
	}
	r := modelled(syrup.ModelBoiling)
	r.add(f, "by_density", f.solidsOf(c.Density.Percent), f.percentOff(c.Density.Uncertainty))
	r.add(f, "by_boiling", f.solidsOf(c.Boiling.Percent), f.percentOff(c.Boiling.Uncertainty))
	r.add(f, "apart", f.percentOf(float64(c.Apart), 1), "")
	found := hazards.JudgeComparison(facts, hazards.Rules{})
	if len(found) == 0 {
		r.say(f, "reckoner.said.agree")
	}
	for _, finding := range found {
		r.say(f, "reckoner.said.apart")
		r.Said = append(r.Said, finding.Words(f.words.lang, f.words.units).Next)
	}
	r.say(f, "reckoner.said.rise", "Rise", f.degreesApart(c.Rise).both())
	if facts.Boiling.Pressure != nil {
		r.saidPressure(f, pressure, sea)
	}
	if c.Assumed {
		r.say(f, "reckoner.said.usual_mix", "Invert", plainNumber(float64(hazards.UsualInverted)*100), "Ash", plainNumber(float64(hazards.UsualAsh)*100))
	}
	return r, nil
}

// The two things a refractometer may show.
const (
	showsBrix  = "Bx"
	showsIndex = "index"
)

// reckonRefractometer brings a reading to 20 C, or turns an index into Brix.
func reckonRefractometer(f *reckonForm) (*reckoned, error) {
	shows := f.choose("shows", showsBrix, showsBrix, showsIndex)
	parse := func(typed string) (float64, error) {
		w, err := syrup.ParseSolids(typed)
		return float64(w), err
	}
	if shows == showsIndex {
		parse = syrup.ParseNumber
	}
	reading := known(numberAsked(f, "shown", "", nil, required, parse, syrup.WhatReading, syrup.WhatIndex))
	at := f.maybeTemperature("cup_at", nil, optional)
	invert := f.share("invert_of_syrup", true, syrup.WhatInvertOfSyrup)
	if f.reading() && shows == showsBrix && at == nil {
		f.wrong(f.named("cup_at"), "reckoner.cup_at")
	}
	if !f.ready() {
		return nil, nil
	}
	read, when := syrup.Brix(reading), syrup.ReferenceTemperature
	if at != nil {
		when = *at
	}
	if shows == showsIndex {
		var err error
		if read, err = syrup.SolidsFromIndex(syrup.RefractiveIndex(reading)); err != nil {
			return nil, err
		}
	}
	corrected, err := syrup.RefractometerAt20(read, when)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelRefractometer)
	r.add(f, "brix_20", f.one(fixed(corrected, 2), "unit.brix"), f.percentOff(hazards.RefractometerUncertainty))
	if shows == showsBrix {
		r.say(f, "reckoner.said.refractometer", "Read", plainNumber(reading), "At", f.degrees(when).both())
	} else if at == nil {
		r.say(f, "reckoner.said.index_at_20")
	}
	if when > syrup.ReferenceTemperature {
		r.say(f, "reckoner.said.extrapolated")
	}
	if invert != nil {
		low, err := syrup.InvertReadsLow(syrup.Brix(*invert))
		if err != nil {
			return nil, err
		}
		r.say(f, "reckoner.said.invert_low", "Low", fixed(low, 2))
	}
	r.say(f, "reckoner.said.compensated")
	return r, nil
}
