package app

import (
	"context"
	"image"
	"image/color"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// symbolSides are the long sides, in pixels, a photo is shrunk to one after another until its symbol is read. Shrinking
// gains most with photos that are blurred; the order is by how often each is the one (engineering notes, section 9).
var symbolSides = []int{1000, 600, 1600, 400}

// readSymbol reads a QR symbol in several tries; false when none is found or nobody waits for the answer any more.
func readSymbol(ctx context.Context, photo *image.Gray) (string, bool) {
	tried := map[int]bool{}
	for _, side := range symbolSides {
		small := shrink(photo, side)
		if long := max(small.Rect.Dx(), small.Rect.Dy()); tried[long] {
			continue
		} else {
			tried[long] = true
		}
		for _, try := range []func() (string, bool){
			func() (string, bool) { return decodeSymbol(small, gozxing.NewHybridBinarizer) },
			func() (string, bool) { return decodeSymbol(small, gozxing.NewGlobalHistgramBinarizer) },
			func() (string, bool) { return decodeSymbol(sharpen(small), gozxing.NewHybridBinarizer) },
		} {
			if ctx.Err() != nil {
				return "", false
			}
			if content, ok := try(); ok {
				return content, true
			}
		}
	}
	return "", false
}

// decodeSymbol is one try. A picture can be so odd that the reader stumbles; that is a symbol not read.
func decodeSymbol(g *image.Gray, binarizer func(gozxing.LuminanceSource) gozxing.Binarizer) (content string, ok bool) {
	defer func() {
		if recover() != nil {
			content, ok = "", false
		}
	}()
	bitmap, err := gozxing.NewBinaryBitmap(binarizer(gozxing.NewLuminanceSourceFromImage(g)))
	if err != nil {
		return "", false
	}
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, hints)
	if err != nil {
		return "", false
	}
	return result.GetText(), true
}

// grayOf gives a picture in grays. A JPEG holds them already; what is see-through counts as white paper.
func grayOf(picture image.Image) *image.Gray {
	b := picture.Bounds()
	switch p := picture.(type) {
	case *image.Gray:
		return p
	case *image.YCbCr:
		return &image.Gray{Pix: p.Y, Stride: p.YStride, Rect: image.Rect(0, 0, b.Dx(), b.Dy())}
	}
	g := image.NewGray(image.Rect(0, 0, b.Dx(), b.Dy()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, green, blue, alpha := picture.At(b.Min.X+x, b.Min.Y+y).RGBA()
			white := 0xffff - alpha
			g.SetGray(x, y, color.Gray{Y: uint8((299*(r+white) + 587*(green+white) + 114*(blue+white)) / 1000 >> 8)})
		}
	}
	return g
}

// shrink averages a picture down so that its long side is at most side pixels; a smaller one stays as it is.
func shrink(g *image.Gray, side int) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	long := max(w, h)
	if long <= side {
		return g
	}
	small := image.NewGray(image.Rect(0, 0, max(1, w*side/long), max(1, h*side/long)))
	sw, sh := small.Rect.Dx(), small.Rect.Dy()
	for y := range sh {
		top, bottom := y*h/sh, max(y*h/sh+1, (y+1)*h/sh)
		for x := range sw {
			left, right := x*w/sw, max(x*w/sw+1, (x+1)*w/sw)
			sum := 0
			for row := top; row < bottom; row++ {
				for _, v := range g.Pix[row*g.Stride+left : row*g.Stride+right] {
					sum += int(v)
				}
			}
			small.Pix[y*small.Stride+x] = uint8(sum / ((bottom - top) * (right - left)))
		}
	}
	return small
}

// Unsharp mask: each pixel moves away from the average of the square around it.
const (
	sharpenReach  = 2
	sharpenAmount = 2
)

// sharpen brings the edges of a blurred picture out (unsharp mask over a summed table).
func sharpen(g *image.Gray) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	sums := make([]int, (w+1)*(h+1))
	for y := range h {
		row := 0
		for x := range w {
			row += int(g.Pix[y*g.Stride+x])
			sums[(y+1)*(w+1)+x+1] = sums[y*(w+1)+x+1] + row
		}
	}
	sharp := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		top, bottom := max(0, y-sharpenReach), min(h, y+sharpenReach+1)
		for x := range w {
			left, right := max(0, x-sharpenReach), min(w, x+sharpenReach+1)
			sum := sums[bottom*(w+1)+right] - sums[top*(w+1)+right] - sums[bottom*(w+1)+left] + sums[top*(w+1)+left]
			v := int(g.Pix[y*g.Stride+x])
			v += sharpenAmount * (v - sum/((bottom-top)*(right-left)))
			sharp.Pix[y*sharp.Stride+x] = uint8(min(255, max(0, v)))
		}
	}
	return sharp
}
