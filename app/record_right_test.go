package app

import (
	"context"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/records"
)

// What only the owner sets, the crew neither amends nor strikes through the address every record has.
func TestCrewAmendsNoHouseRules(t *testing.T) {
	s := newStock(t)
	limit := &records.HouseLimit{Code: "solids.thick", Value: 77, Unit: "percent_solids", Source: "our own boils", SetOn: "2025-10-01"}
	s.write(limit)
	house, err := s.store.House(context.Background())
	require.NoError(t, err)
	ids := map[string]string{"house": house.ID, "site": s.site, "person": s.people["odell"], "limit": limit.ID,
		"product": s.lot.ProductID, "container": s.lot.ContainerID}
	crew := s.as("marisol")
	for name, id := range ids {
		before, err := records.Load(context.Background(), s.store, id)
		require.NoError(t, err)
		assert.Equal(t, http.StatusForbidden, crew.get("/record/"+id+"/amend").StatusCode, name)
		assert.Equal(t, http.StatusForbidden, crew.post("/record/"+id+"/amend", "revision", "1", "why", "x", "name", "other").StatusCode, name)
		assert.Equal(t, http.StatusForbidden, crew.post("/record/"+id+"/strike", "why", "x").StatusCode, name)
		after, err := records.Load(context.Background(), s.store, id)
		require.NoError(t, err)
		assert.Equal(t, before, after, name)
	}
	assert.Equal(t, http.StatusNotFound, s.as("odell").post("/record/"+s.part+"/amend", "revision", "1", "why", "x").StatusCode, "a part has no form: its state is signed")
}
