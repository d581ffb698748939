package app

import (
	"time"

	"canewright/hazards/syrup"
	"canewright/hazards/text"
)

// spoken puts the values of a text in words: a refusal of the store names a moment or a mass as it is, and a person reads
// it in the house's zone and their own units. A state of a part is said in the person's language.
func (w words) spoken(args []any) []any {
	said := make([]any, len(args))
	for i, arg := range args {
		said[i] = w.spokenValue(arg)
		if state, ok := arg.(string); ok && i%2 == 1 && args[i-1] == "State" && text.Has(text.English, "life."+state) {
			said[i] = text.Say(w.lang, "life."+state)
		}
	}
	return said
}

func (w words) spokenValue(arg any) any {
	var said string
	var err error
	switch v := arg.(type) {
	case refusal:
		return v.Say(w.lang)
	case time.Time:
		said, err = w.moment(v)
	case syrup.Kilograms, syrup.Grams:
		said, err = w.mass(v)
	case syrup.Liters:
		said, err = w.volume(v)
	case syrup.Celsius:
		said, err = w.temperature(v)
	default:
		return arg
	}
	if err != nil {
		return arg
	}
	return said
}
