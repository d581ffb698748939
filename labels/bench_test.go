package labels

import (
	"bytes"
	"testing"

	"github.com/jung-kurt/gofpdf"
)

// BenchmarkSheetOf30 prints thirty different labels on Letter stock; BenchmarkSheetOf30Bare puts the same lines and
// symbols at the same places with the bare library, laid out beforehand. The ratio of one run is what counts.
func BenchmarkSheetOf30(b *testing.B) {
	labels := sheetOf(b, 30, smallLabel)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Print(Stocks()[2], 1, labels, testMeta()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSheetOf30Alike prints the usual sheet: thirty labels of one lot.
func BenchmarkSheetOf30Alike(b *testing.B) {
	labels := make([]Label, 30)
	for i := range labels {
		labels[i] = smallLabel("25341K2B1-P")
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Print(Stocks()[2], 1, labels, testMeta()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSheetOf30Bare(b *testing.B) {
	stock, labels := Stocks()[2], sheetOf(b, 30, smallLabel)
	laid := make([]layout, len(labels))
	for i, label := range labels {
		var err error
		if laid[i], err = arrangeChecked(NewDocument(stock.Paper, testMeta()), label, stock); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		bare(b, stock, labels, laid)
	}
}

// bare draws with gofpdf alone.
func bare(b *testing.B, stock Stock, labels []Label, laid []layout) {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: float64(stock.Paper.Width), Ht: float64(stock.Paper.Height)}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(testMeta().At)
	pdf.SetModificationDate(testMeta().At)
	pdf.SetAutoPageBreak(false, 0)
	for _, style := range []Style{Regular, Bold, MonoBold} {
		pdf.AddUTF8FontFromBytes(style.family(), "", style.ttf())
	}
	pdf.AddPage()
	masks := Document{pdf: pdf, paper: stock.Paper}
	for i, l := range laid {
		at := stock.cell(i)
		for _, line := range l.lines {
			pdf.SetFont(line.style.family(), "", float64(line.size))
			pdf.Text(float64(at.X+line.x), float64(at.Y+line.y), line.text)
		}
		bitmap, err := qrBitmap(labels[i].QR)
		if err != nil {
			b.Fatal(err)
		}
		side := l.qr.module * Millimeters(len(bitmap))
		masks.mask(at.X+l.qr.x+4*l.qr.module, at.Y+l.qr.y+4*l.qr.module, side, side, bitmap)
	}
	if err := pdf.Output(new(bytes.Buffer)); err != nil {
		b.Fatal(err)
	}
}
