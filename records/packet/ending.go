package packet

import (
	"strconv"

	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// endedAs says how a run ended: "held as semi-syrup"; syrup is drawn off.
func endedAs(outcome string) string {
	if outcome == records.OutcomeSyrup {
		return say("packet.log.drawn_off")
	}
	return say("packet.log.ended." + outcome)
}

// endFields are when, how much and how thick a run ended, under the words of how it did.
func (s *sheet) endFields(f runFile) []labels.Field {
	fields := []labels.Field{{Name: say("packet.field.drawn_off")}, {Name: say("packet.field.volume_out")}, {Name: say("packet.field.finish"), Value: s.w.solids(f.Finish)}}
	if f.Drawn == nil {
		return fields
	}
	fields[0].Value = s.w.moment(f.Drawn.At)
	fields[1].Value = estimatedIf(s.w.volume(f.Drawn.VolumeEntered, f.Drawn.Volume), f.Drawn.Estimated && f.Drawn.Volume != nil)
	if f.Drawn.Outcome == records.OutcomeSyrup {
		return fields
	}
	fields[0] = labels.Field{Name: say("packet.field.ended"), Value: joined(", ", endedAs(f.Drawn.Outcome), fields[0].Value)}
	fields[1].Name = say("packet.field.volume." + f.Drawn.Outcome)
	if f.Drawn.Volume == nil {
		fields[1].Value = say("packet.sheet.not_measured")
	}
	fields[2].Name = say("packet.field.last_solids")
	return fields
}

// movedLine is a line of the log about what went into another kettle in mid-boil.
func (s *sheet) movedLine(l records.Link) (what, value string) {
	return say("packet.log.moved"), joined(" · ", say("packet.log.into_run", "Code", s.r.name(l.ToID)), orMissing(s.linkQuantity(l)))
}

// solidsOut says what became of the dissolved solids: drawn off, moved, left as a heel, poured away; and what share of what
// ran in that is.
func (s *sheet) solidsOut(b *records.RunBalance) string {
	if b == nil || !b.Ended {
		return ""
	}
	said := ""
	add := func(key string, kg *syrup.Kilograms) {
		if kg != nil {
			said = joined("; ", said, say(key, "Mass", s.w.mass("", kg)))
		}
	}
	add("packet.balance.drawn", b.Drawn)
	if moved := b.Moved(); moved != nil && *moved > 0 {
		add("packet.balance.moved", moved)
	}
	add("packet.balance.assumed", b.Assumed)
	add("packet.balance.heel", b.Heel)
	add("packet.balance.poured", b.Poured)
	if said == "" {
		return ""
	}
	in, rest := b.In(), b.Unaccounted()
	if in != nil && rest != nil && *in > 0 {
		said = joined("; ", said, strconv.FormatFloat(float64((*in-*rest) / *in)*100, 'f', 0, 64)+" %")
	}
	return estimated(said)
}
