package hazards

import (
	"fmt"
	"math"
)

// NetSample is the packages of a lot that were measured.
type NetSample struct {
	Scheme NetScheme
	Lot    int       // packages in the lot
	Label  float64   // mL or g
	Unit   Unit      // UnitMilliliters or UnitGrams
	Errors []float64 // of each package, content minus label, in the same unit
	MAV    *float64  // the variation the owner entered; nil: from the table of weights, else none
}

// NetResult is how a sample was judged.
type NetResult struct {
	Plan      SamplingPlan
	Average   float64
	SD        *float64 // with n - 1; nil for a single package
	Limit     *float64 // sampling error limit: factor x SD; nil for a single package
	AverageOK bool
	Tolerance float64 // a package short by more than this counts; see Action
	Action    bool    // the tolerance is R 87's as the maker's own action limit: the US variation was not entered
	Memory    bool    // the tolerance is from a table nobody has looked up
	Short     int     // packages short by more than the tolerance
	Twice     int     // packages short by more than twice the tolerance (R 87: none allowed)
	Worst     float64
	Pass      bool
}

// WrongSample says that the plan asks for another number of packages.
type WrongSample struct{ Lot, Want, Got int }

func (e WrongSample) Error() string {
	return fmt.Sprintf("a lot of %d needs %d packages measured, not %d", e.Lot, e.Want, e.Got)
}

// CheckNet judges net contents: the average of the lot, allowing for sampling, is at least the label, and no more packages
// than the plan allows fall short by more than the tolerance. There is no tolerance on the average. A lot of one has no
// average. Errors: Plan's, WrongSample, a label or an error that is not a number.
func CheckNet(s NetSample) (NetResult, error) {
	plan, err := Plan(s.Scheme, s.Lot)
	if err != nil {
		return NetResult{}, err
	}
	if len(s.Errors) != plan.Packages {
		return NetResult{}, WrongSample{Lot: s.Lot, Want: plan.Packages, Got: len(s.Errors)}
	}
	for _, e := range s.Errors {
		if math.IsNaN(e) || math.IsInf(e, 0) || e < -s.Label {
			return NetResult{}, fmt.Errorf("error of a package %v: expected a number not under minus the label", e)
		}
	}
	r := NetResult{Plan: plan}
	if err := r.tolerate(s); err != nil {
		return NetResult{}, err
	}
	r.average(s.Errors)
	r.count(s.Errors)
	r.Pass = r.AverageOK && r.Short <= plan.Allowed && (s.Scheme != SchemeR87 || r.Twice == 0)
	return r, nil
}

// PackageTolerance is what a single package may fall short by under a scheme, without a sample: Tolerance, Action and Memory
// of the result are filled in.
func PackageTolerance(s NetSample) (NetResult, error) {
	var r NetResult
	err := r.tolerate(s)
	return r, err
}

// tolerate finds the tolerance of a single package.
func (r *NetResult) tolerate(s NetSample) error {
	t, err := R87Tolerance(s.Label)
	if err != nil {
		return err
	}
	r.Tolerance = t
	if s.Scheme == SchemeR87 {
		return nil
	}
	row, known := MAVRow{}, false
	if s.Unit == UnitGrams {
		row, known = WeightMAV().Of(s.Label)
	}
	switch {
	case s.MAV != nil && !(*s.MAV > 0 && *s.MAV < s.Label):
		return fmt.Errorf("variation %v: expected more than 0 and less than the label", *s.MAV)
	case s.MAV != nil:
		r.Tolerance = *s.MAV
	case known:
		r.Tolerance, r.Memory = row.MAV, row.FromMemory
	default:
		r.Action = true
	}
	return nil
}

// average works out mean, standard deviation with n - 1 and sampling error limit.
func (r *NetResult) average(errors []float64) {
	n := float64(len(errors))
	for _, e := range errors {
		r.Average += e / n
	}
	if len(errors) < 2 {
		r.AverageOK = true // judged by the tolerance alone
		return
	}
	sum := 0.0
	for _, e := range errors {
		sum += (e - r.Average) * (e - r.Average)
	}
	sd := math.Sqrt(sum / (n - 1))
	limit := r.Plan.Factor * sd
	r.SD, r.Limit = &sd, &limit
	r.AverageOK = r.Average+limit >= 0
}

// count counts the packages that fall short by more than the tolerance, and by more than twice it.
func (r *NetResult) count(errors []float64) {
	r.Worst = errors[0]
	for _, e := range errors {
		r.Worst = min(r.Worst, e)
		if e < -r.Tolerance {
			r.Short++
		}
		if e < -2*r.Tolerance {
			r.Twice++
		}
	}
}

// GravimetricError is the error of a package's volume found by weighing, in mL: what it holds over its label. density is
// the syrup's at 20 C in g/mL as weighed on the same scale, tare and gross are in g.
func GravimetricError(label, density, tare, gross float64) (float64, error) {
	for _, x := range []struct {
		what string
		got  float64
	}{{"label", label}, {"density", density}} {
		if !(x.got > 0) || math.IsInf(x.got, 1) {
			return 0, fmt.Errorf("%s %v: expected more than 0", x.what, x.got)
		}
	}
	if !(tare >= 0) || !(gross >= tare) || math.IsInf(gross, 1) {
		return 0, fmt.Errorf("tare %v g, gross %v g: expected a tare of at least 0 and a gross not under it", tare, gross)
	}
	nominal := label*density + tare
	return (gross - nominal) / density, nil
}
