package app

import (
	"time"

	"canewright/hazards"
)

// fillClock is the large clock of a filling: when the next check is asked for.
type fillClock struct {
	Word, Time, Left, Note string
	Seconds                int    // until it is due, as counted here: a phone's own clock may be wrong
	Running                bool   // the script counts it down
	State                  string // waits, late or stopped
	In, Over               string // the words the script puts a time into
	DueWord                string // what stands there once it is due
}

// leftHere stands in a text of the clock where the script puts the time left.
const leftHere = "%"

// fillClockOf makes the clock of a filling; nil when it is over.
func (a *App) fillClockOf(w words, facts hazards.FillFacts, rules hazards.Rules) (*fillClock, error) {
	asked, ok := hazards.NextCheck(facts, rules)
	if !ok {
		return nil, nil
	}
	if asked.Stopped != nil {
		at, err := w.clock(*asked.Stopped)
		return &fillClock{Word: w.say("filler_clock.stopped"), Time: at, Note: w.say("filler_clock.while_stopped"), State: "stopped"}, err
	}
	left := asked.At.Sub(a.store.Now())
	k := &fillClock{Word: w.say("filler_clock.next"), Seconds: int(left / time.Second), Running: true, State: "waits", DueWord: w.say("filler_clock.now"),
		In: w.say("filler_clock.in", "Left", leftHere), Over: w.say("filler_clock.over", "Late", leftHere)}
	var err error
	if k.Time, err = w.clock(asked.At); err != nil {
		return nil, err
	}
	from, err := w.clock(asked.After)
	if err != nil {
		return nil, err
	}
	note := "filler_clock.since_check"
	if len(facts.Checks) == 0 {
		note = "filler_clock.since_start"
	}
	k.Note = w.say(note, "Minutes", decimalOrWhole(asked.Minutes), "When", from)
	k.Left = w.say("filler_clock.in", "Left", elapsed(w, left))
	if asked.Failed != nil && asked.Resumed == nil {
		k.Word, k.State, k.Note = w.say("filler_clock.failed"), "late", w.say("filler_clock.since_failed", "When", k.Time)
		k.DueWord, k.Left = k.Word, ""
	} else if asked.Resumed != nil {
		k.Word, k.State, k.Note = w.say("filler_clock.resumed"), "late", w.say("filler_clock.since_resumed", "When", k.Time)
		k.DueWord, k.Left = k.Word, ""
	} else if left < 0 {
		k.Word, k.State, k.Left = k.DueWord, "late", w.say("filler_clock.over", "Late", elapsed(w, -left))
	}
	return k, nil
}

// decimalOrWhole writes a number without a decimal that is zero.
func decimalOrWhole(x float64) string { return plainNumber(float64(int(x*10+0.5)) / 10) }
