package syrup

import "math"

// Yield is what a quantity of juice gives, by mass balance on the solids. Gross: skimmings, spills and what sticks
// to the kettle are not taken off. Volumes are at 20 C.
type Yield struct {
	Juice         Kilograms
	Syrup         Kilograms
	WaterOff      Kilograms
	SyrupVolume   Liters
	JuicePerSyrup float64   // volume by volume
	Lost          Kilograms // syrup's worth of skimmings and spills; 0 until Less takes it off
}

// mostLoss is the most that a typed loss may be.
const mostLoss = 90.0

// Less takes a loss off a yield: the share of the solids, 0 to 0.9, that went with skimmings, spills and what stuck to the
// kettle. The water driven off stays as it was.
func (y Yield) Less(loss Fraction) (Yield, error) {
	if err := inRange(WhatLoss, float64(loss)*100, 0, mostLoss, "%"); err != nil {
		return Yield{}, err
	}
	kept := 1 - loss
	y.Lost = y.Syrup * Kilograms(loss)
	y.Syrup *= Kilograms(kept)
	y.SyrupVolume *= Liters(kept)
	y.JuicePerSyrup /= float64(kept)
	return y, nil
}

// SyrupFromJuice is the yield of a volume of juice (at 20 C) boiled down to the given solids. Juice solids above 0
// and at most the syrup's; syrup up to 85 %. Model: M_s = M_j Bj/Bs. Published ratios (maple, farm press) are met
// to 0.5 %.
func SyrupFromJuice(juice Liters, juiceSolids, syrupSolids Brix) (Yield, error) {
	if err := positive(WhatVolume, float64(juice), "L"); err != nil {
		return Yield{}, err
	}
	ratio, err := JuicePerSyrup(juiceSolids, syrupSolids)
	if err != nil {
		return Yield{}, err
	}
	mass := massOf(juice, juiceSolids, ReferenceTemperature)
	syrup := mass * Kilograms(juiceSolids/syrupSolids)
	return Yield{
		Juice:         mass,
		Syrup:         syrup,
		WaterOff:      mass - syrup,
		SyrupVolume:   juice / Liters(ratio),
		JuicePerSyrup: ratio,
	}, nil
}

// JuicePerSyrup is the volume of juice that makes one volume of syrup, both at 20 C, without losses:
// R = rho(Bs) Bs / (rho(Bj) Bj).
func JuicePerSyrup(juiceSolids, syrupSolids Brix) (float64, error) {
	if err := solidsRange(WhatSyrupSolids, syrupSolids); err != nil {
		return 0, err
	}
	if !(juiceSolids > 0 && juiceSolids <= syrupSolids) {
		// The smallest step a person can type stands for "above 0".
		return 0, RangeError{WhatJuiceSolids, float64(juiceSolids), 0.1, float64(syrupSolids), "%"}
	}
	return solidsPerVolume(syrupSolids) / solidsPerVolume(juiceSolids), nil
}

// ImpliedJuiceSolids is the strength of juice at which a measured juice-to-syrup volume ratio holds without loss.
// Real juice was stronger by whatever was lost.
func ImpliedJuiceSolids(juice, syrup Liters, syrupSolids Brix) (Brix, error) {
	if err := solidsRange(WhatSyrupSolids, syrupSolids); err != nil {
		return 0, err
	}
	if err := positive(WhatVolume, float64(juice), "L"); err != nil {
		return 0, err
	}
	if err := positive(WhatVolume, float64(syrup), "L"); err != nil {
		return 0, err
	}
	ratio := float64(juice) / float64(syrup)
	if !(ratio >= 1) || math.IsInf(ratio, 1) {
		return 0, RangeError{What: WhatRatio, Got: ratio, Min: 1, Max: math.Inf(1)}
	}
	want := solidsPerVolume(syrupSolids) / ratio
	juiceSolids := bisect(func(b float64) float64 { return solidsPerVolume(Brix(b)) - want }, 0, float64(syrupSolids))
	return Brix(juiceSolids), nil
}

// Adjustment is the water that brings a batch to its target, off or in. Volumes of water and of the batch after
// are at 20 C.
type Adjustment struct {
	Before      Kilograms
	After       Kilograms
	Water       Kilograms
	WaterVolume Liters
	AfterVolume Liters
}

// WaterToGo is the water still to boil off a batch: volume read at temperature t, solids now, solids wanted. now
// above 0 and at most the target; t 0 to 110 C; losses not included.
func WaterToGo(batch Liters, t Celsius, now, target Brix) (Adjustment, error) {
	if err := solidsRange(WhatSolids, target); err != nil {
		return Adjustment{}, err
	}
	if !(now > 0 && now <= target) {
		return Adjustment{}, RangeError{WhatSolids, float64(now), 0.1, float64(target), "%"}
	}
	return adjust(batch, t, now, target)
}

// WaterToAdd is the water that thins a batch that went too far: volume read at temperature t, solids now, solids
// wanted. The target is above 0 and at most now; t 0 to 110 C.
func WaterToAdd(batch Liters, t Celsius, now, target Brix) (Adjustment, error) {
	if err := solidsRange(WhatSolids, now); err != nil {
		return Adjustment{}, err
	}
	if !(target > 0 && target <= now) {
		return Adjustment{}, RangeError{WhatSolids, float64(target), 0.1, float64(now), "%"}
	}
	return adjust(batch, t, now, target)
}

// adjust keeps the solids and changes the water: W = M |B1/B2 - 1|.
func adjust(batch Liters, t Celsius, now, target Brix) (Adjustment, error) {
	if err := positive(WhatVolume, float64(batch), "L"); err != nil {
		return Adjustment{}, err
	}
	if err := densityTemperature(t); err != nil {
		return Adjustment{}, err
	}
	before := massOf(batch, now, t)
	after := before * Kilograms(now/target)
	water := Kilograms(math.Abs(float64(before - after)))
	return Adjustment{
		Before:      before,
		After:       after,
		Water:       water,
		WaterVolume: volumeOf(water, 0),
		AfterVolume: volumeOf(after, target),
	}, nil
}

// massOf weighs a volume at t; the caller has checked the ranges.
func massOf(v Liters, w Brix, t Celsius) Kilograms {
	return Kilograms(float64(v) * densityAt(float64(t)).of(float64(w)/100) / 1000)
}

// volumeOf is the volume at 20 C of a mass.
func volumeOf(m Kilograms, w Brix) Liters {
	return Liters(float64(m) * 1000 / densityAt(float64(ReferenceTemperature)).of(float64(w)/100))
}

// solidsPerVolume is proportional to the solids in a liter at 20 C.
func solidsPerVolume(w Brix) float64 {
	return float64(w) * densityAt(float64(ReferenceTemperature)).of(float64(w)/100)
}
