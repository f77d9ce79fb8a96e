package serve

import (
	"net/http"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// What one machine may ask for. A person and a page stay far below it.
const (
	// requests a second, and at once.
	perSecond, atOnce = 50, 200
	// requests of other sites, which are refused.
	foreignPerSecond, foreignAtOnce = 10, 50
	// codes that are tried: six at once, then one in ten seconds. One of 40 bits
	// that lasts five minutes is not guessed in 36 tries. Tokens have 256 bits.
	triesAtOnce   = 6
	tryEach       = 10 * time.Second
	mostMachines  = 1000
	streamsInAll  = 200
	streamsOfEach = 60
)

// limits count what machines ask for. The zero limits are ready.
type limits struct {
	// mu guards the fields below.
	mu       sync.Mutex
	machines map[string]*machine
	streams  int
}

type machine struct {
	asks, tries, strange *rate.Limiter

	streams int
	last    time.Time
}

// of is the machine of an address; the least recent are forgotten when there are
// too many.
func (l *limits) of(host string) *machine {
	if l.machines == nil {
		l.machines = map[string]*machine{}
	}
	m := l.machines[host]
	if m == nil {
		if len(l.machines) >= mostMachines {
			l.forget()
		}
		m = &machine{
			asks: rate.NewLimiter(perSecond, atOnce), tries: rate.NewLimiter(rate.Every(tryEach), triesAtOnce),
			strange: rate.NewLimiter(foreignPerSecond, foreignAtOnce),
		}
		l.machines[host] = m
	}
	m.last = time.Now()
	return m
}

// forget drops the machine that was heard of the longest ago; one that has a
// stream open is kept.
func (l *limits) forget() {
	oldest := ""
	for host, m := range l.machines {
		if m.streams == 0 && (oldest == "" || m.last.Before(l.machines[oldest].last)) {
			oldest = host
		}
	}
	delete(l.machines, oldest)
}

// ask counts a request, and says whether it may be answered.
func (l *limits) ask(host string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.of(host).asks.Allow()
}

// foreign counts a request of another site, and says whether it may be told why it is
// refused.
func (l *limits) foreign(host string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.of(host).strange.Allow()
}

// try counts a code, and says whether it may be looked at.
func (l *limits) try(host string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.of(host).tries.Allow()
}

// stream opens one more, and gives the way to close it; false where there are
// enough.
func (l *limits) stream(host string) (done func(), ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	m := l.of(host)
	if l.streams >= streamsInAll || m.streams >= streamsOfEach {
		return nil, false
	}
	l.streams++
	m.streams++
	return func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.streams--
		m.streams--
	}, true
}

// limited refuses what a machine asks for too often.
func (h guard) limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !h.server.limits.ask(machineOf(r)) {
			tooMany(w)
			return
		}
		seen := &noted{ResponseWriter: w}
		next.ServeHTTP(seen, r)
		h.note(r, seen)
	})
}

// noted is an answer whose status is noted.
type noted struct {
	http.ResponseWriter
	status int
	// do is the deed of an act; empty for any other request.
	do string
}

func (n *noted) WriteHeader(status int) {
	n.status = status
	n.ResponseWriter.WriteHeader(status)
}

// Unwrap lets http.ResponseController reach the connection.
func (n *noted) Unwrap() http.ResponseWriter { return n.ResponseWriter }

// note writes down who asked for a change, and who was refused what: never a
// token or a code, which stand in headers, forms and the query of an address.
func (h guard) note(r *http.Request, seen *noted) {
	say := h.server.options.Log.Warn
	what := "refused"
	switch {
	case seen.status == http.StatusUnauthorized || seen.status == http.StatusForbidden:
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		say, what = h.server.options.Log.Info, "asked"
	default:
		return
	}
	parts := []any{"method", r.Method, "path", printable(r.URL.Path)}
	if seen.do != "" {
		parts = append(parts, "do", printable(seen.do))
	}
	say(what, append(parts, "status", seen.status, "who", h.guest(r).who)...)
}

func tooMany(w http.ResponseWriter) {
	w.Header().Set("Connection", "close")
	w.Header().Set("Retry-After", "10")
	refuse(w, http.StatusTooManyRequests, "busy", "too many requests from this machine; wait ten seconds")
}
