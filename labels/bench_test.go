package labels

import (
	"bytes"
	"runtime"
	"testing"
	"time"

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

// BenchmarkThousandLabels prints a thousand different labels with their symbols, thirty on a page: with this package
// ("ours"), and the same lines and symbols at the same places with the bare library, laid out beforehand ("bare"). Each
// tells the size of the PDF and the most heap in use while it ran; x-bare is the ratio of the two times of this run.
func BenchmarkThousandLabels(b *testing.B) {
	stock, labels := Stocks()[2], sheetOf(b, 1000, smallLabel)
	laid := make([]layout, len(labels))
	for i, label := range labels {
		var err error
		if laid[i], err = arrangeChecked(NewDocument(stock.Paper, testMeta()), label, stock); err != nil {
			b.Fatal(err)
		}
	}
	var bareTime time.Duration
	b.Run("bare", func(b *testing.B) {
		measured(b, func() []byte { return bare(b, stock, labels, laid) })
		bareTime = b.Elapsed() / time.Duration(b.N)
	})
	b.Run("ours", func(b *testing.B) {
		measured(b, func() []byte {
			pdf, err := Print(stock, 1, labels, testMeta())
			if err != nil {
				b.Fatal(err)
			}
			return pdf
		})
		b.ReportMetric(float64(b.Elapsed()/time.Duration(b.N))/float64(bareTime), "x-bare")
	})
}

// measured runs a drawing as often as the benchmark asks, and once apart to see its heap, so that watching costs the
// measured runs nothing.
func measured(b *testing.B, draw func() []byte) {
	peak := peakHeap(func() { draw() })
	b.ReportAllocs()
	size := 0
	for b.Loop() {
		size = len(draw())
	}
	b.ReportMetric(float64(size), "pdf-bytes")
	b.ReportMetric(float64(peak)/(1<<20), "peak-heap-MB")
}

// peakHeap is the most heap in use, above what was in use before, while something runs.
func peakHeap(run func()) uint64 {
	runtime.GC()
	var before runtime.MemStats
	runtime.ReadMemStats(&before)
	done, peak := make(chan bool), make(chan uint64)
	go func() {
		most := uint64(0)
		for {
			var now runtime.MemStats
			runtime.ReadMemStats(&now)
			most = max(most, now.HeapInuse)
			select {
			case <-done:
				peak <- most
				return
			case <-time.After(time.Millisecond):
			}
		}
	}()
	run()
	done <- true
	most := <-peak
	return most - min(before.HeapInuse, most)
}

// bare draws with gofpdf alone.
func bare(b *testing.B, stock Stock, labels []Label, laid []layout) []byte {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: float64(stock.Paper.Width), Ht: float64(stock.Paper.Height)}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(testMeta().At)
	pdf.SetModificationDate(testMeta().At)
	pdf.SetAutoPageBreak(false, 0)
	for _, style := range []Style{Regular, Bold, MonoBold} {
		pdf.AddUTF8FontFromBytes(style.family(), "", style.ttf())
	}
	masks := Document{pdf: pdf, paper: stock.Paper}
	for i, l := range laid {
		at := stock.cell(i)
		if i%stock.Cells() == 0 {
			pdf.AddPage()
		}
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
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		b.Fatal(err)
	}
	return out.Bytes()
}
