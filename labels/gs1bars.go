package labels

import (
	"fmt"

	"github.com/boombuler/barcode/code128"
)

// Bars of a GS1-128 symbol (GS1 General Specifications; the figures from memory, high confidence).
const (
	barQuiet                    = 10    // modules of white at either side
	leastBar        Millimeters = 0.25  // the narrowest module this program draws
	generalBar      Millimeters = 0.495 // the narrowest that GS1 asks of cases scanned in general distribution
	mostBar         Millimeters = 0.66
	barHeight       Millimeters = 31.75 // asked of cases in general distribution
	leastBarHeight  Millimeters = 8     // below it a hand scanner has to be held too straight (our choice)
	leastDotsOfABar             = 2
)

// gs1Bars gives the modules of a GS1-128 symbol, true where dark, without quiet zones.
func gs1Bars(elements []Element) ([]bool, error) {
	data, err := ElementString(elements)
	if err != nil {
		return nil, err
	}
	function1 := func(r rune) rune {
		if r == fnc1 {
			return code128.FNC1
		}
		return r
	}
	content := []rune{code128.FNC1}
	for _, r := range data {
		content = append(content, function1(r))
	}
	symbol, err := code128.Encode(string(content))
	if err != nil {
		return nil, fmt.Errorf("GS1-128 symbol of %s: %w", Bracketed(elements), err)
	}
	bits := make([]bool, symbol.Bounds().Dx())
	for x := range bits {
		r, _, _, _ := symbol.At(x, 0).RGBA()
		bits[x] = r == 0
	}
	return bits, nil
}

// barModule is the widest module, in whole dots of the printer, with which bars and their quiet zones fit a width; zero
// when not even the narrowest does.
func barModule(modules int, width Millimeters, dotsPerInch int) Millimeters {
	dot := Millimeters(25.4 / float64(dotsPerInch))
	for dots := int(mostBar/dot + 0.01); dots >= leastDotsOfABar; dots-- {
		module := Millimeters(dots) * dot
		if module < leastBar-0.001 {
			break
		}
		if module*Millimeters(modules+2*barQuiet) <= width {
			return module
		}
	}
	return 0
}
