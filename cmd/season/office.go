package season

import (
	"time"

	"canewright/records"
)

// planOffice plans what is put right on paper: amendments with their reasons, and one record taken back.
func (b *builder) planOffice() error {
	first := b.boils[2]
	b.plan(b.at(first.offset, 20, 5), func() error {
		p, err := records.Get[records.Pressing](b.ctx, b.store, first.pressing.ID)
		if err != nil {
			return err
		}
		p.Note = "refractometer wiped and read again"
		p.PH = ptr(5.2)
		return b.store.Amend(b.ctx, b.kettleHand(), &p, "pH was left out; it stands on the mill's board")
	})
	cut := b.boils[7].cuts[0]
	b.plan(b.at(b.boils[7].offset, 19, 10), func() error {
		k, err := records.Get[records.Cut](b.ctx, b.store, cut.ID)
		if err != nil {
			return err
		}
		k.Harvester = "Tomás Rivas and Dale Purvis"
		return b.store.Amend(b.ctx, b.field(), &k, "Tomás cut the upper rows; his name was missing")
	})
	b.planSlip(b.boils[10])
	b.plan(b.at(-21, 12, 30), func() error {
		house, err := b.store.House(b.ctx)
		if err != nil {
			return err
		}
		house.Email = "office@quillback-bend.example"
		return b.store.Amend(b.ctx, b.owner(), &house, "new mailbox")
	})
	return nil
}

// planSlip types a temperature twice; the second line is struck.
func (b *builder) planSlip(p *boil) {
	at := p.drawnAt.Add(-50 * time.Minute)
	twice := &records.BoilEntry{At: at, What: records.EntryTemperature}
	twice.Temperature, twice.TemperatureEntered = degrees(241)
	b.plan(at, func() error {
		twice.RunID, twice.InstrumentID = p.run.ID, &b.probeA.ID
		return b.put(b.kettleHand(), twice)
	})
	b.plan(at.Add(3*time.Minute), func() error {
		return b.store.Strike(b.ctx, b.kettleHand(), twice.ID, "typed 241 for 214, and the right line stands beside it")
	})
}
