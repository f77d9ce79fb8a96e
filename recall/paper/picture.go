package paper

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg" // photographs are read to know their kind and size
	_ "image/png"

	"codeberg.org/go-pdf/fpdf"
)

// A picture is as wide as the text at most, and not so high that it fills a page.
const pictureHigh = 50.0

// CheckPicture says whether a picture can be printed.
func CheckPicture(src []byte) error {
	_, kind, err := image.DecodeConfig(bytes.NewReader(src))
	if err != nil {
		return fmt.Errorf("it is neither a PNG nor a JPEG picture: %w", err)
	}
	pdf := fpdf.New("P", "mm", "A4", "")
	pdf.RegisterImageOptionsReader("try", fpdf.ImageOptions{ImageType: kind}, bytes.NewReader(src))
	return pdf.Error()
}

// picture is the photograph of a unit's front.
func (d *document) picture(name string, g GearSheet) (row, error) {
	size, kind, err := image.DecodeConfig(bytes.NewReader(g.Picture))
	if err != nil {
		return row{}, fmt.Errorf("the picture of %s cannot be printed: %w", g.Label, err)
	}
	options := fpdf.ImageOptions{ImageType: kind}
	d.pdf.RegisterImageOptionsReader(name, options, bytes.NewReader(g.Picture))
	if err := d.pdf.Error(); err != nil {
		return row{}, fmt.Errorf("the picture of %s cannot be printed: %w", g.Label, err)
	}
	wide, high := d.textWidth(), d.textWidth()*float64(size.Height)/float64(size.Width)
	if high > pictureHigh {
		wide, high = wide*pictureHigh/high, pictureHigh
	}
	return row{height: high + 2, draw: func(y float64) {
		d.pdf.ImageOptions(name, d.left, y+1, wide, high, false, options, 0, "")
	}}, nil
}
