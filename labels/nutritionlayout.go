package labels

import (
	"errors"
	"slices"
)

// The least sizes of a panel's letters, 21 CFR 101.9(d) as of 2016 (from memory, medium confidence: check before the panel
// is relied on). The title must be larger than everything but the calories.
const (
	panelTitle    Points = 16 // least (ours); as wide as the box where there is room
	panelMost     Points = 20
	panelServing  Points = 10 // servings and serving size
	panelCalories Points = 16 // the word
	panelNumeral  Points = 22 // the figure
	panelNutrient Points = 8
	panelNote     Points = 6 // "amount per serving", heads and notes

	smallTitle    Points = 10 // of the panel as running text, 101.9(j)(13)(ii) (from memory)
	smallCalories Points = 10
	smallNumeral  Points = 14
)

const (
	panelInset   Millimeters = 1
	panelGap     Millimeters = 1.2 // between a nutrient and its amount
	panelEdge    Millimeters = 0.25
	panelWide    Millimeters = 46 // of the upright box (ours)
	panelWidest  Millimeters = 60
	thickBar     Millimeters = 7 * 25.4 / 72 // 7 points beneath the serving, 3 beneath the calories (from memory)
	middleBar    Millimeters = 3 * 25.4 / 72
	panelSpread              = 1.12
	nutritionKey             = "labels.line.nutrition"
)

// arrangeWithPanel tries where a nutrition panel may stand: as a column at the right, in the middle, or as running text
// where the package is small.
func arrangeWithPanel(d *Document, label Label, stock Stock) (layout, error) {
	if _, err := arrangeFront(d, label, stock, nil); err != nil {
		return layout{}, err // does not fit even without
	}
	upright := func(width Millimeters) block { return d.uprightPanel(label.Nutrition, min(width, panelWidest)) }
	var ways []func() (layout, error)
	for _, width := range []Millimeters{panelWide, panelWide + 5, panelWide + 10} {
		ways = append(ways, func() (layout, error) { return arrangeColumn(d, label, stock, upright(width)) })
	}
	ways = append(ways, func() (layout, error) { return arrangeFront(d, label, stock, upright) })
	if label.Nutrition.SmallPackage {
		running := func(width Millimeters) block { return d.runningPanel(label.Nutrition, width) }
		ways = append(ways,
			func() (layout, error) { return arrangeFront(d, label, stock, running) },
			func() (layout, error) { return arrangeColumn(d, label, stock, running(panelWide)) })
	}
	for _, way := range ways {
		laid, err := way()
		if err == nil || !tooSmall(err) {
			return laid, err
		}
	}
	return layout{}, NoRoom{Line: nutritionKey}
}

// tooSmall tells a lack of room from other errors.
func tooSmall(err error) bool {
	return errors.As(err, new(NoRoom)) || errors.As(err, new(NoRoomQR))
}

// arrangeColumn puts a panel at the right edge and everything else into the rest.
func arrangeColumn(d *Document, label Label, stock Stock, b block) (layout, error) {
	pad := stock.padding()
	rest := stock
	rest.LabelWidth -= b.width + pad + labelGutter/2
	if b.height > stock.LabelHeight-2*pad || rest.LabelWidth < 0.4*stock.LabelWidth {
		return layout{}, NoRoom{Line: nutritionKey}
	}
	laid, err := arrangeFront(d, label, rest, nil)
	if err != nil {
		return layout{}, err
	}
	laid.add(b, stock.LabelWidth-pad-b.width, pad)
	return laid, nil
}

// panelPen writes a panel from top to bottom.
type panelPen struct {
	d *Document
	block
	y    Millimeters
	keep Millimeters // at the right end of a line, for a figure
}

func (p *panelPen) inner() Millimeters { return p.width - 2*panelInset - p.keep }

func (p *panelPen) put(x Millimeters, style Style, size Points, s string) {
	p.lines = append(p.lines, placed{nutritionKey, x, p.y - size.em()*descent, style, size, s})
}

// left writes a text, on as many lines as it needs.
func (p *panelPen) left(style Style, size Points, indent Millimeters, s string) {
	for _, piece := range p.d.wrap(style, size, s, p.inner()-indent) {
		p.y += size.em() * panelSpread
		p.put(panelInset+indent, style, size, piece)
	}
}

// right writes a text at the right end of the line just written.
func (p *panelPen) right(style Style, size Points, s string) {
	p.put(p.width-panelInset-p.d.Width(style, size, s), style, size, s)
}

// pair writes one text at the left and one at the right, on two lines where they do not fit on one.
func (p *panelPen) pair(style Style, size Points, left, right string) {
	p.left(style, size, 0, left)
	if p.d.Width(style, size, left+"  "+right) > p.inner() {
		p.y += size.em() * panelSpread
	}
	p.right(style, size, right)
}

// bar draws a bar across; a thin one parts two lines.
func (p *panelPen) bar(weight Millimeters) {
	p.y += 0.35 + weight/2
	p.rules = append(p.rules, rule{panelInset, p.y, p.width - panelInset, p.y, weight})
	p.y += 0.1 + weight/2
}

// uprightPanel draws the panel as a box of lines.
func (d *Document) uprightPanel(n *Nutrition, width Millimeters) block {
	p := &panelPen{d: d, block: block{width: width}, y: panelInset / 2}
	title := say("labels.nutrition.title")
	size := d.fitSize(Bold, panelMost, panelTitle, title, p.inner())
	p.left(Bold, max(size, panelTitle), 0, title)
	p.bar(panelEdge)
	p.left(Regular, panelServing, 0, n.Servings)
	p.pair(Bold, panelServing, say("labels.nutrition.serving_word"), n.Serving)
	p.bar(thickBar)
	p.left(Bold, panelNote, 0, say("labels.nutrition.amount"))
	p.y += (panelNumeral - panelCalories).em() * panelSpread
	p.left(Bold, panelCalories, 0, say("labels.nutrition.calories"))
	p.right(Bold, panelNumeral, n.Calories)
	p.bar(middleBar)
	p.y += panelNote.em() * panelSpread
	p.right(Bold, panelNote, say("labels.nutrition.percent_head"))
	d.nutrients(p, n)
	p.bar(middleBar)
	for _, note := range append(slices.Clone(n.Notes), n.DailyValue) {
		p.left(Regular, panelNote, 0, note)
	}
	p.height = p.y + panelInset
	p.outline(panelEdge)
	return p.block
}

// nutrients writes the lines of a panel, the vitamins and minerals below a bar of their own.
func (d *Document) nutrients(p *panelPen, n *Nutrition) {
	below := false
	for _, line := range n.Lines {
		weight := panelEdge
		if line.Vitamin && !below {
			weight, below = thickBar, true
		}
		p.bar(weight)
		style := Bold
		if line.Indent > 0 || line.Vitamin {
			style = Regular
		}
		indent := Millimeters(line.Indent) * 2.5
		p.keep = d.Width(Bold, panelNutrient, line.Percent) + panelGap
		p.left(style, panelNutrient, indent, line.Name)
		p.keep = 0
		if line.Amount != "" {
			p.put(panelInset+indent+d.Width(style, panelNutrient, line.Name)+panelGap, Regular, panelNutrient, line.Amount)
		}
		if line.Percent != "" {
			p.right(Bold, panelNutrient, line.Percent)
		}
	}
}

// runningPanel draws the panel as running text in a box, for a small package.
func (d *Document) runningPanel(n *Nutrition, width Millimeters) block {
	p := &panelPen{d: d, block: block{width: width}, y: panelInset / 2}
	p.y += (smallNumeral - smallTitle).em() * panelSpread
	word := say("labels.nutrition.calories")
	numeral, calories := d.Width(Bold, smallNumeral, n.Calories), d.Width(Bold, smallCalories, word)
	p.keep = numeral + calories + 2*panelGap
	p.left(Bold, smallTitle, 0, say("labels.nutrition.title"))
	p.keep = 0
	p.right(Bold, smallNumeral, n.Calories)
	p.put(p.width-panelInset-numeral-panelGap-calories, Bold, smallCalories, word)
	p.bar(panelEdge)
	p.left(Regular, panelNote, 0, n.running())
	p.height = p.y + panelInset
	p.outline(panelEdge)
	return p.block
}
