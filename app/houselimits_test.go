package app

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/records"
)

// TestLimitsPage: every reference limit stands with its source; the house's own, written in the owner's unit, stands
// beside it, and the page says which of the two judges.
func TestLimitsPage(t *testing.T) {
	h := newHouse(t)
	b := h.as("odell")
	page := b.get("/house/house-limit")
	for _, l := range hazards.Reference() {
		assert.Contains(t, page.body, "/house/house-limit/new?code="+l.Code)
	}
	assert.Contains(t, page.body, "180 °F")
	assert.Contains(t, page.body, "21 CFR 168.130(a)")

	form := b.get("/house/house-limit/new?code=fill.capping")
	assert.Contains(t, form.body, `<option value="fill.capping" selected>`)
	assert.Contains(t, form.body, `<option value="fahrenheit" selected>`)

	kept := b.post("/house/house-limit", "code", "fill.capping", "value", "185", "unit", "fahrenheit", "source", "process authority, 2025", "set_on", "2025-12-01")
	require.Equal(t, 303, kept.StatusCode, kept.body)
	b.post("/house/house-limit", "code", "solids.cane", "value", "73", "unit", "percent", "source", "a cousin", "set_on", "2025-12-01")
	page = b.get("/house/house-limit")
	for _, want := range []string{"185 °F", "process authority, 2025", "73 %", "a cousin"} {
		assert.Contains(t, page.body, want)
	}
	assert.Contains(t, b.get("/house").body, "Least bottle temperature at capping")
	assert.NotContains(t, b.get("/house").body, "at capping: 180", "the reference is not the house's number")
	assert.Contains(t, b.get("/house").body, "185\u00a0°F")
	record := b.get(kept.Header.Get("Location")).body
	assert.Contains(t, record, "<h1>Least bottle temperature at capping</h1>")
	assert.Contains(t, record, "°F")
	assert.NotContains(t, record, "fill.capping<")
	rules, err := records.RulesOf(context.Background(), h.store)
	require.NoError(t, err)
	assert.InDelta(t, 85, rules.Limits.Judged(hazards.LimitCapping).Value, 1e-9)
	assert.Equal(t, 74.0, rules.Limits.Judged(hazards.LimitCane).Value, "a rule of law is not loosened")

	wrong := b.post("/house/house-limit", "code", "fill.interval", "value", "1", "unit", "hours", "source", "x", "set_on", "2025-12-01")
	assert.Equal(t, 422, wrong.StatusCode)
	assert.Contains(t, wrong.body, "60 min")
	assert.NotContains(t, h.as("ines").get("/house/house-limit").body, "/house/house-limit/new", "a reader only reads")
}

// TestBoundsPage: every bound stands with what is asked and what is refused.
func TestBoundsPage(t *testing.T) {
	body := newHouse(t).as("ines").get("/house/bounds").body
	for _, b := range hazards.Bounds() {
		assert.Contains(t, body, b.Hard.Words("en", hazards.US, b.Unit), b.Code)
	}
}
