package attacks_test

import (
	"context"
	_ "embed"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

//go:embed testdata/hostile.js
var hostileScript string

// The page of another site, and that of another port of this machine, in the browser of
// somebody who is let in: they read nothing, follow nothing, frame nothing and change
// nothing, nor does a name that is pointed at this machine. The same attempts at a
// server that is open to all succeed: else nothing was proved.
func TestHostilePageInTheSameBrowser(t *testing.T) {
	browser := newBrowser(t)
	r := newRoom(t, "grid")
	client := r.start()
	_, err := client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "first"})
	must(t, err)
	i, err := client.Invite(t.Context(), serve.InviteRequest{Role: serve.Recall, Who: "anna", Here: true})
	must(t, err)
	browser.to(i.Address)
	if seen := browser.ask(`document.body.innerText`); !strings.Contains(seen, "Under attack") && !strings.Contains(seen, "First") {
		t.Fatalf("the browser that is let in sees %q", seen)
	}
	hostile := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		_, _ = w.Write([]byte("<!doctype html><title>hostile</title><body><script>" + hostileScript + "</script>"))
	}))
	defer hostile.Close()
	open := newOpenServer(t)
	port := hostile.Listener.Addr().String()[strings.LastIndex(hostile.Listener.Addr().String(), ":"):]
	sites := []string{"http://evil.example" + port, hostile.URL}
	got := browser.attack(sites[0], open.URL)
	if len(got.Opened) != kindsOfAttack || len(got.framed) != 2 {
		t.Fatalf("of a server that is open to all this opened: %+v", got)
	}
	r.until("all that was sent is there", func(context.Context) bool { return int(open.posts.Load()) >= got.Sent })
	for _, site := range sites {
		if got := browser.attack(site, client.Address()); len(got.Opened) > 0 || len(got.framed) > 0 {
			t.Errorf("from %s this opened: %+v", site, got)
		}
		for _, way := range []string{
			`location = T + "/do?do=recall&session=second"`, `location = T + "/api/act?do=recall&session=second"`,
			`submitted(T + "/do", "application/x-www-form-urlencoded", "_top")`, `submitted(T + "/api/act", "text/plain", "_top")`,
		} {
			browser.to(site)
			browser.leaves(strings.ReplaceAll(way, "T", `"`+client.Address()+`"`))
		}
		if status, err := client.Status(t.Context()); err != nil || status.Session != "first" {
			t.Fatalf("after %s it is in %q, %v", site, status.Session, err)
		}
	}
	at, err := url.Parse(client.Address())
	must(t, err)
	browser.to("http://rebound.example:" + at.Port() + "/")
	if seen := browser.ask(`document.body.innerText`); !strings.Contains(seen, "not called rebound.example") {
		t.Errorf("under a name that is pointed at this machine it answers %q", seen)
	}
	browser.opens(client.Address(), "second")
	r.until("the page's own form is taken", func(ctx context.Context) bool {
		status, err := client.Status(ctx)
		return err == nil && status.Session == "second"
	})
	r.end(syscall.SIGTERM)
}

// kindsOfAttack is how many attempts of the hostile page can see that they succeeded.
const kindsOfAttack = 13

// outcome is what came of a hostile page.
type outcome struct {
	Opened []string
	Sent   int
	// framed are the pages that were shown in frames.
	framed []string
}

// openServer is one that lets every site do anything.
type openServer struct {
	*httptest.Server
	posts atomic.Int64
}

func newOpenServer(t *testing.T) *openServer {
	s := &openServer{}
	kinds := map[string]string{".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", "/api/events": "text/event-stream", "/changes": "text/event-stream"}
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		h := w.Header()
		h.Set("Access-Control-Allow-Origin", q.Header.Get("Origin"))
		h.Set("Access-Control-Allow-Credentials", "true")
		h.Set("Access-Control-Allow-Headers", "Content-Type, X-Bayhand-Token, X-Bayhand-Who")
		kind := kinds[q.URL.Path]
		if kind == "" {
			kind = kinds[path.Ext(q.URL.Path)]
		}
		if kind == "" {
			kind = "text/html"
		}
		h.Set("Content-Type", kind)
		switch {
		case q.Method == http.MethodPost:
			s.posts.Add(1)
		case kind == "image/svg+xml":
			_, _ = w.Write([]byte(`<svg xmlns="http://www.w3.org/2000/svg" width="1" height="1"/>`))
		case kind == "text/event-stream":
			_, _ = w.Write([]byte("data: x\n\n"))
			w.(http.Flusher).Flush()
			<-q.Context().Done()
		}
	}))
	t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return s
}

// browser is one that may meet a hostile page.
type browser struct {
	t   *testing.T
	ctx context.Context
}

// newBrowser starts one, for which every name under example (RFC 2606) is this machine.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal(err)
		}
		t.Skip("chromium is not on this machine")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(2*time.Minute),
		chromedp.Flag("host-resolver-rules", "MAP *.example 127.0.0.1"),
		chromedp.Flag("disable-site-isolation-trials", true), chromedp.Flag("disable-features", "IsolateOrigins,site-per-process")) // so that frames are in one tree
	allocated, end := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(end)
	ctx, leave := chromedp.NewContext(allocated)
	t.Cleanup(leave)
	ctx, cancel := context.WithTimeout(ctx, 10*time.Minute)
	t.Cleanup(cancel)
	return &browser{t, ctx}
}

func (b *browser) to(address string) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, chromedp.Navigate(address)); err != nil {
		b.t.Fatalf("%s: %v", address, err)
	}
}

func (b *browser) ask(js string, options ...chromedp.EvaluateOption) string {
	b.t.Helper()
	seen, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](js, options...))
	if err != nil {
		b.t.Fatalf("%s: %v", js, err)
	}
	return seen
}

// attack has the page of a site attack a server.
func (b *browser) attack(site, server string) (got outcome) {
	b.t.Helper()
	b.to(site)
	must(b.t, json.Unmarshal([]byte(b.ask(`hostile("`+server+`")`, chromedp.EvalAwaitPromise)), &got))
	tree, err := chromedp.Call(b.ctx, page.GetFrameTree, cdp.Empty{})
	must(b.t, err)
	for _, child := range tree.FrameTree.ChildFrames {
		// A frame that a browser refuses to show keeps its address, as one that it
		// cannot reach.
		if child.Frame.UnreachableURL == "" {
			got.framed = append(got.framed, child.Frame.URL)
		}
	}
	return got
}

// leaves has a page go elsewhere by itself, and waits until it is there.
func (b *browser) leaves(js string) {
	b.t.Helper()
	was := b.ask(`location.href`)
	b.ask(js + `, ""`)
	again := time.NewTicker(20 * time.Millisecond)
	defer again.Stop()
	for late := time.After(tooLong); ; {
		// While it goes the page that is asked may be gone.
		if now, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.readyState + location.href`)); err == nil && now != "complete"+was && strings.HasPrefix(now, "complete") {
			return
		}
		select {
		case <-again.C:
		case <-late:
			b.t.Fatalf("it never left by %s", js)
		}
	}
}

// opens has the page of the daemon itself recall a session.
func (b *browser) opens(address, session string) {
	b.t.Helper()
	b.to(address)
	b.ask(`fetch("/do", {method: "POST", body: new URLSearchParams({do: "recall", session: "`+session+`", token: document.querySelector("meta[name=bayhand-token]").content})}).then((got) => got.status + "")`, chromedp.EvalAwaitPromise)
}
