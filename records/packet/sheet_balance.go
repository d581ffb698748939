package packet

import (
	"slices"
	"strconv"

	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// balance is what ran in against what was drawn off. A figure that rests on something not recorded is not recorded.
func (s *sheet) balance(f runFile) []labels.Field {
	volumeIn, solidsIn := f.sums()
	fields := []labels.Field{
		{Name: say("packet.field.juice_in"), Value: s.w.volume("", volumeIn)},
		{Name: say("packet.field.solids_in"), Value: estimated(s.w.mass("", solidsIn))},
		{Name: say("packet.field.solids_out"), Value: s.solidsOut(f.Balance)},
	}
	if f.Drawn != nil && f.Drawn.Outcome != records.OutcomeSyrup {
		return fields // no syrup to hold the juice against
	}
	return slices.Insert(fields, 1, labels.Field{Name: say("packet.field.ratio"), Value: f.ratio(volumeIn)})
}

// ratio is juice in to syrup out; blank where other than that came of it.
func (f runFile) ratio(in *syrup.Liters) string {
	out := f.Drawn
	if in == nil || out == nil || out.Outcome != records.OutcomeSyrup || out.Volume == nil || *out.Volume <= 0 || f.Balance == nil || len(f.Balance.Ladled) > 0 {
		return ""
	}
	return say("packet.sheet.ratio", "Ratio", strconv.FormatFloat(float64(*in / *out.Volume), 'f', 1, 64))
}

// sums adds up what ran in; nil as soon as one quantity is not known.
func (f runFile) sums() (volume *syrup.Liters, solids *syrup.Kilograms) {
	if len(f.Into) == 0 {
		return nil, nil
	}
	v, m := syrup.Liters(0), syrup.Kilograms(0)
	volume, solids = &v, &m
	for _, l := range f.Into {
		if l.Volume == nil {
			volume = nil
		} else {
			v += *l.Volume
		}
		if l.Solids == nil {
			solids = nil
		} else {
			m += *l.Solids
		}
	}
	return volume, solids
}
