package hazards

import "slices"

// The numbers of trade.md 2.1 to 2.6. "Usual", "warn" and "hard" are its columns; a blank one stays open.

func fieldBounds() []Bound {
	return []Bound{
		{Code: BoundArea, Unit: UnitAcres, Usual: between(0.1, 20), Warn: between(0.02, 100), Hard: between(0.001, 2000), Source: practice,
			slips: []slipRule{times(SlipSquareFeetAsAcres, 1/43560.0)}},
		{Code: BoundRatoon, Unit: UnitCount, Usual: between(0, 3), Warn: upTo(3), Hard: between(0, 20),
			Source: practice, UsualSource: "Agriculture for Beginners (Library of Congress scan)"},
		{Code: BoundInterval, Unit: UnitDays, Usual: between(0, 60), Warn: upTo(120), Hard: between(0, 400), Source: practice,
			slips: []slipRule{times(SlipHoursAsDays, 1/24.0)}},
		{Code: BoundReentry, Unit: UnitHours, Usual: between(4, 72), Warn: upTo(168), Hard: between(0, 2160), Source: practice,
			slips: []slipRule{times(SlipDaysAsHours, 24), times(SlipMinutesAsHours, 1/60.0)}},
		// The warning is the label's own interval, judged with the cut.
		{Code: BoundDaysToCut, Unit: UnitDays, Hard: from(0), Source: "source.product_label"},
		{Code: BoundStalkBrix, Unit: UnitBrix, Usual: between(14, 20), Warn: between(10, 24), Hard: between(0, 35),
			Source: practice, UsualSource: "growers' field-day note, Nov 2014", slips: append([]slipRule{baumeAsBrix()}, decimalPoint()...)},
		{Code: BoundTopBottom, Unit: UnitRatio, Usual: between(0.8, 1.05), Warn: between(0.6, 1.15), Hard: between(0.1, 2),
			Source: practice, UsualSource: "Indian sugarcane maturity criteria", slips: append([]slipRule{upsideDown()}, decimalPoint()...)},
		{Code: BoundOvernightLow, Unit: UnitCelsius, Warn: from(fahrenheit(28)), WarnAt: true, Hard: fahrenheits(-20, 120),
			Source: "Legendre, LSU AgMag 2001; Legendre et al. 2007"},
		{Code: BoundCutToMill, Unit: UnitHours, Usual: between(0, 24), Warn: upTo(48), Hard: between(0, 720),
			Source: "Saxena et al. 2010, AJCS 4(9):692; dextran study on variety Co 6806", slips: []slipRule{times(SlipMinutesAsHours, 1/60.0)}},
		{Code: BoundTrash, Unit: UnitPercent, Usual: between(0, 5), Warn: upTo(10), Hard: between(0, 60), Source: practice,
			slips: decimalPoint()},
		{Code: BoundCanePerAcre, Unit: UnitTonsPerAcre, Warn: upTo(60), Hard: between(0, 200), Source: practice,
			slips: []slipRule{times(SlipCountedTwice, 0.5)}},
		{Code: BoundSyrupPerAcre, Unit: UnitGallonsPerAcre, Usual: between(150, 500), Warn: upTo(700), Hard: between(0, 1500),
			Source: "Georgia, Historical and Industrial (1901)",
			slips:  append([]slipRule{times(SlipCountedTwice, 0.5)}, gallonsAndLiters()...)},
	}
}

func millBounds() []Bound {
	return []Bound{
		{Code: BoundJuicePerTon, Unit: UnitGallonsPerTon, Usual: between(100, 145), Warn: between(90, 160), Hard: between(0, 230), Source: practice,
			slips: gallonsAndLiters()},
		{Code: BoundExtraction, Unit: UnitPercent, Usual: between(50, 65), Warn: between(45, 70), Hard: between(5, 90), Source: practice,
			slips: []slipRule{times(SlipFractionAsPercent, 100)}},
		{Code: BoundJuiceBrix, Unit: UnitBrix, Usual: between(14, 20), Warn: between(11, 23), Hard: between(2, 30), Source: practice,
			slips: append([]slipRule{times(SlipFractionAsPercent, 100), baumeAsBrix()}, decimalPoint()...)},
		{Code: BoundJuicePH, Unit: UnitPH, Usual: between(5.0, 5.5), Warn: between(4.8, 5.8), Hard: between(3, 9),
			Source: practice, UsualSource: "J. Food Processing & Technology 5:399", slips: decimalPoint()},
		{Code: BoundJuiceTemp, Unit: UnitCelsius, Usual: fahrenheits(45, 85), Warn: upTo(fahrenheit(90)), Hard: fahrenheits(28, 140), Source: practice,
			slips: temperatureSlips()},
		{Code: BoundJuiceHold, Unit: UnitHours, Usual: between(0, 2), Warn: upTo(4), Hard: between(0, 72),
			Source: practice, UsualSource: "Microbial changes in sweet sorghum juices (abstract)", slips: []slipRule{times(SlipMinutesAsHours, 1/60.0)}},
		{Code: BoundTankVolume, Unit: UnitLiters, Usual: gallons(20, 300), Hard: gallons(0, 5000), Source: practice},
	}
}

func kettleBounds() []Bound {
	return []Bound{
		// The warning is the kettle's own size.
		{Code: BoundCharge, Unit: UnitLiters, Usual: gallons(40, 100), Hard: gallons(1, 2000),
			Source: practice, UsualSource: "growers' note, South Carolina; growers' essay on kettle syrup, 2002"},
		{Code: BoundTimeToBoil, Unit: UnitHours, Usual: between(0.5, 1.5), Warn: upTo(3), Hard: between(0, 12), Source: practice,
			slips: []slipRule{times(SlipMinutesAsHours, 1/60.0)}},
		{Code: BoundCook, Unit: UnitHours, Usual: between(3, 6), Warn: between(2, 9), Hard: between(0.2, 30),
			Source: practice, UsualSource: "Florida historical marker on home cane-syrup production", slips: []slipRule{times(SlipMinutesAsHours, 1/60.0), times(SlipDaysAsHours, 24)}},
		{Code: BoundEvaporation, Unit: UnitGallonsPerHour, Usual: between(8, 25), Warn: between(5, 40), Hard: between(0, 300), Source: practice,
			slips: gallonsAndLiters()},
		// The warning is 2 F off the boiling point of the place's height.
		{Code: BoundWaterBoils, Unit: UnitCelsius, Usual: fahrenheits(205, 213), Hard: fahrenheits(190, 216), Source: practice,
			slips: temperatureSlips()},
		{Code: BoundFinishTemp, Unit: UnitCelsius, Usual: fahrenheits(222, 230), Warn: fahrenheits(220, 232), Hard: fahrenheits(200, 260), Source: practice,
			slips: temperatureSlips()},
		{Code: BoundFinishRise, Unit: UnitCelsiusDelta, Usual: fahrenheitDeltas(10, 17), Warn: fahrenheitDeltas(8, 20), Hard: fahrenheitDeltas(0, 45),
			Source: practice, slips: []slipRule{times(SlipCelsiusAsFahrenheit, 1.8), times(SlipFahrenheitAsCelsius, 1/1.8)}},
		{Code: BoundBaume, Unit: UnitBaume, Usual: between(33, 41), Warn: between(32, 43), Hard: between(0, 70), Source: practice,
			slips: []slipRule{brixAsBaume()}},
		{Code: BoundReadingTemp, Unit: UnitCelsius, Usual: fahrenheits(60, 226), Warn: upTo(fahrenheit(232)), Hard: fahrenheits(32, 260), Source: practice,
			slips: temperatureSlips()},
	}
}

func boilBounds() []Bound {
	solids := append([]slipRule{times(SlipFractionAsPercent, 100), syrupBaumeAsBrix()}, decimalPoint()...)
	return []Bound{
		{Code: BoundSolids, Unit: UnitSolids, Usual: between(74, 78), Warn: between(74, 80), Hard: between(40, 92), Source: "21 CFR 168.130(a)",
			slips: solids},
		{Code: BoundRefractometer, Unit: UnitBrix, Usual: between(74, 79), Warn: between(74, 80), Hard: between(0, 95), Source: "21 CFR 168.130(a)",
			slips: slices.Clone(solids)},
		{Code: BoundJuicePerSyrup, Unit: UnitRatio, Usual: between(5, 8), Warn: between(4, 11), Hard: between(1.5, 40), Source: practice,
			slips: gallonsAndLiters()},
		// The difference to the measured juice, without its sign.
		{Code: BoundImpliedBrix, Unit: UnitBrix, Usual: between(0, 2), Warn: upTo(2), Source: practice},
		{Code: BoundSolidsBalance, Unit: UnitPercent, Usual: between(90, 100), Warn: between(85, 102), Source: practice,
			slips: []slipRule{times(SlipFractionAsPercent, 100)}},
		{Code: BoundClarifier, Unit: UnitPercent, Hard: between(0, 10), Source: practice},
	}
}

func syrupBounds() []Bound {
	return []Bound{
		{Code: BoundSyrupPH, Unit: UnitPH, Usual: between(4.5, 5.5), Warn: between(4.2, 6.0), Hard: between(2.5, 9),
			Source: practice, UsualSource: "Vicentini-Polette et al. 2019, doi 10.19084/rca.17279", slips: decimalPoint()},
		{Code: BoundWaterActivity, Unit: UnitActivity, Usual: between(0.72, 0.80), Warn: upTo(0.82), Hard: between(0.3, 1.0), Source: practice,
			slips: []slipRule{times(SlipPercentAsFraction, 0.01)}},
		// The warning depends on the solids: under 12 % in syrup over 75 Brix.
		{Code: BoundReducing, Unit: UnitPercent, Usual: between(15, 40), Hard: between(0, 80),
			Source: practice, UsualSource: "FAO INPhO, Sugarcane Syrup (2007); Vicentini-Polette et al. 2019", slips: []slipRule{times(SlipFractionAsPercent, 100)}},
		{Code: BoundAsh, Unit: UnitPercent, Usual: between(1, 2.5), Warn: upTo(3), Hard: between(0, 15),
			Source: practice, UsualSource: "H. W. Wiley, Foods and their adulteration; Vicentini-Polette et al. 2019", slips: decimalPoint()},
		{Code: BoundSulfite, Unit: UnitPPM, Warn: upTo(10), WarnAt: true, Hard: between(0, 5000), Source: "21 CFR 130.9; 21 CFR 101.100(a)(4)"},
		{Code: BoundLead, Unit: UnitPPB, Usual: between(0, 50), Warn: upTo(100), Hard: between(0, 100000), Source: practice},
	}
}

func bottlingBounds() []Bound {
	return []Bound{
		{Code: BoundTankAtFill, Unit: UnitCelsius, Usual: fahrenheits(185, 195), Warn: fahrenheits(180, 205), Hard: fahrenheits(40, 240), Source: practice,
			slips: temperatureSlips()},
		// The warning is the house limit of the bottle; usual is what maple guides ask for, up to the tank's own warning.
		{Code: BoundBottleAtCap, Unit: UnitCelsius, Usual: fahrenheits(180, 205), Hard: fahrenheits(40, 240),
			Source: practice, UsualSource: "OMAFRA 2014; CFIA, maple syrup packing", slips: temperatureSlips()},
		{Code: BoundCheckInterval, Unit: UnitMinutes, Usual: between(15, 30), Warn: upTo(60), Source: practice},
		{Code: BoundInverted, Unit: UnitSeconds, Usual: between(60, 600), Warn: from(30), Hard: between(0, 3600), Source: practice, UsualSource: "OMAFRA 2014",
			slips: []slipRule{times(SlipMinutesAsSeconds, 60)}},
		// The warning is the label.
		{Code: BoundFillWeight, Unit: UnitGrams, Hard: from(0), Source: practice},
		{Code: BoundBottlesOff, Unit: UnitPercent, Warn: between(-3, 3), Source: practice},
		{Code: BoundCapsOff, Unit: UnitPercent, Usual: between(-1, 1), Warn: between(-2, 2), Source: practice},
		{Code: BoundCooling, Unit: UnitHours, Usual: between(0, 12), Warn: upTo(24), Source: practice,
			slips: []slipRule{times(SlipMinutesAsHours, 1/60.0)}},
		{Code: BoundDaysHeld, Unit: UnitDays, Usual: between(1, 7), Warn: from(0), WarnAt: true, Source: practice},
	}
}

func cleaningBounds() []Bound {
	return []Bound{
		{Code: BoundChlorine, Unit: UnitPPM, Usual: between(50, 200), Warn: upTo(200), Hard: between(0, 5000), Source: practice},
		{Code: BoundHotWater, Unit: UnitCelsius, Warn: from(fahrenheit(160)), Source: practice, slips: temperatureSlips()},
		{Code: BoundNitrate, Unit: UnitMilligramsPerLiter, Usual: between(0, 10), Warn: upTo(10), Source: practice},
		{Code: BoundCountDiffering, Unit: UnitCount, Warn: between(0, 0), Source: practice},
	}
}
