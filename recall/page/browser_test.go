package page

import (
	"context"
	"flag"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"bayhand/recall/serve"
)

// shots is a folder for pictures of what the browser tests see, for eyes.
var shots = flag.String("shots", "", "write pictures of the page to `FOLDER`")

// patience is how long a condition may take on a slow machine.
const patience = 2 * time.Minute

// chromium is one browser for all tests of this package.
var chromium = sync.OnceValues(func() (context.Context, error) {
	path, err := exec.LookPath("chromium")
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(2*patience))
	allocated, end := chromedp.NewExecAllocator(context.Background(), options...)
	browser, shut := chromedp.NewContext(allocated)
	endBrowser = func() { shut(); end() }
	return browser, chromedp.Do(browser)
})

var endBrowser = func() {}

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	endBrowser()
	os.Exit(code)
}

// visitor is somebody with a browser of their own at the page.
type visitor struct {
	t   testing.TB
	ctx context.Context
	// mu guards odd: what must not happen in a browser.
	mu  sync.Mutex
	odd []string
	// bytes are what came over the network.
	bytes float64
	// in are the houses that the visitor was let in to.
	in map[*house]bool
}

type screen struct {
	width, height int64
	phone, dark   bool
}

var (
	desktop = screen{width: 1280, height: 900}
	phone   = screen{width: 390, height: 844, phone: true}
)

func (s screen) inTheDark() screen { s.dark = true; return s }

// visit opens a browser without memory of any other.
func visit(t testing.TB, at screen) *visitor {
	t.Helper()
	browser, err := chromium()
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatalf("no browser: %v", err)
		}
		t.Skipf("no browser: %v", err)
	}
	ctx, leave := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	ctx, cancel := context.WithTimeout(ctx, 10*patience)
	t.Cleanup(func() { cancel(); leave() })
	v := &visitor{t: t, ctx: ctx, in: map[*house]bool{}}
	v.must(chromedp.Listen(ctx, v.hear))
	command(t, ctx, log.Enable, cdp.Empty{})
	command(t, ctx, network.Enable, network.EnableParams{})
	command(t, ctx, runtime.Enable, cdp.Empty{})
	v.emulate(at)
	return v
}

func (v *visitor) emulate(at screen) {
	v.t.Helper()
	scheme := "light"
	if at.dark {
		scheme = "dark"
	}
	command(v.t, v.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	var options []chromedp.EmulateViewportOption
	if at.phone {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	v.run(chromedp.EmulateViewport(at.width, at.height, options...))
}

// ask is one command of the browser's protocol.
func command[P, R any](t testing.TB, ctx context.Context, what cdp.Command[P, R], params P) {
	t.Helper()
	if _, err := chromedp.Call(ctx, what, params); err != nil {
		t.Fatal(err)
	}
}

// hear notes what a browser complains of, and whom it asks.
func (v *visitor) hear(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		v.note("an exception: " + e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		v.note(fmt.Sprintf("console.%s", e.Type))
	case *log.EventEntryAdded:
		if strings.HasSuffix(e.Entry.URL, "/nowhere") {
			return // an address that leads nowhere is asked for by tests
		}
		v.note(fmt.Sprintf("%s: %s (%s)", e.Entry.Level, e.Entry.Text, e.Entry.URL))
	case *network.EventLoadingFinished:
		v.mu.Lock()
		v.bytes += e.EncodedDataLength
		v.mu.Unlock()
	case *network.EventRequestWillBeSent:
		if u, err := url.Parse(e.Request.URL); err != nil || !strings.HasPrefix(u.Hostname(), "127.") {
			v.note("asks " + e.Request.URL)
		}
	}
}

func (v *visitor) note(what string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.odd = append(v.odd, what)
}

// calm fails where the browser complained or asked another host.
func (v *visitor) calm() {
	v.t.Helper()
	v.mu.Lock()
	defer v.mu.Unlock()
	for _, what := range v.odd {
		v.t.Error(what)
	}
}

func (v *visitor) must(err error) {
	v.t.Helper()
	if err != nil {
		v.t.Fatal(err)
	}
}

func (v *visitor) run(actions ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	v.must(chromedp.Do(v.ctx, actions...))
}

func (v *visitor) open(h *house, path string) {
	v.t.Helper()
	if !v.in[h] {
		v.letIn(h, serve.Recall)
	}
	v.run(chromedp.Navigate("http://" + h.address + path))
	v.until(`!!document.querySelector("#room") && document.readyState === "complete"`)
}

// letIn lets the visitor in to a house, for what the role may do.
func (v *visitor) letIn(h *house, role serve.Role) {
	v.t.Helper()
	v.in[h] = true
	i := h.server.Invite(serve.InviteRequest{Role: role, Who: "anna", Here: true})
	v.run(chromedp.Navigate(i.Address))
}

// until waits for an expression to hold. While one page gives way to another
// nothing can be asked, which is no failure.
func (v *visitor) until(expression string) {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, patience)
	defer cancel()
	again := time.NewTicker(25 * time.Millisecond)
	defer again.Stop()
	for {
		held, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if held && err == nil {
			return
		}
		select {
		case <-again.C:
		case <-ctx.Done():
			v.shoot("failed-" + strings.ReplaceAll(v.t.Name(), "/", "-"))
			v.t.Fatalf("%s never held (%v); above the page stands %q, at %s, and it says %.1500q", expression, err,
				v.text("#gone")+v.text("#refused")+v.text("#told"), v.text("#say"), v.text("#main"))
		}
	}
}

// js does something in the page.
func (v *visitor) js(statement string) {
	v.t.Helper()
	_, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool](statement+"; true"))
	v.must(err)
}

// click waits for something to click on and clicks it, as a link in a drawing can
// be clicked as well.
func (v *visitor) click(selector string) {
	v.t.Helper()
	v.until(fmt.Sprintf("document.querySelector(%q)", selector))
	v.js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true}))`, selector))
}

// leaves does what makes the browser go to another page, and waits until it is
// there.
func (v *visitor) leaves(do func()) {
	v.t.Helper()
	v.js("window.stays = true")
	do()
	v.until(`!window.stays && !!document.querySelector("#room") && document.readyState === "complete"`)
}

// fill puts text into a field and sends its form.
func (v *visitor) fill(selector, text string) {
	v.t.Helper()
	v.js(fmt.Sprintf(`{ const e = document.querySelector(%q); e.value = %q; e.form.requestSubmit(); }`, selector, text))
}

func (v *visitor) text(selector string) string {
	v.t.Helper()
	return v.value(fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector))
}

// value is what an expression is in the page, as text.
func (v *visitor) value(expression string) string {
	v.t.Helper()
	text, err := chromedp.Run(v.ctx, chromedp.Evaluate[string](expression))
	v.must(err)
	return text
}

// shoot writes a picture of the screen, and one of the whole page.
func (v *visitor) shoot(called string) {
	v.t.Helper()
	if *shots == "" {
		return
	}
	v.must(os.MkdirAll(*shots, 0o755))
	for ending, action := range map[string]chromedp.Action[[]byte]{"": chromedp.CaptureScreenshot(), "-whole": chromedp.FullScreenshot(100)} {
		picture, err := chromedp.Run(v.ctx, action)
		v.must(err)
		v.must(os.WriteFile(filepath.Join(*shots, called+ending+".png"), picture, 0o600))
	}
}
