package records

import (
	"context"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// RunBalance is the dissolved solids of a run, in and out: every link with its own, and what became of the rest. Nil is not
// known; skimmings and samples are not weighed and stand in what is unaccounted for.
type RunBalance struct {
	Into    []Link           // juice, semi-syrup, what came from other kettles, heels
	Ladled  []Link           // into other kettles in mid-boil
	Drawn   *syrup.Kilograms // what the run ended with, where its volume was measured
	Heel    *syrup.Kilograms // left in the kettle for the next run
	Poured  *syrup.Kilograms // given up: all that was left of what ran in
	Assumed *syrup.Kilograms // held or moved without a measured volume: taken as all that was left of what ran in
	Outcome string
	Ended   bool

	heels []Link
}

// balanceOfRun sorts the links of a run.
func balanceOfRun(into, from []Link, ladled func(Link) bool) *RunBalance {
	b := &RunBalance{Into: into}
	for _, l := range from {
		switch {
		case l.Heel:
			b.heels = append(b.heels, l)
		case ladled(l):
			b.Ladled = append(b.Ladled, l)
		}
	}
	return b
}

// end adds what the run ended with: what was drawn off, and the heel as it was said then or as the next run took it.
func (b *RunBalance) end(e BoilEntry, made *syrup.Kilograms, reading *hazards.ReadingFacts) {
	b.Ended, b.Outcome = true, e.Outcome
	if e.Outcome == OutcomeGivenUp {
		b.Poured = b.rest()
		return
	}
	if reading == nil {
		return
	}
	if e.Volume == nil && e.Outcome != OutcomeSyrup {
		b.Assumed = b.rest()
	}
	solids, _ := reading.Solids()
	if made != nil {
		drawn := *made * syrup.Kilograms(solids.Percent) / 100
		b.Drawn = &drawn
	}
	if heel := sumSolids(b.heels); len(b.heels) > 0 && heel != nil {
		b.Heel = heel
	} else if e.Heel != nil {
		m := atOr(&solids.Percent, e.Temperature, assumedSyrup)
		if rho, err := syrup.Density(*m.solids, m.at); err == nil {
			left := syrup.Kilograms(float64(*e.Heel) / 1000 * float64(rho) * float64(solids.Percent) / 100)
			b.Heel = &left
		}
	}
}

// rest is what ran in less what was ladled into other kettles; nil when not known.
func (b *RunBalance) rest() *syrup.Kilograms {
	in, ladled := b.In(), sumSolids(b.Ladled)
	if in == nil || ladled == nil {
		return nil
	}
	rest := *in - *ladled
	return &rest
}

// In is all that ran into the kettle; nil when any of it is not known.
func (b *RunBalance) In() *syrup.Kilograms {
	if len(b.Into) == 0 {
		return nil
	}
	return sumSolids(b.Into)
}

// Moved is what went into other kettles in mid-boil; nil when any of it is not known.
func (b *RunBalance) Moved() *syrup.Kilograms { return sumSolids(b.Ladled) }

// Unaccounted is in less all that is known to have come of it; nil while the run boils, or when in or out is not known.
func (b *RunBalance) Unaccounted() *syrup.Kilograms {
	in, out, loss, ok := b.sums()
	if !ok {
		return nil
	}
	rest := syrup.Kilograms(*in - *out)
	if loss != nil {
		rest -= syrup.Kilograms(*loss)
	}
	return &rest
}

// sums are the figures of the balance; false when in or out is not known, or nothing ran in.
func (b *RunBalance) sums() (in, out, loss *float64, ok bool) {
	total, ladled := b.In(), sumSolids(b.Ladled)
	if !b.Ended || total == nil || *total == 0 || ladled == nil {
		return nil, nil, nil, false
	}
	came := *ladled
	if b.Outcome == OutcomeGivenUp {
		loss = number(b.Poured)
	} else if b.Drawn == nil {
		return nil, nil, nil, false
	} else {
		came += *b.Drawn
	}
	if b.Heel != nil {
		came += *b.Heel
	}
	return number(total), number(&came), loss, true
}

func number(kg *syrup.Kilograms) *float64 {
	if kg == nil {
		return nil
	}
	x := float64(*kg)
	return &x
}

// sumSolids adds up the solids of links; nil when one is not known.
func sumSolids(links []Link) *syrup.Kilograms {
	sum := syrup.Kilograms(0)
	for _, l := range links {
		if l.Solids == nil {
			return nil
		}
		sum += *l.Solids
	}
	return &sum
}

// RunBalanceOf gives the balance of a run. Errors: ErrNotFound.
func RunBalanceOf(ctx context.Context, src Source, runID string) (*RunBalance, error) {
	g, err := gather(ctx, src, runID)
	if err != nil {
		return nil, err
	}
	if _, err := Get[Run](ctx, src, runID); err != nil {
		return nil, err
	}
	b := balanceOfRun(g.linksInto[runID], g.linksFrom[runID], g.ladled)
	if end, ok := g.drawnOff[runID]; ok {
		b.end(end, g.made(runID), hazards.EndReading(end.Outcome, g.readingsOf(runID)))
	}
	return b, nil
}
