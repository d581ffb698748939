package packet

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLook(t *testing.T) {
	h := newSeason(t)
	for name, id := range map[string]string{"run.pdf": h.first.ID, "blend.pdf": h.blend.ID, "thin.pdf": h.thin.ID} {
		pdf, err := BatchSheet(h.ctx, h, id, Options{})
		require.NoError(t, err)
		keep(t, name, pdf)
	}
}
