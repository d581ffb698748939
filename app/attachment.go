package app

import (
	"bytes"
	"errors"
	"image"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"path"
	"strings"
	"unicode"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// sentFile is a photo that came with a form. What is wrong with it stands in it, so that what else was typed is kept.
type sentFile struct {
	name, mediaType string
	bytes           []byte
	wrong           string // catalogue key
	args            []any
}

// Bounds of what comes beside a photo.
const (
	maxFormPart = 64 << 10
	maxFormText = 1 << 20
	maxFileName = 200
)

// readPhotoForm reads a form that carries a photo in its part "photo". A photo that cannot be taken is said in the file, at
// whose field it belongs.
func (a *App) readPhotoForm(c *gin.Context, kind, action string) (*form, *sentFile, error) {
	f, file, err := a.readFileForm(c, kind, action)
	if err == nil && file.wrong == "" {
		a.checkPicture(file)
	}
	return f, file, err
}

// readFileForm is readPhotoForm without looking at the picture, which takes a second of a processor.
func (a *App) readFileForm(c *gin.Context, kind, action string) (*form, *sentFile, error) {
	file, values := &sentFile{wrong: "attachment.none"}, url.Values{}
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxPhotoBytes+maxFormText)
	reader, err := c.Request.MultipartReader()
	if err != nil { // a plain form, without a file
		f, err := a.readForm(c, kind, action)
		return f, file, err
	}
	if err := readParts(reader, values, file); err != nil {
		return nil, nil, err
	}
	c.Request.PostForm, c.Request.Form = values, values
	f, err := a.readForm(c, kind, action)
	return f, file, err
}

// readParts reads the parts of a form: texts into values, the photo into the file. What breaks off in the middle of a photo
// is a fault of the photo.
func readParts(reader *multipart.Reader, values url.Values, file *sentFile) error {
	for {
		part, err := reader.NextPart()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			file.fault(photoFault(err))
			return nil
		}
		if part.FormName() == "photo" {
			file.read(part)
			continue
		}
		text, err := io.ReadAll(io.LimitReader(part, maxFormPart+1))
		if err != nil || len(text) > maxFormPart {
			return records.Invalid{{Key: "invalid.form"}}
		}
		values.Add(part.FormName(), string(text))
	}
}

// read takes a part as the photo. A browser sends an empty part where none was chosen.
func (f *sentFile) read(part *multipart.Part) {
	body, err := io.ReadAll(part)
	switch {
	case err != nil:
		f.fault(photoFault(err))
	case len(body) > maxPhotoBytes:
		f.fault(wrongPhoto("photo.too_large", "Most", maxPhotoBytes>>20))
	case len(body) > 0:
		f.bytes, f.name, f.wrong = body, fileName(part.FileName()), ""
	}
}

// fault keeps what is wrong with the photo. The words of a photo of a label are not those of one of the work.
func (f *sentFile) fault(err error) {
	var invalid records.Invalid
	if !errors.As(err, &invalid) || len(invalid) == 0 {
		return
	}
	f.wrong, f.args = invalid[0].Key, invalid[0].Args
	switch f.wrong {
	case "photo.none":
		f.wrong = "attachment.none"
	case "photo.not_picture":
		f.wrong = "attachment.not_picture"
	}
}

// checkPicture decodes the photo, one at a time, and finds its media type in its bytes.
func (a *App) checkPicture(f *sentFile) {
	a.photos <- struct{}{}
	defer func() { <-a.photos }()
	if _, err := decodePhoto(f.bytes); err != nil {
		f.fault(err)
		return
	}
	_, kind, err := image.DecodeConfig(bytes.NewReader(f.bytes))
	if err != nil {
		f.fault(wrongPhoto("photo.broken"))
		return
	}
	f.mediaType = "image/" + kind
}

// fileName is the name a phone gave a file, as far as it can be kept: no folders, no characters the store refuses.
func fileName(given string) string {
	name := path.Base(strings.ReplaceAll(strings.ToValidUTF8(given, ""), "\\", "/"))
	name = strings.Map(func(r rune) rune {
		if _, bad := unkeepable(string(r)); bad || r == '\n' || r == '\t' || unicode.Is(unicode.Cf, r) { // marks that turn the reading round, too
			return -1
		}
		return r
	}, name)
	if runes := []rune(name); len(runes) > maxFileName {
		name = string(runes[len(runes)-maxFileName:])
	}
	if name == "" || name == "." || name == "/" {
		return "photo"
	}
	return name
}

// shownInPlace are the media types a browser shows; everything else is saved as a file.
var shownInPlace = map[string]bool{"image/jpeg": true, "image/png": true}

// showAttachment gives the bytes of an attachment to whoever may see the record it is kept with. They never change, so a
// browser that has them asks only whether it may show them still.
func (a *App) showAttachment(c *gin.Context) error {
	ctx := c.Request.Context()
	kept, err := records.Get[records.Attachment](ctx, a.store, c.Param("id"))
	if err != nil {
		return err
	}
	kind, err := a.store.KindOf(ctx, kept.OfID)
	if err != nil {
		return err
	}
	if !visitorOf(c).may(a.seeing(kind)) {
		return records.Forbidden{Key: "error.owner_only"}
	}
	mark := `"` + kept.SHA256 + `"`
	c.Header("ETag", mark)
	c.Header("Cache-Control", "private, no-cache")
	c.Header("Content-Security-Policy", "default-src 'none'; sandbox; frame-ancestors 'none'")
	if c.GetHeader("If-None-Match") == mark {
		c.Status(http.StatusNotModified)
		return nil
	}
	body, err := records.ContentOf(ctx, a.store, kept)
	if err != nil {
		return err
	}
	media := kept.MediaType
	if !shownInPlace[media] {
		media = "application/octet-stream"
		c.Header("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": kept.Name}))
	}
	c.Data(http.StatusOK, media, body)
	return nil
}

// attachmentForm binds what an amendment may change of a file kept with a record: the note.
func attachmentForm(f *form, a *records.Attachment) {
	f.Text("note", &a.Note, 0, longText)
}
