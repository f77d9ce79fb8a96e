package serve

import (
	"context"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// A real browser is let in by the address of an invitation and one press: what it
// says of where its form comes from is believed.
func TestBrowserAcceptsAnInvitation(t *testing.T) {
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal(err)
		}
		t.Skip("chromium is not on this machine")
	}
	s := elsewhere(t)
	i, err := s.client.Invite(t.Context(), InviteRequest{Role: Tick})
	if err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(2*time.Minute))
	allocated, end := chromedp.NewExecAllocator(t.Context(), options...)
	defer end()
	ctx, leave := chromedp.NewContext(allocated)
	defer leave()
	ctx, cancel := context.WithTimeout(ctx, 5*time.Minute)
	defer cancel()
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	ask := func(js string) string {
		t.Helper()
		seen, err := chromedp.Run(ctx, chromedp.Evaluate[string](js))
		if err != nil {
			t.Fatal(err)
		}
		return seen
	}
	press := func() { ask(`document.querySelector("button").click(), ""`) }
	do(chromedp.Navigate(s.server.Address() + invitePath + "?code=WRONGONE"))
	press()
	do(chromedp.WaitReady("[role=alert]"))
	do(chromedp.Navigate(s.server.Address() + invitePath + "?code=" + i.Code))
	press()
	do(chromedp.WaitNotPresent("form"))
	if seen := ask("document.body.innerText"); seen != "page to tick for a screen at 127.0.0.1" {
		t.Errorf("the browser sees %q", seen)
	}
}
