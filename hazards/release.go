package hazards

import "canewright/hazards/text"

// States of a part.
const (
	StateFilling   = "filling"
	StateHeld      = "held"
	StateReleased  = "released"
	StateRecalled  = "recalled"
	StateReworked  = "reworked"
	StateDestroyed = "destroyed"
)

// ReleaseFacts is everything a release of a part depends on.
type ReleaseFacts struct {
	State      string
	MayRelease bool // the person has the right
	Units      *int // bottles of the part; nil until filling has ended
	Findings   []Finding
	Answers    Answers
}

// Missing is one thing that keeps a part from being released: a catalogue key, or a finding.
type Missing struct {
	Key     string
	Finding *Finding
}

// CanRelease lists exactly what is missing; nothing means that the part can be released. Checks without a reason are one
// line, since one reason answers them all.
func CanRelease(f ReleaseFacts) []Missing {
	var missing []Missing
	if !f.MayRelease {
		missing = append(missing, Missing{Key: "release_missing.right"})
	}
	switch {
	case f.State == StateFilling:
		missing = append(missing, Missing{Key: "release_missing.filling"})
	case f.State != StateHeld && f.State != StateRecalled:
		missing = append(missing, Missing{Key: "release_missing.state"})
	case f.Units == nil:
		missing = append(missing, Missing{Key: "release_missing.count"})
	}
	reason := false
	for _, finding := range Blocking(f.Findings, f.Answers) {
		reason = reason || finding.Level == Check
		if finding.Level > Check {
			missing = append(missing, Missing{Finding: &finding})
		}
	}
	if reason {
		missing = append(missing, Missing{Key: "release_missing.reason"})
	}
	return missing
}

// Words says what is missing.
func (m Missing) Words(lang text.Language, units string) string {
	if m.Finding == nil {
		return text.Say(lang, m.Key)
	}
	w := m.Finding.Words(lang, units)
	return w.What + " " + w.Next
}
