package main

import (
	"bytes"
	"context"
	"io"
	"net"
	"os"
	"path/filepath"
	"testing"

	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/line"
)

// A device that was pulled between mute and unmute has what it was sent, so nothing
// more is sent to it: it is let be heard when its link is opened.
func TestOpenedMatrixIsHeard(t *testing.T) {
	src, err := os.ReadFile("../../drivers/conformance/testdata/odd-lines.yaml")
	if err != nil {
		t.Fatal(err)
	}
	src = bytes.Replace(src, []byte("links: [serial]"), []byte("links: [serial, tcp]"), 1)
	dir := t.TempDir()
	file := filepath.Join(dir, "odd-lines.yaml")
	if err := os.WriteFile(file, src, 0o600); err != nil {
		t.Fatal(err)
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	o := line.Options{Description: d, Inputs: 4, Outputs: 4}
	if o.Matrix, err = line.NewMatrix(o); err != nil {
		t.Fatal(err)
	}
	o.Matrix.Mute(true)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	served := make(chan error, 1)
	go func() {
		conn, err := listener.Accept()
		if err == nil {
			err = line.Talk(context.Background(), o, conn)
		}
		served <- err
	}()
	a := newApp(nil, io.Discard, io.Discard)
	a.files.at.Studio = filepath.Join(dir, "studio.yaml")
	m, err := a.parts.open(context.Background(), studio.Matrix{
		Name: "grid", Inputs: 4, Outputs: 4, Kind: studio.Amplifiers,
		Device: &studio.Device{Description: "odd-lines.yaml", Link: "tcp:" + listener.Addr().String()},
	})
	if err != nil {
		t.Fatal(err)
	}
	if o.Matrix.Muted() {
		t.Error("it is still mute")
	}
	if err := m.Close(); err != nil {
		t.Error(err)
	}
	if err := <-served; err != nil {
		t.Error(err)
	}
}
