package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRangeErrorSaysWhatIsExpected(t *testing.T) {
	err := RangeError{What: WhatTemperature, Got: 120, Min: 0, Max: 110, Unit: "C"}
	assert.Equal(t, "temperature 120 C: expected 0 to 110 C", err.Error())
	err = RangeError{What: WhatVolume, Got: -1, Min: 0, Max: math.Inf(1), Unit: "L"}
	assert.Equal(t, "volume -1 L: expected at least 0 L", err.Error())
	err = RangeError{What: WhatReading, Got: 50, Min: 0, Max: 40.123456, Unit: "Be"}
	assert.Equal(t, "reading 50 Be: expected 0 to 40.123 Be", err.Error())
	err = RangeError{What: WhatModulus, Got: math.NaN(), Min: 140, Max: 150}
	assert.Equal(t, "modulus NaN: expected 140 to 150", err.Error())
}
