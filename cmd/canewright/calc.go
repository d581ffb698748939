package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"canewright/hazards/text"
)

// Exit codes of calc: done, a checked lot code is wrong, wrong use.
const (
	calcDone  = 0
	calcWrong = 1
	calcUsage = 2
)

// result is what a calculation found: it becomes JSON as it stands, or lines for a person.
type result interface {
	lines() []string
}

// calculation is one subcommand of calc. It registers its flags on the inputs, parses, and calculates.
type calculation func(in *inputs) (result, error)

func calculations() map[string]calculation {
	return map[string]calculation{
		"solids":        calcSolids,
		"reading":       calcReading,
		"refractometer": calcRefractometer,
		"boil":          calcBoil,
		"compare":       calcCompare,
		"aw":            calcActivity,
		"crystal":       calcCrystal,
		"weight":        calcWeight,
		"yield":         calcYield,
		"implied":       calcImplied,
		"thin":          calcThin,
		"thicken":       calcThicken,
		"blend":         calcBlend,
		"fill":          calcFill,
		"headspace":     calcHeadspace,
		"lethality":     calcLethality,
		"viscosity":     calcViscosity,
		"net":           calcNet,
		"panel":         calcPanel,
		"shelf":         calcShelf,
		"name":          calcName,
		"nutrition":     calcNutrition,
		"lotcode":       calcLotCode,
	}
}

// calcHelp lists the calculations, each with its line "calc.about.<name>".
func calcHelp() string {
	var b strings.Builder
	b.WriteString(say("calc.help.head"))
	for _, name := range slices.Sorted(maps.Keys(calculations())) {
		fmt.Fprintf(&b, "  calc %-14s %s\n", name, say("calc.about."+name))
	}
	b.WriteString(say("calc.help.tail"))
	return b.String()
}

// calc runs `canewright calc …` and gives the exit code: the arithmetic of the syrup house, nothing recorded.
func calc(args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, calcHelp())
		return calcUsage
	}
	name := args[0]
	if name == "help" || name == "-h" || name == "--help" || name == "-help" {
		fmt.Fprint(stdout, calcHelp())
		return calcDone
	}
	run, ok := calculations()[name]
	if !ok {
		fmt.Fprintln(stderr, say("calc.unknown", "Name", name))
		fmt.Fprintln(stderr, say("calc.see_help", "Command", "canewright calc"))
		return calcUsage
	}
	return calculate(name, run, args[1:], stdout, stderr)
}

// calculate runs one calculation and writes what came of it.
func calculate(name string, run calculation, args []string, stdout, stderr io.Writer) int {
	in := newInputs(name, args)
	found, err := run(in)
	var wrong wrongCode
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(stdout, say("calc.help."+name))
		return calcDone
	case errors.As(err, &wrong):
		return report(in.json, found, calcWrong, stdout, stderr)
	case err != nil:
		fmt.Fprintln(stderr, sayProblem(err))
		for _, hint := range hints(in, err) {
			fmt.Fprintln(stderr, hint)
		}
		fmt.Fprintln(stderr, say("calc.see_help", "Command", "canewright calc "+name))
		return calcUsage
	}
	return report(in.json, found, calcDone, stdout, stderr)
}

// report writes a result as JSON or as lines, and gives the exit code back.
func report(asJSON bool, found result, code int, stdout, stderr io.Writer) int {
	if asJSON {
		encoder := json.NewEncoder(stdout)
		encoder.SetIndent("", "  ")
		if err := encoder.Encode(found); err != nil {
			fmt.Fprintln(stderr, err)
			return calcUsage
		}
		return code
	}
	for _, line := range found.lines() {
		fmt.Fprintln(stdout, line)
	}
	return code
}

// say is the catalogue in the language of the command line.
func say(key string, args ...any) string { return text.Say(text.English, key, args...) }

// figure rounds for JSON: four decimals, past what any model here can know.
func figure[T ~float64](x T) float64 { return math.Round(float64(x)*1e4) / 1e4 }
