package answer

import (
	"slices"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// Report is what the device says by itself after its front was turned: each
// output that moved with the input it listens to now, 0 for off, or each
// crosspoint that closed. A device whose description has no report says
// nothing.
func (d *Device) Report(events []matrix.Event) [][]byte {
	e, ok := d.description.Exchange(device.Report)
	if !ok {
		return nil
	}
	var reports [][]byte
	for batch := range slices.Chunk(d.turned(events), reportBatch(e)) {
		if report, err := d.write(e.Answer, reply{changes: batch}); err == nil {
			reports = append(reports, report)
		}
	}
	return reports
}

// reportBatch is how many changes one report carries: as many as the description
// says; where it says nothing, all if the report can repeat, else one.
func reportBatch(e device.Exchange) int {
	if e.Batch <= 1 && slices.ContainsFunc(e.Answer, repeats) {
		return matrix.MaxSize
	}
	return max(e.Batch, 1)
}

func repeats(f device.Field) bool {
	return f.Kind == device.Each || f.Kind == device.Channels || f.Kind == device.Bitmap || slices.ContainsFunc(f.Of, repeats)
}

func (d *Device) turned(events []matrix.Event) []matrix.Crosspoint {
	var list []matrix.Crosspoint
	for _, e := range events {
		c := e.Crosspoint
		switch {
		case d.matrix.Kind() == matrix.Selectors:
			c.Input = d.matrix.Listens(c.Output)
		case !d.matrix.Closed(c):
			continue
		}
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	slices.SortFunc(list, matrix.Crosspoint.Compare)
	return list
}
