package sound_test

import (
	"errors"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bayhand/drivers/sound"
)

// soundServer is a sound server of its own, with a sink of 32 channels that plays to
// nothing and whose monitor is a source. A server keeps 4 MB for a stream at most: at
// 8,000 samples a second that is seconds, so that nothing is late on a busy machine.
func soundServer(t *testing.T) *exec.Cmd {
	t.Helper()
	path, err := exec.LookPath("pulseaudio")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("pulseaudio is missing")
		}
		t.Skip("pulseaudio is not installed")
	}
	home := t.TempDir()
	socket := filepath.Join(home, "native")
	c := exec.Command(path, "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", "--disable-shm=yes",
		"-L", "module-null-sink sink_name=room channels=32 rate=8000 format=float32le",
		"-L", "module-native-protocol-unix auth-anonymous=1 socket="+socket)
	c.Env = append(os.Environ(), "HOME="+home, "PULSE_RUNTIME_PATH="+home, "XDG_RUNTIME_DIR="+home)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() { _ = c.Wait(); close(ended) }() // it is killed
	t.Cleanup(func() { _ = c.Process.Kill(); <-ended })
	t.Setenv("PULSE_SERVER", "unix:"+socket)
	t.Setenv("HOME", home)
	again := time.NewTicker(20 * time.Millisecond)
	defer again.Stop()
	for {
		if conn, err := net.Dial("unix", socket); err == nil {
			conn.Close()
			return c
		}
		select {
		case <-ended:
			t.Fatal("the sound server ended")
		case <-t.Context().Done():
			t.Fatal("the sound server never answered")
		case <-again.C:
		}
	}
}

// What is played to a sink of 32 channels comes back from its monitor without a wrong
// sample; a 33rd channel and a sink that is not there are refused; a server that ends
// is told.
func TestSoundServer(t *testing.T) {
	server := soundServer(t)
	want := sound.Want{Rate: 8000, Outputs: 32, Inputs: 32, Buffer: 1500 * time.Millisecond, Patience: 20 * time.Second}
	if _, err := sound.Open("pulse:nobody,nobody.monitor", want); !errors.Is(err, sound.ErrNoDevice) {
		t.Errorf("a sink that is not there: %v", err)
	}
	if _, err := sound.Open("pulse:room,room.monitor", sound.Want{Rate: 8000, Outputs: 33, Inputs: 33}); !errors.Is(err, sound.ErrFormat) {
		t.Errorf("33 channels: %v", err)
	}
	d, right, err := echo(t, want)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d samples right, none wrong", right)
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	// One that notices within its usual time that nothing comes any more.
	want.Patience = 0
	if d, err = sound.Open("pulse:room,room.monitor", want); err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	_ = server.Process.Kill() // it may have ended
	again := time.NewTicker(10 * time.Millisecond)
	defer again.Stop()
	for {
		conn, err := net.Dial("unix", strings.TrimPrefix(os.Getenv("PULSE_SERVER"), "unix:"))
		if err != nil {
			break
		}
		conn.Close()
		<-again.C
	}
	played, heard := make([]float32, 480*32), make([]float32, 480*32)
	for range 100 {
		if err = d.Exchange(played, heard); err != nil {
			break
		}
	}
	if !errors.Is(err, sound.ErrGone) {
		t.Errorf("the server ended: %v", err)
	}
}

// echo plays noise, and gives the device and how many samples came back right. An
// error that says that the server was served late is none of the samples.
func echo(t *testing.T, want sound.Want) (d sound.Device, right int, err error) {
	t.Helper()
	if d, err = sound.Open("pulse:room,room.monitor", want); err != nil {
		return nil, 0, err
	}
	defer func() {
		if err != nil {
			d.Close()
		}
	}()
	played, heard := make([]float32, 480*32), make([]float32, 480*32)
	out, in := uint32(1), uint32(1)
	begun := false
	for range 60 {
		for i := range played {
			out, played[i] = draw(out)
		}
		if err := d.Exchange(played, heard); err != nil {
			return d, right, err
		}
		for i, v := range heard {
			// Silence comes first, as long as what is buffered.
			if begun = begun || v != 0 && i%32 == 0; !begun {
				continue
			}
			var w float32
			if in, w = draw(in); v != w {
				t.Fatalf("sample %d came back as %v, not %v", right, v, w)
			}
			right++
		}
	}
	if right < 480*32*20 {
		t.Fatalf("only %d samples came back", right)
	}
	return d, right, nil
}

// draw is the next number of a linear congruential generator (Numerical Recipes: from
// memory), and a sample of 24 bits made of it.
func draw(state uint32) (uint32, float32) {
	state = state*1664525 + 1013904223
	return state, float32(int32(state)>>8) / (1 << 23)
}
