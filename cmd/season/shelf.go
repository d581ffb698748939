package season

import (
	"errors"
	"fmt"
	"time"

	"canewright/hazards"
	"canewright/records"
)

// shipped is what left with one shipment.
type shipped struct {
	shipment records.Shipment
	units    []records.Units
}

// shipments is how many leave in the season, from the first released bottles to yesterday.
const (
	shipmentCount = 200
	firstShipping = -48
)

// planShelf plans releases, shipments and what else becomes of the bottles.
func (b *builder) planShelf() error {
	for i, l := range b.lots {
		if l.open || l.from[0].offset == -1 {
			continue
		}
		l.release = b.at(l.from[0].offset+1, 9, 2+i%4*3)
		if l.from[0].offset == -2 {
			continue
		}
		b.plan(l.release, func() error { return b.releaseLot(l) })
	}
	days := -firstShipping
	onDay := map[int]int{}
	for i := range shipmentCount {
		offset := firstShipping + i*days/shipmentCount
		b.planShipment(offset, onDay[offset])
		onDay[offset]++
	}
	b.planSamples()
	b.planCounts()
	return nil
}

// releaseLot signs a lot out of hold when nothing but checks stands against it.
func (b *builder) releaseLot(l *bottling) error {
	judged, err := records.JudgePart(b.ctx, b.store, l.part)
	if err != nil {
		return err
	}
	var notReleasable records.NotReleasable
	err = b.store.Release(b.ctx, b.signer(l), l.part, reasonFor(judged.Findings))
	if errors.As(err, &notReleasable) {
		return nil // it stays held, as it would in life
	}
	return err
}

func (b *builder) signer(l *bottling) records.Actor {
	if l.lot.Ordinal%3 == 0 {
		return b.filler()
	}
	return b.owner()
}

// reasons are what the house writes when a check stands against a lot.
var reasons = map[string]string{
	"identity.near_limit":     "Read twice by the same stem; the cold cup next morning floated above the mark.",
	"harvest.freeze_damaged":  "Stalks split and smelled before pressing; juice was sweet, no slime, skimmed twice.",
	"harvest.freeze_inspect":  "Stalks split: sound.",
	"harvest.age_warm":        "Cane stood in the shade and was pressed first thing; juice smelled fresh.",
	"instrument.failed_check": "Judged with the probe's whole error taken off; still over the limit.",
	"balance.short":           "Skimmings were not weighed; a bucket was lost over the side.",
	"balance.over":            "Juice was read from the tank's stick, half an inch is four gallons.",
	"overdraw.over":           "Volumes by dipstick, rounded.",
	"identity.very_thick":     "Sold as it is; may crystallize, and the shops know.",
}

// reasonFor answers every check among the findings; blank when there is none.
func reasonFor(findings []hazards.Finding) string {
	reason := ""
	seen := map[string]bool{}
	for _, f := range findings {
		if f.Level != hazards.Check || seen[f.Code] {
			continue
		}
		seen[f.Code] = true
		said, ok := reasons[f.Code]
		if !ok {
			said = "Looked at and accepted."
		}
		if reason != "" {
			reason += " "
		}
		reason += said
	}
	return reason
}

// onShelf lists the released parts with bottles on hand, oldest first.
func (b *builder) onShelf() ([]records.PartShelf, error) {
	parts, err := records.List[records.Part](b.ctx, b.store, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	shelves, err := records.Shelves(b.ctx, b.store, parts)
	var list []records.PartShelf
	for _, s := range shelves {
		if s.State == records.StateReleased && s.OnHand > 0 {
			list = append(list, s)
		}
	}
	return list, err
}

// planShipment plans the nth shipment of a day: the first of a market day goes to the market, and what is not sold comes
// back the same afternoon.
func (b *builder) planShipment(offset, nth int) {
	weekday := b.at(offset, 12, 0).In(b.zone).Weekday()
	market := nth == 0 && (weekday == time.Saturday || weekday == time.Wednesday)
	at := b.at(offset, 9, 40+nth*47)
	if market {
		at = b.at(offset, 6, 12)
	}
	roll := b.dice.IntN(100)
	pick, many := b.dice.IntN(97), b.dice.IntN(12)
	b.plan(at, func() error {
		s := shipped{shipment: records.Shipment{At: at}}
		want := 1
		switch {
		case market:
			place := b.customersOf(records.CustomerMarket)[0]
			if weekday == time.Wednesday {
				place = b.customersOf(records.CustomerMarket)[1]
			}
			s.shipment.CustomerID, s.shipment.HowPacked, want = place.ID, "open crates", 34
		case roll < 40:
			businesses := b.customersOf(records.CustomerBusiness)
			s.shipment.CustomerID, s.shipment.HowPacked, want = businesses[pick%len(businesses)].ID, "cases", 12+many
			s.shipment.CarrierID, s.shipment.Reference = &b.haulier.ID, fmt.Sprintf("D-%04d", 1001+len(b.shipments))
		default:
			persons := b.customersOf(records.CustomerPerson)
			s.shipment.CustomerID, s.shipment.HowPacked, want = persons[pick%len(persons)].ID, "carried out", 1+many%4
			if many > 7 {
				s.shipment.HowPacked, s.shipment.CarrierID = "carton, padded", &b.parcelLine.ID
			}
		}
		return b.ship(s, want, pick, market)
	})
}

// ship takes so many bottles from one to three parts and writes the shipment.
func (b *builder) ship(s shipped, want, pick int, market bool) error {
	shelf, err := b.onShelf()
	if err != nil {
		return err
	}
	if len(shelf) == 0 {
		return errors.New("no bottle is on the shelf to ship")
	}
	parts := 1 + want/9
	for i := 0; i < parts && i < len(shelf); i++ {
		part := shelf[(pick+i*5)%len(shelf)]
		n := min(part.OnHand, max(1, want/parts))
		if taken(s.units, part.ID) {
			continue
		}
		s.units = append(s.units, records.Units{PartID: part.ID, Count: n})
	}
	if err := b.store.Ship(b.ctx, b.filler(), &s.shipment, s.units); err != nil {
		return err
	}
	b.shipments = append(b.shipments, s)
	b.summary.Shipments++
	if market {
		b.planBack(s)
	}
	return nil
}

func taken(units []records.Units, part string) bool {
	for _, u := range units {
		if u.PartID == part {
			return true
		}
	}
	return false
}

// planBack brings home what a market day did not sell.
func (b *builder) planBack(s shipped) {
	at := s.shipment.At.Add(8*time.Hour + 25*time.Minute)
	b.plan(at, func() error {
		var facts []records.Fact
		for _, u := range s.units {
			if n := u.Count / 3; n > 0 {
				facts = append(facts, &records.ShelfEntry{What: records.ShelfBack, PartID: u.PartID, ShipmentID: &s.shipment.ID, At: at, Units: n})
			}
		}
		if len(facts) == 0 {
			return nil
		}
		return b.put(b.filler(), facts...)
	})
}

// planSamples keeps one bottle of every third lot, sends some to a laboratory, and breaks a few.
func (b *builder) planSamples() {
	for i, l := range b.lots {
		if l.open || i%3 != 0 {
			continue
		}
		at := l.start.Add(70 * time.Minute)
		b.plan(at, func() error {
			e := &records.ShelfEntry{What: records.ShelfSample, PartID: l.part, At: at, Units: 1, Place: "kept, shelf over the door"}
			if i%9 == 0 {
				e.Place, e.Note = "Cypress Lane laboratory (invented)", "water activity and pH"
			}
			if i%12 == 3 {
				e.What, e.Place, e.Note = records.ShelfBreakage, "cooling rack", "slipped while turning"
			}
			return b.put(b.filler(), e)
		})
	}
}

// planCounts counts the shelf twice; the second count finds a bottle less than the book.
func (b *builder) planCounts() {
	for _, day := range []int{-16, -3} {
		at := b.at(day, 17, 15)
		b.plan(at, func() error {
			shelf, err := b.onShelf()
			if err != nil {
				return err
			}
			var facts []records.Fact
			for i, part := range shelf[:min(8, len(shelf))] {
				e := &records.ShelfEntry{What: records.ShelfCount, PartID: part.ID, At: at, Units: part.OnHand, Place: "store room"}
				if day == -3 && i == 2 {
					e.Units, e.Note = part.OnHand-1, "counted twice"
				}
				facts = append(facts, e)
			}
			return b.put(b.filler(), facts...)
		})
	}
}
