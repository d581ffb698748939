package app

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/labels"
	"canewright/records"
)

// soldLot is a house whose one lot is released and partly sold. The names in it are what no stranger may read.
func soldLot(t *testing.T, public bool) (*boiledRun, records.Lot, records.PartShelf) {
	t.Helper()
	h := newBoiledRun(t, thick)
	ctx, who := context.Background(), records.Actor{PersonID: h.people["odell"]}
	house, err := h.store.House(ctx)
	require.NoError(t, err)
	if public {
		house.PublicPage = true
		require.NoError(t, h.store.Amend(ctx, who, &house, "public page on"))
	}
	lot := records.Lot{SiteID: h.site, ProductID: h.product.ID, ContainerID: h.container.ID, StartedAt: morning(9, 40), BottlesLotID: &h.bottles.ID,
		ClosuresLotID: &h.closures.ID, Note: "Private remark"}
	require.NoError(t, h.store.StartFilling(ctx, who, &lot, []records.Draw{{FromID: h.run.ID}}))
	for _, minute := range []int{42, 58} {
		h.write(&records.FillCheck{LotID: lot.ID, At: morning(9, minute), Bottle: pointer(syrup.Fahrenheit(187).Celsius()), InstrumentID: &h.probe.ID,
			InvertedSeconds: pointer(300), ClosureOK: pointer(true), NetWeight: pointer(syrup.Grams(655)), ScaleID: &h.scale.ID})
	}
	require.NoError(t, h.store.EndFilling(ctx, who, &records.FillEnd{LotID: lot.ID, At: morning(10, 0), Count: 112}))
	return h, lot, h.partOf(t, lot)
}

func (h *boiledRun) sell(t *testing.T, part records.PartShelf) {
	t.Helper()
	ctx, who := context.Background(), records.Actor{PersonID: h.people["odell"]}
	require.NoError(t, h.store.Release(ctx, who, part.ID, "looked at"))
	shop := records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Cormorant Grocery", Address: "3 Levee Street, Bend", Telephone: "601 555 0122"}}
	h.write(&shop)
	require.NoError(t, h.store.Ship(ctx, who, &records.Shipment{CustomerID: shop.ID, At: testNow, HowPacked: "cases of 12"}, []records.Units{{PartID: part.ID, Count: 24}}))
}

func TestPublicPage(t *testing.T) {
	t.Run("off: maker and telephone, and nothing of the lot", func(t *testing.T) {
		h, lot, part := soldLot(t, false)
		h.sell(t, part)
		page := h.browser().get("/L/" + lot.Code)
		assert.Equal(t, http.StatusOK, page.StatusCode)
		assert.Contains(t, page.read(), "Made by Sawgrass Bend")
		assert.NotContains(t, page.read(), "Creek side")
		assert.NotContains(t, page.read(), "Cane syrup")
		assert.Equal(t, http.StatusOK, h.browser().get("/L/"+lot.Code+"/tell").StatusCode)
		assert.NotContains(t, h.browser().get("/L/"+lot.Code+"/tell").read(), "What happened")
	})
	h, lot, part := soldLot(t, true)
	b := h.browser()
	t.Run("a lot that never left the house is told no more than one that never was", func(t *testing.T) {
		unsold, never := b.get("/L/"+lot.Code), b.get("/L/25001K9B9R")
		assert.Equal(t, http.StatusNotFound, unsold.StatusCode)
		assert.Equal(t, http.StatusNotFound, never.StatusCode)
		assert.Equal(t, strings.ReplaceAll(unsold.read(), lot.Code, "X"), strings.ReplaceAll(never.read(), "25001K9B9R", "X"))
	})
	h.sell(t, part)
	t.Run("plain facts, and nothing private", func(t *testing.T) {
		for _, address := range []string{"/L/" + lot.Code, "/l/" + strings.ToLower(records.PrintedCode(lot.Code)), "/01/09521234543213/10/" + lot.Code} {
			page := b.get(address)
			require.Equal(t, http.StatusOK, page.StatusCode, address)
			for _, told := range []string{"Cane syrup", records.PrintedCode(lot.Code), "Creek side, cut Sat 6 Dec 2025", "Boiled Sun 7 Dec 2025", "Bottled Sun 7 Dec 2025",
				"Best by Mon 7 Jun 2027", "Sawgrass Bend", "12 Mill Road, Bend, GA 39800", "15.99 fl oz (473 mL)", "Tell us about this bottle"} {
				assert.Contains(t, page.read(), told)
			}
			for _, private := range []string{"Odell", "Marisol", "Cormorant", "Private remark", "Tern Glass", "Probe", "Spindle", "Old kettle", "112", "looked at", "187", lot.ID, part.ID} {
				assert.NotContains(t, page.body, private)
			}
			assert.Empty(t, page.Cookies(), "a stranger is given no cookie")
			assert.NotContains(t, page.body, "queue", "nothing of the work stands on the page")
		}
	})
	t.Run("in Spanish by the phone's language", func(t *testing.T) {
		r, err := http.NewRequest(http.MethodGet, h.server.URL+"/L/"+lot.Code, nil)
		require.NoError(t, err)
		r.Header.Set("Accept-Language", "es-MX,es;q=0.9")
		assert.Contains(t, b.do(r).read(), "Cuéntenos de esta botella")
	})
	t.Run("the house sees the lot, and what strangers see", func(t *testing.T) {
		assert.Equal(t, "/lot/"+lot.ID, h.as("odell").get("/L/"+lot.Code).location(t))
		assert.Contains(t, h.as("odell").get("/lot/"+lot.ID+"/public").read(), "This is what anybody who scans the bottle sees.")
		assert.Equal(t, http.StatusSeeOther, b.get("/lot/"+lot.ID+"/public").StatusCode, "strangers sign in first")
	})
	t.Run("a wrong character", func(t *testing.T) {
		page := b.get("/L/25341K2B2P")
		assert.Equal(t, http.StatusNotFound, page.StatusCode)
		assert.Contains(t, page.read(), "one character may be wrong")
	})
	t.Run("a recall", func(t *testing.T) {
		require.NotContains(t, b.get("/L/"+lot.Code).read(), "Recall notice")
		require.NoError(t, h.store.Dispose(context.Background(), records.Actor{PersonID: h.people["odell"]}, part.ID, records.ActRecall, "Private reason"))
		page := b.get("/L/" + lot.Code)
		assert.Contains(t, page.read(), "Recall notice Bottles of this lot are being called back. Do not eat")
		assert.Contains(t, page.body, `href="tel:2295550100"`)
		assert.NotContains(t, page.read(), "Private reason")
	})
}

// Neither an answer that is missing of an addition nor a label that is refused takes a bottle's page away from its buyer.
func TestPublicPageOfUnlabelledLot(t *testing.T) {
	h, lot, part := soldLot(t, true)
	h.sell(t, part)
	h.write(&records.Addition{ToID: h.run.ID, At: morning(8, 0), Substance: "Foam drops", Use: "defoamer"})
	_, err := records.LabelOf(context.Background(), h.store, lot.ID)
	require.ErrorAs(t, err, new(labels.Unanswered))
	page := h.browser().get("/L/" + lot.Code)
	require.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.read(), "Store in a cool, dry place.")
	assert.NotContains(t, page.read(), "Foam drops")
}

// sendTold posts the form of a stranger as a browser does, with a photo or without.
func sendTold(t *testing.T, b *browser, code string, photo []byte, fields ...string) answer {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i < len(fields); i += 2 {
		require.NoError(t, w.WriteField(fields[i], fields[i+1]))
	}
	if photo != nil {
		part, err := w.CreateFormFile("photo", "bottle.jpg")
		require.NoError(t, err)
		_, err = part.Write(photo)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	r, err := http.NewRequest(http.MethodPost, b.h.server.URL+"/L/"+code+"/tell", &body)
	require.NoError(t, err)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return b.do(r)
}

func smallJPEG(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, 40, 30)), nil))
	return out.Bytes()
}

func TestTellAboutABottle(t *testing.T) {
	h, lot, part := soldLot(t, true)
	h.sell(t, part)
	ctx, b := context.Background(), h.browser()
	complaints := func() []records.Complaint {
		t.Helper()
		list, err := records.List[records.Complaint](ctx, h.store, "ORDER BY received_at, id")
		require.NoError(t, err)
		return list
	}
	t.Run("what is missing is asked, and what was typed stays", func(t *testing.T) {
		page := sendTold(t, b, lot.Code, nil, "story", "It hissed <b>loudly</b>", "submission", "s0")
		assert.Equal(t, http.StatusUnprocessableEntity, page.StatusCode)
		assert.Contains(t, page.body, `id="public_tell-about-error"`)
		assert.Contains(t, page.body, "It hissed &lt;b&gt;loudly&lt;/b&gt;")
		page = sendTold(t, b, lot.Code, nil, "about", "fizzy", "story", "Smile \U0001F600", "submission", "s0")
		assert.Contains(t, page.body, `id="public_tell-story-error"`)
		page = sendTold(t, b, lot.Code, []byte("GIF89a not a photo"), "about", "fizzy", "story", "hiss", "submission", "s0")
		assert.Contains(t, page.body, `id="public_tell-photo-error"`)
		assert.Empty(t, complaints())
	})
	t.Run("kept once, with lot, photo and where it came from; the name only for the crew", func(t *testing.T) {
		for range 2 {
			at := sendTold(t, b, lot.Code, smallJPEG(t), "about", "fizzy", "story", "It hissed <script>alert(1)</script>", "contact_name", "Wren Ash", "submission", "s1").location(t)
			assert.Equal(t, "/L/"+records.PrintedCode(lot.Code)+"/told", at)
		}
		list := complaints()
		require.Len(t, list, 1)
		assert.Equal(t, records.SourcePublic, list[0].Source)
		assert.Equal(t, lot.ID, *list[0].LotID)
		assert.Contains(t, b.get("/L/"+lot.Code+"/told").read(), "If somebody is ill, call a doctor first.")
		page := h.as("odell").get("/complaints/" + list[0].ID)
		assert.Contains(t, page.read(), "public page")
		assert.Contains(t, page.body, "&lt;script&gt;alert(1)")
		assert.NotContains(t, page.body, "<script>alert(1)")
		assert.Contains(t, page.read(), "Wren Ash")
		assert.NotContains(t, h.as("ines").get("/complaints/"+list[0].ID).read(), "Wren Ash")
		photos, err := records.AttachmentsOf(ctx, h.store, list[0].ID)
		require.NoError(t, err)
		require.Len(t, photos, 1)
		assert.Contains(t, page.body, `src="/attachment/`+photos[0].ID+`"`)
		assert.Equal(t, http.StatusSeeOther, b.get("/attachment/"+photos[0].ID).StatusCode, "strangers see no photos")
		journal := h.as("odell").get("/journal").read()
		assert.Contains(t, journal, "Sawgrass Bend", "it stands under the house")
		report, err := h.store.Verify(ctx, "")
		require.NoError(t, err)
		assert.Empty(t, report.Faults)
	})
	t.Run("what a machine fills in is thanked for and not kept", func(t *testing.T) {
		sendTold(t, b, lot.Code, nil, "about", "taste", "story", "buy pills", "website", "https://x.example", "submission", "s2").location(t)
		assert.Len(t, complaints(), 1)
	})
	t.Run("another site's page cannot send it", func(t *testing.T) {
		r, err := http.NewRequest(http.MethodPost, h.server.URL+"/L/"+lot.Code+"/tell", strings.NewReader("about=taste&story=x"))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", "https://elsewhere.example")
		assert.Equal(t, http.StatusForbidden, b.do(r).StatusCode)
		assert.Len(t, complaints(), 1)
	})
	t.Run("a flood is told to call, and what was typed stays", func(t *testing.T) {
		var last answer
		for i := range tellBurst + 1 {
			last = sendTold(t, b, lot.Code, nil, "about", "taste", "story", fmt.Sprint("again ", i), "submission", fmt.Sprint("f", i))
		}
		assert.Equal(t, http.StatusUnprocessableEntity, last.StatusCode)
		assert.Contains(t, last.read(), "please call 229 555 0100")
		assert.Contains(t, last.read(), fmt.Sprint("again ", tellBurst))
		assert.LessOrEqual(t, len(complaints()), 1+tellBurst)
	})
}

// Pictures that come to nothing are not looked at without end: each takes a second, and the crew's own photos wait.
func TestPicturesOfStrangersAreBounded(t *testing.T) {
	h, lot, part := soldLot(t, true)
	h.sell(t, part)
	b := h.as("")
	send := func(i int, story string) string {
		return sendTold(t, b, lot.Code, []byte("no picture"), "about", "taste", "story", story, "submission", fmt.Sprint("n", i)).read()
	}
	for i := range showBurst {
		assert.Contains(t, send(i, "odd"), "not a JPEG or PNG picture")
	}
	assert.NotContains(t, send(90, ""), "not a JPEG or PNG picture", "with something else to mend it is not looked at")
	last := send(91, "odd")
	assert.NotContains(t, last, "not a JPEG or PNG picture")
	assert.Contains(t, last, "please call 229 555 0100")
	plain := sendTold(t, b, lot.Code, nil, "about", "taste", "story", "odd", "submission", "plain")
	assert.Equal(t, http.StatusSeeOther, plain.StatusCode, "words alone are taken still")
}

// Strangers' photos are bounded by the day, whatever their addresses.
func TestPublicPhotosAreBounded(t *testing.T) {
	h, lot, part := soldLot(t, true)
	h.sell(t, part)
	ctx := context.Background()
	send := func(n int) error {
		return h.store.Tell(ctx, fmt.Sprint("p", n), &records.Complaint{LotID: &lot.ID, About: "taste", Story: "odd"},
			&records.Attachment{Name: "a.jpg", MediaType: "image/jpeg"}, []byte{0xff, 0xd8, byte(n)})
	}
	for n := range 20 {
		require.NoError(t, send(n))
	}
	var invalid records.Invalid
	require.ErrorAs(t, send(20), &invalid)
	assert.Equal(t, "photo", invalid[0].Field)
	list, err := records.List[records.Complaint](ctx, h.store, "")
	require.NoError(t, err)
	assert.Len(t, list, 20, "a complaint whose photo was refused is not half kept")
}
