package main

import (
	"bytes"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// What goes on in one piece is told of once it takes long, and the line is gone at the
// end; what ends sooner says nothing.
func TestProgressOfOnePiece(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var out bytes.Buffer
		p := &progress{to: &out}
		p.announce("making wall.pdf", patience)()
		if out.Len() != 0 {
			t.Errorf("a short piece says %q", &out)
		}
		end := p.announce("making wall.pdf", patience)
		<-time.After(2 * patience)
		synctest.Wait()
		end()
		if text := out.String(); text != "\rmaking wall.pdf\r               \r" {
			t.Errorf("it says %q", text)
		}
	})
}

// A search that takes long is told of on one line, which is gone at the end; a
// short one is not.
func TestProgress(t *testing.T) {
	var out bytes.Buffer
	p := &progress{to: &out, begun: time.Now().Add(time.Hour)}
	p.tell(1, 2, 3)
	p.end()
	if out.Len() != 0 {
		t.Errorf("a short search says %q", &out)
	}
	p.begun = time.Now().Add(-time.Hour)
	p.tell(1, 2, -1)
	p.tell(1, 4, 17)
	p.end()
	text := out.String()
	if !strings.Contains(text, "minimum 2 plugs") || !strings.Contains(text, "best so far 17 plugs, minimum 4 plugs") {
		t.Errorf("it says %q", text)
	}
	if strings.Contains(text, "\n") || !strings.HasSuffix(text, " \r") || strings.Contains(text, "\x1b") {
		t.Errorf("the line stays: %q", text)
	}
}
