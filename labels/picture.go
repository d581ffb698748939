package labels

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

const (
	mostPictureDPI    = 600        // a finer printer is shown at a whole part of its dots
	mostPicturePixels = 36_000_000 // as many as a letter sheet at 600 dots an inch
	coarse            = 300        // below it a printer's dots are seen: the picture has no grays either
	thumbnailDPI      = 60
)

// picture is a canvas of dots: the piece of a page that one label covers. Zero is white paper, 255 ink.
type picture struct {
	ink  *image.Alpha
	dots float64     // a millimeter
	left Millimeters // of the page, at the picture's edges
	top  Millimeters
	buf  sfnt.Buffer
	err  error
}

// newPicture is a picture of a place on a page. It begins and ends on whole dots of the page.
func newPicture(at Place, dotsPerInch int) *picture {
	dots := float64(dotsPerInch) / 25.4
	x, y := math.Floor(float64(at.X)*dots+1e-6), math.Floor(float64(at.Y)*dots+1e-6)
	right, bottom := math.Ceil(float64(at.X+at.Width)*dots-1e-6), math.Ceil(float64(at.Y+at.Height)*dots-1e-6)
	return &picture{ink: image.NewAlpha(image.Rect(0, 0, int(right-x), int(bottom-y))), dots: dots,
		left: Millimeters(x / dots), top: Millimeters(y / dots)}
}

// Picture draws a face as the PDF of the same stock has it, in the dots of the stock's printer, and gives it as a PNG: the
// label on the cell given, counted from 1. Below 300 dots an inch it is black and white, as such a printer makes it.
func Picture(stock Stock, cell int, face Face) ([]byte, error) {
	places, err := stock.Places(cell, 1)
	if err != nil {
		return nil, err
	}
	laid, err := face.arrange(NewDocument(stock.Paper, Meta{}), stock)
	if err != nil {
		return nil, err
	}
	p := newPicture(places[0], pictureDPI(stock))
	laid.draw(p, places[0], stock.DotsPerInch)
	if p.err != nil {
		return nil, p.err
	}
	return p.png(stock.DotsPerInch < coarse)
}

// pictureDPI is the printer's own resolution, or the largest whole part of it that the picture's bounds allow.
func pictureDPI(stock Stock) int {
	for part := 1; ; part++ {
		dpi := stock.DotsPerInch / part
		dots := float64(dpi) / 25.4
		if dpi <= mostPictureDPI && dots*dots*float64(stock.LabelWidth)*float64(stock.LabelHeight) <= mostPicturePixels || dpi <= thumbnailDPI {
			return dpi
		}
	}
}

// SheetPicture draws the first page small: the labels printed, the outlines of the others, those before the first crossed
// out as used.
func SheetPicture(stock Stock, start, count int, face Face) ([]byte, error) {
	places, err := stock.Places(start, min(count, stock.Cells()-start+1))
	if err != nil {
		return nil, err
	}
	laid, err := face.arrange(NewDocument(stock.Paper, Meta{}), stock)
	if err != nil {
		return nil, err
	}
	p := newPicture(Place{Width: stock.Paper.Width, Height: stock.Paper.Height}, thumbnailDPI)
	const fine, heavy Millimeters = 0.3, 1.2
	for i := range stock.Cells() {
		at := stock.grid(i)
		weight := fine
		if i == start-1 {
			weight = heavy
		}
		p.box(at, weight)
		if i < start-1 {
			p.Line(at.X, at.Y, at.X+at.Width, at.Y+at.Height, fine)
			p.Line(at.X, at.Y+at.Height, at.X+at.Width, at.Y, fine)
		}
	}
	for _, at := range places {
		laid.draw(p, at, stock.DotsPerInch)
	}
	if p.err != nil {
		return nil, p.err
	}
	return p.png(false)
}

// box draws the outline of a place, inside its edges.
func (p *picture) box(at Place, weight Millimeters) {
	half := weight / 2
	left, top, right, bottom := at.X+half, at.Y+half, at.X+at.Width-half, at.Y+at.Height-half
	p.Line(at.X, top, at.X+at.Width, top, weight)
	p.Line(at.X, bottom, at.X+at.Width, bottom, weight)
	p.Line(left, at.Y, left, at.Y+at.Height, weight)
	p.Line(right, at.Y, right, at.Y+at.Height, weight)
}

// dot is a place on the page in dots of the picture.
func (p *picture) dot(x, y Millimeters) (float64, float64) {
	return float64(x-p.left) * p.dots, float64(y-p.top) * p.dots
}

// Text draws one line from its baseline's beginning. Widths add up as they do in the PDF.
func (p *picture) Text(x, y Millimeters, style Style, size Points, s string) {
	s = visible(s)
	if s == "" || p.err != nil {
		return
	}
	em := float64(size.em()) * p.dots
	left, baseline := p.dot(x, y)
	from := image.Pt(int(math.Floor(left-em)), int(math.Floor(baseline-1.2*em)))
	to := image.Pt(int(math.Ceil(left+em*float64(style.width(s))+em)), int(math.Ceil(baseline+0.5*em)))
	p.fill(image.Rectangle{Min: from, Max: to}, func(r *vector.Rasterizer, dx, dy float64) {
		at := Millimeters(0)
		for _, char := range s {
			if err := p.glyph(r, style, char, left+float64(at)*em+dx, baseline+dy, em); err != nil {
				p.err = fmt.Errorf("picture of %q: %w", s, err)
				return
			}
			at += style.width(string(char))
		}
	})
}

// glyph adds the outline of one character to a shape. The outline is read in the font's own units, so that nothing is
// rounded but by the picture's dots.
func (p *picture) glyph(r *vector.Rasterizer, style Style, char rune, x, y, em float64) error {
	face := faces[style].font
	index, err := face.GlyphIndex(&p.buf, char)
	if err != nil {
		return err
	}
	units := float64(face.UnitsPerEm())
	segments, err := face.LoadGlyph(&p.buf, index, fixed.I(int(face.UnitsPerEm())), nil)
	if err != nil {
		return err
	}
	at := func(q fixed.Point26_6) (float32, float32) {
		return float32(x + float64(q.X)/64/units*em), float32(y + float64(q.Y)/64/units*em)
	}
	for _, s := range segments {
		ax, ay := at(s.Args[0])
		bx, by := at(s.Args[1])
		cx, cy := at(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			r.ClosePath()
			r.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			r.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			r.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			r.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	r.ClosePath()
	return nil
}

// Line draws a line of a weight without caps, as the PDF does.
func (p *picture) Line(x1, y1, x2, y2, weight Millimeters) {
	ax, ay := p.dot(x1, y1)
	bx, by := p.dot(x2, y2)
	long := math.Hypot(bx-ax, by-ay)
	if long == 0 {
		return
	}
	half := float64(weight) * p.dots / 2
	nx, ny := -(by-ay)/long*half, (bx-ax)/long*half
	corners := [][2]float64{{ax + nx, ay + ny}, {bx + nx, by + ny}, {bx - nx, by - ny}, {ax - nx, ay - ny}}
	around := image.Rect(int(math.Floor(min(ax, bx)-half))-1, int(math.Floor(min(ay, by)-half))-1,
		int(math.Ceil(max(ax, bx)+half))+1, int(math.Ceil(max(ay, by)+half))+1)
	p.fill(around, func(r *vector.Rasterizer, dx, dy float64) {
		for i, c := range corners {
			x, y := float32(c[0]+dx), float32(c[1]+dy)
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	})
}

// mask draws a bitmap; each of its squares begins and ends on a whole dot.
func (p *picture) mask(x, y, width, height Millimeters, bitmap [][]bool) {
	edge := func(from, step float64, i int) int { return int(math.Round(from + step*float64(i))) }
	left, top := p.dot(x, y)
	across, down := float64(width)*p.dots/float64(len(bitmap[0])), float64(height)*p.dots/float64(len(bitmap))
	for row := range bitmap {
		for column, dark := range bitmap[row] {
			if !dark {
				continue
			}
			square := image.Rect(edge(left, across, column), edge(top, down, row), edge(left, across, column+1), edge(top, down, row+1))
			p.blacken(square.Intersect(p.ink.Rect))
		}
	}
}

func (p *picture) blacken(area image.Rectangle) {
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			p.ink.Pix[p.ink.PixOffset(x, y)] = 255
		}
	}
}

// fill inks a shape. Only the part of the picture it can touch is worked on; dx and dy bring the picture's dots to it.
func (p *picture) fill(around image.Rectangle, shape func(r *vector.Rasterizer, dx, dy float64)) {
	around = around.Intersect(p.ink.Rect)
	if around.Empty() {
		return
	}
	r := vector.NewRasterizer(around.Dx(), around.Dy())
	shape(r, float64(-around.Min.X), float64(-around.Min.Y))
	r.Draw(p.ink, around, image.Opaque, image.Point{})
}

// png writes the picture as grays, or black and white as a printer of one ink makes it.
func (p *picture) png(blackWhite bool) ([]byte, error) {
	shown := image.NewPaletted(p.ink.Rect, grays(blackWhite))
	steps := len(shown.Palette) - 1
	for i, ink := range p.ink.Pix {
		shown.Pix[i] = uint8((int(ink)*steps + 127) / 255)
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := encoder.Encode(&out, shown); err != nil {
		return nil, fmt.Errorf("picture of a label: %w", err)
	}
	return out.Bytes(), nil
}

// grays are the shades of a picture from white to black: two, or sixteen.
func grays(blackWhite bool) color.Palette {
	steps := 15
	if blackWhite {
		steps = 1
	}
	shades := make(color.Palette, steps+1)
	for i := range shades {
		shades[i] = color.Gray{Y: uint8(255 - 255*i/steps)}
	}
	return shades
}
