package labels

import (
	"fmt"
	"reflect"
)

// Print draws bottles' labels on stock; see PrintFaces.
func Print(stock Stock, start int, labels []Label, meta Meta) ([]byte, error) {
	faces := make([]Face, len(labels))
	for i, label := range labels {
		faces[i] = label
	}
	return PrintFaces(stock, start, faces, meta)
}

// PrintFaces draws faces on stock, the first on cell start of the first page (cells count from 1, along the rows). Nothing
// is clipped or left off: a face whose lines do not fit is refused with the line's name.
func PrintFaces(stock Stock, start int, faces []Face, meta Meta) ([]byte, error) {
	places, err := stock.Places(start, len(faces))
	if err != nil {
		return nil, err
	}
	if len(faces) == 0 {
		return nil, fmt.Errorf("label sheet %q: there are no labels to print", meta.Title)
	}
	d := NewDocument(stock.Paper, meta)
	var laid artwork
	for i, face := range faces {
		if i == 0 || !reflect.DeepEqual(face, faces[i-1]) { // the labels of a sheet are mostly the same
			if laid, err = face.arrange(d, stock); err != nil {
				return nil, err
			}
		}
		for d.PageCount() <= places[i].Page {
			d.AddPage()
		}
		laid.draw(d, places[i], stock.DotsPerInch)
	}
	return d.Bytes()
}

// Repeated gives a face so many times, as most sheets hold one lot's labels alone.
func Repeated(face Face, count int) []Face {
	faces := make([]Face, max(count, 0))
	for i := range faces {
		faces[i] = face
	}
	return faces
}

// arrangeChecked lays out a label after checking its texts.
func arrangeChecked(d *Document, label Label, stock Stock) (layout, error) {
	printable, err := label.printable()
	if err != nil {
		return layout{}, err
	}
	return arrange(d, printable, stock)
}

// Fits tells whether a face can be printed on stock; the error says which line has no room, or what else is wrong.
func Fits(stock Stock, face Face) error {
	if err := stock.Validate(); err != nil {
		return err
	}
	_, err := face.arrange(NewDocument(stock.Paper, Meta{}), stock)
	return err
}
