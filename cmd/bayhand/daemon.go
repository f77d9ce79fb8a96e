package main

import (
	"context"
	"errors"
	"net"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/recall/remote"
	"bayhand/recall/serve"
	"bayhand/recall/watch"
)

func daemonCommand(a *app) *cobra.Command {
	var at serve.Options
	var log bool // say what happens
	var links []string
	var in housed
	c := &cobra.Command{
		Use:        "daemon",
		SuggestFor: []string{"start", "run", "serve", "server", "watch", "init", "new", "create", "begin"},
		Short:      "Keep the room in its session: files, devices, the page at the bay",
		Long: `Keep the room in its session until interrupted: hold the links to the matrices
and read them back, follow the files, and serve a page for a screen at the bay.`,
		Example: "  bayhand daemon\n  bayhand daemon --http 127.0.0.1:8080 --link grid=tcp:127.0.0.1:5025",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			var err error
			if a.parts.links, err = linksOf(links); err != nil {
				return err
			}
			if err := controlPort(a.parts.control); err != nil {
				return err
			}
			if _, port, err := net.SplitHostPort(at.Address); err != nil || port == "" {
				return wrongUsage("--http %s is no address; write HOST:PORT, such as %s", at.Address, serve.DefaultAddress)
			}
			if (at.Certificate == "") != (at.Key == "") {
				return wrongUsage("--tls-cert and --tls-key go together")
			}
			at.Log = logger(log, a.out.err)
			return underManager(c.Context(), func(ctx context.Context) error { return runDaemon(ctx, a, at, &in) })
		},
	}
	c.Flags().StringVar(&at.Address, "http", serve.DefaultAddress, "`ADDRESS` of the page and the API, port 0 for any that is free")
	c.Flags().StringArrayVar(&links, "link", nil, "drive a matrix by another link, `MATRIX=LINK`, such as a simulator")
	c.Flags().StringVar(&a.parts.control, "control", "", "the MIDI `PORT` on which a Program Change recalls a session, in the place of the studio's own: its name, or rawmidi:PATH")
	c.Flags().StringArrayVar(&at.Hosts, "host", nil, "a further `NAME` by which other machines call this one")
	c.Flags().StringVar(&at.Certificate, "tls-cert", "", "speak TLS, with the certificate in `FILE` (PEM)")
	c.Flags().StringVar(&at.Key, "tls-key", "", "its private key, in `FILE` (PEM)")
	c.Flags().StringVar(&in.file, "house", "", "be one of several hosts: the `FILE` of the house, with its rooms, hosts and lines")
	c.Flags().StringVar(&in.host, "house-host", "", "which `HOST` of the house this one is")
	must(c.MarkFlagFilename("house", "yaml", "yml"))
	c.Flags().BoolVar(&log, "log", false, "say on standard error what happens, as a service does")
	must(c.MarkFlagFilename("tls-cert", "pem", "crt"))
	must(c.MarkFlagFilename("tls-key", "pem", "key"))
	return c
}

// linksOf reads MATRIX=LINK.
func linksOf(items []string) (map[string]string, error) {
	links := map[string]string{}
	for _, item := range items {
		matrix, link, found := strings.Cut(item, "=")
		if !found || matrix == "" || link == "" {
			return nil, wrongUsage("--link %s is not valid; write MATRIX=LINK, such as grid=tcp:127.0.0.1:5025", item)
		}
		links[matrix] = link
	}
	return links, nil
}

// knownMatrices refuses a link for a matrix that the studio does not have.
func knownMatrices(s *studio.Studio, links map[string]string) error {
	var all []string
	for _, m := range s.Matrices {
		all = append(all, m.Name)
	}
	for matrix := range links {
		if !slices.Contains(all, matrix) {
			return unknownName(matrix, all, "--link names %s, and the studio has no such matrix", matrix)
		}
	}
	return nil
}

// editing is how long a file may be quiet while an editor still writes it, in
// pieces. A daemon has the time to wait for more.
const editing = 3 * time.Second

// softMemory is what the daemon means to get by with, in bytes. Nothing is refused
// beyond it, but what is free is given back sooner (runtime/debug.SetMemoryLimit).
const softMemory = 640 << 20

// runDaemon keeps the room until the context ends.
func runDaemon(ctx context.Context, a *app, at serve.Options, in *housed) error {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softMemory)
	}
	if err := startable(a); err != nil {
		return err
	}
	if err := in.check(a); err != nil {
		return err
	}
	folder, err := a.room.state()
	if err != nil {
		return err
	}
	store, err := openToKeep(folder, a.out)
	if err != nil {
		return err
	}
	a.parts.displays.want()
	config := a.parts.config(logged{store, at.Log})
	config.Asks, config.Clock = true, wallClock{}
	config.KeepPatch = func(_ context.Context, session string, p patch.Patch) error {
		return a.files.at.KeepPatch(session, p, editing)
	}
	var keeper *keep.Keeper
	midi, err := a.parts.midi(store, func(line string) { a.out.complainf("bayhand: %s\n", line) }, func() { keeper.Look() })
	if err != nil {
		return errors.Join(err, store.Close())
	}
	program := ownFile()
	config.Notes = func() []keep.Problem { return slices.Concat(midi.Problems(), program.problems(), in.problems()) }
	if err := in.open(a, folder, &config); err != nil {
		return errors.Join(err, store.Close())
	}
	if keeper, err = keep.New(config); err != nil {
		return errors.Join(err, store.Close())
	}
	return errors.Join(stand(ctx, a, keeper, in, midi, store, at, folder), store.Close())
}

// startable refuses a studio that has errors. One that is not there yet is no
// error: the page offers to begin one.
func startable(a *app) error {
	if a.files.at.Missing() {
		a.out.complainf("bayhand: %s is not there yet; the page offers to begin with the demo or with an empty studio\n", a.files.at.Studio)
		return nil
	}
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	return knownMatrices(p.Studio, a.parts.links)
}

// stand runs the keeper, the watch on the files and the server side by side;
// the first that ends ends the others.
func stand(ctx context.Context, a *app, keeper *keep.Keeper, in *housed, midi *remote.Remote, store *journal.Journal, at serve.Options, folder string) error {
	room, err := in.among(a, keeper)
	if err != nil {
		return err
	}
	bay := newBayPage(a.files.library(), room, store.Find, folder, in.shown())
	in.told = bay.changes.Tell
	file, err := filepath.Abs(a.files.at.Studio)
	if err != nil {
		return err
	}
	if _, err := serve.ReadAccess(folder); err != nil {
		return err
	}
	at.Access = serve.AccessIn(folder)
	at.Host = in.host
	at.State, at.Studio, at.Page, at.History, at.Version = folder, file, bay, store, version()
	server, err := serve.Listen(room, at)
	if err != nil {
		return err
	}
	look := func() { keeper.Look(); midi.Look(); bay.look() }
	bay.laid = look
	watched := watch.Options{
		Folders: a.files.at.Folders(), Matters: a.files.at.Matters, Clock: keep.SystemClock{},
		Same: func() { keeper.Look(); midi.Look(); bay.lookElsewhere() },
		Polling: func(why error) {
			a.out.complainf("bayhand: the system cannot watch the files (%v); they are looked at every few seconds instead\n", why)
		},
	}
	return runAll(ctx,
		keeper.Run,
		server.Run,
		bay.run,
		func(ctx context.Context) error { return midi.Run(ctx, room) },
		in.run,
		func(ctx context.Context) error { return watch.Run(ctx, watched, look) },
		func(ctx context.Context) error { return errors.Join(greet(ctx, a, server), superviseFrom(ctx, keeper)) },
	)
}

// greet tells that the room is kept, once commands can find it: the server
// answers nobody before its address is written down.
func greet(ctx context.Context, a *app, server *serve.Server) error {
	client := serve.NewClient(server.Address(), server.Token())
	defer client.Close()
	if server.Mark() != "" {
		client.Trust(server.Mark())
	}
	if _, err := client.Status(ctx); err != nil {
		return nil // keeper and server say themselves why they ended
	}
	if err := greetPage(a, server); err != nil {
		return err
	}
	outside, reached := server.Elsewhere()
	if !reached || a.out.json {
		return nil
	}
	folder, err := a.room.statePath()
	if err != nil {
		return err
	}
	a.out.printf("for other machines: %s\n", outside)
	a.out.printf("  bayhand invite lets a screen in; the tokens of programs are in %s\n", filepath.Join(folder, serve.AccessFile))
	if server.Mark() == "" {
		a.out.printf("  mind who else is on the network: without --tls-cert and --tls-key anybody there can read along\n")
	}
	return nil
}

// greetPage says where the page is, and lets one browser in by that where nobody
// else reads it.
func greetPage(a *app, server *serve.Server) error {
	if a.out.json || !private(a.out.to) {
		return a.out.say(map[string]string{"page": server.Address()}, "the page at the bay: %s\n  bayhand page lets a browser in", server.Address())
	}
	i := server.Invite(serve.InviteRequest{Role: serve.Recall, Who: whoAsks(), Here: true})
	a.out.printf("the page at the bay: %s\n  lets one browser in, until %s; then it is: bayhand page\n", i.Address, i.Until.Local().Format(time.TimeOnly))
	return nil
}

// runAll runs tasks until the context ends or one of them fails, and waits for
// all of them.
func runAll(ctx context.Context, tasks ...func(context.Context) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	ended := make(chan error)
	for _, task := range tasks {
		go func() { ended <- task(ctx) }()
	}
	var all error
	for range tasks {
		if err := <-ended; err != nil {
			all = errors.Join(all, err)
			stop()
		}
	}
	return all
}
