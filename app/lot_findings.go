package app

import (
	"canewright/hazards"
)

// shownFinding is a finding in the reader's words, as the partial "finding" draws it.
type shownFinding struct {
	Level, Word, What, Measured, Limit, Why, Next, Source string
}

// shownFindings words findings in the order given.
func shownFindings(w words, findings []hazards.Finding) []shownFinding {
	shown := make([]shownFinding, len(findings))
	for i, f := range findings {
		shown[i] = shownFindingOf(w, f)
	}
	return shown
}

func shownFindingOf(w words, f hazards.Finding) shownFinding {
	said := f.Words(w.lang, w.units)
	return shownFinding{Level: f.Level.String(), Word: w.say("level." + f.Level.String()), What: said.What, Measured: said.Measured,
		Limit: said.Limit, Why: said.Why, Next: said.Next, Source: said.Source}
}
