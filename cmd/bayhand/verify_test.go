package main

import (
	"os"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"bayhand/drivers/sound"
)

// record is a room between two files: record PLAYED RECORDED 1 3*0.5 2*-1,4 0
// gives for each channel that is recorded those that are heard there, each with a
// factor; 0 is silence.
func record(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("write: record PLAYED RECORDED CHANNEL...")
	}
	f, err := os.Open(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	played, err := sound.Read(f)
	ts.Check(err)
	format := sound.Format{Rate: played.Format.Rate, Channels: len(args) - 2, Bits: 24}
	length := len(played.Channels[0])
	frames := make([]float32, length*format.Channels)
	for ch, heard := range args[2:] {
		for _, one := range strings.Split(heard, ",") {
			number, by, _ := strings.Cut(one, "*")
			from, err := strconv.Atoi(number)
			ts.Check(err)
			factor := 1.0
			if by != "" {
				factor, err = strconv.ParseFloat(by, 64)
				ts.Check(err)
			}
			for i := 0; from > 0 && i < length; i++ {
				frames[i*format.Channels+ch] += float32(factor) * played.Channels[from-1][i]
			}
		}
	}
	out, err := os.Create(ts.MkAbs(args[1]))
	ts.Check(err)
	defer out.Close()
	w, err := sound.NewWriter(out, format, int64(length))
	ts.Check(err)
	ts.Check(w.Write(frames))
	ts.Check(w.Close())
}
