package packet

import (
	"canewright/records"
)

// suffix is how the name of a file of a media type ends.
var suffix = map[string]string{"image/jpeg": ".jpg", "image/png": ".png", "text/csv": ".csv"}

// attachedFiles puts in the photos and loggers' files kept with the records of the chains, as they came. Their names are the
// ids under which tables/records/attachment.csv lists them with their hashes.
func (m *maker) attachedFiles() error {
	for _, id := range m.c.sorted(records.KindAttachment) {
		kept := m.c.facts[records.KindAttachment][id].(*records.Attachment)
		body, err := records.ContentOf(m.r.ctx, m.r.src, *kept)
		if err != nil {
			return err
		}
		m.files["attached/"+id+suffix[kept.MediaType]] = body
	}
	return nil
}
