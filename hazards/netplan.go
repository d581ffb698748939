package hazards

import "fmt"

// NetScheme is the set of rules net contents are checked by.
type NetScheme string

// The two schemes: NIST Handbook 133 (US, Category A) and OIML R 87, 2004 edition (metric; the e-mark's table).
const (
	SchemeHB133 NetScheme = "hb133"
	SchemeR87   NetScheme = "r87"
)

// SamplingPlan is how many packages of a lot are measured and how they are judged.
type SamplingPlan struct {
	Packages int
	Factor   float64 // sample correction factor, t / sqrt(n); 0 where a single package has no average
	Allowed  int     // packages that may fall short by more than the tolerance
}

// planRow is a plan for lots up to a size; zero Packages means every package of the lot.
type planRow struct {
	upTo int // 0: open
	SamplingPlan
}

// Category A of Handbook 133: t(0.975, n-1)/sqrt(n), three decimals (from memory; each agrees with a computed t quantile to
// three decimals but 6 packages, printed 1.050 for 1.0494, and 48, printed 0.291 for 0.2904).
var hb133Plans = []planRow{
	{1, SamplingPlan{1, 0, 0}}, {2, SamplingPlan{2, 8.985, 0}}, {3, SamplingPlan{3, 2.484, 0}}, {4, SamplingPlan{4, 1.591, 0}},
	{5, SamplingPlan{5, 1.242, 0}}, {6, SamplingPlan{6, 1.050, 0}}, {7, SamplingPlan{7, 0.925, 0}}, {8, SamplingPlan{8, 0.836, 0}},
	{9, SamplingPlan{9, 0.769, 0}}, {10, SamplingPlan{10, 0.715, 0}}, {11, SamplingPlan{11, 0.672, 0}},
	{250, SamplingPlan{12, 0.635, 0}}, {3200, SamplingPlan{24, 0.422, 0}}, {0, SamplingPlan{48, 0.291, 1}},
}

// OIML R 87, 2004 edition: t(0.995, n-1)/sqrt(n) (plans from memory). The 2016 edition changed them.
var r87Plans = []planRow{{500, SamplingPlan{50, 0.379, 3}}, {3200, SamplingPlan{80, 0.295, 5}}, {0, SamplingPlan{125, 0.234, 7}}}

// r87SmallestLot is the smallest lot R 87 has a plan for.
const r87SmallestLot = 100

// LotTooSmall says that a scheme has no plan for a lot so small.
type LotTooSmall struct{ Lot, Least int }

func (e LotTooSmall) Error() string {
	return fmt.Sprintf("lot of %d packages: expected at least %d", e.Lot, e.Least)
}

// Plan is the sampling plan of a scheme for a lot of so many packages. Errors: LotTooSmall, or a scheme that is not one.
func Plan(scheme NetScheme, lot int) (SamplingPlan, error) {
	rows, least := hb133Plans, 1
	switch scheme {
	case SchemeHB133:
	case SchemeR87:
		rows, least = r87Plans, r87SmallestLot
	default:
		return SamplingPlan{}, fmt.Errorf("scheme %q: expected hb133 or r87", scheme)
	}
	if lot < least {
		return SamplingPlan{}, LotTooSmall{Lot: lot, Least: least}
	}
	for _, row := range rows {
		if row.upTo == 0 || lot <= row.upTo {
			return row.SamplingPlan, nil
		}
	}
	return SamplingPlan{}, fmt.Errorf("lot of %d packages: no plan", lot)
}
