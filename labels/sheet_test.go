package labels

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStocksAreRight(t *testing.T) {
	for _, stock := range Stocks() {
		require.NoError(t, stock.Validate(), stock.Name)
		last := stock.cell(stock.Cells() - 1)
		assert.LessOrEqual(t, last.X+last.Width, stock.Paper.Width+0.05, stock.Name)
		assert.LessOrEqual(t, last.Y+last.Height, stock.Paper.Height+0.05, stock.Name)
	}
}

func TestStockValidate(t *testing.T) {
	good := Stocks()[2] // Letter, 3 by 10 labels of 66.675 x 25.4 mm
	tests := []struct {
		name  string
		spoil func(*Stock)
		want  string
	}{
		{"no columns", func(s *Stock) { s.Columns = 0 }, "columns must be 1 to 50, not 0"},
		{"no rows", func(s *Stock) { s.Rows = -1 }, "rows must be"},
		{"width missing", func(s *Stock) { s.LabelWidth = 0 }, "label width must be"},
		{"not a number", func(s *Stock) { s.LabelHeight = Millimeters(math.NaN()) }, "label height must be"},
		{"negative margin", func(s *Stock) { s.MarginLeft = -1 }, "margin left must be"},
		{"margin too wide", func(s *Stock) { s.MarginLeft = 12 }, "3 columns end 2.5 mm beyond the paper's width of 215.9 mm"},
		{"one row too many", func(s *Stock) { s.Rows = 11 }, "11 rows end 12.7 mm beyond the paper's height"},
		{"overlapping across", func(s *Stock) { s.PitchX = 60 }, "pitch across is 60 mm, less than the label's width"},
		{"overlapping down", func(s *Stock) { s.PitchY = 20 }, "pitch down is 20 mm"},
		{"pitch not a number", func(s *Stock) { s.PitchX = Millimeters(math.NaN()) }, "pitch across"},
		{"printer unknown", func(s *Stock) { s.DotsPerInch = 0 }, "dots per inch must be"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			stock := good
			test.spoil(&stock)
			assert.ErrorContains(t, stock.Validate(), test.want)
		})
	}
	t.Run("exactly the paper fits", func(t *testing.T) {
		full := Stock{Name: "full", Paper: A4(), Rows: 8, Columns: 3, PitchX: 70, PitchY: 37.125, LabelWidth: 70, LabelHeight: 37.125, DotsPerInch: 600}
		assert.NoError(t, full.Validate())
	})
}

func TestPlaces(t *testing.T) {
	stock := Stocks()[2]
	places, err := stock.Places(29, 3)
	require.NoError(t, err)
	assert.Equal(t, 0, places[0].Page)
	assert.InDelta(t, 4.7625+69.85, float64(places[0].X), 1e-9)
	assert.InDelta(t, 12.7+9*25.4, float64(places[0].Y), 1e-9)
	assert.Equal(t, 0, places[1].Page)
	assert.Equal(t, 1, places[2].Page)
	assert.Equal(t, stock.cell(0).X, places[2].X)
	for _, start := range []int{-1, 0, 31} {
		_, err := stock.Places(start, 1)
		assert.Equal(t, StartBeyond{Start: start, Cells: 30}, err)
	}
	roll, err := RollStock("r", 60, 40, 203).Places(1, 2)
	require.NoError(t, err)
	assert.Equal(t, []Place{{0, 0, 0, 60, 40}, {1, 0, 0, 60, 40}}, roll)
	none, err := stock.Places(1, -4)
	require.NoError(t, err)
	assert.Empty(t, none)
}

func TestStockByName(t *testing.T) {
	stock, err := StockByName(Stocks(), " A4-3x8 ")
	require.NoError(t, err)
	assert.Equal(t, 24, stock.Cells())
	_, err = StockByName(Stocks(), "a5")
	assert.ErrorContains(t, err, "There are: a4-2x7, a4-3x8, letter-2x3")
}
