package main

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// A host goes on with its own room, and says what is wrong, where the table is not
// reached at the start, has another format, or is not the one in which it has claims; and
// it shares lines again once that is mended.
func TestWrongTables(t *testing.T) {
	t.Parallel()
	h := atTable(t, 1, 20)
	one := h.add("a")
	h.write(one, h.roomFiles(one))
	h.through(one, cut)
	h.start(one)
	h.goesOn(one, "which is not reached since")
	h.through(one, whole)
	h.shares(one)

	table := h.key("table")
	was := h.swap(table, `{"format": 99, "identity": "x"}`)
	h.goesOn(one, "the table in the servers has format 99, and this bayhand reads 1; use the version that the other hosts use")
	h.swap(table, was)
	h.shares(one)

	h.swap(table, `{"format": 1, "house": "Hosts", "identity": "another"}`)
	h.goesOn(one, "they have a table of Hosts, and this host has claims in another one; look at servers: in the file of the house, or forget")
	_ = one.process.Process.Kill()
	_ = one.process.Wait()
	forget := exec.Command(h.at("bayhand"), "house", "forget", "--state", h.at("a", "state"), "--studio", h.at("a", "studio.yaml"), "--house", filepath.Join(h.at("a"), "house.yaml"))
	if out, err := forget.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	h.start(one)
	h.shares(one)
}

// goesOn has a host say something of the table, and go on without it.
func (h *hosts) goesOn(one *oneHost, says string) {
	h.Helper()
	var last []keep.Problem
	h.until(fmt.Sprintf("host %s says %q", one.room, says), func() bool {
		s, err := h.status(one)
		last = s.Problems
		return err == nil && slices.ContainsFunc(s.Problems, func(p keep.Problem) bool {
			return p.Code == "house-cut" && strings.Contains(p.Message, says)
		})
	})
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	client := h.find(ctx, one)
	defer client.Close()
	if _, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "desk-" + one.room}); err != nil {
		h.Errorf("its own room: %v; it says %+v", err, last)
	}
	if _, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "tape-1"}); !errors.Is(err, keep.ErrNotGiven) {
		h.Errorf("a line that is shared, without the table: %v", err)
	}
}

// shares has a host claim a line and give it back.
func (h *hosts) shares(one *oneHost) {
	h.Helper()
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	client := h.find(ctx, one)
	defer client.Close()
	for _, session := range []string{"tape-1", "desk-" + one.room} {
		h.until("host "+one.room+" is given "+session, func() bool {
			_, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: session})
			return err == nil
		})
	}
	h.until("the line is given back", func() bool {
		view, err := h.table.View(ctx)
		return err != nil || len(view.Table.Holds) == 0 // another table is none of this one's
	})
}

// key is where the table keeps a thing.
func (h *hosts) key(called string) string { return "bayhand/Hosts/" + called }

// swap puts a value in the place of one, behind everybody's back, and returns that.
func (h *hosts) swap(key, value string) string {
	h.Helper()
	code := base64.StdEncoding.EncodeToString
	var read struct {
		Pairs []struct{ Value []byte } `json:"kvs"`
	}
	h.post("/v3/kv/range", fmt.Sprintf(`{"key": %q}`, code([]byte(key))), &read)
	h.post("/v3/kv/put", fmt.Sprintf(`{"key": %q, "value": %q}`, code([]byte(key)), code([]byte(value))), &struct{}{})
	if len(read.Pairs) == 0 {
		h.Fatalf("the servers have no %s", key)
	}
	return string(read.Pairs[0].Value)
}

func (h *hosts) post(path, question string, to any) {
	h.Helper()
	response, err := http.Post("http://"+h.servers[0].client+path, "application/json", strings.NewReader(question))
	if err != nil {
		h.Fatal(err)
	}
	defer response.Body.Close()
	if err := json.NewDecoder(response.Body).Decode(to); err != nil {
		h.Fatal(err)
	}
}
