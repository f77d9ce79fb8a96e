package keep

import (
	"context"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Matrix is one device that switches crosspoints. Calls come one at a time.
type Matrix interface {
	// Read asks the device for every closed crosspoint. Its error may be Unclear.
	Read(ctx context.Context) ([]patch.Crosspoint, error)
	// Switch opens, then closes.
	Switch(ctx context.Context, open, close []patch.Crosspoint) error
	// ReadsBack is false for a device that cannot be asked.
	ReadsBack() bool
	Close() error
}

// Unclear is the error of a Read that came with what is closed, where the device said
// of some outputs what is no input: those are not known.
type Unclear interface {
	error
	Unclear() []name.Point
}

// Identifier is a Matrix that can say what it is.
type Identifier interface {
	Identify(ctx context.Context) (string, error)
}

// Clock tells the time and wakes the keeper.
type Clock interface {
	Now() time.Time
	// Timer gives a channel that receives once after d, and a way to stop it.
	Timer(d time.Duration) (<-chan time.Time, func())
}

// Journal remembers across restarts. Write is on the disk when it returns.
type Journal interface {
	// Load returns what was written last; the zero Memory if nothing was.
	Load() (Memory, error)
	Write(m Memory, events []Event) error
}

// Files is what the studio's files say.
type Files struct {
	// Studio is nil where its file is missing or has errors.
	Studio *studio.Studio
	// Sessions are those asked for that could be read without errors, by name.
	Sessions map[string]*session.Session
	// Names are all the sessions that there are, read or not.
	Names []string
	// Problems have their place in the message: file:line:col.
	Problems []Problem
}

// Config is everything a keeper needs. Open, Load, Plan and Journal must be
// there.
type Config struct {
	// Open makes the device of a matrix, without waiting longer than its context.
	// The keeper closes it.
	Open func(ctx context.Context, m studio.Matrix) (Matrix, error)
	// Refused says which errors of a matrix mean that it answered and said no.
	// All others mean that it did not answer. Nil takes ErrRefused for it.
	Refused func(error) bool
	// Load reads the studio's file and those of the sessions: each a name, or a
	// path that ends in .yaml.
	Load func(ctx context.Context, sessions []string) Files
	// Plan makes the way to a session, with its steps in order. A session that
	// cannot be given is a plan that is not Given, and no error.
	Plan    func(ctx context.Context, ask plan.Request) (*plan.Plan, error)
	Journal Journal
	// Who asks, where a call does not say (As); it stands in the history.
	Who string
	// Clock is the system's if nil.
	Clock Clock
	// KeepPatch writes the patch that gave a session into its file; nil for no
	// keeping. It is asked again a little later where it says ErrLater, since
	// somebody is writing that file.
	KeepPatch func(ctx context.Context, session string, p patch.Patch) error
	// Asks is true for a keeper that stays: a person is asked after its start
	// whether the bay is as it was left.
	Asks bool
	// Once is true for a keeper that ends with the answer to one act: the act is done by the
	// plan that its caller saw, and the answer waits until all is planned anew whose files
	// have changed.
	Once bool
	// Notes are problems that others of the house have found, such as gear whose
	// program could not be sent; nil for none. It must not wait.
	Notes func() []Problem
	// Rooms are those that are kept here, where other hosts keep others; nil for all.
	Rooms []string
	// Shut are the jacks of shared lines that are shut from the start (Keeper.Shut).
	Shut []name.Point
	// Poll is how often each matrix is read while nothing is done; 0 means 5 s,
	// negative never.
	Poll time.Duration
	// RetryFirst and RetryMost bound the time until a matrix that did not answer
	// is tried again, which doubles each time; 0 means 1 s and 30 s.
	RetryFirst, RetryMost time.Duration
	// Patience bounds one exchange with a matrix; 0 means 20 s.
	Patience time.Duration
}

// SystemClock is the clock of the machine.
type SystemClock struct{}

// Now is the time of the machine.
func (SystemClock) Now() time.Time { return time.Now() }

// Timer is a timer of the machine.
func (SystemClock) Timer(d time.Duration) (<-chan time.Time, func()) {
	t := time.NewTimer(d)
	return t.C, func() { t.Stop() }
}

func (c Config) withDefaults() Config {
	if c.Clock == nil {
		c.Clock = SystemClock{}
	}
	if c.Poll == 0 {
		c.Poll = 5 * time.Second
	}
	if c.RetryFirst == 0 {
		c.RetryFirst = time.Second
	}
	if c.RetryMost == 0 {
		c.RetryMost = 30 * time.Second
	}
	if c.Refused == nil {
		c.Refused = func(err error) bool { return Code(err) == Code(ErrRefused) }
	}
	if c.Patience == 0 {
		c.Patience = 20 * time.Second
	}
	return c
}
