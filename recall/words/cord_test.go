package words

import (
	"testing"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

func TestCord(t *testing.T) {
	const short, long = 30 * measure.Centimetre, 60 * measure.Centimetre
	bantam := [2]studio.Jack{studio.Bantam, studio.Bantam}
	adapter := [2]studio.Jack{studio.Bantam, studio.QuarterInch}
	owned := func(length measure.Length, ends [2]studio.Jack, colour string, count int) studio.StockCord {
		return studio.StockCord{Length: length, Ends: ends, Colour: colour, Count: count}
	}
	mixed := []studio.StockCord{
		{Length: short, Ends: bantam, Poles: 2, Colour: "green", Count: 4}, {Length: short, Ends: bantam, Poles: 3, Colour: "red", Count: 4},
		{Length: long, Ends: bantam, Count: 4},
	}
	for _, c := range []struct {
		name   string
		stock  []studio.StockCord
		length measure.Length
		poles  int
		ends   []string
		want   string
	}{
		{"no length", nil, 0, 0, []string{"main/t1", "main/b1"}, ""},
		{"no stock", nil, short, 0, []string{"main/t1", "main/b1"}, "30 cm"},
		{"one colour", []studio.StockCord{owned(short, bantam, "red", 4), owned(long, bantam, "blue", 4)}, short, 0, []string{"main/t1", "main/b1"}, "30 cm red"},
		{"two colours of one length", []studio.StockCord{owned(short, bantam, "red", 4), owned(short, bantam, "green", 4)}, short, 0, []string{"main/t1", "main/b1"}, "30 cm"},
		{"some have none", []studio.StockCord{owned(short, bantam, "red", 4), owned(short, bantam, "", 4)}, short, 0, []string{"main/t1", "main/b1"}, "30 cm"},
		{"some have none, the other way", []studio.StockCord{owned(short, bantam, "", 4), owned(short, bantam, "red", 4)}, short, 0, []string{"main/t1", "main/b1"}, "30 cm"},
		{"none left of the other", []studio.StockCord{owned(short, bantam, "red", 4), owned(short, bantam, "green", 0)}, short, 0, []string{"main/t1", "main/b1"}, "30 cm red"},
		{"the one that fits", []studio.StockCord{owned(short, bantam, "red", 4), owned(short, adapter, "yellow", 2)}, short, 0, []string{"main/t1", "wall/b1"}, "30 cm yellow"},
		{"one end", []studio.StockCord{owned(short, bantam, "red", 4)}, short, 0, []string{"main/t1"}, "30 cm"},
		{"two poles among three", mixed, short, 2, []string{"main/t1", "main/b1"}, "30 cm green TS"},
		{"three poles among two", mixed, short, 0, []string{"main/t1", "main/b1"}, "30 cm red TRS"},
		{"three poles of another length", mixed, long, 0, []string{"main/t1", "main/b1"}, "60 cm TRS"},
		{"all owned have two", mixed[:1], short, 2, []string{"main/t1", "main/b1"}, "30 cm green"},
		{"a cord of two poles from elsewhere", nil, short, 2, []string{"main/t1", "main/b1"}, "30 cm TS"},
		{"of no known length", mixed, 0, 2, []string{"main/t1", "main/b1"}, "TS"},
		{"nothing known", mixed, 0, 0, []string{"main/t1", "main/b1"}, ""},
		{"the kind of two poles does not fit", mixed, short, 0, []string{"wall/t1", "wall/b1"}, "30 cm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := In(&studio.Studio{
				Bays:  []studio.Bay{{Name: "main", Jack: studio.Bantam}, {Name: "wall", Jack: studio.QuarterInch}},
				Stock: studio.Stock{Cords: c.stock},
			})
			if got := w.Cord(c.length, c.poles, at(t, c.ends...)); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
