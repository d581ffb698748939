package labels

import (
	"fmt"
	"image"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/toolcheck"
)

// ringed is a label whose every word is made of the lower-case o, so that a picture of it tells how high its letters are.
func ringed() Label {
	return Label{ProductName: "oooo", Ingredients: "oooo ooo oo.", Allergens: "ooo oooo", NetUS: "oo", NetMetric: "ooo", Maker: "oooo ooo",
		Address: "ooo oo oooo", Statement: "oo oooo ooo oo oooo ooo oooo oo ooo"}
}

// single is the same labels one a page: at 600 dpi a whole sheet has many dots.
func single(stocks []Stock) []Stock {
	for i, s := range stocks {
		stocks[i] = RollStock(s.Name, s.LabelWidth, s.LabelHeight, s.DotsPerInch)
	}
	return stocks
}

// ring is a letter o found in a picture: the rows it takes and where it begins, in dots.
type ring struct{ left, top, right, bottom int }

// ringsOf finds the connected dark shapes of a picture that enclose white, as the o does: it knows nothing of the layout.
func ringsOf(picture *image.Gray) []ring {
	width, height := picture.Rect.Dx(), picture.Rect.Dy()
	seen := make([]bool, width*height)
	var found []ring
	for start, shade := range picture.Pix {
		if shade >= 128 || seen[start] {
			continue
		}
		r := ring{width, height, -1, -1}
		dots, stack := 0, []int{start}
		seen[start] = true
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := at%width, at/width
			dots++
			r = ring{min(r.left, x), min(r.top, y), max(r.right, x), max(r.bottom, y)}
			for _, next := range [][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				i := next[1]*width + next[0]
				if next[0] >= 0 && next[0] < width && next[1] >= 0 && next[1] < height && picture.Pix[i] < 128 && !seen[i] {
					seen[i] = true
					stack = append(stack, i)
				}
			}
		}
		middle := picture.GrayAt((r.left+r.right)/2, (r.top+r.bottom)/2).Y
		wide, high := r.right-r.left+1, r.bottom-r.top+1
		if middle > 200 && dots > 20 && high*2 > wide && wide*2 > high {
			found = append(found, r)
		}
	}
	return found
}

// The height of the letters is measured on the rendered picture at 600 dpi, not taken from the layout: on every stock, for
// every height the display panels ask for, and for a statement that must be higher than the rest.
func TestLetterHeightsMeasured(t *testing.T) {
	t.Parallel()
	toolcheck.Need(t, "pdftoppm")
	const dpi, dot = 600, 25.4 / 600
	for _, stock := range single(Stocks()) {
		for _, asked := range []struct{ net, statement Millimeters }{{0, 0}, {25.4 / 8, 0}, {25.4 * 3 / 16, 3}} {
			label := ringed()
			label.NetHeight, label.StatementHeight = asked.net, asked.statement
			where := fmt.Sprint(stock.Name, asked)
			drawing, err := Measure(label, stock)
			if tooSmall(err) {
				t.Logf("%s: %v", where, err)
				continue
			}
			require.NoError(t, err, where)
			pdf, err := Print(stock, 1, []Label{label}, testMeta())
			require.NoError(t, err)
			path := savePDF(t, "rings.pdf", pdf)
			rings := ringsOf(renderCell(t, path, stock.cell(0), dpi))
			require.Greater(t, len(rings), 30, where)
			for _, line := range drawing.Lines {
				high := measuredOn(t, rings, line, where, dot)
				assert.GreaterOrEqual(t, high, float64(line.Least)-1.5*dot, "%s %s", where, line.Line)
				// The drawing's own word is the flat x-height; the round o stands up to 6 percent higher in these faces.
				assert.GreaterOrEqual(t, high, float64(line.Height)-1.5*dot, "%s %s: the drawing's own word", where, line.Line)
				assert.LessOrEqual(t, high, float64(line.Height)*1.07+1.5*dot, "%s %s: the drawing's own word", where, line.Line)
			}
		}
	}
}

// measuredOn is the mean height in mm of the rings that are about as high as a line says; none fails.
func measuredOn(t *testing.T, rings []ring, line DrawnLine, where string, dot float64) float64 {
	t.Helper()
	sum, n := 0.0, 0
	for _, r := range rings {
		high := float64(r.bottom-r.top+1) * dot
		if high > float64(line.Height)*0.97-dot && high < float64(line.Height)*1.08+dot {
			sum, n = sum+high, n+1
		}
	}
	require.Positive(t, n, "%s: no letter in the picture is as high as the line %s (%v mm)", where, line.Line, line.Height)
	return sum / float64(n)
}

// The least letters of a whole picture: nothing on a label with 1/16 inch asked is lower, whatever the drawing says.
func TestNothingLowerThanASixteenth(t *testing.T) {
	toolcheck.Need(t, "pdftoppm")
	const dpi = 600
	for _, stock := range single(Stocks()) {
		pdf, err := Print(stock, 1, []Label{ringed()}, testMeta())
		require.NoError(t, err, stock.Name)
		lowest := 1 << 20
		for _, r := range ringsOf(renderCell(t, savePDF(t, "rings.pdf", pdf), stock.cell(0), dpi)) {
			lowest = min(lowest, r.bottom-r.top+1)
		}
		assert.GreaterOrEqual(t, float64(lowest)/dpi, 1.0/16-1.0/dpi, "%s: %d dots of 600 to the inch", stock.Name, lowest)
	}
}

// White around the net contents, measured on the picture: rows without a dark dot above them, and columns beside.
func TestNetContentsStandClear(t *testing.T) {
	toolcheck.Need(t, "pdftoppm")
	const dpi = 600
	for _, stock := range single(Stocks()) {
		label := smallLabel("25341K2B1-P")
		drawing, err := Measure(label, stock)
		require.NoError(t, err, stock.Name)
		require.NotNil(t, drawing.Net)
		for _, f := range drawing.Facts(stock.Name, ptrTo(SquareInches(14))) {
			assert.True(t, f.Enough, "%s %s %s: %v of %v mm", stock.Name, f.Line, f.What, f.Have, f.Least)
		}
		pdf, err := Print(stock, 1, []Label{label}, testMeta())
		require.NoError(t, err)
		picture := renderCell(t, savePDF(t, "clear.pdf", pdf), stock.cell(0), dpi)
		var net DrawnLine
		for _, line := range drawing.Lines {
			if line.Line == "labels.line.net" {
				net = line
			}
		}
		assertClear(t, picture, drawing, net, stock)
	}
}

// assertClear looks at the white above the net contents in a picture whose lowest line at the left they are.
func assertClear(t *testing.T, picture *image.Gray, drawing Drawing, net DrawnLine, stock Stock) {
	t.Helper()
	const dpi = 600
	letter := int(float64(drawing.Net.Letter) / 25.4 * dpi)
	top := int(drawing.Net.FromTop * float64(picture.Rect.Dy()))
	dark := func(y int) bool {
		for x := range picture.Rect.Dx() / 3 { // the symbol stands further right
			if picture.GrayAt(x, y).Y < 128 {
				return true
			}
		}
		return false
	}
	assert.True(t, dark(top+letter/2), "%s: the net contents are where they are said to be", stock.Name)
	for y := top - letter + 3; y < top-2; y++ {
		assert.False(t, dark(y), "%s: row %d above the net contents is not white", stock.Name, y)
	}
	assert.Greater(t, float64(top)/float64(picture.Rect.Dy()), footPanel, "%s: %s is in the lowest 30 percent", stock.Name, net.Text)
}

func ptrTo[T any](x T) *T { return &x }

// Where one line of the height asked for is too long, the net contents take two, measured as one; where two do not fit either,
// the label is refused by their name.
func TestNetContentsInTwoLines(t *testing.T) {
	stock := RollStock("roll-60x40", 60, 40, 203)
	for net, want := range map[[2]string][]string{
		{"12 fl oz", "354 mL"}:        {"NET 12 fl oz", "(354 mL)"},
		{"16 fl oz (1 pt)", "473 mL"}: {"NET 16 fl oz (1 pt)", "473 mL"},
	} {
		label := smallLabel("25341K2B1-P")
		label.NetUS, label.NetMetric, label.NetHeight, label.Ingredients = net[0], net[1], 2.6, ""
		if len(net[0]) > 8 {
			label.NetHeight = 2.2
		}
		drawing, err := Measure(label, stock)
		require.NoError(t, err, net)
		var lines []string
		for _, line := range drawing.Lines {
			if line.Line == netKey {
				lines = append(lines, line.Text)
			}
		}
		assert.Equal(t, want, lines)
		for _, f := range drawing.Facts(stock.Name, ptrTo(SquareInches(14))) {
			assert.True(t, f.Enough || f.What == hazards.DrawnPlace, "%s %s: %v of %v", f.Line, f.What, f.Have, f.Least)
		}
		label.NetHeight = 7
		_, err = Measure(label, stock)
		assert.Equal(t, NoRoom{netKey}, err)
	}
}

// A large bottle's long wording takes three lines, each of the height asked for: on a display panel over 25 square inches its
// letters are 3/16 inch high (21 CFR 101.7(i)).
func TestNetContentsInThreeLines(t *testing.T) {
	liter, err := NetContents(1000)
	require.NoError(t, err)
	label := smallLabel("25341K2B1-P")
	label.NetUS, label.NetMetric, label.NetHeight = liter.US, liter.Metric, NetTypeHeight(40)
	drawing, err := Measure(label, RollStock("roll-100x150", 100, 150, 203))
	require.NoError(t, err)
	var lines []string
	for _, line := range drawing.Lines {
		if line.Line == netKey {
			lines = append(lines, line.Text)
		}
	}
	assert.Equal(t, []string{"NET 33.81 fl oz", "(1 qt 1.81 oz)", "1 L"}, lines)
	for _, f := range drawing.Facts("roll-100x150", ptrTo(SquareInches(40))) {
		assert.True(t, f.Enough, "%s %s: %v of %v", f.Line, f.What, f.Have, f.Least)
	}
}

// The figures for the checker: what is asked of a line and is not met says so.
func TestDrawingFacts(t *testing.T) {
	d := Drawing{Lines: []DrawnLine{{Line: "labels.line.net", Height: 3.1, Least: 3.175}, {Line: "labels.line.storage", Height: 0.9}},
		Net: &NetPlace{Letter: 2, Capital: 2, Above: 1.9, Below: 10, Beside: 4, FromTop: 0.69}}
	var short []string
	for _, f := range d.Facts("roll", ptrTo(SquareInches(5.01))) {
		if !f.Enough {
			short = append(short, string(f.What))
		}
	}
	assert.Equal(t, []string{string(hazards.DrawnLetter), string(hazards.DrawnSpace), string(hazards.DrawnPlace)}, short)
	for _, panel := range []*SquareInches{nil, ptrTo(SquareInches(5))} {
		for _, f := range d.Facts("roll", panel) {
			assert.NotEqual(t, hazards.DrawnPlace, f.What, "up to 5 square inches, or not measured")
		}
	}
	assert.Equal(t, "labels.line.net", d.Smallest().Line)
	assert.Nil(t, Drawing{}.Smallest())
}

// A text too long steps the size down to its floor and is then refused by the line's name, also the new lines.
func TestNewLinesRefused(t *testing.T) {
	stock := Stocks()[0]
	for key, set := range map[string]func(*Label, string){
		"labels.line.claims":  func(l *Label, s string) { l.Claims = s },
		"labels.line.caution": func(l *Label, s string) { l.Caution = s },
	} {
		sizes := map[int]Points{}
		for _, words := range []int{1, 8, 16} {
			label := smallLabel("25341K2B1-P")
			set(&label, strings.Repeat("It is so. ", words))
			drawing, err := Measure(label, stock)
			require.NoError(t, err, "%s %d", key, words)
			for _, line := range drawing.Lines {
				if line.Line == key {
					sizes[words] = line.Size
					assert.GreaterOrEqual(t, line.Height, line.Least)
				}
			}
		}
		assert.Less(t, sizes[16], sizes[1], "%s steps down", key)
		label := smallLabel("25341K2B1-P")
		set(&label, strings.Repeat("It is so. ", 400))
		_, err := Print(stock, 1, []Label{label}, testMeta())
		assert.Equal(t, NoRoom{key}, err)
		for _, character := range []string{"honey 🍯", "½ of ⅓", "☐ yes"} {
			set(&label, character)
			_, err = Print(stock, 1, []Label{label}, testMeta())
			var unprintable Unprintable
			assert.ErrorAs(t, err, &unprintable, "%s %s", key, character)
		}
	}
}
