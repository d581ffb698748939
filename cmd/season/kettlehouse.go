package season

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"time"

	"canewright/hazards/syrup"
	"canewright/records"
)

// planKettleHouse plans what a boil log holds beside readings: a fire that went out, a photo, a line that waited for the
// network, a logger's file, a run given up, and one stopped half-way and boiled on two days later.
func (b *builder) planKettleHouse() error {
	b.planDayZero()
	for _, p := range b.boils {
		switch p.offset {
		case -16:
			b.fireWentOut(p)
		case -10:
			b.photographed(p)
		case -6:
			b.waitedForNetwork(p)
		case -12:
			b.planLogger(p)
		}
	}
	b.planGivenUp()
	return b.planHeldOver()
}

// planDayZero: the probe is held in boiling water before today's fire is lit.
func (b *builder) planDayZero() {
	at := b.at(0, 8, 52)
	b.plan(at, func() error {
		return b.put(b.kettleHand(), &records.InstrumentCheck{InstrumentID: b.probeA.ID, At: at, Method: "boiling_water", Expected: 211.8, Read: 212.4,
			Unit: "F", Passed: true})
	})
}

// fireWentOut: the burner blew out for a quarter of an hour.
func (b *builder) fireWentOut(p *boil) {
	out := b.fireLit(p).Add(2*time.Hour + 3*time.Minute)
	for _, line := range []struct {
		at         time.Time
		what, note string
	}{{out, records.EntryFireOut, "gas bottle empty"}, {out.Add(14 * time.Minute), records.EntryRelit, "new bottle"}} {
		b.plan(line.at, func() error {
			return b.put(b.kettleHand(), &records.BoilEntry{RunID: p.run.ID, At: line.at, What: line.what, Note: line.note})
		})
	}
}

// photographed: somebody took a picture of the foam.
func (b *builder) photographed(p *boil) {
	at := b.fireLit(p).Add(71 * time.Minute)
	b.plan(at, func() error {
		entry := &records.BoilEntry{RunID: p.run.ID, At: at, What: records.EntryPhoto, Note: "second skim, brown ring"}
		if err := b.put(b.kettleHand(), entry); err != nil {
			return err
		}
		picture, err := foam()
		if err != nil {
			return err
		}
		return b.store.Attach(b.ctx, b.kettleHand(), &records.Attachment{OfID: entry.ID, At: at, Sort: records.AttachedPhoto, Name: "foam.jpg",
			MediaType: "image/jpeg"}, picture)
	})
}

// foam is a drawn picture of rings of foam in a kettle; no photo of anything real.
func foam() ([]byte, error) {
	m := image.NewRGBA(image.Rect(0, 0, 240, 180))
	for y := range 180 {
		for x := range 240 {
			from := (x-120)*(x-120) + (y-90)*(y-90)
			ring := uint8(40 + from/160%5*22)
			if from > 84*84 {
				ring = 30
			}
			m.Set(x, y, color.RGBA{R: ring + 60, G: ring + 30, B: ring / 2, A: 255})
		}
	}
	var out bytes.Buffer
	err := jpeg.Encode(&out, m, &jpeg.Options{Quality: 80})
	return out.Bytes(), err
}

// waitedForNetwork: a line was written while the shed had no signal, on a phone whose clock was three minutes fast.
func (b *builder) waitedForNetwork(p *boil) {
	made := b.fireLit(p).Add(94 * time.Minute)
	b.plan(made.Add(6*time.Minute), func() error {
		who := b.kettleHand()
		who.Phone = &records.PhoneEntry{PhoneClock: made.Add(3 * time.Minute), OffSeconds: 180, WaitedSeconds: 360, SignedInID: b.marisol.ID}
		return b.put(who, &records.BoilEntry{RunID: p.run.ID, At: made, What: records.EntryNote, Note: "se cambió el cubo de cachaza"})
	})
}

// planLogger brings in the file of a logger that hung in the kettle: a reading every three minutes, in a clock of its own.
func (b *builder) planLogger(p *boil) {
	b.plan(b.at(p.offset, 17, 40), func() error {
		lit := b.fireLit(p)
		var file bytes.Buffer
		file.WriteString("Logger 4411\nTime,Temp C\n")
		points, last := 0, lit
		for at := lit.Add(2 * time.Minute).Truncate(time.Minute); at.Before(p.drawnAt); at = at.Add(3 * time.Minute) {
			fmt.Fprintf(&file, "%s,%.1f\n", at.In(b.zone).Format("2006-01-02 15:04"), b.loggerShows(p, at))
			points, last = points+1, at
		}
		kept := &records.Attachment{OfID: p.run.ID, At: b.now, Sort: records.AttachedLogger, Name: "kettle-1.csv", MediaType: "text/csv"}
		if err := b.store.Attach(b.ctx, b.owner(), kept, file.Bytes()); err != nil {
			return err
		}
		return b.put(b.owner(), &records.LoggerImport{RunID: p.run.ID, AttachmentID: kept.ID, Unit: "C", Zone: Zone, Separator: ",", HeaderLines: 2,
			TimeColumn: 1, TimeLayout: "2006-01-02 15:04", TemperatureColumn: 2, Points: points,
			FirstAt: lit.Add(2 * time.Minute).Truncate(time.Minute), LastAt: last})
	})
}

// loggerShows is what the logger read: juice warming up, then boiling hotter as it thickens.
func (b *builder) loggerShows(p *boil, at time.Time) float64 {
	lit := b.fireLit(p)
	boils := lit.Add(48 * time.Minute)
	if at.Before(boils) {
		return 20 + 79.5*at.Sub(lit).Minutes()/48
	}
	share := at.Sub(boils).Minutes() / p.drawnAt.Sub(boils).Minutes()
	solids := p.brix / (1 - share*(1-p.brix/p.solids))
	f, err := boilingAt(solids)
	if err != nil {
		return 100
	}
	return tenth(float64(f.Celsius()))
}

// planGivenUp: a small boil caught on the kettle's wall and was poured away.
func (b *builder) planGivenUp() {
	pressing, run := b.smallPressing(-25, 30, 14.9)
	lit, end := b.at(-25, 13, 20), b.at(-25, 14, 35)
	b.plan(lit, func() error {
		run.FireLitAt = lit
		b.summary.Runs++
		return b.store.StartRun(b.ctx, b.kettleHand(), run, []records.Draw{{FromID: pressing.ID}})
	})
	b.plan(end, func() error {
		return b.store.DrawOff(b.ctx, b.kettleHand(), &records.BoilEntry{RunID: run.ID, At: end, Outcome: records.OutcomeGivenUp,
			Note: "caught on the wall while the pump was being mended; smelled burnt, poured away"}, "")
	})
	b.plan(end.Add(50*time.Minute), func() error {
		return b.put(b.kettleHand(), &records.WashOut{VesselID: b.kettles[2].ID, At: end.Add(50 * time.Minute), Note: "scoured"})
	})
}

// smallPressing presses a little cane of the back field for the old kettle, and gives the run it is for.
func (b *builder) smallPressing(day int, gal syrup.USGallons, brix syrup.Brix) (*records.Pressing, *records.Run) {
	cutOn, start, end := b.day(day-1), b.at(day, 12, 5), b.at(day, 12, 50)
	t, entered := degrees(64)
	p := &records.Pressing{SiteID: b.site.ID, StartedAt: start, EndedAt: &end, Volume: ptr(gal.Liters()), VolumeEntered: number(float64(gal), 0) + " gal",
		Brix: &brix, Temperature: t, TemperatureEntered: entered}
	run := &records.Run{}
	b.plan(end.Add(2*time.Minute), func() error {
		run.KettleID, p.InstrumentID = b.kettles[2].ID, &b.refractometer.ID
		mass := syrup.Pounds(float64(gal) * 15).Kilograms()
		cut := &records.Cut{PlantingID: b.plantings[2].ID, CutOn: cutOn, Harvester: "Dale Purvis", Mass: &mass, MassEntered: number(float64(gal)*15, 0) + " lb",
			FinishedAt: ptr(b.at(day-1, 15, 30))}
		if err := b.put(b.field(), cut); err != nil {
			return err
		}
		return b.store.RecordPressing(b.ctx, b.kettleHand(), p, []records.Draw{{FromID: cut.ID}})
	})
	return p, run
}

// planHeldOver: a storm stopped a boil half-way; the semi-syrup stood in a can and was boiled on two days later.
func (b *builder) planHeldOver() error {
	pressing, first := b.smallPressing(-21, 46, 15.8)
	can := &records.Tank{}
	lit, stopped := b.at(-21, 13, 15), b.at(-21, 15, 20)
	mass, err := weigh(syrup.USGallons(46).Liters(), 15.8, syrup.Fahrenheit(64).Celsius())
	if err != nil {
		return err
	}
	solids := float64(mass) * 0.158 * kept
	cup := syrup.Fahrenheit(205)
	read, means, err := spindleShows(41, cup.Celsius())
	if err != nil {
		return err
	}
	held, err := gallonsOf(syrup.Kilograms(solids/float64(means.Percent)*100), means.Percent, cup.Celsius())
	if err != nil {
		return err
	}
	t, entered := degrees(cup)
	b.plan(lit, func() error {
		*can = records.Tank{SiteID: b.site.ID, Name: "Milk can", Holds: records.HoldsSyrup, Volume: gallons(20), VolumeEntered: "20 gal"}
		if err := b.put(b.owner(), can); err != nil {
			return err
		}
		first.FireLitAt = lit
		b.summary.Runs++
		return b.store.StartRun(b.ctx, b.kettleHand(), first, []records.Draw{{FromID: pressing.ID}})
	})
	b.plan(stopped, func() error {
		reading := b.reading(first.ID, stopped, records.StageBoil, read, t, entered, &b.spindle)
		if err := b.put(b.kettleHand(), reading); err != nil {
			return err
		}
		return b.store.DrawOff(b.ctx, b.kettleHand(), &records.BoilEntry{RunID: first.ID, At: stopped, Outcome: records.OutcomeSemiSyrup,
			Volume: ptr(held.Liters()), VolumeEntered: number(float64(held), 1) + " gal", Temperature: t, TemperatureEntered: entered,
			InstrumentID: &b.probeA.ID, Note: "storm coming; lid on, into the cold room"}, can.ID)
	})
	return b.boilOn(can, solids)
}

// boilOn finishes the semi-syrup and plans its one lot.
func (b *builder) boilOn(can *records.Tank, solids float64) error {
	p := &boil{turn: len(b.boils), offset: -19, kettle: 2, gallons: 46, brix: 41, solids: 75.3, drawnAt: b.at(-19, 14, 10)}
	hot, err := boilingAt(p.solids)
	if err != nil {
		return err
	}
	if err := b.reckonEnd(p, syrup.Kilograms(solids/kept*0.985)); err != nil {
		return err
	}
	lit := b.at(-19, 12, 30)
	b.plan(lit, func() error {
		p.run = records.Run{KettleID: b.kettles[2].ID, FireLitAt: lit, Note: "the semi-syrup of two days before"}
		b.summary.Runs++
		return b.store.StartRun(b.ctx, b.kettleHand(), &p.run, []records.Draw{{FromID: can.ID}})
	})
	b.temperature(p, lit.Add(50*time.Minute), hot-9, "")
	if err := b.logEnd(p); err != nil {
		return err
	}
	for _, line := range p.log {
		b.plan(line.at, line.write)
	}
	b.plan(b.at(-19, 18, 5), func() error {
		return b.put(b.kettleHand(), &records.WashOut{VesselID: b.kettles[2].ID, At: b.at(-19, 18, 5)}, &records.WashOut{VesselID: can.ID, At: b.at(-19, 18, 5)})
	})
	b.addBottling(&bottling{from: []*boil{p}, ounces: 16, share: 0.97, start: p.drawnAt.Add(12 * time.Minute)})
	return nil
}
