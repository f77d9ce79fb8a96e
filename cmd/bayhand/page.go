package main

import (
	"context"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"

	"github.com/google/renameio/v2/maybe"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"bayhand/recall/serve"
)

func pageCommand(a *app) *cobra.Command {
	var shown bool
	c := &cobra.Command{
		Use:   "page",
		Short: "Open the page at the bay: a browser on this machine is let in",
		Long: `Let a browser on this machine in, once, within five minutes, and open it where
the system can; else print its address. Whoever may read the daemon's folder may
do this, and nobody else. bayhand invite lets in a screen elsewhere.`,
		Example: "  bayhand page\n  bayhand page --print",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			return withScreens(c.Context(), a, func(client *serve.Client, folder string) error {
				i, err := client.Invite(c.Context(), serve.InviteRequest{Role: serve.Recall, Who: whoAsks(), Here: true})
				if err != nil {
					return err
				}
				if shown || a.out.json || !hasScreen(a.out.to) || openPage(folder, i.Address) != nil {
					return a.out.say(i, "%s\nlets one browser in, until %s", i.Address, i.Until.Local().Format("15:04:05"))
				}
				a.out.printf("the page at the bay is opened: %s\n", client.Address())
				return nil
			})
		},
	}
	c.Flags().BoolVar(&shown, "print", false, "print the address, and open nothing")
	return c
}

// withScreens lets use speak to the daemon about who is let in.
func withScreens(ctx context.Context, a *app, use func(*serve.Client, string) error) error {
	folder, err := a.room.statePath()
	if err != nil {
		return err
	}
	client, err := serve.Find(ctx, folder)
	if errors.Is(err, serve.ErrNobody) {
		return errors.New("no daemon is running for this studio; start one, such as: bayhand daemon, or for other machines too: bayhand daemon --http 0.0.0.0:7420")
	}
	if err != nil {
		return err
	}
	defer client.Close()
	client.Who = whoAsks()
	return use(client, folder)
}

// hasScreen says whether a browser that is opened is seen by who typed the command.
func hasScreen(out io.Writer) bool {
	file, ok := fileOf(out)
	if !ok || !term.IsTerminal(int(file.Fd())) || os.Getenv("SSH_CONNECTION") != "" {
		return false
	}
	return runtime.GOOS == "windows" || runtime.GOOS == "darwin" || os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}

// openPage has the system open an address in a browser. The command line of a
// process is anybody's to read, so that the address stands in a file that its owner
// alone can.
func openPage(folder, address string) error {
	file := filepath.Join(folder, "page.html")
	text := fmt.Sprintf("<!doctype html>\n<meta charset=\"utf-8\">\n<meta name=\"referrer\" content=\"no-referrer\">\n<meta http-equiv=\"refresh\" content=\"0; url=%s\">\n<title>The page at the bay</title>\n<a href=\"%[1]s\">The page at the bay</a>\n",
		html.EscapeString(address))
	if err := maybe.WriteFile(file, []byte(text), 0o600); err != nil {
		return err
	}
	opener := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if opener == nil {
		opener = []string{"xdg-open"}
	}
	return exec.Command(opener[0], append(opener[1:], file)...).Run()
}

// private says whether what is printed is read by its owner alone: at a terminal,
// or in a file that nobody else may read. What a manager of services keeps is read
// by others.
func private(out io.Writer) bool {
	file, ok := fileOf(out)
	if !ok {
		return false
	}
	if term.IsTerminal(int(file.Fd())) {
		return true
	}
	info, err := file.Stat()
	return err == nil && runtime.GOOS != "windows" && info.Mode().IsRegular() && info.Mode().Perm()&0o077 == 0
}
