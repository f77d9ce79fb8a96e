package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/words"
)

// recording is a conversation with a device, to be kept as a transcript of its
// description.
type recording struct {
	device *device.Description
	link   string
	// mu guards the fields below.
	mu         sync.Mutex
	identity   string
	transcript device.Transcript
}

func newRecording(d *device.Description, codec *message.Codec, w trying) *recording {
	r := &recording{device: d, link: w.link}
	r.transcript.Title = "a first conversation"
	r.transcript.Inputs, r.transcript.Outputs = codec.Size()
	r.transcript.Parameters = map[string]string{}
	for _, item := range w.parameters {
		key, value, _ := strings.Cut(item, "=")
		r.transcript.Parameters[key] = value
	}
	return r
}

// turn keeps a turn.
func (r *recording) turn(t device.Turn) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.transcript.Turns = append(r.transcript.Turns, t)
}

// keep writes the transcript into a new file, once its messages agree with what they
// are said to mean.
func (r *recording) keep(file string) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.transcript.Source = "the device itself"
	if r.identity != "" {
		r.transcript.Source = words.Put("the device itself, which says of itself: {identity}", "identity", r.identity)
	}
	d := *r.device
	d.Transcripts = []device.Transcript{r.transcript}
	if err := message.Rehearse(&d); err != nil {
		return fmt.Errorf("the conversation cannot be kept as a transcript: %w", err)
	}
	err := disk.Create(file, []byte(r.text()))
	if errors.Is(err, fs.ErrExist) {
		return wrongUsage("--record %s: the file is there already, and is left alone", file)
	}
	if err != nil {
		return wrongUsage("%w", &files.Unwritten{File: file, Err: err})
	}
	return nil
}

// text is the transcript as a description has it.
func (r *recording) text() string {
	var b strings.Builder
	t := r.transcript
	fmt.Fprintf(&b, "# Recorded from %s, to stand in its description.\ntranscripts:\n", r.link)
	fmt.Fprintf(&b, "  - title: %s\n    source: %s\n", quoted(t.Title), quoted(t.Source))
	fmt.Fprintf(&b, "    size: %dx%d\n", t.Inputs, t.Outputs)
	if len(t.Parameters) > 0 {
		var all []string
		for key, value := range t.Parameters {
			all = append(all, key+": "+quoted(value))
		}
		slices.Sort(all)
		fmt.Fprintf(&b, "    parameters: {%s}\n", strings.Join(all, ", "))
	}
	fmt.Fprintf(&b, "    turns:\n")
	for _, turn := range t.Turns {
		fmt.Fprintf(&b, "      - %s\n", quoted(r.turnText(turn)))
	}
	return b.String()
}

// quoted is a text in single quotes, as YAML has them.
func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", "''") + "'" }

func (r *recording) turnText(t device.Turn) string {
	arrow := "<"
	if t.Sent {
		arrow = ">"
	}
	var says []string
	for _, pair := range t.Says {
		one := fmt.Sprintf("out%d", pair[0])
		if pair[1] > 0 {
			one += fmt.Sprintf(" in%d", pair[1])
		}
		says = append(says, one)
	}
	head := []string{arrow, t.Role.String()}
	if t.Means != "" && t.Means != message.Answer.String() {
		head = append(head, t.Means)
	}
	if len(says) > 0 {
		head = append(head, strings.Join(says, ", "))
	}
	return strings.Join(head, " ") + ": " + r.bytesText(t.Bytes)
}

// bytesText is bytes as a transcript has them: text with its codes, or hexadecimal.
func (r *recording) bytesText(p []byte) string {
	switch {
	case r.device.Frame.Kind == device.MIDIMessages:
		return fmt.Sprintf("% X", p)
	case r.device.Frame.Kind != device.Lines:
		return fmt.Sprintf("hex % X", p)
	}
	var b strings.Builder
	for _, c := range p {
		switch {
		case c == '\n':
			b.WriteString(`\n`)
		case c == '\r':
			b.WriteString(`\r`)
		case c == '\\':
			b.WriteString(`\\`)
		case c < ' ' || c >= 0x7F:
			fmt.Fprintf(&b, `\x%02X`, c)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}
