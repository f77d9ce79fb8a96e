package main

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"bayhand/model/text"
	"bayhand/recall/keep"
	"bayhand/recall/page"
)

// The empty studio has no errors and no warnings, and neither has it with every
// sign # of its examples taken away.
func TestEmptyStudioIsSound(t *testing.T) {
	whole := regexp.MustCompile(`(?m)^# ?(gear|bays|wiring|cords|dummies|  )`).ReplaceAll(emptyStudio, []byte("$1"))
	if bytes.Equal(whole, emptyStudio) {
		t.Fatal("the empty studio shows no example")
	}
	for called, src := range map[string][]byte{"as it is": emptyStudio, "with its examples": whole} {
		folder := t.TempDir()
		a := newApp(nil, io.Discard, io.Discard)
		a.files.at.Studio = filepath.Join(folder, "studio.yaml")
		if err := os.WriteFile(a.files.at.Studio, src, 0o600); err != nil {
			t.Fatal(err)
		}
		found, _ := findings(t.Context(), a.files.library())
		for _, f := range found {
			if f.Severity != text.Advice {
				t.Errorf("%s: %s", called, f.Message)
			}
		}
	}
}

// readingPage asks the page for a view until it says something.
func readingPage(t *testing.T, browser *http.Client, address, says string) string {
	t.Helper()
	for range 2000 {
		answer, err := browser.Get(address)
		if err == nil {
			var b bytes.Buffer
			_, err = b.ReadFrom(answer.Body)
			_ = answer.Body.Close()
			if err == nil && strings.Contains(b.String(), says) {
				return b.String()
			}
		}
		after, stop := keep.SystemClock{}.Timer(20 * time.Millisecond)
		<-after
		stop()
	}
	t.Fatalf("%s never said %q", address, says)
	return ""
}

// letIn is a browser that bayhand page lets in.
func letIn(t *testing.T, state, studioFile string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	browser := &http.Client{Jar: jar}
	var out, said bytes.Buffer
	if code := newApp(nil, &out, &said).run(t.Context(), []string{"page", "--studio", studioFile, "--state", state}); code != 0 {
		t.Fatalf("bayhand page ends with %d: %s", code, said.String())
	}
	answer, err := browser.Get(strings.Fields(out.String())[0])
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close()
	return browser
}

// A daemon without a studio: begin empty, break the file, mend it.
func TestDaemonBegins(t *testing.T) {
	folder := t.TempDir()
	studioFile := filepath.Join(folder, "room", "studio.yaml")
	state := filepath.Join(folder, "state")
	ended, address := daemonIn(t, state, studioFile)
	browser := letIn(t, state, studioFile)
	html := readingPage(t, browser, address+"/files", "There is no studio yet")
	token := regexp.MustCompile(`name="bayhand-token" content="([^"]+)"`).FindStringSubmatch(html)
	if token == nil {
		t.Fatal("no token in the page")
	}
	say := func(do string) int {
		answer, err := browser.PostForm(address+"/do", url.Values{"token": {token[1]}, "do": {do}})
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		return answer.StatusCode
	}
	if code := say(page.BeginEmpty); code != http.StatusBadRequest {
		t.Errorf("a form that asks for nothing that can be done: %d", code)
	}
	if code := say("begin-" + page.BeginEmpty); code != http.StatusOK {
		t.Errorf("beginning: %d", code)
	}
	readingPage(t, browser, address+"/files", "no problems found")
	readingPage(t, browser, address+"/", "My studio")
	write := func(src string) {
		if err := os.WriteFile(studioFile, []byte(src), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("studio: Mine\ngear:\n  desk: {outptus: {out1: pro-line}}\n")
	html = readingPage(t, browser, address+"/files", "<mark>outptus</mark>")
	if !strings.Contains(html, "line 3, column 10") || !strings.Contains(html, "still using the last good version") {
		t.Error("the finding does not stand at its line, or the page does not say what is in force")
	}
	write("studio: Mine\nbays: {main: {pairs: 2, modes: isolated}}\n")
	readingPage(t, browser, address+"/", `data-jack="main/t2"`)
	if code := say("begin-" + page.BeginDemo); code != http.StatusConflict {
		t.Errorf("beginning over a studio: %d", code)
	}
	if said := ended(); !strings.Contains(said, "is not there yet") {
		t.Errorf("the daemon said %q", said)
	}
}

// lines hands on what is written to it.
type lines chan string

func (l lines) Write(p []byte) (int, error) {
	l <- string(p)
	return len(p), nil
}

// daemonIn runs a daemon and gives the address of its page, and what ends it and
// tells what it said.
func daemonIn(t *testing.T, state, studioFile string) (ended func() string, address string) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	out := make(lines, 16)
	var said bytes.Buffer
	a := newApp(strings.NewReader(""), out, &said)
	status := make(chan int, 1)
	go func() {
		status <- a.run(ctx, []string{"daemon", "--http", "127.0.0.1:0", "--studio", studioFile, "--state", state})
	}()
	select {
	case line := <-out:
		address = regexp.MustCompile(`http://\S+`).FindString(line)
	case code := <-status:
		t.Fatalf("the daemon ended with %d: %s", code, said.String())
	}
	return func() string {
		stop()
		if code := <-status; code != 0 {
			t.Errorf("the daemon ended with %d", code)
		}
		return said.String()
	}, address
}

func TestDemoIsLaidWhereItFits(t *testing.T) {
	folder := t.TempDir()
	a := newApp(nil, io.Discard, io.Discard)
	a.files.at.Studio = filepath.Join(folder, "other.yaml")
	if err := lay(a.files.at, page.BeginDemo); err == nil || !strings.Contains(err.Error(), "studio.yaml") {
		t.Errorf("a file of another name: %v", err)
	}
	a.files.at.Studio = filepath.Join(folder, "studio.yaml")
	if err := lay(a.files.at, page.BeginDemo); err != nil {
		t.Error(err)
	}
	for _, kind := range []string{page.BeginDemo, page.BeginEmpty} {
		if err := lay(a.files.at, kind); err == nil || !strings.Contains(err.Error(), "nothing was written") {
			t.Errorf("%s over a studio: %v", kind, err)
		}
	}
}
