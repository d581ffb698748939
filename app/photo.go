package app

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	_ "image/jpeg" // the two kinds of picture a label may be sent as
	_ "image/png"
	"io"
	"mime/multipart"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// Bounds of a photo. A phone's picture has 12 million pixels, the largest 50; a file may be small and its picture huge,
// so the pixels are counted before they are decoded.
const (
	maxPhotoBytes  = 24 << 20
	maxPhotoPixels = 52_000_000
)

// photoForm is a form that takes a photo of a label.
type photoForm struct {
	ID, Action, Label, Submit string
	Error                     string
}

// newPhotoForm is the form; action is where it is posted.
func newPhotoForm(w words, id, action string) photoForm {
	return photoForm{ID: id, Action: action, Label: w.say("photo.photo"), Submit: w.say("photo.submit")}
}

// faultOfPhoto puts what is wrong with the photo at its field and tells whether it did.
func (p *photoForm) take(w words, err error) bool {
	var invalid records.Invalid
	if !errors.As(err, &invalid) {
		return false
	}
	p.Error = w.say(invalid[0].Key, w.spoken(invalid[0].Args)...)
	return true
}

// wrongPhoto is a refusal at the photo's field.
func wrongPhoto(key string, args ...any) error {
	return records.Invalid{{Field: "photo", Key: key, Args: args}}
}

// codeInPhoto reads the posted photo and finds the lot code in its QR symbol. What is wrong with the photo is Invalid.
func (a *App) codeInPhoto(c *gin.Context) (labels.LotCode, error) {
	body, err := postedPhoto(c)
	if err != nil {
		return labels.LotCode{}, err
	}
	a.photos <- struct{}{} // one at a time: a decoded picture takes as much memory as all the rest
	defer func() { <-a.photos }()
	picture, err := decodePhoto(body)
	if err != nil {
		return labels.LotCode{}, err
	}
	content, found := readSymbol(c.Request.Context(), grayOf(picture))
	if !found {
		return labels.LotCode{}, wrongPhoto("photo.no_symbol")
	}
	code, err := labels.CodeInScan(content)
	if err != nil {
		return labels.LotCode{}, wrongPhoto("photo.other_symbol")
	}
	return code, nil
}

// postedPhoto gives the bytes of the posted file "photo", up to maxPhotoBytes.
func postedPhoto(c *gin.Context) ([]byte, error) {
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxPhotoBytes)
	reader, err := c.Request.MultipartReader()
	if err != nil {
		return nil, wrongPhoto("photo.none")
	}
	for {
		part, err := reader.NextPart()
		if errors.Is(err, io.EOF) {
			return nil, wrongPhoto("photo.none")
		}
		if err != nil {
			return nil, photoFault(err)
		}
		if part.FormName() != "photo" {
			continue
		}
		return readPart(part)
	}
}

func readPart(part *multipart.Part) ([]byte, error) {
	body, err := io.ReadAll(part)
	if err != nil {
		return nil, photoFault(err)
	}
	if len(body) == 0 {
		return nil, wrongPhoto("photo.none")
	}
	return body, nil
}

func photoFault(err error) error {
	if errors.As(err, new(*http.MaxBytesError)) {
		return wrongPhoto("photo.too_large", "Most", maxPhotoBytes>>20)
	}
	return wrongPhoto("photo.broken")
}

// decodePhoto decodes a JPEG or PNG. Other kinds are refused by name where we know it, and a picture of too many pixels
// before it is decoded.
func decodePhoto(body []byte) (image.Image, error) {
	if heic(body) {
		return nil, wrongPhoto("photo.heic")
	}
	config, kind, err := image.DecodeConfig(bytes.NewReader(body))
	if err != nil || kind != "jpeg" && kind != "png" {
		return nil, wrongPhoto("photo.not_picture")
	}
	if most := mostPixels(config.ColorModel); config.Width <= 0 || config.Height <= 0 || config.Width > most/config.Height {
		return nil, wrongPhoto("photo.too_many_pixels", "Most", most/1_000_000)
	}
	picture, _, err := image.Decode(bytes.NewReader(body))
	if err != nil {
		return nil, wrongPhoto("photo.broken")
	}
	return picture, nil
}

// mostPixels is maxPhotoPixels, or half of it for a picture of 16 bits a color, which takes twice the memory; no phone
// makes one.
func mostPixels(model color.Model) int {
	if model == color.NRGBA64Model || model == color.RGBA64Model {
		return maxPhotoPixels / 2
	}
	return maxPhotoPixels
}

// heic tells a HEIF or AVIF file by its first box: "ftyp" and a brand, of which phones write these.
func heic(body []byte) bool {
	if len(body) < 12 || string(body[4:8]) != "ftyp" {
		return false
	}
	switch string(body[8:12]) {
	case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1", "avif":
		return true
	}
	return false
}
