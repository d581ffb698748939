package hazards

import (
	"time"

	"canewright/hazards/syrup"
)

// Outcomes of a run: what became of its contents as it ended.
const (
	OutcomeSyrup     = ""           // drawn off as syrup
	OutcomeSemiSyrup = "semi_syrup" // held half boiled
	OutcomeMoved     = "moved"      // into another kettle
	OutcomeGivenUp   = "given_up"   // poured away
)

// EndReading is the reading that tells what a run ended with: its finish reading where it is syrup or boils yet, else the
// last of any stage that can be used. Nil when there is none.
func EndReading(outcome string, readings []ReadingFacts) *ReadingFacts {
	if outcome == OutcomeSyrup {
		return Governing(readings, StageFinish)
	}
	boil, finish := Governing(readings, StageBoil), Governing(readings, StageFinish)
	if boil == nil || finish != nil && !finish.At.Before(boil.At) {
		return finish
	}
	return boil
}

// How long semi-syrup kept in a trial of the University of Tennessee (thesis 7220): 45 Brix for 21 days; 35 Brix only when
// cool, at 13 C or below. Advice, not a limit.
const (
	KeepsThick     syrup.Brix    = 45
	KeepsCool      syrup.Brix    = 35
	KeepsAtMost    syrup.Celsius = 13
	KeepsThickDays               = 21
)

// Keepings of semi-syrup: texts "semi_syrup.keeps.<keeping>".
const (
	KeepsUnread   = "unread"    // no reading
	KeepsNot      = "not"       // thinner than any that is known to have kept
	KeepsOnlyCool = "only_cool" // only cool
	KeepsDays     = "days"      // so many days
	KeepsPast     = "past"      // held longer than that
)

// KeepingOf tells how semi-syrup of such solids, held for so long, may be expected to keep.
func KeepingOf(solids *syrup.Brix, held time.Duration) string {
	switch {
	case solids == nil:
		return KeepsUnread
	case *solids < KeepsCool:
		return KeepsNot
	case held > KeepsThickDays*24*time.Hour:
		return KeepsPast
	case *solids < KeepsThick:
		return KeepsOnlyCool
	}
	return KeepsDays
}

// unfinished is the finding that a lot was filled with syrup that was held half boiled and not boiled on.
func (l LotFacts) unfinished() []Finding {
	var findings []Finding
	for _, r := range l.Runs {
		if r.Outcome == OutcomeSemiSyrup {
			f := Finding{Code: "identity.semi_syrup", Level: Hold, About: l.ID, AboutName: l.Name, Source: ourRule}
			findings = append(findings, f.with("Run", named(r.Name)))
		}
	}
	return findings
}
