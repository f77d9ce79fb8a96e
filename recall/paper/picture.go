package paper

import (
	"bytes"
	"encoding/gob"
	"fmt"
	"image"
	_ "image/jpeg" // photographs are read to know their kind and size
	_ "image/png"
	"strconv"

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
func (d *document) picture(number int, g GearSheet) (row, error) {
	name := "front" + strconv.Itoa(number)
	size, kind, err := image.DecodeConfig(bytes.NewReader(g.Picture))
	if err != nil {
		return row{}, fmt.Errorf("the picture of %s cannot be printed: %w", g.Label, err)
	}
	options := fpdf.ImageOptions{ImageType: kind}
	info := d.pdf.RegisterImageOptionsReader(name, options, bytes.NewReader(g.Picture))
	err = d.pdf.Error()
	if err == nil {
		err = ownWidth(info, number)
	}
	if err != nil {
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

// ownWidth makes the width of a picture its own by millionths of a dot, which is not
// printed. The library puts pictures into the file by their widths, and those of one
// width in an order that differs from one run to the next.
func ownWidth(info *fpdf.ImageInfoType, number int) error {
	src, err := info.GobEncode()
	if err != nil {
		return err
	}
	var (
		data, mask, palette     []byte
		object, bits            int
		wide, high, scale, dots float64
		space, filter, decode   string
		transparent             []int
	)
	fields := []any{&data, &mask, &object, &wide, &high, &space, &palette, &bits, &filter, &decode, &transparent, &scale, &dots}
	from := gob.NewDecoder(bytes.NewReader(src))
	for _, field := range fields {
		if err := from.Decode(field); err != nil {
			return err
		}
	}
	wide += float64(number+1) / 1e6
	var b bytes.Buffer
	to := gob.NewEncoder(&b)
	for _, field := range fields {
		if err := to.Encode(field); err != nil {
			return err
		}
	}
	return info.GobDecode(b.Bytes())
}
