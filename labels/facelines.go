package labels

import "slices"

// faceLine is one line of a case label or shelf card: its share of the height, and the least size it is legible in.
type faceLine struct {
	key, text string
	style     Style
	share     float64 // of the others'
	least     Points
}

// mostFaceName is the largest letter of a case label or card.
const mostFaceName Points = 60

// stack sets lines beneath one another in a frame, as large as they fit; a line without text is left off. wraps tells the
// keys whose lines may break.
func stack(d *Document, area frame, lines []faceLine, wraps ...string) ([]placed, error) {
	kept := lines[:0:0]
	for _, l := range lines {
		if l.text != "" {
			kept = append(kept, l)
		}
	}
	for unit := area.height(); ; unit *= 0.97 {
		set, refused := tryStack(d, area, kept, unit, wraps)
		if refused == "" {
			return set, nil
		}
		if unit < legible {
			return nil, NoRoom{Line: refused}
		}
	}
}

// tryStack sets the lines with letters of a size; it names the first that does not fit.
func tryStack(d *Document, area frame, lines []faceLine, unit Millimeters, wraps []string) ([]placed, string) {
	var set []placed
	y, sizes := area.top, map[float64]Points{} // of the lines set, by share
	for _, l := range lines {
		size := min((unit * Millimeters(l.share)).points(), mostFaceName)
		for share, above := range sizes {
			if share > l.share { // a longer line above it may have been set smaller: the order of sizes stays
				size = min(size, above)
			}
		}
		size = max(size, l.least)
		pieces := []string{l.text}
		if slices.Contains(wraps, l.key) {
			pieces = d.wrap(l.style, size, l.text, area.width())
		} else if size = d.fitSize(l.style, size, l.least, l.text, area.width()); size == 0 {
			return nil, l.key
		}
		sizes[l.share] = size
		for i, piece := range pieces {
			if i == 0 && len(set) == 0 {
				y += size.em() * capHeight
			} else {
				y += size.em() * labelSpread
			}
			if y+size.em()*descent > area.bottom+0.001 {
				return nil, l.key
			}
			set = append(set, placed{key: l.key, x: area.left, y: y, style: l.style, size: size, text: piece})
		}
	}
	return set, ""
}
