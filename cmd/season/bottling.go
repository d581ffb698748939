package season

import (
	"time"

	"canewright/hazards/syrup"
	"canewright/records"
)

// bottling is one lot: what is planned of it, and what was written.
type bottling struct {
	from    []*boil
	ounces  int
	share   float64 // of what the sources have for bottles
	tank    bool    // drawn from the holding tank
	table   bool    // sold as table syrup
	story   story
	start   time.Time
	open    bool // still filling when the season ends
	lot     records.Lot
	part    string // id of its first part
	count   int
	checks  []*records.FillCheck
	release time.Time
}

// pairs are the two sizes a run is bottled in, taken in turn.
var pairs = [][2]int{{16, 32}, {12, 16}, {16, 8}, {32, 12}, {16, 12}}

// planBottling plans two lots of every run, from the kettle or from the holding tank.
func (b *builder) planBottling() {
	for _, p := range b.boils {
		if p.offset == 0 {
			continue
		}
		sizes, first := pairs[p.turn%len(pairs)], p.drawnAt.Add(14*time.Minute)
		if other := b.besides(p); other != nil && p.late > 0 { // the filler is free when the first kettle's lots are done
			first = later(first, other.drawnAt.Add(128*time.Minute))
		}
		for i, share := range []float64{0.56, 0.44} {
			l := &bottling{from: []*boil{p}, ounces: sizes[i], share: share, tank: p.toTank, start: first.Add(time.Duration(i*57) * time.Minute)}
			b.tell(p, l, i)
			b.addBottling(l)
		}
	}
}

// tell gives a lot its part of the run's story.
func (b *builder) tell(p *boil, l *bottling, i int) {
	switch {
	case p.story == coolFill && i == 0, p.story == lowFill && i == 1, p.story == unanswered:
		l.story = p.story
	case p.story == thin:
		l.story, l.table = thin, i == 0
	}
	switch {
	case p.offset == -46: // both runs are in the holding tank
		l.from = []*boil{p, b.besides(p)}
		l.start = later(l.from[0].drawnAt, l.from[1].drawnAt).Add(time.Duration(16+57*(i+2*min(p.late, 1))) * time.Minute)
		l.share /= 2
	case p.offset == -28 && i == 1 && p.late > 0: // the last of one kettle is blended with the last of the other
		l.from = []*boil{p, b.besides(p)}
	case p.offset == -28 && i == 1:
		l.share = 0.3
	case p.offset == -1 && i == 1: // goes on this morning
		l.start, l.open = b.at(0, 10, 38), true
	}
}

// besides is the run of the same day in the other kettle; nil when there is none.
func (b *builder) besides(p *boil) *boil {
	for _, other := range b.boils {
		if other.offset == p.offset && other != p {
			return other
		}
	}
	return nil
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func (b *builder) addBottling(l *bottling) {
	b.lots = append(b.lots, l)
	b.plan(l.start, func() error { return b.startFilling(l) })
	if l.open {
		b.planCheck(l, 6, 0, false)
		return
	}
	for i, minute := range []int{4, 21, 38} {
		b.planCheck(l, minute, i, i != 1)
	}
	if l.story == coolFill { // looked at more often around the pause
		b.planCheck(l, 17, 3, false)
		b.planCheck(l, 24, 4, false)
	}
	b.plan(l.start.Add(44*time.Minute), func() error { return b.endFilling(l) })
}

// solids is what the lot's syrup is by its runs: the mean, and the thinnest, by which it is judged.
func (l *bottling) solids() (mean, thinnest syrup.Brix) {
	var mass, held syrup.Kilograms
	thinnest = 100
	for _, p := range l.from {
		mass += p.mass
		held += p.mass * syrup.Kilograms(p.finish.Percent)
		thinnest = min(thinnest, p.finish.Percent)
	}
	return syrup.Brix(held / mass), thinnest
}

// volumeFrom is what the lot takes of one of its runs, hot, in tenths of a gallon: what was drawn off less the heel and a
// little that stays in cloth and pipe.
func (l *bottling) volumeFrom(p *boil) syrup.USGallons {
	have := float64(p.volume)*0.985 - p.heel
	share := l.share
	if !l.tank && len(l.from) == 2 && p != l.from[0] {
		share = 0.12
	}
	return syrup.USGallons(tenth(have*share - 0.04))
}

func (b *builder) startFilling(l *bottling) error {
	product := &b.cane
	if l.table {
		product = &b.table
	}
	container := b.containers[l.ounces]
	l.lot = records.Lot{SiteID: b.site.ID, ProductID: product.ID, ContainerID: container.ID, StartedAt: l.start,
		BottlesLotID: &b.bottlesFor(l).ID, ClosuresLotID: &b.capsFor(l).ID}
	draws, err := b.drawsFor(l)
	if err != nil {
		return err
	}
	if err := b.store.StartFilling(b.ctx, b.filler(), &l.lot, draws); err != nil {
		return err
	}
	b.summary.Lots++
	parts, err := records.List[records.Part](b.ctx, b.store, "lot_id = ?", l.lot.ID)
	if err != nil {
		return err
	}
	l.part = parts[0].ID
	return b.put(b.filler(), &records.Print{OfID: l.lot.ID, What: "tray_tag", At: l.start.Add(writingTakes), Copies: 2})
}

// fills is what becomes of the syrup a lot runs off: one part in a hundred stays in the filler.
const fills = 0.991

// drawsFor is what runs into the lot: as much of each run as fills whole bottles, which it counts.
func (b *builder) drawsFor(l *bottling) ([]records.Draw, error) {
	mean, _ := l.solids()
	net, err := syrup.NetMass(b.containers[l.ounces].Contents, mean)
	if err != nil {
		return nil, err
	}
	var have syrup.Kilograms
	for _, p := range l.from {
		m, err := weigh(l.volumeFrom(p).Liters(), p.finish.Percent, p.drawnT)
		if err != nil {
			return nil, err
		}
		have += m
	}
	l.count = int(float64(have.Grams()) * fills / float64(net))
	mass := syrup.Grams(float64(net) * float64(l.count) / fills).Kilograms()
	if l.tank {
		return []records.Draw{{FromID: b.holding.ID, Mass: &mass, Entered: number(float64(mass.Pounds()), 1) + " lb"}}, nil
	}
	var draws []records.Draw
	for _, p := range l.from {
		v := syrup.USGallons(tenth(float64(l.volumeFrom(p)) * float64(mass/have)))
		draws = append(draws, records.Draw{FromID: p.run.ID, Volume: ptr(v.Liters()), Entered: number(float64(v), 1) + " gal"})
	}
	return draws, nil
}

func (b *builder) bottlesFor(l *bottling) *records.SupplyLot {
	if l.ounces == 16 && l.from[0].offset > -27 {
		return &b.laterPints
	}
	return b.bottles[l.ounces]
}

func (b *builder) capsFor(l *bottling) *records.SupplyLot {
	if l.from[0].offset > -27 {
		return &b.laterCaps
	}
	return &b.firstCaps
}

// probeFor: the second probe was at the filler for two weeks.
func (b *builder) probeFor(l *bottling) *records.Instrument {
	if o := l.from[0].offset; o >= probeBFrom && o < probeBFails {
		return &b.probeB
	}
	return &b.probeA
}

const (
	probeBFrom  = -30
	probeBFails = -15
)

// planCheck plans one look at a bottle; the first and the last are weighed.
func (b *builder) planCheck(l *bottling, minute, nth int, weighed bool) {
	at := l.start.Add(time.Duration(minute) * time.Minute)
	bottle := syrup.Fahrenheit(184.6 + 0.4*float64(b.dice.IntN(9)))
	switch {
	case l.story == coolFill && nth == 1:
		bottle = 171.4
	case l.story == lowFill && nth == 2:
		bottle = 182.2
	}
	over := syrup.Grams(2 + b.dice.IntN(6))
	b.plan(at, func() error {
		_, thinnest := l.solids()
		check := &records.FillCheck{LotID: l.lot.ID, At: at, BottleNumber: ptr(max(1, l.count*minute/44)), InstrumentID: &b.probeFor(l).ID, InvertedSeconds: ptr(45), ClosureOK: ptr(true)}
		check.Bottle, check.BottleEntered = fineDegrees(bottle)
		check.TankReading, check.TankEntered = fineDegrees(bottle + 6.5)
		if weighed {
			net, err := syrup.NetWeight(b.containers[l.ounces].Contents, thinnest)
			if err != nil {
				return err
			}
			read := syrup.Grams(round(float64(net+over), 1))
			check.NetWeight, check.NetWeightEntered, check.ScaleID = &read, number(float64(read), 0)+" g", &b.scale.ID
		}
		if l.story == coolFill && nth == 1 {
			check.Note = "se enfrió la llave; se calentó de nuevo antes de seguir"
		}
		l.checks = append(l.checks, check)
		return b.put(b.filler(), check)
	})
}

// endFilling counts; a lot from the holding tank gets a reading of its own; labels are printed.
func (b *builder) endFilling(l *bottling) error {
	at := l.start.Add(44 * time.Minute)
	if err := b.store.EndFilling(b.ctx, b.filler(), &records.FillEnd{LotID: l.lot.ID, At: at, Count: l.count}); err != nil {
		return err
	}
	var facts []records.Fact
	if len(l.from) == 2 {
		mean, _ := l.solids()
		t, entered := degrees(172)
		read, _, err := spindleShows(float64(mean), *t)
		if err != nil {
			return err
		}
		facts = append(facts, b.reading(l.lot.ID, at, records.StageLot, read, t, entered, &b.spindle))
	}
	if l.story != unanswered { // its label waits for the answers
		facts = append(facts, &records.Print{OfID: l.lot.ID, What: "labels", At: at, Copies: l.count, Note: b.stocks[0].Name + ", from cell 1"})
	}
	if len(facts) == 0 {
		return nil
	}
	return b.put(b.filler(), facts...)
}
