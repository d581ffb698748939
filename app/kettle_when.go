package app

// agoChoices are the minutes that may lie between an event and the tap that writes it: one tap each. Anything else is
// typed as a time.
var agoChoices = []string{"0", "5", "10", "20", "30", "45", "60"}

// whenField asks when something happened: now, some minutes ago, or at a time of the house's clock.
type whenField struct {
	ID   string // before the ids of its inputs
	Ago  []Choice
	At   *Field
	Open bool // the exact time is to be looked at
}

// whenOf makes the question of a form's time field.
func whenOf(f *form, at *Field) *whenField {
	w := &whenField{ID: f.ID + "-ago", At: at, Open: at.Error != "" || at.Value != ""}
	chosen := "0"
	if f.reading() && f.raw.Get("ago") != "" {
		chosen = f.raw.Get("ago")
	}
	f.relabel(at, f.words.say("kettle_live.exact"))
	at.Help = f.words.say("kettle_live.exact_wins")
	for _, minutes := range agoChoices {
		name := minutes
		if minutes == "0" {
			name = f.words.say("kettle_live.now")
		}
		w.Ago = append(w.Ago, Choice{Value: minutes, Name: name, Chosen: minutes == chosen})
	}
	return w
}

// apart takes the fields that a quick form draws in a way of its own.
func (q *quickForm) apart(field *Field) bool {
	switch field.Name {
	case "at":
		q.When = whenOf(q.Form, field)
	case "photo":
		q.Photo = field
	default:
		return false
	}
	return true
}

// afterTheEnd keeps apart what may still be written of a run that has ended, a reading or what was sent and is wrong, and
// what was forgotten.
func afterTheEnd(forms []*quickForm) (now, late []*quickForm) {
	for _, q := range forms {
		if q.Key == quickReading || q.Open {
			now = append(now, q)
		} else {
			late = append(late, q)
		}
	}
	return now, late
}
