package season

import (
	"fmt"
	"time"

	"canewright/labels"
	"canewright/records"
)

// examplePrefix is a GS1 Company Prefix out of 952, which GS1 keeps for examples: no house holds it.
const examplePrefix = "952123456"

// shapes are the bodies of the bottles, in mm, without shoulder and neck (invented).
var shapes = map[int][2]float64{8: {84, 52}, 12: {112, 58}, 16: {104, 68}, 32: {138, 92}}

// planFillerHouse plans what stands around the bottles: how they cool, how they are sold, labels, stops and net contents.
func (b *builder) planFillerHouse() error {
	b.plan(b.at(setUpDay, 10, 30), b.coolingTests)
	b.plan(b.at(setUpDay, 11, 15), b.tradeItems)
	b.plan(b.at(setUpDay, 11, 40), b.tolerances)
	for i, l := range b.lots {
		if l.open || l.from[0].offset == -1 {
			continue
		}
		b.planStop(l, i)
		b.planLabelling(l, i)
		b.planNet(l, i)
	}
	return nil
}

// coolingTests: one bottle of each size was filled at 186 F and watched as it cooled (invented figures).
func (b *builder) coolingTests() error {
	for _, ounces := range []int{8, 16, 32} {
		container := b.containers[ounces]
		series := ""
		for minute := 0; minute <= 40; minute += 4 {
			series += fmt.Sprintf("%d %.1f\n", minute, coolsTo(186, 74, float64(minute)/(11+0.9*float64(ounces))))
		}
		air, entered := degrees(74)
		test := &records.CoolingTest{ContainerID: container.ID, At: b.at(setUpDay, 9, 20), InstrumentID: &b.probeA.ID, Unit: "F", Series: series,
			Air: air, AirEntered: entered, Position: "inverted", Note: "probe through a pierced cap"}
		if err := b.put(b.owner(), test); err != nil {
			return err
		}
		container.CoolingTestID = &test.ID
		if err := b.store.Amend(b.ctx, b.owner(), container, "this season's cooling test"); err != nil {
			return err
		}
	}
	return nil
}

// coolsTo is Newton cooling: where something at from stands after so many time constants in air.
func coolsTo(from, air, constants float64) float64 {
	x := 1.0
	for range 64 { // e^-c as (1 - c/64)^64: near enough for an invented table, and the same bits everywhere
		x *= 1 - constants/64
	}
	return air + (from-air)*x
}

// tradeItems: the quart has GTINs of the example prefix; the others are sold without.
func (b *builder) tradeItems() error {
	b.house.CompanyPrefix = examplePrefix
	if err := b.store.Amend(b.ctx, b.owner(), &b.house, "prefix for the quart's barcode; an example, not issued to anybody"); err != nil {
		return err
	}
	var facts []records.Fact
	for _, ounces := range []int{8, 12, 16, 32} {
		item := &records.TradeItem{ProductID: b.cane.ID, ContainerID: b.containers[ounces].ID, LabelStockID: &b.stocks[0].ID}
		if ounces == 32 {
			item.GTIN, item.CaseGTIN = withCheck(examplePrefix+"032"), withCheck("1"+examplePrefix+"032")
		}
		facts = append(facts, item)
	}
	return b.put(b.owner(), facts...)
}

func withCheck(digits string) string { return digits + string(labels.CheckDigit(digits)) }

// tolerances are the owner's own copy of a table by weight, typed in for the demo.
func (b *builder) tolerances() error {
	return b.put(b.owner(), &records.NetTable{Name: records.TableMAVWeight, Edition: "demo", AsOf: b.day(setUpDay),
		Source: "typed in for the demo from the program's own rows, which are from memory", Lines: "0 36 10 %\n36 54 3.6\n54 81 5.4\n81 117 7.2\n117 154 9\n154 208 10.8\n208 263 12.7\n263 317 14.5\n317 381 16.3\n381 426 18.1\n426 489 19.9\n489 571 21.7\n571 635 23.5\n635 698 25.4\n698 771 27.2\n771 852 29\n852 971 31.7\n971 1120 35.3"})
}

// planStop: at every fifth lot something stops the filler for a few minutes, and once a bottle breaks.
func (b *builder) planStop(l *bottling, i int) {
	if i%5 != 2 || l.story == coolFill {
		return
	}
	at := l.start.Add(25 * time.Minute)
	b.plan(at, func() error {
		number := l.count * 25 / 44
		facts := []records.Fact{&records.FillEvent{LotID: l.lot.ID, At: at, What: records.FillStop, BottleNumber: &number, Note: "case tape ran out"}}
		if i == 12 {
			facts = append(facts, &records.FillEvent{LotID: l.lot.ID, At: at, What: records.FillBroken, Count: ptr(1), BottleNumber: &number, Note: "chipped at the mouth"})
		}
		return b.put(b.filler(), facts...)
	})
	on := at.Add(4 * time.Minute)
	b.plan(on, func() error {
		number := l.count * 25 / 44
		check := &records.FillCheck{LotID: l.lot.ID, At: on.Add(time.Minute), InstrumentID: &b.probeFor(l).ID, ClosureOK: ptr(true), InvertedSeconds: ptr(45),
			BottleNumber: ptr(number + 1), Note: "first after the stop"}
		check.Bottle, check.BottleEntered = fineDegrees(185.4)
		return b.put(b.filler(), &records.FillEvent{LotID: l.lot.ID, At: on, What: records.FillRestart, BottleNumber: &number}, check)
	})
}

// planLabelling: the next morning tags are held against labels, and what became of the labels is counted.
func (b *builder) planLabelling(l *bottling, i int) {
	if l.story == unanswered || i%2 == 1 {
		return
	}
	at := b.at(l.from[0].offset+1, 13, 5+3*(i%7))
	b.plan(at, func() error {
		code := l.lot.Code
		spoiled := i % 3
		if spoiled > 0 {
			again := &records.Print{OfID: l.lot.ID, What: "labels", At: at, Copies: spoiled, Reprint: true, LabelStockID: &b.stocks[0].ID, StartCell: ptr(1), Note: "for spoiled ones"}
			if err := b.put(b.filler(), again); err != nil {
				return err
			}
		}
		return b.put(b.filler(), &records.TagMatch{LotID: l.lot.ID, At: at, TagTyped: code, LabelTyped: code, Matched: true},
			&records.LabelCount{LotID: l.lot.ID, At: at.Add(30 * time.Second), Used: l.count, Spoiled: spoiled})
	})
}
