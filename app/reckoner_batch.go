package app

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
)

// batch asks for a batch, its solids and the solids wanted; the volume is taken as at 20 C when no temperature is typed.
func (f *reckonForm) batch() (volume syrup.Liters, at *syrup.Celsius, now, target syrup.Brix) {
	volume = f.volume("volume")
	at = f.maybeTemperature("volume_at", nil, optional)
	now = f.solids("solids", nil)
	target = f.solids("to", f.target)
	return volume, at, now, target
}

// saidBatch says how the volume was taken.
func (r *reckoned) saidBatch(f *reckonForm, at *syrup.Celsius) {
	if at == nil {
		r.say(f, "reckoner.said.volume_cold")
		return
	}
	r.say(f, "reckoner.said.volume_hot", "At", f.degrees(*at).both())
}

// orCold is the temperature a volume was read at, 20 C when nobody said.
func orCold(at *syrup.Celsius) syrup.Celsius {
	if at == nil {
		return syrup.ReferenceTemperature
	}
	return *at
}

// reckonThin is the water to add to syrup that was cooked too far.
func reckonThin(f *reckonForm) (*reckoned, error) {
	volume, at, now, target := f.batch()
	if !f.ready() {
		return nil, nil
	}
	a, err := syrup.WaterToAdd(volume, orCold(at), now, target)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelYield)
	r.add(f, "water_to_add", f.liters(a.WaterVolume), "")
	r.add(f, "as_weight", f.kilograms(a.Water), "")
	r.add(f, "makes", f.liters(a.AfterVolume), "")
	r.saidBatch(f, at)
	r.say(f, "reckoner.said.mix_again")
	return r, nil
}

// reckonThicken is the water still to boil off, and the volume it leaves.
func reckonThicken(f *reckonForm) (*reckoned, error) {
	volume, at, now, target := f.batch()
	if !f.ready() {
		return nil, nil
	}
	a, err := syrup.WaterToGo(volume, orCold(at), now, target)
	if err != nil {
		return nil, err
	}
	kept, err := syrup.VolumeKept(now, target)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelYield)
	r.add(f, "water_off", f.liters(a.WaterVolume), "")
	r.add(f, "as_weight", f.kilograms(a.Water), "")
	r.add(f, "leaves", f.liters(a.AfterVolume), "")
	r.add(f, "volume_lost", f.percentOf(100*(1-float64(kept)), 1), "")
	if lost, below := hazards.LostToCane(now); below && hazards.SolidsText(target) != "74.0" {
		r.say(f, "reckoner.said.lost_to_74", "Lost", f.percentOf(float64(lost)*100, 1).value)
	}
	r.saidBatch(f, at)
	r.say(f, "reckoner.said.no_losses")
	return r, nil
}

// What the volume typed for a blend is.
const (
	blendMake = "make"
	blendUse  = "use"
)

// reckonBlend mixes two lots to a target, by mass, with the volumes to pour where one is typed.
func reckonBlend(f *reckonForm) (*reckoned, error) {
	first, second, target := f.solids("first", nil), f.solids("second", nil), f.solids("to", f.target)
	amount := f.maybeVolume("amount", optional)
	of := f.choose("amount_is", blendMake, blendMake, blendUse)
	if !f.ready() {
		return nil, nil
	}
	share, err := syrup.BlendShares(first, second, target)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelBlend)
	if amount == nil {
		r.say(f, "reckoner.said.give_amount")
	} else if err := r.pour(f, *amount, of, first, second, target); err != nil {
		return nil, err
	}
	r.add(f, "first_share", f.percentOf(float64(share)*100, 1), "")
	r.add(f, "second_share", f.percentOf(100-float64(share)*100, 1), "")
	r.say(f, "reckoner.said.parents")
	return r, nil
}

// pour adds the volumes of a blend.
func (r *reckoned) pour(f *reckonForm, amount syrup.Liters, of string, first, second, target syrup.Brix) error {
	blend := syrup.BlendTo
	if of == blendUse {
		blend = syrup.BlendAll
	}
	b, err := blend(amount, first, second, target)
	if err != nil {
		return err
	}
	r.add(f, "pour_first", f.liters(b.FirstVolume), "")
	r.add(f, "pour_second", f.liters(b.SecondVolume), "")
	r.add(f, "makes", f.liters(b.Volume), "")
	r.say(f, "reckoner.said.pour_weights", "First", f.kilograms(b.First).both(), "Second", f.kilograms(b.Second).both())
	r.say(f, "reckoner.said.at_68")
	return nil
}

// reckonYield is the syrup that juice gives.
func reckonYield(f *reckonForm) (*reckoned, error) {
	juice := f.volume("juice")
	brix := f.solids("juice_brix", nil)
	solids := f.solids("solids", f.target)
	loss := f.share("loss", true, syrup.WhatLoss)
	if !f.ready() {
		return nil, nil
	}
	y, err := syrup.SyrupFromJuice(juice, brix, solids)
	if err == nil {
		y, err = y.Less(syrup.Fraction(known(loss) / 100))
	}
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelYield)
	r.add(f, "syrup", f.liters(y.SyrupVolume), "")
	r.add(f, "as_weight", f.kilograms(y.Syrup), "")
	r.add(f, "water_off", f.kilograms(y.WaterOff), "")
	r.add(f, "juice_per_syrup", f.one(fixed(y.JuicePerSyrup, 2), ""), "")
	if loss == nil {
		r.say(f, "reckoner.said.no_losses")
	} else {
		r.say(f, "reckoner.said.loss", "Loss", f.one(plainNumber(*loss), "unit.percent").value, "Lost", f.kilograms(y.Lost).both())
	}
	r.say(f, "reckoner.said.at_68")
	return r, nil
}

// reckonImplied is the strength of juice that the syrup made speaks for.
func reckonImplied(f *reckonForm) (*reckoned, error) {
	juice, made := f.volume("juice"), f.volume("made")
	solids := f.solids("solids", f.target)
	if !f.ready() {
		return nil, nil
	}
	brix, err := syrup.ImpliedJuiceSolids(juice, made, solids)
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelYield)
	r.add(f, "implied_brix", f.one(fixed(brix, 1), "unit.brix"), "")
	r.add(f, "juice_per_syrup", f.one(fixed(float64(juice/made), 2), ""), "")
	r.say(f, "reckoner.said.implied")
	return r, nil
}

// reckonViscosity is how thick a syrup runs.
func reckonViscosity(f *reckonForm) (*reckoned, error) {
	solids, at := f.solids("solids", f.target), f.temperature("at", nil)
	purity := f.share("purity", false, syrup.WhatPurity)
	if !f.ready() {
		return nil, nil
	}
	pure := 100.0
	if purity != nil {
		pure = *purity
	}
	v, off, err := syrup.Viscosity(solids, at, syrup.Fraction(pure/100))
	if err != nil {
		return nil, err
	}
	r := modelled(syrup.ModelViscosity)
	r.add(f, "viscosity", f.one(fixed(v, 0), "unit.millipascal_second"), f.one(fixed(off, 0), "unit.millipascal_second").value)
	if purity == nil {
		r.say(f, "reckoner.said.pure_runs")
	}
	return r, nil
}
