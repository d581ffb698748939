package syrup

// Blend is how two lots mix to a target: shares by mass, and the volumes at 20 C to pour of each at its own density.
type Blend struct {
	FirstShare   Fraction // of the mass
	SecondShare  Fraction
	First        Kilograms
	Second       Kilograms
	FirstVolume  Liters
	SecondVolume Liters
	Volume       Liters // of the blend, from its own density
}

// BlendShares are the shares by mass of two lots that give the target: the Pearson square. The target must lie between
// the two strengths; solids 0 to 85 %. Two lots of one strength make that strength of the first alone.
func BlendShares(first, second, target Brix) (Fraction, error) {
	if err := solidsRange(WhatSolids, first); err != nil {
		return 0, err
	}
	if err := solidsRange(WhatSolids, second); err != nil {
		return 0, err
	}
	if err := inRange(WhatTarget, float64(target), float64(min(first, second)), float64(max(first, second)), "%"); err != nil {
		return 0, err
	}
	if first == second {
		return 1, nil
	}
	return Fraction((target - second) / (first - second)), nil
}

// BlendTo makes a volume of the target (at 20 C) from two lots. Ranges as BlendShares.
func BlendTo(volume Liters, first, second, target Brix) (Blend, error) {
	if err := positive(WhatVolume, float64(volume), "L"); err != nil {
		return Blend{}, err
	}
	share, err := BlendShares(first, second, target)
	if err != nil {
		return Blend{}, err
	}
	return blendOf(massOf(volume, target, ReferenceTemperature), share, first, second, target), nil
}

// BlendAll uses up a volume of the first lot (at 20 C) and says how much of the second brings it to the target. A target
// that is the second lot's own strength takes no first and is refused.
func BlendAll(first Liters, firstSolids, secondSolids, target Brix) (Blend, error) {
	if err := positive(WhatVolume, float64(first), "L"); err != nil {
		return Blend{}, err
	}
	share, err := BlendShares(firstSolids, secondSolids, target)
	if err != nil {
		return Blend{}, err
	}
	if err := inRange(WhatFirstShare, float64(share)*100, 0.1, 100, "%"); err != nil {
		return Blend{}, err
	}
	mass := massOf(first, firstSolids, ReferenceTemperature) / Kilograms(share)
	return blendOf(mass, share, firstSolids, secondSolids, target), nil
}

// blendOf parts the mass of a blend.
func blendOf(mass Kilograms, share Fraction, first, second, target Brix) Blend {
	b := Blend{FirstShare: share, SecondShare: 1 - share, First: mass * Kilograms(share), Second: mass * Kilograms(1-share)}
	b.FirstVolume, b.SecondVolume = volumeOf(b.First, first), volumeOf(b.Second, second)
	b.Volume = volumeOf(mass, target)
	return b
}

// VolumeKept is the share of its volume (at 20 C) that a syrup keeps when it is boiled from now to the target, without
// losses; above 1 when it is thinned. Solids above 0, at most 85 %.
func VolumeKept(now, target Brix) (Fraction, error) {
	for _, w := range []Brix{now, target} {
		if err := inRange(WhatSolids, float64(w), 0.1, float64(MaxSolids), "%"); err != nil {
			return 0, err
		}
	}
	return Fraction(solidsPerVolume(now) / solidsPerVolume(target)), nil
}
