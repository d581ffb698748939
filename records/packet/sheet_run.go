package packet

import (
	"strconv"
	"strings"
	"time"

	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// run writes the block of one run.
func (s *sheet) run(f runFile) {
	s.block(f.ID, say("packet.sheet.run", "Code", f.Code))
	s.Fields(4, append(s.runFields(f), s.balance(f)...))
	s.Small(say("packet.sheet.balance_note"))
	if f.Note != "" {
		s.Small(f.Note)
	}
	s.juice(f)
	s.Heading(say("packet.sheet.boil"))
	s.picture(f)
	s.log(f)
	s.additions(f.ID, f.FireLitAt, f.Additions)
	s.findings(f.Findings)
}

func (s *sheet) runFields(f runFile) []labels.Field {
	boiled := ""
	if f.Drawn != nil {
		boiled = hoursMinutes(f.Drawn.At.Sub(f.FireLitAt))
		if on := f.OnFire; on < f.Drawn.At.Sub(f.FireLitAt) {
			boiled = joined(", ", boiled, say("packet.sheet.on_fire", "Time", hoursMinutes(on)))
		}
	}
	end := s.endFields(f)
	return []labels.Field{
		{Name: say("packet.field.kettle"), Value: say("packet.sheet.kettle", "Name", f.Kettle.Name, "Number", f.Kettle.Number)},
		{Name: say("packet.field.fire_lit"), Value: s.w.moment(f.FireLitAt)},
		end[0],
		{Name: say("packet.field.boiled"), Value: boiled},
		end[1],
		end[2],
		{Name: say("packet.field.heel"), Value: s.heel(f)},
		{Name: say("packet.field.written_by"), Value: s.r.doer(f.Row)},
	}
}

// heel names what was left in the kettle, or the wash-out that left nothing.
func (s *sheet) heel(f runFile) string {
	var heels []string
	for _, l := range f.heels() {
		heels = append(heels, say("packet.sheet.heel_of", "Code", s.r.name(l.FromID), "Quantity", orMissing(s.linkQuantity(l))))
	}
	if len(heels) == 0 && f.Washed != nil {
		return say("packet.sheet.washed", "At", s.w.moment(f.Washed.At))
	}
	return strings.Join(heels, "; ")
}

// linkQuantity is what a link carries, as typed where that is known.
func (s *sheet) linkQuantity(l records.Link) string {
	quantity := s.w.mass(l.Entered, nil)
	switch {
	case l.Units != nil:
		quantity = say("count.bottles", "Count", *l.Units)
	case l.Volume != nil:
		quantity = s.w.volume(l.Entered, l.Volume)
	case l.Mass != nil:
		quantity = s.w.mass(l.Entered, l.Mass)
	}
	return estimatedIf(quantity, l.Estimated)
}

// juice writes what ran into the kettle and the cane it came from.
func (s *sheet) juice(f runFile) {
	rows := [][]labels.Cell{}
	for _, l := range f.Into {
		what := word("kind", string(f.Kinds[l.FromID]))
		if l.Heel {
			what = say("packet.sheet.heel")
		}
		rows = append(rows, labels.Row(s.w.moment(l.At), joined(" ", what, s.r.name(l.FromID)), orMissing(s.linkQuantity(l)),
			orMissing(estimated(s.w.mass("", l.Solids))), s.r.doer(l.Row)))
	}
	if len(rows) == 0 {
		rows = append(rows, labels.Row(say("word.not_recorded")))
	}
	s.Table([]labels.Column{column("at", 2.4), column("into_kettle", 4), column("quantity", 3), column("solids", 2.4), column("who", 2)}, rows)
	s.pressings(f)
}

func (s *sheet) pressings(f runFile) {
	if len(f.Pressings) == 0 {
		return
	}
	rows := [][]labels.Cell{}
	for _, p := range f.Pressings {
		rows = append(rows, labels.Row(
			s.pressingName(p), orMissing(s.pressingTime(p)),
			orMissing(estimatedIf(s.w.volume(p.VolumeEntered, p.Volume), p.Estimated && p.Volume != nil)),
			orMissing(decimal(p.Brix, 1)), orMissing(decimal(p.PH, 1)), orMissing(s.w.temperature(p.TemperatureEntered, p.Temperature)),
			orMissing(s.r.optionalName(p.InstrumentID)), shareOf(p.Share, p.ShareEstimated)))
	}
	s.Table([]labels.Column{column("pressing", 2.2), column("pressed", 2), column("volume", 2), column("brix", 1.5), column("ph", 1.5),
		column("temperature", 1.8), column("instrument", 2), column("share", 1.6)}, rows)
	s.cuts(f)
}

func (s *sheet) cuts(f runFile) {
	rows := [][]labels.Cell{}
	for _, p := range f.Pressings {
		if len(p.Cuts) == 0 {
			rows = append(rows, labels.Row(s.pressingName(p), say("word.not_recorded")))
		}
		for _, c := range p.Cuts {
			rows = append(rows, s.cutRow(p, c))
		}
	}
	s.Table([]labels.Column{column("pressing", 2), column("cut_on", 2), column("field", 2), column("variety", 2.2), column("harvester", 2.2),
		column("waited", 1.8), column("cane", 2.4)}, rows)
}

func (s *sheet) cutRow(p pressingFile, c cutFile) []labels.Cell {
	if c.Cut.ID == "" { // bought cane: a supply lot, not a cut of ours
		return labels.Row(s.pressingName(p), say("packet.sheet.bought"), s.r.name(c.Link.FromID), "", "", "", orMissing(s.linkQuantity(c.Link)))
	}
	stand := say("packet.sheet.plant_cane")
	if c.Planting.Ratoon > 0 {
		stand = say("packet.sheet.ratoon", "Number", c.Planting.Ratoon)
	}
	day := s.w.day(c.CutOn)
	if c.FinishedAt != nil {
		day += " " + c.FinishedAt.In(s.w.zone).Format("15:04")
	}
	cane := estimatedIf(joined(", ", s.w.mass(c.MassEntered, c.Mass), c.Counted), c.Cut.Estimated)
	return labels.Row(s.pressingName(p), day, c.Block.Name, c.Planting.Variety+", "+stand, orMissing(c.Harvester), orMissing(c.WaitsAt), orMissing(cane))
}

func (s *sheet) pressingName(p pressingFile) string {
	return s.w.day(records.DayOf(p.StartedAt, s.w.zone)) + ", " + strconv.Itoa(p.Number)
}

func (s *sheet) pressingTime(p pressingFile) string {
	end := say("word.not_recorded")
	if p.EndedAt != nil {
		end = s.w.clock(*p.EndedAt, p.StartedAt)
	}
	return s.w.clock(p.StartedAt, p.StartedAt) + " – " + end
}

func shareOf(share *syrup.Fraction, isEstimated bool) string {
	if share == nil {
		return ""
	}
	return estimatedIf(strconv.FormatFloat(float64(*share)*100, 'f', 0, 64)+" %", isEstimated)
}

func hoursMinutes(d time.Duration) string {
	return say("packet.sheet.hours_minutes", "Hours", int(d.Hours()), "Minutes", int(d.Minutes())%60)
}

func column(key string, width float64) labels.Column {
	return labels.Column{Title: say("packet.column." + key), Width: width}
}
