package packet

import (
	"strings"

	"canewright/records"
)

// netChecks writes the net-contents checks of a lot, each with every step as it was worked out then.
func (s *sheet) netChecks(f lotFile) {
	for _, n := range list[records.NetSample](s.r, "lot_id = ? ORDER BY at, id", f.ID) {
		key := "packet.net.failed"
		if n.Passed {
			key = "packet.net.passed"
		}
		s.Paragraph(say(key, "At", s.w.moment(n.At), "Edition", n.Edition, "Who", s.r.doer(n.Row)))
		s.Small(strings.ReplaceAll(n.Result, "\n", " "))
		s.Small(say("packet.net.weights", "Bottles", n.Picked, "Seed", orMissing(n.Seed), "Weights", n.Weights, "Unit", n.Unit))
		if n.Note != "" {
			s.Notes(n.Note)
		}
	}
}

// coolingTest names the cooling test behind a container's limit; blank where there is none.
func (s *sheet) coolingTest(k records.Container) string {
	if k.CoolingTestID == nil {
		return ""
	}
	tests := list[records.CoolingTest](s.r, "id = ?", *k.CoolingTestID)
	if len(tests) == 0 {
		return ""
	}
	return say("packet.net.cooling", "At", s.w.moment(tests[0].At))
}
