package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// GTINs are taken only with an issued prefix, with the right last digit, and once. 952 is the prefix GS1 keeps for
// examples.
func TestTradeItem(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		item := func() *TradeItem { return &TradeItem{ProductID: g.product.ID, ContainerID: g.container.ID} }
		refused := func(item *TradeItem, field, key string) Invalid {
			t.Helper()
			err := h.Write(h.ctx, h.owner, item)
			var wrong Invalid
			require.ErrorAs(t, err, &wrong)
			assert.Equal(t, field, wrong[0].Field)
			assert.Equal(t, key, wrong[0].Key)
			return wrong
		}
		with := func(gtin, ofCase string) *TradeItem {
			i := item()
			i.GTIN, i.CaseGTIN = gtin, ofCase
			return i
		}
		refused(with("9521234543213", ""), "gtin", "trade_item.no_prefix")
		h.house.CompanyPrefix = "95212"
		require.NoError(t, h.Amend(h.ctx, h.owner, &h.house, "prefix issued"))
		wrong := refused(with("9521234543214", ""), "gtin", "labels.gtin_digit")
		assert.Equal(t, []any{"Typed", "9521234543214", "Found", "4", "Should", "3"}, wrong[0].Args)
		refused(with("95212345432", ""), "gtin", "labels.gtin_malformed")
		refused(with("", "9521234543213"), "case_gtin", "trade_item.case_digits")
		refused(with("", "19521234543211"), "case_gtin", "labels.gtin_digit")
		refused(with("0614141777778", ""), "gtin", "trade_item.other_prefix")
		refused(with("00614141777778", ""), "gtin", "trade_item.other_prefix")
		refused(with("9521234543213", "09521234543213"), "case_gtin", "trade_item.case_same")
		kept := with("9521234 543213", "19521234543210")
		h.put(kept)
		assert.Equal(t, "9521234543213", kept.GTIN, "spaces go")
		refused(item(), "container_id", "trade_item.twice")

		other := Container{Name: "Quart", Contents: 946, ContentsEntered: "946 mL"}
		h.put(&other)
		twin := with("09521234543213", "")
		twin.ContainerID = other.ID
		refused(twin, "gtin", "trade_item.gtin_taken")

		h.house.CompanyPrefix = "95213"
		var held Invalid
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &h.house, "another"), &held)
		assert.Equal(t, "house.prefix_in_use", held[0].Key)
		now, err := h.House(h.ctx)
		require.NoError(t, err)
		h.house = now
		h.house.CompanyPrefix = "95212 x"
		require.ErrorAs(t, h.Amend(h.ctx, h.owner, &h.house, "another"), &held)
		assert.Equal(t, "house.prefix_digits", held[0].Key)
	})
}

// The symbol of a bottle is a Digital Link only with prefix and GTIN, at the owner's address once that is confirmed.
func TestQRContentByWhatTheHouseHolds(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	content := func() string {
		house, err := h.House(h.ctx)
		require.NoError(t, err)
		s, err := QRContent(h.ctx, h, house, lot)
		require.NoError(t, err)
		label, err := LabelOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, s, label.QR)
		return s
	}
	amend := func(change func(*House)) {
		change(&h.house)
		require.NoError(t, h.Amend(h.ctx, h.owner, &h.house, "set up"))
	}
	assert.Equal(t, lot.Code+" / HERON BEND FARM / +1 601 555 0100", content())
	amend(func(k *House) { k.CompanyPrefix = "9521234" })
	assert.Contains(t, content(), " / HERON BEND FARM", "no GTIN yet")
	h.put(&TradeItem{ProductID: g.product.ID, ContainerID: g.container.ID, GTIN: "9521234543213"})
	assert.Equal(t, "HTTPS://ID.GS1.ORG/01/09521234543213/10/"+lot.Code, content())
	amend(func(k *House) { k.PublicAddress = "https://heronbend.example" })
	assert.Equal(t, "HTTPS://ID.GS1.ORG/01/09521234543213/10/"+lot.Code, content(), "an address nobody confirmed is not printed")
	amend(func(k *House) { k.AddressOnBottle = true })
	assert.Equal(t, "HTTPS://HERONBEND.EXAMPLE/01/09521234543213/10/"+lot.Code, content())
}
