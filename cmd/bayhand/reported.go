package main

import (
	"context"
	"fmt"

	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/recall/keep"
)

// reporting is a matrix that also hands on what its device says by itself.
type reporting struct{ *matrix.Matrix }

var (
	_ keep.Reporter   = reporting{}
	_ keep.Identifier = reporting{}
)

// Report waits for the next report. One that makes no sense is empty: it still
// says that something was turned.
func (r reporting) Report(ctx context.Context) (keep.Report, error) {
	select {
	case got, open := <-r.Reports():
		if !open {
			return keep.Report{}, fmt.Errorf("no more reports: %w", link.ErrGone)
		}
		return keep.Report{Closed: got.Closed, Off: got.Off}, nil
	case <-ctx.Done():
		return keep.Report{}, ctx.Err()
	}
}
