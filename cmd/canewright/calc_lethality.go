package main

import (
	"errors"
	"os"

	"canewright/hazards/syrup"
)

// lethalityFound is the answer of calc lethality.
type lethalityFound struct {
	FMinutes   float64 `json:"f_minutes"`
	ReferenceC float64 `json:"reference_c"`
	ReferenceF float64 `json:"reference_f"`
	ZC         float64 `json:"z_c"`
	ZF         float64 `json:"z_f"`
	Readings   int     `json:"readings"`
	OverMin    float64 `json:"over_minutes"`
	HighestC   float64 `json:"highest_c"`
	HighestF   float64 `json:"highest_f"`
	Estimated  bool    `json:"estimated"`
	Model      string  `json:"model"`
	reference  syrup.Celsius
	highest    syrup.Celsius
}

// calcLethality is `calc lethality --ref 180F --z 23F --csv FILE`.
func calcLethality(in *inputs) (result, error) {
	if err := in.parse("ref", "z", "csv"); err != nil {
		return nil, err
	}
	ref := required(in, "ref", "180F", syrup.ParseTemperature)
	z := required(in, "z", "23F", syrup.ParseDifference)
	record := required(in, "csv", "cooling.csv", readRecord)
	if err := in.err(); err != nil {
		return nil, err
	}
	minutes, err := syrup.Lethality(record, ref, z)
	if err != nil {
		return nil, err
	}
	highest := record[0].Temperature
	for _, m := range record {
		highest = max(highest, m.Temperature)
	}
	return lethalityFound{
		FMinutes: figure(minutes), ReferenceC: figure(ref), ReferenceF: figure(ref.Fahrenheit()), ZC: figure(z), ZF: figure(z.Fahrenheit()),
		Readings: len(record), OverMin: figure(record[len(record)-1].Minutes - record[0].Minutes),
		HighestC: figure(highest), HighestF: figure(highest.Fahrenheit()),
		Estimated: true, Model: syrup.ModelLethality, reference: ref, highest: highest,
	}, nil
}

// readRecord reads a file of minutes and temperatures.
func readRecord(path string) ([]syrup.Moment, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, errors.New(say("calc.lethality.no_file", "Path", path))
	}
	defer file.Close()
	return syrup.ParseRecord(file)
}

func (f lethalityFound) lines() []string {
	return []string{
		say("calc.lethality.result", "Minutes", decimals(f.FMinutes, 2), "Reference", temperatureText(f.reference), "Z", decimals(f.ZF, 1)),
		say("calc.lethality.record", "Readings", f.Readings, "Over", plain(f.OverMin), "Highest", temperatureText(f.highest)),
		say("calc.lethality.information"),
	}
}
