package paper

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"bayhand/model/studio"
)

// Pictures of one width stand in the file in the same order each time.
func TestPicturesOfOneWidthAreInOrder(t *testing.T) {
	r := Recall{room: &studio.Studio{}}
	for i := range 6 {
		front := image.NewNRGBA(image.Rect(0, 0, 40, 10))
		front.Set(i, 0, color.Black)
		var b bytes.Buffer
		if err := png.Encode(&b, front); err != nil {
			t.Fatal(err)
		}
		r.Settings = append(r.Settings, GearSheet{Label: "unit", Items: []Item{{"gain", "5"}}, Picture: b.Bytes()})
	}
	var first []byte
	for range 12 {
		var b bytes.Buffer
		if _, err := RecallPDF(&b, r, A4); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b.Bytes()
		}
		if !bytes.Equal(first, b.Bytes()) {
			t.Fatal("the same sheet is another file")
		}
	}
	if n := bytes.Count(first, []byte("/Width 40")); n < 6 {
		t.Errorf("%d pictures are in the file", n)
	}
}
