package packet

import (
	"strconv"

	"canewright/hazards/syrup"
	"canewright/labels"
)

// syrupDrawnAt is taken where the temperature of drawing off is not recorded (common practice, no source).
const syrupDrawnAt syrup.Celsius = 85

// balance is what ran in against what was drawn off. A figure that rests on something not recorded is not recorded.
func (s *sheet) balance(f runFile) []labels.Field {
	volumeIn, solidsIn := f.sums()
	out := f.solidsOut()
	accounted, ratio := "", ""
	if solidsIn != nil && out != nil && *solidsIn > 0 {
		accounted = estimated(strconv.FormatFloat(float64(*out / *solidsIn)*100, 'f', 0, 64) + " %")
	}
	if volumeIn != nil && f.Drawn != nil && f.Drawn.Volume != nil && *f.Drawn.Volume > 0 {
		ratio = say("packet.sheet.ratio", "Ratio", strconv.FormatFloat(float64(*volumeIn / *f.Drawn.Volume), 'f', 1, 64))
	}
	return []labels.Field{
		{Name: say("packet.field.juice_in"), Value: s.w.volume("", volumeIn)},
		{Name: say("packet.field.ratio"), Value: ratio},
		{Name: say("packet.field.solids_in"), Value: estimated(s.w.mass("", solidsIn))},
		{Name: say("packet.field.solids_out"), Value: joined("; ", estimated(s.w.mass("", out)), accounted)},
	}
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

// solidsOut is what the syrup drawn off carries, from its volume, its temperature and the finish reading.
func (f runFile) solidsOut() *syrup.Kilograms {
	if f.Drawn == nil || f.Drawn.Volume == nil || f.Finish == nil {
		return nil
	}
	at := syrupDrawnAt
	if f.Drawn.Temperature != nil {
		at = *f.Drawn.Temperature
	}
	rho, err := syrup.Density(f.Finish.Percent, at)
	if err != nil {
		return nil // outside the model
	}
	solids := syrup.Kilograms(float64(*f.Drawn.Volume) / 1000 * float64(rho) * float64(f.Finish.Percent) / 100)
	return &solids
}
