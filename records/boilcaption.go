package records

import (
	"time"

	"canewright/hazards/syrup"
)

// Telling is how the captions of a boil picture are said: in a reader's language and units.
type Telling struct {
	Say         func(key string, args ...any) string
	Temperature func(syrup.Celsius) string
	Difference  func(syrup.CelsiusDelta) string // with its sign
	Height      func(syrup.Meters) string
	Clock       func(time.Time) string
}

// Captions say what a picture rests on: where water boiled and how that is known, what was taken off the readings, what is
// estimated, and of how many boils the band is made.
func (c BoilCurve) Captions(past int, t Telling) []string {
	var said []string
	add := func(when bool, key string, args ...any) {
		if when {
			said = append(said, t.Say(key, args...))
		}
	}
	if len(c.Rises)+len(c.Logged) > 0 {
		said = append(said, c.waterCaption(t))
	}
	add(c.Water.Zero != nil && c.Unchecked, "boil_picture.some_unchecked")
	add(c.Failed, "boil_picture.failed")
	add(len(c.Estimated) > 0 && len(c.Solids) > 0, "boil_picture.estimated")
	add(len(c.Estimated) > 0 && len(c.Solids) == 0, "boil_picture.only_estimated")
	add(len(c.Estimated) == 0 && len(c.Solids) > 0, "boil_picture.solids_estimated")
	add(len(c.Logged) > 0, "boil_picture.logged")
	add(past > 0, "boil_picture.past", "Runs", past)
	return said
}

func (c BoilCurve) waterCaption(t Telling) string {
	boils := t.Temperature(c.Water.Boils)
	switch {
	case c.Water.Zero != nil:
		return t.Say("boil_picture.checked", "Water", boils, "Thermometer", c.Checked, "When", t.Clock(c.Water.Zero.At), "Off", t.Difference(c.Water.Zero.Off))
	case c.Water.SeaLevel():
		return t.Say("boil_picture.sea", "Water", boils)
	}
	return t.Say("boil_picture.height", "Water", boils, "Altitude", t.Height(*c.Water.Altitude))
}
