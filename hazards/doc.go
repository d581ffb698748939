// Package hazards judges what was recorded: levels, limits, findings, and what a finding asks for.
//
// It is pure: facts and limits go in, findings come out. A finding stores code, values and units; its words are made
// from the text catalogue when it is shown. The fact structs mirror what the records hold, nil meaning not recorded.
package hazards
