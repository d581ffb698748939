package season

import (
	"time"

	"canewright/hazards/syrup"
	"canewright/records"
)

// kept is the share of the solids that is not lost to skimmings and spills.
const kept = 0.955

// waterPerHour is how much water a fire drives off: kilograms an hour, the big kettle's.
const waterPerHour = 66.0

// logged is one line of a boil log to be written.
type logged struct {
	at    time.Time
	write func() error
}

// start is when the mill begins for a run; the fire is lit when its juice is in.
func (b *builder) start(p *boil) time.Time { return b.at(p.offset, 6, 5+p.late) }

func (b *builder) fireLit(p *boil) time.Time {
	if p.offset == 0 {
		return b.at(0, 9, 5)
	}
	if p.fromTank { // both pressings are in the juice tank first
		return b.at(p.offset, 8, 30+p.late/4)
	}
	return b.at(p.offset, 7, 50+p.late*4/7)
}

// planPressing plans the juice of a run, straight into the kettle or through the juice tank.
func (b *builder) planPressing(p *boil) {
	start, end := b.start(p), b.start(p).Add(66*time.Minute)
	if p.offset == 0 {
		start, end = b.at(0, 7, 40), b.at(0, 8, 50)
	}
	brix, gal := syrup.Brix(tenth(p.brix)), syrup.USGallons(p.gallons)
	p.brix = float64(brix)
	t, entered := degrees(syrup.Fahrenheit(66 - 0.15*float64(56+p.offset)))
	p.pressing = records.Pressing{SiteID: b.site.ID, StartedAt: start, EndedAt: &end, Volume: ptr(gal.Liters()), VolumeEntered: number(p.gallons, 0) + " gal",
		Brix: &brix, Temperature: t, TemperatureEntered: entered}
	if p.turn%3 != 1 {
		p.pressing.PH = ptr(tenth(5.1 + 0.1*float64(p.turn%3)))
	}
	b.plan(end.Add(2*time.Minute), func() error {
		p.pressing.InstrumentID = &b.refractometer.ID
		var draws []records.Draw
		for _, c := range p.cuts {
			draws = append(draws, records.Draw{FromID: c.ID})
		}
		if err := b.store.RecordPressing(b.ctx, b.kettleHand(), &p.pressing, draws); err != nil {
			return err
		}
		if !p.fromTank {
			return nil
		}
		return b.store.Fill(b.ctx, b.kettleHand(), records.Draw{FromID: p.pressing.ID, ToID: b.juiceTank.ID})
	})
}

// solidsIn is the sugar that goes into the kettle, in kilograms.
func (p *boil) solidsIn() (mass, solids syrup.Kilograms, err error) {
	brix := syrup.Brix(p.brix)
	mass, err = weigh(*p.pressing.Volume, brix, *p.pressing.Temperature)
	if err != nil {
		return 0, 0, err
	}
	solids = mass * syrup.Kilograms(brix) / 100
	if p.heelFrom != nil {
		heel, err := weigh(syrup.USGallons(p.heelFrom.heel).Liters(), p.heelFrom.finish.Percent, p.heelFrom.drawnT)
		if err != nil {
			return 0, 0, err
		}
		mass, solids = mass+heel, solids+heel*syrup.Kilograms(p.heelFrom.finish.Percent)/100
	}
	return mass, solids, nil
}

// planRun works the boil out and plans its log. Today's run stops where the season ends.
func (b *builder) planRun(p *boil) error {
	mass, solids, err := p.solidsIn()
	if err != nil {
		return err
	}
	lit := b.fireLit(p)
	boils := lit.Add(48 * time.Minute)
	perMinute := waterPerHour / 60
	if p.kettle == 2 {
		perMinute *= 0.75
	}
	ends := float64(solids) * kept / p.solids * 100
	minutes := int((float64(mass)*kept - ends) / perMinute)
	p.drawnAt = boils.Add(time.Duration(minutes) * time.Minute)
	solidsAt := func(at time.Time) float64 {
		gone := perMinute * at.Sub(boils).Minutes()
		return float64(solids) * kept / (float64(mass)*kept - gone) * 100
	}
	if err := b.reckonEnd(p, solids); err != nil {
		return err
	}
	b.plan(lit, func() error { return b.lightFire(p, lit) })
	b.logHeating(p, lit)
	if err := b.logBoiling(p, boils, solidsAt); err != nil {
		return err
	}
	until := b.at(0, 11, 5)
	for _, l := range p.log {
		if l.at.Before(until) {
			b.plan(l.at, l.write)
		}
	}
	return nil
}

// reckonEnd works out what is drawn off: temperature, finish reading, volume.
func (b *builder) reckonEnd(p *boil, solids syrup.Kilograms) error {
	hot, err := boilingAt(p.solids)
	if err != nil {
		return err
	}
	drawn, _ := degrees(hot - 1)
	p.drawnT = *drawn
	cup, _ := degrees(hot - 4)
	if _, p.finish, err = spindleShows(p.solids, *cup); err != nil {
		return err
	}
	p.mass = solids * kept * 100 / syrup.Kilograms(p.finish.Percent)
	if p.volume, err = gallonsOf(p.mass, p.finish.Percent, p.drawnT); err != nil {
		return err
	}
	p.mass, err = weigh(p.volume.Liters(), p.finish.Percent, p.drawnT)
	return err
}

func (b *builder) lightFire(p *boil, lit time.Time) error {
	p.run = records.Run{KettleID: b.kettles[p.kettle].ID, FireLitAt: lit}
	draw := records.Draw{FromID: p.pressing.ID}
	if p.fromTank {
		draw = records.Draw{FromID: b.juiceTank.ID}
		if p.late == 0 { // the other kettle takes the rest
			draw.Volume, draw.Entered = p.pressing.Volume, p.pressing.VolumeEntered
		}
	}
	draws := []records.Draw{draw}
	if p.heelFrom != nil {
		draws = append(draws, records.Draw{FromID: p.heelFrom.run.ID, Volume: gallons(syrup.USGallons(p.heelFrom.heel)),
			Entered: number(p.heelFrom.heel, 1) + " gal", Heel: true, Estimated: true})
	}
	b.summary.Runs++
	if err := b.store.StartRun(b.ctx, b.kettleHand(), &p.run, draws); err != nil {
		return err
	}
	if p.offset == 0 {
		b.summary.OpenRun = p.run.Code
	}
	return nil
}

// write adds a line to the log of a run.
func (b *builder) write(p *boil, at time.Time, entry func() records.Fact) {
	p.log = append(p.log, logged{at, func() error { return b.put(b.kettleHand(), entry()) }})
}

func (b *builder) temperature(p *boil, at time.Time, f syrup.Fahrenheit, note string) {
	t, entered := degrees(f)
	b.write(p, at, func() records.Fact {
		return &records.BoilEntry{RunID: p.run.ID, At: at, What: records.EntryTemperature, Temperature: t, TemperatureEntered: entered,
			InstrumentID: &b.probeA.ID, Note: note}
	})
}

func (b *builder) entry(p *boil, at time.Time, what, note string) {
	b.write(p, at, func() records.Fact {
		e := &records.BoilEntry{RunID: p.run.ID, At: at, What: what, Note: note}
		if what == records.EntryCloth {
			e.SupplyLotID = &b.cloths.ID
		}
		return e
	})
}

// logHeating is the log before the boil: a new cloth, the green skim.
func (b *builder) logHeating(p *boil, lit time.Time) {
	b.entry(p, lit.Add(4*time.Minute), records.EntryCloth, "")
	b.temperature(p, lit.Add(22*time.Minute), syrup.Fahrenheit(136+p.turn%9), "")
	note := "green skim, lifted whole"
	if p.turn%2 == 0 {
		note = "espuma verde, salió entera"
	}
	b.entry(p, lit.Add(36*time.Minute), records.EntrySkimming, note)
}

// logBoiling is the log from the first boil to the end.
func (b *builder) logBoiling(p *boil, boils time.Time, solidsAt func(time.Time) float64) error {
	note := "first boil"
	for at := boils; at.Before(p.drawnAt.Add(-26 * time.Minute)); at = at.Add(37 * time.Minute) {
		f, err := boilingAt(solidsAt(at))
		if err != nil {
			return err
		}
		b.temperature(p, at, f, note)
		note = ""
	}
	b.entry(p, boils.Add(31*time.Minute), records.EntrySkimming, "")
	b.entry(p, boils.Add(88*time.Minute), records.EntrySkimming, "")
	b.defoam(p, boils.Add(64*time.Minute))
	if p.turn%4 == 1 {
		b.entry(p, boils.Add(104*time.Minute), records.EntryNote, "viento del norte; se cerró la puerta del fuego")
	}
	for _, before := range []int{21, 9} {
		if err := b.readInBoil(p, p.drawnAt.Add(-time.Duration(before)*time.Minute), solidsAt); err != nil {
			return err
		}
	}
	return b.logEnd(p)
}

// defoam puts a little fat on the foam.
func (b *builder) defoam(p *boil, at time.Time) {
	b.write(p, at, func() records.Fact {
		a := &records.Addition{ToID: p.run.ID, At: at, Use: "defoamer", Amount: ptr(syrup.Grams(10)), AmountEntered: "10 g", Stays: ptr(true),
			Allergens: ptr(""), Sulfites: ptr(false), Substance: "sunflower oil", SupplyLotID: &b.oil.ID}
		switch p.story {
		case buttered:
			a.Substance, a.SupplyLotID, a.Allergens = "butter", &b.butter.ID, ptr("milk")
		case unanswered:
			a.Substance, a.SupplyLotID, a.Stays, a.Allergens, a.Sulfites = "Kettle defoamer, trial pack", &b.newDefoamer.ID, nil, nil, nil
		}
		return a
	})
}

// readInBoil is a reading that guides: temperature of the kettle and of the cup.
func (b *builder) readInBoil(p *boil, at time.Time, solidsAt func(time.Time) float64) error {
	f, err := boilingAt(solidsAt(at))
	if err != nil {
		return err
	}
	b.temperature(p, at.Add(-time.Minute), f, "")
	t, entered := degrees(f - 4)
	read, _, err := spindleShows(solidsAt(at), *t)
	if err != nil {
		return err
	}
	b.write(p, at, func() records.Fact { return b.reading(p.run.ID, at, records.StageBoil, read, t, entered, &b.spindle) })
	return nil
}

func (b *builder) reading(of string, at time.Time, stage string, read float64, t *syrup.Celsius, entered string, i *records.Instrument) *records.DensityReading {
	return &records.DensityReading{OfID: of, At: at, Stage: stage, Reading: read, Scale: syrup.ScaleBaume, ReadingEntered: number(read, 1) + " Be",
		Temperature: t, TemperatureEntered: entered, InstrumentID: &i.ID}
}

// logEnd is the finish reading and the drawing off.
func (b *builder) logEnd(p *boil) error {
	hot, err := boilingAt(p.solids)
	if err != nil {
		return err
	}
	t, entered := degrees(hot - 4)
	read, _, err := spindleShows(p.solids, *t)
	if err != nil {
		return err
	}
	at := p.drawnAt.Add(-2 * time.Minute)
	b.temperature(p, at.Add(-time.Minute), hot, "")
	b.write(p, at, func() records.Fact { return b.reading(p.run.ID, at, records.StageFinish, read, t, entered, &b.spindle) })
	p.log = append(p.log, logged{p.drawnAt, func() error { return b.drawOff(p, hot) }})
	if p.story == thin {
		b.entry(p, at.Add(time.Minute), records.EntryNote, "stopping on the old mark, 34 hot")
	}
	return nil
}

func (b *builder) drawOff(p *boil, hot syrup.Fahrenheit) error {
	t, entered := degrees(hot - 1)
	tank := ""
	if p.toTank {
		tank = b.holding.ID
	}
	e := &records.BoilEntry{RunID: p.run.ID, At: p.drawnAt, Temperature: t, TemperatureEntered: entered, InstrumentID: &b.probeA.ID,
		Volume: ptr(p.volume.Liters()), VolumeEntered: number(float64(p.volume), 1) + " gal"}
	return b.store.DrawOff(b.ctx, b.kettleHand(), e, tank)
}

// planWashOuts empties and washes the kettles when their work is done; a kettle that leaves its heel is not washed.
func (b *builder) planWashOuts() {
	for _, p := range b.boils {
		if p.heel > 0 || p.offset == 0 {
			continue
		}
		at := b.at(p.offset, 18, 20+p.late/7)
		b.plan(at, func() error {
			return b.put(b.kettleHand(), &records.WashOut{VesselID: b.kettles[p.kettle].ID, At: at, Note: "washed and turned over"})
		})
	}
	for _, day := range []int{-52, -46, -2} {
		at := b.at(day, 18, 40)
		b.plan(at, func() error {
			return b.put(b.kettleHand(), &records.WashOut{VesselID: b.holding.ID, At: at, Note: "rinsed hot, drained"},
				&records.WashOut{VesselID: b.juiceTank.ID, At: at})
		})
	}
}
