package labels

// block is a drawing of its own that a label takes up whole, from its top left corner.
type block struct {
	width, height Millimeters
	lines         []placed
	rules         []rule
}

// add puts a block at a place.
func (l *layout) add(b block, x, y Millimeters) {
	for _, line := range b.lines {
		line.x, line.y = line.x+x, line.y+y
		l.lines = append(l.lines, line)
	}
	for _, r := range b.rules {
		l.rules = append(l.rules, rule{r.x1 + x, r.y1 + y, r.x2 + x, r.y2 + y, r.weight})
	}
}

// outline draws the block's edge.
func (b *block) outline(weight Millimeters) {
	b.rules = append(b.rules, rule{0, 0, b.width, 0, weight}, rule{0, b.height, b.width, b.height, weight}, rule{0, 0, 0, b.height, weight},
		rule{b.width, 0, b.width, b.height, weight})
}
