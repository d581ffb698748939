package packet

import "canewright/records"

// labelAnswers writes what owners signed about a label that the records contradict, in the words it was signed on.
func (s *sheet) labelAnswers(f lotFile) {
	for _, a := range list[records.LabelAnswer](s.r, "lot_id = ? ORDER BY at, id", f.ID) {
		s.Paragraph(say("packet.sheet.label_answer", "Words", a.Words, "At", s.w.moment(a.At), "Who", s.r.doer(a.Row)))
		s.Notes(say("packet.sheet.label_reason", "Text", a.Reason))
	}
}
