package app

// Field is one input as the partial "field" draws it: label, input, unit, help and error.
type Field struct {
	ID, Name, Label, Kind, Value string
	Unit                         string   // word behind a number
	Units                        []Choice // units to choose from beside a quantity
	Choices                      []Choice
	Help, Error                  string
	Required                     bool
	Autocomplete                 string
	Signed                       bool   // may be below zero: some phones' number pads have no minus
	Shown                        string // the value in words, for lists; empty when not recorded
}

// Choice is one thing to choose.
type Choice struct {
	Value, Name string
	Chosen      bool
}

// Group tells whether the field is a group of buttons under one legend.
func (f *Field) Group() bool { return f.Kind == "choice" || f.Kind == "yesno" }

// Keypad is the phone keyboard that fits.
func (f *Field) Keypad() string {
	if f.Signed {
		return "text"
	}
	return "decimal"
}

// Described lists the ids of help and error, for aria-describedby.
func (f *Field) Described() string {
	switch {
	case f.Help != "" && f.Error != "":
		return f.ID + "-help " + f.ID + "-error"
	case f.Help != "":
		return f.ID + "-help"
	case f.Error != "":
		return f.ID + "-error"
	}
	return ""
}

// choose marks the choice of a value and gives its name; false when there is no such choice.
func (f *Field) choose(value string) (string, bool) {
	for i := range f.Choices {
		if f.Choices[i].Value == value {
			f.Choices[i].Chosen = true
			return f.Choices[i].Name, true
		}
	}
	return "", false
}
