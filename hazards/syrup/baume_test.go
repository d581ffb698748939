package syrup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The cubic fitted to the NBS table (RMS 0.0009 Brix), 0 to 40 Brix only, quoted in encyclopaedia articles on Brix.
func TestApparentGravityAgainstTheFittedTable(t *testing.T) {
	for w := Brix(0); w <= 40; w++ {
		sg, err := ApparentGravity(w)
		require.NoError(t, err)
		s := float64(sg)
		fitted := 182.46007*s*s*s - 775.68212*s*s + 1262.7794*s - 669.56218
		assert.InDelta(t, fitted, float64(w), 0.025, "%v Brix", w)
	}
}

func TestBaumeRoundTrips(t *testing.T) {
	for _, modulus := range []float64{144.3, DefaultModulus} {
		for w := Brix(0); w <= MaxSolids; w += 0.5 {
			be, err := BaumeFromSolids(w, modulus)
			require.NoError(t, err)
			back, err := SolidsFromBaume(be, modulus)
			require.NoError(t, err)
			assert.InDelta(t, float64(w), float64(back), 1e-6)
			sg, err := GravityFromBaume(be, modulus)
			require.NoError(t, err)
			again, err := BaumeFromGravity(sg, modulus)
			require.NoError(t, err)
			assert.InDelta(t, float64(be), float64(again), 1e-9)
		}
	}
}

func TestBaumeLimits(t *testing.T) {
	for _, c := range []struct {
		name    string
		be      Baume
		modulus float64
		what    string
	}{
		{"zero", 0, 145, ""},
		{"below", -0.01, 145, WhatBaume},
		{"at the end of the scale", 50, 145, ""},
		{"above", 50.01, 145, WhatBaume},
		{"NaN", Baume(math.NaN()), 145, WhatBaume},
		{"old French modulus", 36, 144.3, ""},
		{"no modulus", 36, 0, WhatModulus},
		{"modulus NaN", 36, math.NaN(), WhatModulus},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := GravityFromBaume(c.be, c.modulus)
			assertRange(t, err, c.what)
		})
	}
	_, err := BaumeFromGravity(0.999, DefaultModulus)
	assertRange(t, err, WhatGravity)
	_, err = BaumeFromGravity(SpecificGravity(math.NaN()), DefaultModulus)
	assertRange(t, err, WhatGravity)
	_, err = SolidsFromBaume(46, DefaultModulus)
	assertRange(t, err, WhatBaume)
}
