package season

import (
	"canewright/hazards/syrup"
	"canewright/records"
)

// planField plans what happens to the fields besides cutting: spray, fertilizer, the frost, supplies that come meanwhile.
func (b *builder) planField() error {
	b.plan(b.at(setUpDay, 9, 5), func() error {
		return b.put(b.field(),
			&records.Application{BlockID: b.blocks[1].ID, AppliedOn: b.day(-96), Product: "Borer spray, registration copied from the drum", EPANumber: "00000-12",
				Amount: "38 fl oz", AreaTreated: "2.4 acre", PreHarvestDays: 30, ForSugarcane: ptr(true), Applicator: "Dale Purvis", CertificationNo: "PV-0000"},
			&records.Application{BlockID: b.blocks[0].ID, AppliedOn: b.day(-210), Product: "Fertilizer 8-8-8", Amount: "720 lb", AreaTreated: "1.8 acre",
				PreHarvestDays: 0, ForSugarcane: ptr(true), Applicator: "Dale Purvis"})
	})
	b.plan(b.at(frostDay, 7, 50), func() error {
		low := syrup.Fahrenheit(27).Celsius()
		return b.put(b.field(), &records.Freeze{SiteID: b.site.ID, Night: b.day(frostDay), Low: low, LowEntered: "27 F", HoursBelow: ptr(1.5),
			Found: records.StalksNotLooked})
	})
	b.plan(b.at(frostDay+1, 9, 20), func() error { // the stalks were split the next morning
		nights, err := records.List[records.Freeze](b.ctx, b.store, "")
		if err != nil {
			return err
		}
		nights[0].Found = records.StalksSome
		return b.store.Amend(b.ctx, b.field(), &nights[0], "split ten stalks on each block this morning; low corner of Creek side is watery")
	})
	b.laterSupplies()
	return nil
}

// frostDay is the morning after the cold night.
const frostDay = -20

// cutFor plans the cane of a boil: cut the day before, from one or two blocks.
func (b *builder) cutFor(p *boil) {
	for i, block := range p.blocks {
		cut := &records.Cut{PlantingID: b.plantings[block].ID, CutOn: b.day(p.offset - 1), Harvester: harvesters[(p.turn+i)%len(harvesters)],
			HarvesterPhone: "+1 225 555 0146", WaitsAt: "shed at the mill, in the shade"}
		finished := b.at(p.offset-1, 14, 10+17*i)
		cut.FinishedAt = &finished
		pounds := syrup.Pounds(round(p.gallons*8.9/0.55*part(i, len(p.blocks)), 10))
		if p.turn%11 == 5 && len(p.blocks) == 1 { // the scale was out that day
			cut.Counted, cut.Estimated = "4 loads", true
		} else {
			cut.Mass, cut.MassEntered = ptr(pounds.Kilograms()), number(float64(pounds), 0)+" lb"
		}
		cut.FrozenStalks = b.frozen(p, block)
		high := syrup.Fahrenheit(76 - 0.3*float64(56+p.offset))
		cut.DayHigh, cut.DayHighEntered = ptr(syrup.Fahrenheit(round(float64(high), 1)).Celsius()), number(float64(high), 0)+" F"
		p.cuts = append(p.cuts, cut)
		b.plan(finished.Add(writingTakes), func() error { return b.put(b.field(), cut) })
	}
}

// part is the share of a boil's cane that comes from its nth block: all of it, or two thirds and one.
func part(nth, of int) float64 {
	switch {
	case of == 1:
		return 1
	case nth == 0:
		return 0.65
	}
	return 0.35
}

// frozen is what split stalks of a cut showed: nothing to look for before the frost.
func (b *builder) frozen(p *boil, block int) string {
	switch {
	case p.offset-1 < frostDay:
		return ""
	case block == 0 && p.offset < frostDay+6:
		return records.StalksSome
	}
	return records.StalksSound
}

var harvesters = []string{"Dale Purvis", "Efraín Lugo", "Dale Purvis and two day hands", "Tomás Rivas"}
