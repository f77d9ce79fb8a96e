package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"
	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func (a *app) serviceCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "service",
		Short: "Have the daemon started with the machine",
		Args:  nearestCommand,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(&cobra.Command{
		Use:   "unit",
		Short: "Print a systemd unit of this studio's daemon",
		Long: `Print a systemd user unit that runs the daemon of this studio. It is started
again when it fails, or when it does not come round for half a minute.

  bayhand service unit > ~/.config/systemd/user/bayhand.service
  systemctl --user enable --now bayhand`,
		Args: arguments(0, 0),
		RunE: func(*cobra.Command, []string) error { return a.unit() },
	})
	return c
}

// unit prints the unit, with paths that hold wherever it is started.
func (a *app) unit() error {
	program, err := os.Executable()
	if err != nil {
		return fmt.Errorf("the program's own path is not known: %w", err)
	}
	studio, err := filepath.Abs(a.studioFile)
	if err != nil {
		return err
	}
	p, err := a.soundStudio()
	if err != nil {
		return err
	}
	line := []string{program, "daemon", "--studio", studio}
	if a.stateDir != "" {
		state, err := filepath.Abs(a.stateDir)
		if err != nil {
			return err
		}
		line = append(line, "--state", state)
	}
	if a.sessionsDir != "" {
		sessions, err := filepath.Abs(a.sessionsDir)
		if err != nil {
			return err
		}
		line = append(line, "--sessions", sessions)
	}
	for i, word := range line {
		line[i] = unitWord(word)
	}
	title := strings.ReplaceAll(strings.Join(strings.Fields(p.studio.Name), " "), "%", "%%")
	a.printf(unitText, title, strings.Join(line, " "))
	return nil
}

// unitText has the words of systemd.unit(5) and systemd.service(5).
const unitText = `[Unit]
Description=bayhand, the hand at the patch bay of %s

[Service]
Type=notify
ExecStart=%s
Restart=on-failure
WatchdogSec=30
NoNewPrivileges=yes

[Install]
WantedBy=default.target
`

// unitWord quotes a word of a command line as systemd.service(5) reads it.
func unitWord(word string) string {
	word = strings.NewReplacer(`%`, `%%`, `$`, `$$`, `\`, `\\`, `"`, `\"`).Replace(word)
	if strings.ContainsAny(word, " \t'\"\\;") {
		return `"` + word + `"`
	}
	return word
}

// superviseFrom tells the supervisor of the machine, where there is one
// (sd_notify(3)), that the room is kept, and then each half of its patience that
// the keeper still comes round. A keeper that hangs is not vouched for.
func superviseFrom(ctx context.Context, keeper *keep.Keeper) error {
	if told, err := daemon.SdNotify(false, daemon.SdNotifyReady); !told {
		return err
	}
	defer func() { _, _ = daemon.SdNotify(false, daemon.SdNotifyStopping) }()
	patience, err := daemon.SdWatchdogEnabled(false)
	if err != nil || patience == 0 {
		<-ctx.Done()
		return err
	}
	beat := time.NewTicker(patience / 2)
	defer beat.Stop()
	for {
		select {
		case <-beat.C:
			if keeper.Ping(ctx) == nil {
				_, _ = daemon.SdNotify(false, daemon.SdNotifyWatchdog)
			}
		case <-ctx.Done():
			return nil
		}
	}
}
