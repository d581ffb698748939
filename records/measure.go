package records

import (
	"context"
	"time"

	"canewright/hazards/syrup"
)

// drawnOff is the entry that ends a run, nil while it boils.
func drawnOff(ctx context.Context, src Source, runID string) (*BoilEntry, error) {
	entries, err := List[BoilEntry](ctx, src, "run_id = ? AND what = ?", runID, EntryDrawnOff)
	if err != nil || len(entries) == 0 {
		return nil, err
	}
	return &entries[0], nil
}

// matter is what a quantity of something weighs and carries: its solids and the temperature at which its volume is taken.
type matter struct {
	solids  *syrup.Brix
	at      syrup.Celsius
	assumed bool // the temperature was not recorded
}

// Temperatures taken where none was recorded; the quantity is then marked estimated. Juice stands at room temperature,
// syrup is drawn hot (common practice, no source).
const (
	assumedJuice syrup.Celsius = 20
	assumedSyrup syrup.Celsius = 85
)

// measure fills in what a link's quantity leaves open: mass from volume or volume from mass, and the solids carried.
func (tx *Tx) measure(l *Link, from Kind) error {
	if from == KindCut || from == KindPart {
		return nil
	}
	m, err := tx.matterOf(l.FromID, from, l)
	if err != nil || m.solids == nil {
		return err
	}
	rho, err := syrup.Density(*m.solids, m.at)
	if err != nil {
		return nil // outside the model: the quantity stays as entered
	}
	switch {
	case l.Mass == nil && l.Volume != nil:
		mass := syrup.Kilograms(float64(*l.Volume) / 1000 * float64(rho))
		l.Mass = &mass
		l.Estimated = l.Estimated || m.assumed
	case l.Mass != nil && l.Volume == nil:
		volume := syrup.Liters(float64(*l.Mass) / float64(rho) * 1000)
		l.Volume = &volume
	}
	if l.Mass != nil {
		solids := *l.Mass * syrup.Kilograms(*m.solids) / 100
		l.Solids = &solids
	}
	return nil
}

func (tx *Tx) matterOf(id string, kind Kind, l *Link) (matter, error) {
	switch kind {
	case KindPressing:
		p, err := Get[Pressing](tx.ctx, tx, id)
		return atOr(p.Brix, p.Temperature, assumedJuice), err
	case KindRun:
		return tx.matterOfRun(l)
	case KindSupplyLot:
		s, err := Get[SupplyLot](tx.ctx, tx, id)
		return atOr(s.Solids, nil, assumedJuice), err
	case KindTank:
		return tx.matterOfTank(id, l)
	}
	return matter{}, nil
}

func atOr(solids *syrup.Brix, t *syrup.Celsius, assumed syrup.Celsius) matter {
	if t == nil {
		return matter{solids: solids, at: assumed, assumed: true}
	}
	return matter{solids: solids, at: *t}
}

// matterOfRun is what a link takes from a run: what boils in the kettle, what it ended with unfinished, or its syrup.
func (tx *Tx) matterOfRun(l *Link) (matter, error) {
	end, err := drawnOff(tx.ctx, tx, l.FromID)
	if err != nil {
		return matter{}, err
	}
	ladled, err := tx.midBoil(*l, end)
	switch {
	case err != nil:
		return matter{}, err
	case ladled:
		return tx.inKettle(l.FromID, l.At, afterPouring, nil)
	case end != nil && end.Outcome != OutcomeSyrup:
		return tx.inKettle(l.FromID, end.At, afterDrawnOff, end.Temperature)
	}
	solids, err := FinishSolids(tx.ctx, tx, l.FromID)
	if err != nil || solids == nil {
		return matter{}, err
	}
	var t *syrup.Celsius
	if end != nil {
		t = end.Temperature
	}
	return atOr(&solids.Percent, t, assumedSyrup), nil
}

// cooledAfter is how long after its last filling what stands in a tank is taken to be at room temperature when it goes
// back into a kettle (our choice, no source). What is bottled from a tank is hot.
const cooledAfter = 12 * time.Hour

func (tx *Tx) matterOfTank(id string, l *Link) (matter, error) {
	tank, err := Get[Tank](tx.ctx, tx, id)
	if err != nil {
		return matter{}, err
	}
	mass, held, err := tx.contents(id, l)
	if err != nil || mass == nil || held == nil || *mass <= 0 {
		return matter{}, err
	}
	solids := syrup.Brix(*held / *mass * 100)
	assumed := assumedSyrup
	cooled, err := tx.cooled(l)
	if tank.Holds == HoldsJuice || cooled {
		assumed = assumedJuice
	}
	return atOr(&solids, nil, assumed), err
}

// cooled tells whether a link takes into a kettle what stood in a tank long enough to be cold.
func (tx *Tx) cooled(l *Link) (bool, error) {
	if l.ToID == "" {
		return false, nil
	}
	into, err := KindOf(tx.ctx, tx, l.ToID)
	if err != nil || into != KindRun {
		return false, err
	}
	late, err := List[Link](tx.ctx, tx, "to_id = ? AND at <= ? AND at > ?", l.FromID, l.At, l.At.Add(-cooledAfter))
	return len(late) == 0, err
}

// FinishSolids is what the last usable finish reading of a run says; nil when there is none.
func FinishSolids(ctx context.Context, src Source, runID string) (*syrup.Solids, error) {
	readings, err := List[DensityReading](ctx, src, "of_id = ? AND stage = ? ORDER BY at, id", runID, StageFinish)
	if err != nil {
		return nil, err
	}
	var last *syrup.Solids
	for _, r := range readings {
		solids, err := SolidsOf(ctx, src, r)
		if err != nil {
			return nil, err
		}
		if solids != nil {
			last = solids
		}
	}
	return last, nil
}

// SolidsOf works out a density reading with the instrument as it was checked; nil when it cannot be used.
func SolidsOf(ctx context.Context, src Source, r DensityReading) (*syrup.Solids, error) {
	g := newGathered(ctx, src)
	if err := g.readInstruments([]*string{r.InstrumentID, r.ThermometerID}); err != nil {
		return nil, err
	}
	solids, err := g.reading(r).Solids()
	if err != nil {
		return nil, nil // kept, and not usable: the findings say why
	}
	return &solids, nil
}
