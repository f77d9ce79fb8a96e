package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"github.com/coreos/go-systemd/v22/daemon"
	"github.com/kardianos/service"
	"github.com/spf13/cobra"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// serviceFlags are those that all commands of a service have.
type serviceFlags struct {
	as   string
	user bool
	http string
	// house is the file of a house, and host which of its hosts this machine is.
	house, host string
}

func serviceCommand(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "service",
		Short: "Start the daemon when the computer starts",
		Long: `Start the daemon of this studio when the computer starts, by systemd, launchd or
Windows. Without --as it is a service of the person who asks, and runs while
they are logged in; with --as it is one of the machine, with a user of its own
that need not be able to log in.`,
		Args: nearestCommand,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	s := &servicer{out: a.out, files: a.files, room: a.room}
	var f serviceFlags
	c.PersistentFlags().StringVar(&f.as, "as", "", "a service of the machine that runs as `USER`")
	c.PersistentFlags().BoolVar(&f.user, "user", false, "a service of your own, also for root")
	c.PersistentFlags().StringVar(&f.http, "http", "", "the `ADDRESS` of the page and the API, as the daemon takes it")
	c.PersistentFlags().StringVar(&f.house, "house", "", "the `FILE` of the house, for one of several hosts")
	c.PersistentFlags().StringVar(&f.host, "house-host", "", "which `HOST` of the house this one is")
	must(c.MarkPersistentFlagFilename("house", "yaml", "yml"))
	add := func(use, short, long string, do func(serviceFlags) error) {
		c.AddCommand(&cobra.Command{Use: use, Short: short, Long: long, Args: arguments(0, 0), RunE: func(*cobra.Command, []string) error {
			if f.as != "" && f.user {
				return wrongUsage("--as and --user exclude each other; leave one of them out")
			}
			return do(f)
		}})
	}
	add("install", "Install the service of this studio's daemon, and start it", "", s.install)
	add("remove", "Stop the service, and take it away; the journal stays", "", s.remove)
	add("status", "Whether the service is there, and runs", "", s.status)
	add("unit", "Print the systemd unit, as it would be installed", `Print a systemd unit that runs the daemon of this studio. It is started again
when it fails, or when it does not come round for half a minute; it may write
beside the studio's files and in its state folder, and nowhere else.`, s.printUnit)
	c.AddCommand(filesOfPackage(a.out))
	return c
}

// servicer hands the daemon of a studio over to the machine's own manager.
type servicer struct {
	out   *output
	files *reader
	room  *door
}

// service is the service of this studio as the machine's own manager has it.
func (s *servicer) service(f serviceFlags) (service.Service, error) {
	if service.ChosenSystem() == nil {
		return nil, errors.New("this machine has no systemd, launchd or Windows services; start bayhand daemon in its own way")
	}
	if f.as == "" && !f.user && os.Geteuid() == 0 {
		return nil, wrongUsage("say as which user the daemon runs (--as bayhand), rather than as root; or --user for a service of root's own")
	}
	if err := knownUser(f.as); err != nil {
		return nil, err
	}
	line, err := s.line(f)
	if err != nil {
		return nil, err
	}
	unit, err := s.unit(f)
	if err != nil {
		return nil, err
	}
	name, err := s.name()
	if err != nil {
		return nil, err
	}
	config := &service.Config{
		Name: name, DisplayName: "bayhand " + name, Description: "bayhand, the hand at the patch bay",
		Executable: line[0], Arguments: line[1:], UserName: f.as,
		Option: service.KeyValue{"UserService": f.as == "", "RunAtLoad": true, "SystemdScript": unit},
	}
	return service.New(standing{}, config)
}

func knownUser(name string) error {
	if name == "" {
		return nil
	}
	if _, err := user.Lookup(name); err != nil {
		return wrongUsage("there is no user %s on this machine; make one first, such as: useradd --system --groups dialout,audio %s", name, name)
	}
	return nil
}

// name is that of the studio's state folder: one service a studio. It has
// only what every manager takes in a name.
func (s *servicer) name() (string, error) {
	state, err := s.room.statePath()
	return "bayhand-" + strings.Map(func(r rune) rune {
		if r < 128 && (unicode.IsLetter(r) || unicode.IsDigit(r)) || r == '-' || r == '_' || r == '.' {
			return r
		}
		return '-'
	}, filepath.Base(state)), err
}

func (s *servicer) install(f serviceFlags) error {
	installed, err := s.service(f)
	if err != nil {
		return err
	}
	if _, err := installed.Status(); !errors.Is(err, service.ErrNotInstalled) {
		return errors.New("the service is there already; take it away first with bayhand service remove")
	}
	if err := installed.Install(); err != nil {
		return fmt.Errorf("the service could not be installed: %w", err)
	}
	if err := installed.Start(); err != nil {
		return fmt.Errorf("the service is installed, and could not be started: %w", err)
	}
	name, err := s.name()
	if err != nil {
		return err
	}
	return s.out.say(map[string]string{"service": name, "by": installed.Platform()}, "the service %s is installed and started (%s)", name, installed.Platform())
}

func (s *servicer) remove(f serviceFlags) error {
	installed, err := s.service(f)
	if err != nil {
		return err
	}
	status, err := installed.Status()
	if errors.Is(err, service.ErrNotInstalled) {
		return errors.New("there is no service of this studio; its journal stays in any case")
	}
	if err == nil && status == service.StatusRunning {
		if err := installed.Stop(); err != nil {
			return fmt.Errorf("the service could not be stopped, and is still there: %w", err)
		}
	}
	if err := installed.Uninstall(); err != nil {
		return fmt.Errorf("the service could not be taken away: %w", err)
	}
	return s.out.say(map[string]bool{"removed": true}, "the service is taken away; the journal stays")
}

func (s *servicer) status(f serviceFlags) error {
	installed, err := s.service(f)
	if err != nil {
		return err
	}
	status, err := installed.Status()
	text := "is there, and its state is not known"
	switch {
	case errors.Is(err, service.ErrNotInstalled):
		text = "not installed"
	case err != nil && status == service.StatusUnknown:
		text = words.Put("not known: {error}", "error", err.Error())
	case status == service.StatusRunning:
		text = "running"
	case status == service.StatusStopped:
		text = "stopped"
	}
	return s.out.say(map[string]string{"status": text, "by": installed.Platform()}, "the service of this studio: %s (%s)", text, installed.Platform())
}

// standing stands for the daemon where only its service is spoken of.
type standing struct{}

func (standing) Start(service.Service) error { return nil }
func (standing) Stop(service.Service) error  { return nil }

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
