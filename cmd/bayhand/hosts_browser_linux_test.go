package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"bayhand/recall/serve"
)

// shots is a folder for pictures of what the browser tests see, for eyes.
var shots = flag.String("shots", "", "write pictures of the page to `FOLDER`")

// visitor is somebody with a browser of their own at the page of a host.
type visitor struct {
	*testing.T
	ctx  context.Context
	size string
}

// browsers are a browser at a desk and one on a phone, neither with a memory.
func browsers(t *testing.T) (desk, phone *visitor) {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		peer(t, "chromium")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(2*time.Minute))
	allocated, end := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(end)
	browser, leave := chromedp.NewContext(allocated)
	t.Cleanup(leave)
	if err := chromedp.Do(browser); err != nil {
		t.Fatal(err)
	}
	visit := func(size string, width, height int64, more ...chromedp.EmulateViewportOption) *visitor {
		ctx, leave := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
		ctx, cancel := context.WithTimeout(ctx, 10*time.Minute)
		t.Cleanup(func() { cancel(); leave() })
		v := &visitor{t, ctx, size}
		v.must(chromedp.Listen(ctx, func(event any) {
			if e, is := event.(*runtime.EventExceptionThrown); is {
				t.Errorf("%s: an exception: %s", size, e.ExceptionDetails.Text)
			}
		}))
		_, err := chromedp.Call(ctx, runtime.Enable, cdp.Empty{})
		v.must(err)
		v.must(chromedp.Do(ctx, chromedp.EmulateViewport(width, height, more...)))
		return v
	}
	return visit("desk", 1280, 900), visit("phone", 390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch)
}

func (v *visitor) must(err error) {
	v.Helper()
	if err != nil {
		v.Fatal(err)
	}
}

// enters lets the browser in at a host, and opens a view there.
func (v *visitor) enters(h *hosts, one *oneHost, path string) {
	v.Helper()
	client := h.find(v.ctx, one)
	defer client.Close()
	i, err := client.Invite(v.ctx, serve.InviteRequest{Role: serve.Recall, Who: "anna", Here: true})
	v.must(err)
	v.must(chromedp.Do(v.ctx, chromedp.Navigate(i.Address)))
	v.opens(client.Address() + path)
}

func (v *visitor) opens(address string) {
	v.Helper()
	v.must(chromedp.Do(v.ctx, chromedp.Navigate(address)))
	v.until(`document.readyState === "complete"`)
}

// until waits for an expression to hold. While one page gives way to another nothing can be
// asked, which is no failure.
func (v *visitor) until(expression string) {
	v.Helper()
	again := time.NewTicker(25 * time.Millisecond)
	defer again.Stop()
	for over := time.After(time.Minute); ; {
		if held, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool]("!!("+expression+")")); held && err == nil {
			return
		}
		select {
		case <-again.C:
		case <-over:
			v.shoot("failed")
			said, _ := chromedp.Run(v.ctx, chromedp.Evaluate[string](`location.href + ": " + document.body.innerText`))
			v.Fatalf("%s: %s never held: %.2500q", v.size, expression, said)
		}
	}
}

// says waits until the view has a text, lacks until it has it no more. Lines and runs of
// spaces count as one space.
func (v *visitor) says(text string) {
	v.Helper()
	v.until(fmt.Sprintf(`document.body.innerText.replace(/\s+/g, " ").includes(%q)`, text))
}

func (v *visitor) lacks(text string) {
	v.Helper()
	v.until(fmt.Sprintf(`!document.body.innerText.replace(/\s+/g, " ").includes(%q)`, text))
}

// clicks clicks on something once it is there.
func (v *visitor) clicks(selector string) {
	v.Helper()
	v.until(fmt.Sprintf(`document.querySelector(%q)`, selector))
	_, err := chromedp.Run(v.ctx, chromedp.Evaluate[bool](fmt.Sprintf(`document.querySelector(%q).click(); true`, selector)))
	v.must(err)
}

// recalls recalls a session at the page of a host.
func (v *visitor) recalls(address, session string) {
	v.Helper()
	v.opens(address + "/sessions/" + session)
	v.clicks("#recall")
	v.until(`location.pathname === "/" && document.readyState === "complete"`)
}

// ticks ticks steps, each as the next one.
func (v *visitor) ticks(steps ...string) {
	v.Helper()
	for _, step := range steps {
		v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, step))
		v.clicks("#tick-next")
		v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, step))
	}
}

// fits fails where the view has to be scrolled sideways.
func (v *visitor) fits() {
	v.Helper()
	v.until(`document.documentElement.scrollWidth <= innerWidth`)
}

// shoot writes a picture of the whole view.
func (v *visitor) shoot(called string) {
	v.Helper()
	if *shots == "" {
		return
	}
	picture, err := chromedp.Run(v.ctx, chromedp.FullScreenshot(100))
	v.must(err)
	v.must(os.WriteFile(filepath.Join(*shots, called+"-"+v.size+".png"), picture, 0o600))
}
