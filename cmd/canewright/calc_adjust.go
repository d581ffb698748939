package main

import (
	"canewright/hazards"
	"canewright/hazards/syrup"
)

// batch is the batch that calc thin and calc thicken start from.
type batch struct {
	VolumeGal          float64 `json:"volume_gal"`
	VolumeL            float64 `json:"volume_l"`
	TemperatureC       float64 `json:"temperature_c"`
	TemperatureF       float64 `json:"temperature_f"`
	TemperatureAssumed bool    `json:"temperature_assumed"`
	SolidsPercent      float64 `json:"solids_percent"`
	ToPercent          float64 `json:"to_percent"`
	Estimated          bool    `json:"estimated"`
	Model              string  `json:"model"`
	temperature        syrup.Celsius
}

// batchFrom reads --volume, --at, --solids and --to.
func batchFrom(in *inputs, solidsExample, toExample string) (b batch, volume syrup.Liters, now, target syrup.Brix) {
	volume = required(in, "volume", "20gal", volumeAboveZero)
	now = required(in, "solids", solidsExample, percentSolids)
	target = required(in, "to", toExample, percentSolids)
	at := optional(in, "at", syrup.ReferenceTemperature, syrup.ParseTemperature)
	return batch{
		VolumeGal: figure(volume.USGallons()), VolumeL: figure(volume),
		TemperatureC: figure(at), TemperatureF: figure(at.Fahrenheit()), TemperatureAssumed: !in.given("at"),
		SolidsPercent: figure(now), ToPercent: figure(target), Estimated: true, Model: syrup.ModelYield, temperature: at,
	}, volume, now, target
}

func (b batch) assumption() []string {
	if b.TemperatureAssumed {
		return []string{say("calc.batch.assumed")}
	}
	return []string{say("calc.batch.read", "Temperature", temperatureText(b.temperature))}
}

// thinFound is the answer of calc thin.
type thinFound struct {
	WaterGal float64 `json:"water_gal"`
	WaterL   float64 `json:"water_l"`
	WaterLb  float64 `json:"water_lb"`
	WaterKg  float64 `json:"water_kg"`
	FinalGal float64 `json:"final_gal"`
	FinalL   float64 `json:"final_l"`
	batch
}

// calcThin is `calc thin --volume 20gal --solids 78 --to 75 [--at 180F]`.
func calcThin(in *inputs) (result, error) {
	if err := in.parse("volume", "solids", "to", "at"); err != nil {
		return nil, err
	}
	b, volume, now, target := batchFrom(in, "78", "75")
	if err := in.err(); err != nil {
		return nil, err
	}
	a, err := syrup.WaterToAdd(volume, b.temperature, now, target)
	if err != nil {
		return nil, err
	}
	return thinFound{
		WaterGal: figure(a.WaterVolume.USGallons()), WaterL: figure(a.WaterVolume),
		WaterLb: figure(a.Water.Pounds()), WaterKg: figure(a.Water),
		FinalGal: figure(a.AfterVolume.USGallons()), FinalL: figure(a.AfterVolume), batch: b,
	}, nil
}

func (f thinFound) lines() []string {
	lines := []string{
		say("calc.thin.result", "Gallons", decimals(f.WaterGal, 2), "Liters", decimals(f.WaterL, 2), "Pounds", decimals(f.WaterLb, 2),
			"Kilograms", decimals(f.WaterKg, 2)),
		say("calc.thin.after", "Gallons", decimals(f.FinalGal, 2), "Liters", decimals(f.FinalL, 1), "Solids", solidsText(syrup.Brix(f.ToPercent))),
	}
	return append(append(lines, f.assumption()...), say("calc.thin.next"))
}

// thickenFound is the answer of calc thicken.
type thickenFound struct {
	LeftGal           float64  `json:"left_gal"`
	LeftL             float64  `json:"left_l"`
	WaterOffGal       float64  `json:"water_off_gal"`
	WaterOffL         float64  `json:"water_off_l"`
	WaterOffLb        float64  `json:"water_off_lb"`
	WaterOffKg        float64  `json:"water_off_kg"`
	VolumeLostPercent float64  `json:"volume_lost_percent"`
	VolumeLostTo74    *float64 `json:"volume_lost_to_74_percent,omitempty"` // where 74 % lies further on
	batch
}

// calcThicken is `calc thicken --volume 20gal --solids 70 --to 74 [--at 220F]`.
func calcThicken(in *inputs) (result, error) {
	if err := in.parse("volume", "solids", "to", "at"); err != nil {
		return nil, err
	}
	b, volume, now, target := batchFrom(in, "70", "74")
	if err := in.err(); err != nil {
		return nil, err
	}
	a, err := syrup.WaterToGo(volume, b.temperature, now, target)
	if err != nil {
		return nil, err
	}
	kept, err := syrup.VolumeKept(now, target)
	if err != nil {
		return nil, err
	}
	return thickenFound{
		LeftGal: figure(a.AfterVolume.USGallons()), LeftL: figure(a.AfterVolume),
		WaterOffGal: figure(a.WaterVolume.USGallons()), WaterOffL: figure(a.WaterVolume),
		WaterOffLb: figure(a.Water.Pounds()), WaterOffKg: figure(a.Water),
		VolumeLostPercent: figure(100 * (1 - kept)), VolumeLostTo74: lostTo74(now), batch: b,
	}, nil
}

// lostTo74 is the share of its volume, in percent, that a syrup below 74 % loses on the way there; nil from 74 % on and where
// there is next to nothing in the water.
func lostTo74(now syrup.Brix) *float64 {
	lost, ok := hazards.LostToCane(now)
	if !ok {
		return nil
	}
	return pointer(100 * lost)
}

func (f thickenFound) lines() []string {
	lines := []string{
		say("calc.thicken.result", "Gallons", decimals(f.WaterOffGal, 2), "Liters", decimals(f.WaterOffL, 2),
			"Pounds", decimals(f.WaterOffLb, 2), "Kilograms", decimals(f.WaterOffKg, 2)),
		say("calc.thicken.left", "Gallons", decimals(f.LeftGal, 2), "Liters", decimals(f.LeftL, 1),
			"Solids", solidsText(syrup.Brix(f.ToPercent)), "Lost", decimals(f.VolumeLostPercent, 1)),
	}
	if f.VolumeLostTo74 != nil && syrup.Brix(f.ToPercent) != caneSyrupSolids {
		lines = append(lines, say("calc.lost_to_74", "Lost", decimals(*f.VolumeLostTo74, 1)))
	}
	return append(append(lines, f.assumption()...), say("calc.yield.losses"))
}
