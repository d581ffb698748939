package main

import (
	"errors"
	"flag"
	"math"
	"strconv"

	"canewright/hazards"
	"canewright/hazards/text"
)

// sayProblem writes an error for a person: what the physics found in the catalogue's words, anything else as it stands.
func sayProblem(err error) string {
	var flags flagProblem
	if errors.As(err, &flags) {
		return err.Error() // already in the catalogue's words, one line for each flag
	}
	return hazards.SayProblem(text.English, err)
}

// hints are what the person likely meant, where a refused value looks like a known slip.
func hints(in *inputs, err error) []string {
	if meant := hazards.SayMeant(text.English, err, ""); meant != "" {
		return []string{meant}
	}
	var list []string
	in.set.Visit(func(f *flag.Flag) {
		if meant := hazards.SayMeant(text.English, err, f.Value.String()); meant != "" {
			list = append(list, meant)
		}
	})
	return list
}

// plain writes a number with at most three decimals and no trailing zeros.
func plain(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}
