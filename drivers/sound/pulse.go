package sound

import (
	"errors"
	"fmt"
	"io"
	"math"
	"net"
	"sync"
	"time"

	"github.com/jfreymuth/pulse/proto"
)

// mostPulse is how many channels the protocol can carry.
const mostPulse = 32

// server is a device that is reached by a sound server: one stream to a sink, and
// one from a source. Frames travel as floats.
type server struct {
	want         Want
	client       *proto.Client
	conn         net.Conn
	play, record uint32 // the streams' numbers
	inbox        *inbox
	written      []float32 // the newest frames that were sent
	bytes        []byte
	begun        bool // something was recorded
	stopped      bool
	failed       error
}

var floats = Format{Bits: 32, Float: true}

// inbox is what the server sends by itself. Its callback belongs to the client's
// reader; mu guards the rest.
type inbox struct {
	mu     sync.Mutex
	data   []byte
	failed error
	more   chan struct{} // holds one where anything changed
}

// take is called with each message, in turn.
func (in *inbox) take(message any) {
	in.mu.Lock()
	defer in.mu.Unlock()
	switch m := message.(type) {
	case *proto.DataPacket:
		in.data = append(in.data, m.Data...)
	case *proto.Underflow, *proto.Overflow:
		in.fail(ErrLost)
	case *proto.PlaybackStreamKilled, *proto.RecordStreamKilled, *proto.PlaybackStreamSuspended, *proto.RecordStreamSuspended:
		in.fail(fmt.Errorf("%w: the sound server took it away", ErrGone))
	case *proto.ConnectionClosed:
		in.fail(fmt.Errorf("%w: the sound server closed the connection", ErrGone))
	default:
		return
	}
	select {
	case in.more <- struct{}{}:
	default:
	}
}

func (in *inbox) fail(err error) {
	if in.failed == nil {
		in.failed = err
	}
}

// openPulse connects to the sound server of this user.
func openPulse(a Address, w Want) (Device, error) {
	if w.Outputs > mostPulse || w.Inputs > mostPulse {
		return nil, fmt.Errorf("%w: a sound server carries %d channels at most, and the studio's file needs %d and %d; write alsa:hw:1,0 instead", ErrFormat, mostPulse, w.Outputs, w.Inputs)
	}
	client, conn, err := proto.Connect("")
	if err != nil {
		return nil, fmt.Errorf("%w: no sound server answers (%w)", ErrNoDevice, err)
	}
	s := &server{want: w, client: client, conn: conn, inbox: &inbox{more: make(chan struct{}, 1)}}
	client.Callback = s.inbox.take
	if err := s.open(a); err != nil {
		return nil, errors.Join(err, conn.Close())
	}
	return s, nil
}

// open makes both streams and starts them with silence ahead.
func (s *server) open(a Address) error {
	who := proto.SetClientName{Props: proto.PropList{"application.name": proto.PropListString("bayhand")}}
	if err := s.client.Request(&who, &proto.SetClientNameReply{}); err != nil {
		return refused(err)
	}
	if err := s.openRecord(a.Record); err != nil {
		return err
	}
	if err := s.openPlay(a.Play); err != nil {
		return err
	}
	if err := s.send(make([]float32, (s.want.buffer()-s.want.Rate/100)*s.want.Outputs)); err != nil {
		return err
	}
	for _, request := range []proto.RequestArgs{
		&proto.CorkRecordStream{StreamIndex: s.record}, &proto.CorkPlaybackStream{StreamIndex: s.play},
	} {
		if err := s.client.Request(request, nil); err != nil {
			return refused(err)
		}
	}
	return nil
}

// channels are numbered and nothing else, so that the server mixes none into others.
func channels(n int) (m proto.ChannelMap, volumes proto.ChannelVolumes) {
	for i := range n {
		m, volumes = append(m, byte(proto.ChannelAux0+i)), append(volumes, uint32(proto.VolumeNorm))
	}
	return m, volumes
}

func (s *server) openPlay(sink string) error {
	m, volumes := channels(s.want.Outputs)
	length := uint32(s.want.buffer() * s.want.Outputs * 4)
	var got proto.CreatePlaybackStreamReply
	err := s.client.Request(&proto.CreatePlaybackStream{
		SampleSpec: proto.SampleSpec{Format: proto.FormatFloat32LE, Channels: byte(s.want.Outputs), Rate: uint32(s.want.Rate)},
		ChannelMap: m, ChannelVolumes: volumes, SinkIndex: proto.Undefined, SinkName: sink, Corked: true, Properties: proto.PropList{},
		BufferMaxLength: 2 * length, BufferTargetLength: length, BufferMinimumRequest: length / 10, BufferPrebufferLength: 0,
		NoRemap: true, NoRemix: true, NoMove: true, AdjustLatency: true, VolumeSet: true, FailOnSuspend: false, DontInhibitAutoSuspend: false,
	}, &got)
	s.play = got.StreamIndex
	return refused(err)
}

func (s *server) openRecord(source string) error {
	m, volumes := channels(s.want.Inputs)
	var got proto.CreateRecordStreamReply
	err := s.client.Request(&proto.CreateRecordStream{
		SampleSpec: proto.SampleSpec{Format: proto.FormatFloat32LE, Channels: byte(s.want.Inputs), Rate: uint32(s.want.Rate)},
		ChannelMap: m, ChannelVolumes: volumes, SourceIndex: proto.Undefined, SourceName: source, Corked: true, Properties: proto.PropList{},
		BufferMaxLength: proto.Undefined, BufferFragSize: uint32(s.want.Rate / 100 * s.want.Inputs * 4), DirectOnInputIndex: proto.Undefined,
		NoRemap: true, NoRemix: true, NoMove: true, AdjustLatency: true, VolumeSet: true,
	}, &got)
	s.record = got.StreamIndex
	return refused(err)
}

// refused says what an answer of the server means.
func refused(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, proto.ErrNoSuchEntity):
		return fmt.Errorf("%w: the sound server has no such sink or source", ErrNoDevice)
	case errors.Is(err, io.EOF), errors.Is(err, net.ErrClosed):
		return closed(err)
	}
	return fmt.Errorf("the sound server: %w", err)
}

func (s *server) send(frames []float32) error {
	s.bytes = s.bytes[:0]
	for _, x := range frames {
		s.bytes = floats.append(s.bytes, x)
	}
	s.written = append(s.written, frames...)
	s.written = s.written[max(0, len(s.written)-s.want.buffer()*s.want.Outputs):]
	if err := s.client.Send(s.play, s.bytes); err != nil {
		return closed(err)
	}
	return nil
}

// closed is a connection that is no more.
func closed(err error) error {
	return fmt.Errorf("%w: the sound server closed the connection (%w)", ErrGone, err)
}

// beginsWithin is how long a server may take until it records.
const beginsWithin = 3 * time.Second

// Exchange sends, and waits for as much to be recorded.
func (s *server) Exchange(played, heard []float32) error {
	if s.failed == nil {
		s.failed = s.send(played)
	}
	if s.failed == nil {
		s.failed = s.receive(heard)
	}
	return s.failed
}

// receive fills whole frames.
func (s *server) receive(frames []float32) error {
	patience := s.want.patience()
	if !s.begun {
		patience = max(patience, beginsWithin)
	}
	late := time.NewTimer(patience)
	defer late.Stop()
	for {
		full, err := s.inbox.fill(frames)
		if full || err != nil {
			s.begun = true
			return err
		}
		select {
		case <-s.inbox.more:
		case <-late.C:
			// A connection that broke is not always told: it is asked for.
			if err := s.client.Request(&proto.CorkPlaybackStream{StreamIndex: s.play}, nil); err != nil {
				return closed(err)
			}
			return ErrNoInput
		}
	}
}

// fill takes what has come, once it is enough.
func (in *inbox) fill(frames []float32) (full bool, err error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.failed != nil {
		return false, in.failed
	}
	if len(in.data) < 4*len(frames) {
		return false, nil
	}
	for i := range frames {
		frames[i] = floats.sample(in.data[4*i:])
	}
	in.data = append(in.data[:0], in.data[4*len(frames):]...)
	return true, nil
}

// Stop discards what the server has not played yet, and sends 10 ms of what would
// have been next, falling to silence: about that, since a server does not say to the
// sample where it is.
func (s *server) Stop() error {
	if s.stopped {
		return nil
	}
	s.stopped = true
	if s.failed != nil {
		return nil
	}
	if err := s.client.Request(&proto.FlushPlaybackStream{StreamIndex: s.play}, nil); err != nil {
		return refused(err)
	}
	outs, length := s.want.Outputs, s.want.Rate/100
	falling := make([]float32, 2*length*outs)
	for i := range min(length*outs, len(s.written)) {
		falling[i] = s.written[i] * float32((1+math.Cos(math.Pi*float64(i/outs+1)/float64(length)))/2)
	}
	err := s.send(falling)
	_ = s.receive(make([]float32, length*s.want.Inputs)) // until that is played; whatever it says, the end follows
	return errors.Join(err, refused(s.client.Request(&proto.CorkPlaybackStream{StreamIndex: s.play, Corked: true}, nil)))
}

// Close stops, and leaves the server.
func (s *server) Close() error {
	return errors.Join(s.Stop(), s.conn.Close())
}
