package hazards

import "strings"

// CorrectiveAction is the four-part text that answers one finding (21 CFR 117.150(a)(2)). A part left blank leaves the
// finding unanswered.
type CorrectiveAction struct {
	Code       string // of the finding
	About      string // record the finding is about
	Problem    string // identified and put right
	Recurrence string // made less likely
	Evaluation string // all affected food evaluated
	Commerce   string // kept from being sold
}

// Complete tells whether all four parts are written.
func (a CorrectiveAction) Complete() bool {
	for _, part := range []string{a.Problem, a.Recurrence, a.Evaluation, a.Commerce} {
		if strings.TrimSpace(part) == "" {
			return false
		}
	}
	return true
}

// Answers are what the owner wrote for a part: a corrective action for each hold, one reason for all checks.
type Answers struct {
	Actions []CorrectiveAction
	Reason  string
}

// Blocking lists the findings that still stand in the way of a release, in the order given. A stop is never answered; a
// hold by a complete corrective action for its code and record; a check by that or by the one reason.
func Blocking(findings []Finding, answers Answers) []Finding {
	var blocking []Finding
	for _, f := range findings {
		if !answers.answer(f) {
			blocking = append(blocking, f)
		}
	}
	return blocking
}

func (a Answers) answer(f Finding) bool {
	switch {
	case f.Level <= Note:
		return true
	case f.Level >= Stop:
		return false
	case f.Level == Check && strings.TrimSpace(a.Reason) != "":
		return true
	}
	for _, action := range a.Actions {
		if action.Code == f.Code && action.About == f.About && action.Complete() {
			return true
		}
	}
	return false
}
