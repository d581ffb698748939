package season

import (
	"errors"
	"time"

	"canewright/hazards"
	"canewright/records"
)

// planTroubles plans what goes wrong and what is done about it: the cool fill, the failed probe, complaints, a recall.
func (b *builder) planTroubles() error {
	b.planInstrumentChecks()
	b.planCoolFill()
	b.planComplaints()
	b.planReturns()
	return nil
}

// planInstrumentChecks: every week the probes are held in boiling water; on one day the second fails. Once a month the
// stems stand in a reference solution and the scale weighs a check weight.
func (b *builder) planInstrumentChecks() {
	check := func(offset, minute int, i *records.Instrument, method string, expected, read float64, unit string, passed bool, note string) {
		at := b.at(offset, 5, 30+minute)
		b.plan(at, func() error {
			return b.put(b.kettleHand(), &records.InstrumentCheck{InstrumentID: i.ID, At: at, Method: method, Expected: expected, Read: read,
				Unit: unit, Passed: passed, Note: note})
		})
	}
	for offset := setUpDay + 1; offset < 0; offset += 8 {
		check(offset, 0, &b.probeA, "boiling_water", 211.8, tenth(211.6+0.1*float64(b.dice.IntN(5))), "F", true, "")
		if offset < probeBFails {
			check(offset, 6, &b.probeB, "boiling_water", 211.8, tenth(211.5+0.1*float64(b.dice.IntN(5))), "F", true, "")
		}
	}
	check(probeBFails, 12, &b.probeB, "boiling_water", 211.8, 214.9, "F", false, "reads high; lead is cracked; taken out of use")
	for _, offset := range []int{setUpDay + 1, -25} {
		check(offset, 18, &b.spindle, "reference_solution", 36, 36, "Be", true, "")
		check(offset, 22, &b.spareStem, "reference_solution", 36, 36.1, "Be", true, "")
		check(offset, 26, &b.refractometer, "reference_solution", 15, 15.1, "Bx", true, "")
		check(offset, 29, &b.scale, "check_weight", 500, 500, "g", true, "")
	}
}

func (b *builder) lotOf(s story) *bottling {
	for _, l := range b.lots {
		if l.story == s {
			return l
		}
	}
	return nil
}

// planCoolFill: the lot divided itself when it was counted. The hot bottles are released, the cool ones destroyed.
func (b *builder) planCoolFill() {
	l := b.lotOf(coolFill)
	after := l.release.Add(25 * time.Minute)
	b.plan(after, func() error {
		parts, err := records.List[records.Part](b.ctx, b.store, "lot_id = ? ORDER BY number", l.lot.ID)
		if err != nil {
			return err
		}
		for _, part := range parts {
			judged, err := records.JudgePart(b.ctx, b.store, part.ID)
			if err != nil {
				return err
			}
			switch {
			case len(hazards.At(judged.Findings, hazards.Hold)) > 0:
				b.planScrapped(part.ID, after)
				continue
			case judged.Shelf.State == records.StateReleased:
				continue
			}
			if err := b.store.Release(b.ctx, b.owner(), part.ID, reasonFor(judged.Findings)); err != nil {
				return err
			}
		}
		return nil
	})
}

// planScrapped answers what holds a part in four parts, then destroys it.
func (b *builder) planScrapped(part string, after time.Time) {
	b.plan(after.Add(20*time.Minute), func() error { return b.answer(part) })
	b.plan(after.Add(50*time.Minute), func() error {
		return b.store.Dispose(b.ctx, b.owner(), part, records.ActDestroy, "Opened and emptied; not put back in the kettle. Bottles scrapped.")
	})
}

// answer writes the four-part text for every hold against a part.
func (b *builder) answer(part string) error {
	judged, err := records.JudgePart(b.ctx, b.store, part)
	if err != nil {
		return err
	}
	for _, f := range hazards.At(judged.Findings, hazards.Hold) {
		if f.Level != hazards.Hold {
			continue
		}
		action := &records.CorrectiveAction{PartID: part, At: b.clock.Now(), Finding: f.Code, AboutID: f.About,
			Problem:    "The tap stood idle for a quarter of an hour and cooled; filling stopped, tap and line were heated again.",
			Recurrence: "First bottle after any pause goes back to the tank; written on the filler's board.",
			Evaluation: "Bottles between the good checks before and after were set apart by number. Those before and after were hot.",
			Commerce:   "Nothing of this lot had left. These bottles are a part of their own and are destroyed."}
		if err := b.put(b.owner(), action); err != nil {
			return err
		}
	}
	return nil
}

// planComplaints: two bottles leak, both closed with caps of the second lot; one crystallized, of the run that went too far.
func (b *builder) planComplaints() {
	b.plan(b.at(-12, 15, 40), func() error {
		return b.complain(func(l *bottling) bool { return l.from[0].story == thick }, records.Complaint{About: "crystals",
			Story: "Hard crystals at the bottom after three weeks on the shelf. Taste is fine.", Stored: "pantry, cool", Units: ptr(1)}, 0)
	})
	leaking := func(l *bottling) bool {
		return l.lot.ClosuresLotID != nil && *l.lot.ClosuresLotID == b.laterCaps.ID && l.from[0].offset <= -14
	}
	b.plan(b.at(-9, 11, 20), func() error {
		return b.complain(leaking, records.Complaint{About: "leak", Story: "Syrup under the cap and down the side, two bottles out of the case.",
			Stored: "store shelf", Units: ptr(2)}, 1)
	})
	b.plan(b.at(-5, 16, 5), func() error {
		return b.complain(leaking, records.Complaint{About: "leak", Story: "Cap turns without biting; bottle was sticky when it came out of the box.",
			Stored: "not stored, opened the box", Units: ptr(1)}, 2)
	})
}

// complain writes a complaint about a lot that fits and has left the house; the caller is who received it. The second of
// the leaks makes the house hold what it has of both lots and call the first one back.
func (b *builder) complain(fits func(*bottling) bool, k records.Complaint, nth int) error {
	l, s := b.soldLot(fits, nth)
	if l == nil {
		return errors.New("no shipped lot fits the complaint")
	}
	customer, err := records.Get[records.Customer](b.ctx, b.store, s.shipment.CustomerID)
	if err != nil {
		return err
	}
	k.ReceivedAt, k.LotID, k.CodeTyped = b.now, &l.lot.ID, records.PrintedCode(l.lot.Code)
	k.BoughtAt, k.OpenedOn, k.Contact = customer.Contact.Name, b.dayOf(b.now, -1), customer.Contact
	if err := b.put(b.owner(), &k); err != nil {
		return err
	}
	b.summary.Complaints++
	switch nth {
	case 0:
		b.plan(b.now.Add(20*time.Hour), func() error { return b.closeComplaint(k) })
	case 1:
		b.summary.TraceCode = records.PrintedCode(l.lot.Code)
	case 2:
		b.planRecall(l)
	}
	b.complained = append(b.complained, l)
	return nil
}

func (b *builder) dayOf(t time.Time, days int) records.Day {
	return records.DayOf(t.AddDate(0, 0, days), b.zone)
}

// soldLot finds a shipment to a customer with a lot that fits, which nobody has complained about yet.
func (b *builder) soldLot(fits func(*bottling) bool, nth int) (*bottling, shipped) {
	for _, s := range b.shipments {
		for _, u := range s.units {
			for _, l := range b.lots {
				if l.part == u.PartID && fits(l) && !b.knows(l) && (nth != 1 || u.Count > 1) {
					return l, s
				}
			}
		}
	}
	return nil, shipped{}
}

func (b *builder) knows(l *bottling) bool {
	for _, known := range b.complained {
		if known == l {
			return true
		}
	}
	return false
}

func (b *builder) closeComplaint(k records.Complaint) error {
	k.ClosedAt = ptr(b.now)
	k.Decision = "Crystals are sugar: the run was read at the thick end. Told how to warm the bottle; a new one went with the next parcel."
	return b.store.Amend(b.ctx, b.owner(), &k, "answered and closed")
}

// planRecall holds what is left of both leaking lots, then calls the first back.
func (b *builder) planRecall(second *bottling) {
	first := b.complained[len(b.complained)-1]
	b.plan(b.now.Add(30*time.Minute), func() error {
		for _, l := range []*bottling{first, second} {
			if err := b.store.Hold(b.ctx, b.owner(), l.part, "two bottles leak, both closed with caps LM-219"); err != nil {
				return err
			}
		}
		return nil
	})
	b.plan(b.at(-4, 8, 45), func() error {
		return b.store.Dispose(b.ctx, b.owner(), first.part, records.ActRecall, "Caps of this lot do not bite; asked back from everybody who has it.")
	})
}

// planReturns: three times bottles come back from a shop, each time into a held part of their own.
func (b *builder) planReturns() {
	for i, r := range []struct {
		day    int
		reason string
	}{{-30, "ordered too many"}, {-17, "case wet, labels loose"}, {-3, "sent back after our call about the caps"}} {
		at := b.at(r.day, 14, 50)
		b.plan(at, func() error {
			s, u, ok := b.returnable(i)
			if !ok {
				return errors.New("no shipment to a shop to return from")
			}
			return b.store.Return(b.ctx, b.filler(), &records.ShelfEntry{PartID: u.PartID, ShipmentID: &s.shipment.ID, At: at, Units: min(2+i, u.Count), Note: r.reason})
		})
	}
}

// returnable is a shipment to a business to return from; the last return is of the recalled lot where it can be.
func (b *builder) returnable(nth int) (shipped, records.Units, bool) {
	var found shipped
	var units records.Units
	ok := false
	for _, s := range b.shipments {
		if s.shipment.CarrierID == nil || *s.shipment.CarrierID != b.haulier.ID {
			continue
		}
		for _, u := range s.units {
			recalled := nth == 2 && len(b.complained) > 1 && u.PartID == b.complained[1].part
			if !ok || recalled || nth == 1 {
				found, units, ok = s, u, true
			}
			if recalled {
				return found, units, ok
			}
		}
	}
	return found, units, ok
}
