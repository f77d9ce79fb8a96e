package sound

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// samples are how a device has its samples: the kernel's number and the format.
type samples struct {
	number uint32
	format Format
}

// kinds are the formats that are driven, the best first: 32 bits, 24 in three bytes,
// 16, and floats.
var kinds = []samples{
	{10, Format{Bits: 32}}, {32, Format{Bits: 24}}, {2, Format{Bits: 16}}, {14, Format{Bits: 32, Float: true}},
}

// stream is one direction of a device.
type stream struct {
	file   *os.File
	format Format // its own number of channels
	period int    // frames
	buffer int    // frames
}

// openStream opens a direction and sets it up for at least so many channels. longest
// is the most that it may buffer, in frames; 0 for as much as it likes.
func openStream(path string, how, rate, channels, longest int) (*stream, error) {
	file, err := os.OpenFile(path, how|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return nil, plain(path, err)
	}
	s := &stream{file: file}
	if err := s.setUp(rate, channels, longest); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", path, err), file.Close())
	}
	return s, nil
}

// plain says what an error of the kernel means for a sound device.
func plain(path string, err error) error {
	switch {
	case errors.Is(err, unix.EBUSY):
		return fmt.Errorf("%w: close the program that plays or records by %s, or let a sound server go, and try again", ErrBusy, path)
	case errors.Is(err, unix.ENODEV), errors.Is(err, unix.EBADFD):
		return fmt.Errorf("%w: %s; plug it in and switch it on, and try again", ErrGone, path)
	case errors.Is(err, unix.EPIPE), errors.Is(err, unix.ESTRPIPE):
		return ErrLost
	case errors.Is(err, os.ErrDeadlineExceeded):
		return ErrNoInput
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, unix.ENXIO):
		return fmt.Errorf("%w: %s; is it plugged in? (`bayhand links` lists those that are)", ErrNoDevice, path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w: %s may not be opened by this user; whoever listens must be in the group that may use sound devices, which is audio on most systems", ErrNoDevice, path)
	}
	return fmt.Errorf("%s: %w", path, err)
}

// setUp chooses the format, the channels and the buffer.
func (s *stream) setUp(rate, channels, longest int) error {
	p := anyParams()
	p.only(paramAccess, readWriteInterleaved)
	if err := s.refine(&p); err != nil {
		return fmt.Errorf("%w: it cannot be read and written", ErrFormat)
	}
	kind, err := s.kind(p)
	if err != nil {
		return err
	}
	p.only(paramFormat, kind.number)
	p.set(paramRate, rate, rate)
	if err := s.refine(&p); err != nil {
		return fmt.Errorf("%w: not %d frames a second; write another rate in the studio's file", ErrFormat, rate)
	}
	low, high := p.intervals[paramChannels].low, p.intervals[paramChannels].high
	if int(high) < channels {
		return fmt.Errorf("%w: it has %d channels, and the studio's file needs %d", ErrFormat, high, channels)
	}
	p.set(paramChannels, max(int(low), channels), int(high))
	if err := s.refine(&p); err != nil {
		return fmt.Errorf("%w: not %d channels at %d frames a second", ErrFormat, channels, rate)
	}
	fewest := int(p.intervals[paramChannels].low)
	p.set(paramChannels, fewest, fewest)
	s.format = Format{Rate: rate, Channels: fewest, Bits: kind.format.Bits, Float: kind.format.Float}
	return s.setBuffer(p, longest)
}

// kind is the first format that the device has.
func (s *stream) kind(p hwParams) (samples, error) {
	for _, k := range kinds {
		if p.masks[paramFormat][k.number/32]&(1<<(k.number%32)) != 0 {
			return k, nil
		}
	}
	return samples{}, fmt.Errorf("%w: none of 16, 24 and 32 bits", ErrFormat)
}

// setBuffer asks for periods of about 10 ms and the longest buffer that is allowed.
func (s *stream) setBuffer(p hwParams, longest int) error {
	rate := s.format.Rate
	// The kernel takes the shortest that is allowed, and wakes this process at each.
	for _, period := range [][2]int{{rate / 100, rate / 60}, {rate / 200, rate / 40}} {
		tried := p
		tried.set(paramPeriod, period[0], period[1])
		if err := s.refine(&tried); err == nil {
			p = tried
			break
		}
	}
	if longest > 0 {
		p.set(paramBuffer, 1, longest)
	} else {
		p.set(paramBuffer, 1, rate)
	}
	if err := s.refine(&p); err != nil {
		return fmt.Errorf("%w: it holds more than a tenth of a second of sound, which would go on after a stop", ErrFormat)
	}
	p.asked = 0xffffffff
	if err := ioctl(s.file, ioctlHWParams, &p); err != nil {
		return plain("its setting", err)
	}
	s.period, s.buffer = int(p.intervals[paramPeriod].low), int(p.intervals[paramBuffer].low)
	sw := swParams{periodStep: 1, availMin: uint(s.period), stopThreshold: uint(s.buffer)}
	sw.boundary = uint(s.buffer)
	for sw.boundary < 1<<30-uint(s.buffer) {
		sw.boundary *= 2
	}
	sw.startThreshold = sw.boundary // it is started by hand
	return ioctl(s.file, ioctlSWParams, &sw)
}

// anyParams allows everything.
func anyParams() (p hwParams) {
	for i := range p.masks {
		for j := range p.masks[i] {
			p.masks[i][j] = 0xffffffff
		}
	}
	for i := range p.intervals {
		p.intervals[i].high = 0xffffffff
	}
	p.info = 0xffffffff
	return p
}

func (p *hwParams) only(param int, number uint32) {
	p.masks[param] = mask{}
	p.masks[param][number/32] = 1 << (number % 32)
}

func (p *hwParams) set(param, low, high int) {
	p.intervals[param] = interval{low: uint32(low), high: uint32(high), flags: 1 << 2}
}

// refine has the kernel leave what the device can do.
func (s *stream) refine(p *hwParams) error {
	p.asked, p.changed = 0xffffffff, 0
	return ioctl(s.file, ioctlRefine, p)
}
