package hazards

import (
	"slices"
	"time"

	"canewright/hazards/syrup"
)

// NetFacts is a net-contents check of a lot as it was weighed.
type NetFacts struct {
	ID, Name string // of the check; the lot's code
	At       time.Time
	Scheme   NetScheme
	Lot      int               // bottles in the lot when they were picked
	Contents syrup.Milliliters // declared, at 20 C
	Solids   syrup.Brix        // of the lot, as known when they were weighed
	Bottles  []int             // their numbers, in the order of Weights
	Weights  []syrup.Grams     // net, in air
	Tare     *syrup.Grams      // taken off full bottles; nil: weighed without
	MAV      *float64          // mL, of the owner's table; nil: not entered
	Edition  string            // of the owner's table
	Scale    *InstrumentFacts
}

// NetWorked is a check worked out.
type NetWorked struct {
	NetFacts
	NetResult
	Density float64     // g/mL in air at 20 C
	Nominal syrup.Grams // what a bottle that holds its label weighs net
	Errors  []float64   // of each bottle, mL
	Lowest  int         // number of the bottle furthest below its label; 0: not known
}

// Work judges a check by mass, with the density at 20 C of the lot's solids: what was filled hot needs no waiting. Errors:
// CheckNet's, or solids the density model does not reach.
func (n NetFacts) Work() (NetWorked, error) {
	w := NetWorked{NetFacts: n}
	var err error
	if w.Nominal, err = syrup.NetWeight(n.Contents, n.Solids); err != nil {
		return w, err
	}
	w.Density = float64(w.Nominal) / float64(n.Contents)
	sample := NetSample{Scheme: n.Scheme, Lot: n.Lot, Label: float64(n.Contents), Unit: UnitMilliliters, MAV: n.MAV}
	for _, weight := range n.Weights {
		off, err := GravimetricError(sample.Label, w.Density, 0, n.Scale.unfavourable(float64(weight)))
		if err != nil {
			return w, err
		}
		sample.Errors = append(sample.Errors, off)
	}
	w.Errors = sample.Errors
	if w.NetResult, err = CheckNet(sample); err != nil {
		return w, err
	}
	if i := slices.Index(w.Errors, w.Worst); i < len(n.Bottles) {
		w.Lowest = n.Bottles[i]
	}
	return w, nil
}

// latestNets are the checks that govern: of each scheme the latest, as a check after refilling answers the one before it.
func latestNets(nets []NetFacts) []NetFacts {
	var latest []NetFacts
	for _, n := range nets {
		i := slices.IndexFunc(latest, func(o NetFacts) bool { return o.Scheme == n.Scheme })
		switch {
		case i < 0:
			latest = append(latest, n)
		case !n.At.Before(latest[i].At):
			latest[i] = n
		}
	}
	return latest
}

// judgeNets judges the latest net-contents check of each scheme. The solids are the lot's as known now: an amended reading
// changes what a bottle should weigh.
func (l LotFacts) judgeNets() []Finding {
	var findings []Finding
	for _, n := range latestNets(l.Nets) {
		if solids := LotSolids(l); solids != nil {
			n.Solids = solids.Percent
		}
		findings = append(findings, n.judge(l.Units)...)
	}
	return findings
}

// judge is what one check finds.
func (n NetFacts) judge(units *int) []Finding {
	findings := n.Scale.failed(UnitGrams)
	w, err := n.Work()
	if err != nil {
		return append(findings, n.finding("net.not_worked", Check))
	}
	if plan, err := Plan(n.Scheme, n.Lot); err == nil && units != nil {
		if now, err := Plan(n.Scheme, *units); err == nil && now.Packages > plan.Packages {
			findings = append(findings, n.finding("net.sample_small", Check).with("Weighed", number(float64(plan.Packages), UnitCount)).
				with("Want", number(float64(now.Packages), UnitCount)).with("Bottles", number(float64(*units), UnitBottles)))
		}
	}
	if n.Scheme == SchemeHB133 && w.Action {
		findings = append(findings, n.finding("net.variation_not_entered", Note).with("Tolerance", number(w.Tolerance, UnitMilliliters)))
	}
	return append(findings, w.judge()...)
}

// finding is one about this check, with scheme and day.
func (n NetFacts) finding(code string, level Level) Finding {
	return Finding{Code: code, Level: level, About: n.ID, AboutName: n.Name, Source: n.Scheme.source(), Model: syrup.ModelDensity}.
		with("Scheme", keys("net_scheme."+string(n.Scheme)))
}

// source is the catalogue key of where a scheme is from.
func (s NetScheme) source() string { return "source.net_" + string(s) }

// judge says what fell short: the average, too many bottles by more than the tolerance, or one by more than twice it.
func (w NetWorked) judge() []Finding {
	if w.Pass {
		f := w.finding("net.met", Within)
		measured := number(w.Average, UnitMilliliters)
		f.Measured = &measured
		return []Finding{f.with("Weighed", number(float64(len(w.Weights)), UnitCount)).with("Bottles", number(float64(w.Lot), UnitBottles))}
	}
	var findings []Finding
	if !w.AverageOK {
		f := w.finding("net.average_short", Hold)
		measured, limit := number(w.Average, UnitMilliliters), number(-*w.Limit, UnitMilliliters)
		f.Measured, f.Limit = &measured, &limit
		findings = append(findings, w.correctedScale(f).with("Weighed", number(float64(len(w.Weights)), UnitCount)))
	}
	if w.Short > w.Plan.Allowed {
		findings = append(findings, w.short("net.package_short", w.Tolerance).with("Short", number(float64(w.Short), UnitBottles)).
			with("Allowed", number(float64(w.Plan.Allowed), UnitCount)))
	}
	if w.Scheme == SchemeR87 && w.Twice > 0 {
		findings = append(findings, w.short("net.package_far_short", 2*w.Tolerance).with("Short", number(float64(w.Twice), UnitBottles)))
	}
	return findings
}

// short is a finding about single bottles, with the one furthest below its label.
func (w NetWorked) short(code string, tolerance float64) Finding {
	f := w.finding(code, Hold)
	measured, limit := number(w.Worst, UnitMilliliters), number(-tolerance, UnitMilliliters)
	f.Measured, f.Limit = &measured, &limit
	return w.correctedScale(f).with("Lowest", number(float64(w.Lowest), UnitCount))
}

// correctedScale names the error of a scale that failed its check, as taken off the bottle furthest below its label.
func (w NetWorked) correctedScale(f Finding) Finding {
	lowest := w.Weights[slices.Index(w.Errors, w.Worst)]
	return w.Scale.corrected(f, number(float64(lowest), UnitGrams))
}
