package labels

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/hazards/toolcheck"
)

// withPanel is a small label with the panel of a 12 ounce bottle of 74 % solids, of cane alone or not.
func withPanel(t testing.TB, single, small bool) Label {
	t.Helper()
	label := smallLabel("25341K2B1-P")
	n, err := NutritionOf(355, 74, single)
	require.NoError(t, err)
	n.SmallPackage = small
	label.Nutrition = n
	return label
}

// The lines of the panel against SR28's row of 41 g (nutrition_panel.csv has it rounded) and the rule for syrup of cane
// alone; 30 mL of 74 % solids weigh 41.3 g.
func TestNutritionOf(t *testing.T) {
	n, err := NutritionOf(355, 74, true)
	require.NoError(t, err)
	assert.Equal(t, "110", n.Calories)
	assert.Equal(t, "About 12 servings per container", n.Servings, "355 / 30 is 11.83")
	lines := map[string]NutritionLine{}
	for _, line := range n.Lines {
		lines[line.Name] = line
	}
	for name, want := range map[string][2]string{"Total fat": {"0 g", "0%"}, "Sodium": {"25 mg", "1%"}, "Total carbohydrate": {"30 g", "11%"},
		"Total sugars": {"30 g", ""}, "Protein": {"0 g", ""}, "Iron": {"1.5 mg", "8%"}, "Added sugars": {"", "60%†"}} {
		line, ok := lines[name]
		require.True(t, ok, name)
		assert.Equal(t, want, [2]string{line.Amount, line.Percent}, name)
	}
	assert.Len(t, n.Lines, 7, "the rest is next to nothing and stands in the note")
	assert.Equal(t, []string{"Not a significant source of saturated fat, trans fat, cholesterol, dietary fiber, vitamin D, calcium, potassium.",
		"† One serving adds 30 g of sugar to your diet and represents 60% of the Daily Value for added sugars."}, n.Notes)
	assert.NotContains(t, n.String(), "database", "that is said to the owner, not on the label")

	t.Run("with salt", func(t *testing.T) {
		n, err := NutritionOf(355, 74, false)
		require.NoError(t, err)
		assert.Contains(t, n.String(), "Includes 30 g added sugars (60% DV)")
		assert.NotContains(t, n.String(), "†")
	})
	t.Run("one serving", func(t *testing.T) {
		n, err := NutritionOf(50, 74, true)
		require.NoError(t, err)
		assert.Equal(t, "1 serving per container", n.Servings)
	})
	t.Run("refuses", func(t *testing.T) {
		_, err := NutritionOf(0, 74, true)
		assert.Error(t, err)
		_, err = NutritionOf(355, 120, true)
		assert.ErrorAs(t, err, new(syrup.RangeError))
	})
}

// Where the panel goes: upright where it fits, as running text on a small package, else refused by name. No letter is below
// the sizes of 21 CFR 101.9(d) (from memory) and the whole text reads back.
func TestNutritionPanelOnStocks(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	want := map[string]string{"letter-2x5": "running", "letter-2x3": "running", "letter-3x10": "", "a4-2x7": "", "a4-3x8": "", "roll-100x50": "running",
		"roll-60x40": "", "roll-100x150": "upright"}
	for _, stock := range Stocks() {
		t.Run(stock.Name, func(t *testing.T) {
			label := withPanel(t, true, true)
			label.Ingredients = "" // one ingredient alone need not be listed
			drawing, err := Measure(label, stock)
			if want[stock.Name] == "" {
				assert.Equal(t, NoRoom{"labels.line.nutrition"}, err)
				return
			}
			require.NoError(t, err)
			form := "running"
			for _, line := range drawing.Lines {
				if line.Line != nutritionKey {
					continue
				}
				assert.GreaterOrEqual(t, line.Size, panelNote, line.Text)
				if line.Text == label.Nutrition.Calories && line.Size == panelNumeral {
					form = "upright"
				}
				if strings.HasPrefix(line.Text, "Total carb") && form == "upright" {
					assert.GreaterOrEqual(t, line.Size, panelNutrient)
				}
			}
			assert.Equal(t, want[stock.Name], form)
			pdf, err := Print(stock, 1, []Label{label}, testMeta())
			require.NoError(t, err)
			read := readText(t, savePDF(t, "nutrition-"+stock.Name+".pdf", pdf), "-raw")
			for _, part := range []string{"Nutrition Facts", "110", "Total carbohydrate 30 g", "60%†", "Iron 1.5 mg", "One serving adds 30 g"} {
				assert.Contains(t, read, part)
			}
		})
	}
	t.Run("large package", func(t *testing.T) {
		_, err := Measure(withPanel(t, true, false), Stocks()[0])
		assert.Equal(t, NoRoom{"labels.line.nutrition"}, err, "running text is for small packages")
	})
}

// The same panel made twice draws the same bytes.
func TestNutritionIsDeterministic(t *testing.T) {
	first, err := Print(Stocks()[7], 1, []Label{withPanel(t, true, true)}, testMeta())
	require.NoError(t, err)
	again, err := Print(Stocks()[7], 1, []Label{withPanel(t, true, true)}, testMeta())
	require.NoError(t, err)
	assert.Equal(t, first, again)
}

// The panel stands inside its label and on nothing else.
func TestNutritionStaysInside(t *testing.T) {
	for _, stock := range Stocks() {
		label, err := withPanel(t, false, true).printable()
		require.NoError(t, err)
		d := NewDocument(stock.Paper, testMeta())
		laid, err := arrange(d, label, stock)
		if tooSmall(err) {
			continue
		}
		require.NoError(t, err)
		box := frame{stock.LabelWidth, stock.LabelHeight, 0, 0}
		for _, r := range laid.rules[1:] { // the first is under the name
			box = frame{min(box.left, r.x1), min(box.top, r.y1), max(box.right, r.x2), max(box.bottom, r.y2)}
		}
		assert.GreaterOrEqual(t, box.left, Millimeters(0), stock.Name)
		assert.LessOrEqual(t, box.right, stock.LabelWidth, stock.Name)
		assert.LessOrEqual(t, box.bottom, stock.LabelHeight, stock.Name)
		for _, line := range laid.lines {
			e := line.edges(d)
			if line.key == nutritionKey {
				assert.True(t, e.left >= box.left && e.right <= box.right && e.bottom <= box.bottom+0.05, "%s: %s leaves the box", stock.Name, line.text)
			} else {
				assert.False(t, e.left < box.right && e.right > box.left && e.top < box.bottom && e.bottom > box.top, "%s: %s on the panel", stock.Name, line.text)
			}
		}
		for i, line := range laid.lines {
			for _, other := range laid.lines[:i] {
				a, b := line.edges(d), other.edges(d)
				if line.key == nutritionKey && other.y == line.y {
					assert.False(t, a.left < b.right && a.right > b.left, "%s: %q over %q", stock.Name, line.text, other.text)
				}
			}
		}
		if laid.qr != nil {
			q := laid.qr.dark()
			assert.False(t, q.left < box.right && q.right > box.left && q.top < box.bottom && q.bottom > box.top, "%s: symbol on the panel", stock.Name)
		}
	}
}
