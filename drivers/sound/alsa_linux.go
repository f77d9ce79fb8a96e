package sound

import (
	"errors"
	"io"
	"math"
	"os"
	"slices"
	"time"
)

// device is a device of ALSA that is open for both directions. What it plays next
// is in the kernel's buffer already; written holds a copy, so that a stop can write
// it anew, falling.
type device struct {
	play, record *stream
	want         Want
	written      []float32 // the newest frames that were played, a buffer's length
	bytes        []byte
	stopped      bool
	failed       error
}

// openALSA opens both directions, fills what is played first with silence, since an
// empty buffer ends at once, and starts them in one sample where they can be linked.
func openALSA(root string, a Address, w Want) (Device, error) {
	playing, err := pathOf(root, a.Play)
	if err != nil {
		return nil, err
	}
	recording, err := pathOf(root, a.Record)
	if err != nil {
		return nil, err
	}
	d := &device{want: w}
	if d.play, err = openStream(playing+"p", os.O_WRONLY, w.Rate, w.Outputs, w.buffer()); err != nil {
		return nil, err
	}
	if d.record, err = openStream(recording+"c", os.O_RDONLY, w.Rate, w.Inputs, 0); err != nil {
		return nil, errors.Join(err, d.play.file.Close())
	}
	if err := d.start(); err != nil {
		return nil, errors.Join(plain(playing, err), d.Close())
	}
	return d, nil
}

func (d *device) start() error {
	linked := link(d.play.file, d.record.file) == nil // two cards may have two clocks
	if err := command(d.play.file, ioctlPrepare, 0); err != nil {
		return err
	}
	if !linked {
		if err := command(d.record.file, ioctlPrepare, 0); err != nil {
			return err
		}
	}
	// A block of 10 ms finds room beside it.
	silence := make([]float32, max(1, d.play.buffer-d.want.Rate/100)*d.want.Outputs)
	if err := d.write(silence); err != nil {
		return err
	}
	if !linked {
		if err := command(d.record.file, ioctlStart, 0); err != nil {
			return err
		}
	}
	return command(d.play.file, ioctlStart, 0)
}

// Exchange writes and reads; an error stops both directions for good.
func (d *device) Exchange(played, heard []float32) error {
	if d.failed == nil {
		d.failed = d.write(played)
	}
	if d.failed == nil {
		d.failed = d.read(heard)
	}
	return d.failed
}

// write plays whole frames; the device's other channels are silent.
func (d *device) write(frames []float32) error {
	asked := d.want.Outputs
	silence := make([]float32, d.play.format.Channels-asked)
	d.bytes = d.bytes[:0]
	for at := 0; at < len(frames); at += asked {
		d.bytes = d.play.format.appendAll(d.bytes, frames[at:at+asked])
		d.bytes = d.play.format.appendAll(d.bytes, silence)
	}
	d.written = append(d.written, frames...)
	d.written = d.written[max(0, len(d.written)-d.play.buffer*asked):]
	if err := d.play.file.SetWriteDeadline(time.Now().Add(answersWithin)); err != nil {
		return err
	}
	_, err := d.play.file.Write(d.bytes)
	return plainOrNone(d.play, err)
}

// read fills whole frames.
func (d *device) read(frames []float32) error {
	asked := d.want.Inputs
	size := d.record.format.frame()
	n := len(frames) / asked * size
	d.bytes = slices.Grow(d.bytes[:0], n)[:n]
	if err := d.record.readFull(d.bytes); err != nil {
		return plainOrNone(d.record, err)
	}
	for at := 0; at < len(frames); at += asked {
		d.record.format.samples(frames[at:at+asked], d.bytes[at/asked*size:])
	}
	return nil
}

// readFull waits for bytes. A process that was not run itself for longer than it
// waits finds its time over and bytes, or what became of them, there: it asks once more.
func (s *stream) readFull(b []byte) error {
	if err := s.file.SetReadDeadline(time.Now().Add(answersWithin)); err != nil {
		return err
	}
	n, err := io.ReadFull(s.file, b)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		if err := s.file.SetReadDeadline(time.Now().Add(answersWithin / 10)); err != nil {
			return err
		}
		_, err = io.ReadFull(s.file, b[n:])
	}
	return err
}

func plainOrNone(s *stream, err error) error {
	if err == nil {
		return nil
	}
	return plain(s.file.Name(), err)
}

// Stop takes back what the device has not played yet but for a period that it may
// be at already, writes it anew falling to silence within 10 ms, waits until that is
// played, by what is recorded meanwhile, and drops the rest.
func (d *device) Stop() error {
	if d.stopped {
		return nil
	}
	d.stopped = true
	if d.failed == nil && d.fall() == nil {
		silent := d.play.period + d.want.Rate/100
		_ = d.read(make([]float32, silent*d.want.Inputs)) // whatever it says, the drop follows
	}
	err := errors.Join(command(d.play.file, ioctlDrop, 0), command(d.record.file, ioctlDrop, 0))
	if d.failed != nil {
		return nil // a device that is gone, or that stopped by itself, drops nothing
	}
	return err
}

// fall writes what is left to be played anew.
func (d *device) fall() error {
	var left int
	if err := ioctl(d.play.file, ioctlDelay, &left); err != nil {
		return err
	}
	back := min(uint(max(0, left-d.play.period)), uint(len(d.written)/d.want.Outputs))
	taken := int(back)
	if err := ioctl(d.play.file, ioctlRewind, &back); err != nil {
		return err
	}
	taken = min(taken, int(back))
	frames := d.written[len(d.written)-taken*d.want.Outputs:]
	falling := make([]float32, len(frames))
	length := d.want.Rate / 100
	for i := range falling {
		if at := i / d.want.Outputs; at < length {
			falling[i] = frames[i] * float32((1+math.Cos(math.Pi*float64(at+1)/float64(length)))/2)
		}
	}
	return d.write(falling)
}

// Close stops, and releases the device.
func (d *device) Close() error {
	err := d.Stop()
	return errors.Join(err, d.play.file.Close(), d.record.file.Close())
}
