package labels

import "strings"

// wrap breaks a text into lines no wider than width, at spaces; a word wider than the line is broken inside. A line
// break in the text is kept.
func (d *Document) wrap(style Style, size Points, s string, width Millimeters) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(s, "\n") {
		lines = append(lines, d.wrapParagraph(style, size, visible(paragraph), width)...)
	}
	return lines
}

func (d *Document) wrapParagraph(style Style, size Points, s string, width Millimeters) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if d.Width(style, size, joined) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; d.Width(style, size, line) > width; {
			head := d.fitting(style, size, line, width)
			lines, line = append(lines, line[:head]), line[head:]
		}
	}
	return append(lines, line)
}

// fitting is the number of bytes of s, at least one character, that fit the width.
func (d *Document) fitting(style Style, size Points, s string, width Millimeters) int {
	fit := 0
	for i, r := range s {
		end := i + len(string(r))
		if fit > 0 && d.Width(style, size, s[:end]) > width {
			break
		}
		fit = end
	}
	return fit
}

// fitSize is the largest size from most down to least, in small steps, at which a line fits the width;
// zero when not even the least does.
func (d *Document) fitSize(style Style, most, least Points, s string, width Millimeters) Points {
	for size := most; ; size = max(size-sizeStep, least) {
		if d.Width(style, size, s) <= width {
			return size
		}
		if size <= least {
			return 0
		}
	}
}
