package labels

import (
	"strings"
	"unicode/utf8"
)

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
	var line strings.Builder
	room := width / size.em() // in ems, as style.width
	taken, space := Millimeters(0), style.width(" ")
	for word := range strings.FieldsSeq(s) {
		wide := style.width(word)
		if line.Len() > 0 && taken+space+wide <= room {
			line.WriteString(" " + word)
			taken += space + wide
			continue
		}
		if line.Len() > 0 {
			lines = append(lines, line.String())
			line.Reset()
		}
		for wide > room && len(word) > 1 {
			head := fitting(style, word, room)
			if head == len(word) {
				break
			}
			lines, word = append(lines, word[:head]), word[head:]
			wide = style.width(word)
		}
		line.WriteString(word)
		taken = wide
	}
	return append(lines, line.String())
}

// fitting is the number of bytes of a word, at least one character, that fit the room in ems.
func fitting(style Style, word string, room Millimeters) int {
	fit := 0
	for i, r := range word {
		end := i + utf8.RuneLen(r)
		if fit > 0 && style.width(word[:end]) > room {
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

// longer is the widest of several lines.
func (d *Document) longer(style Style, lines []string) string {
	widest := ""
	for _, line := range lines {
		if d.Width(style, 10, line) > d.Width(style, 10, widest) {
			widest = line
		}
	}
	return widest
}
