package etcd

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"sync"
	"time"

	"bayhand/recall/border"
)

// servers are where a cluster is reached. One is asked as long as it answers, then the
// next.
type servers struct {
	all []string
	try time.Duration
	// grace is how long is gone on where there is nobody who could begin to answer.
	grace  time.Duration
	client *http.Client

	// mu guards the fields below.
	mu sync.Mutex
	at int // the one that is asked
	// silent are those that did not answer the last time, with what they said instead.
	silent map[string]string
	// cluster is that of the first that answered, first; mixed is set once another one
	// was of another cluster, and nothing is asked from then on.
	cluster uint64
	first   string
	mixed   error
}

// answer is what a server of a cluster says.
type answer interface{ cluster() uint64 }

// probe asks every server once how it is, at the same time, so that it is known which
// answer and that they are of one cluster.
func (s *servers) probe(ctx context.Context) error {
	var all sync.WaitGroup
	for _, at := range s.all {
		all.Go(func() {
			if err := s.post(ctx, at, statusPath, []byte("{}"), &status{}); err != nil {
				s.failed(at, err)
				return
			}
			s.answered(at)
		})
	}
	all.Wait()
	return s.same("", 0)
}

// same notes the cluster of a server, and returns what is wrong where not all are of
// one.
func (s *servers) same(at string, cluster uint64) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case cluster == 0 || s.mixed != nil:
	case s.cluster == 0:
		s.cluster, s.first = cluster, at
	case s.cluster != cluster:
		s.mixed = fmt.Errorf("%w: %s and %s belong to two clusters; look at servers: in the file of the house, and start again", ErrCluster, s.first, at)
	}
	return s.mixed
}

// pause is how long is waited after the first round in which no server answered, a tenth
// of what an election of a leader takes at least. It doubles with each, up to mostPause:
// a host that is cut off for a day does not spend it on asking.
const (
	pause     = 100 * time.Millisecond
	mostPause = 800 * time.Millisecond
)

// mostAnswer bounds what is read of an answer.
const mostAnswer = 32 << 20

// ask puts a question to one server after the other until one answers, the context
// ends, a server refuses for good, or the grace is over and nothing is to be waited for:
// an election is where several servers are and some are there, though they do not answer
// yet. It may reach several: a question that writes says by its comparisons that it
// writes once.
func (s *servers) ask(ctx context.Context, path string, question any, to answer) error {
	text, err := json.Marshal(question)
	if err != nil {
		return err
	}
	var failed error
	began := time.Now()
	for wait := pause; ; wait = min(2*wait, mostPause) {
		if err := s.same("", 0); err != nil {
			return err
		}
		hopeless := true
		for range s.all {
			at := s.current()
			err := s.post(ctx, at, path, text, to)
			if err == nil || errors.Is(err, ErrRefuses) || errors.Is(err, ErrCluster) {
				s.answered(at)
				return err
			}
			if ctx.Err() == nil || failed == nil {
				failed = err // a try that was broken off says less than the one before
			}
			if ctx.Err() != nil {
				return unreached(failed)
			}
			s.failed(at, err)
			hopeless = hopeless && (len(s.all) == 1 || errors.Is(err, errGone))
		}
		if hopeless && time.Since(began) >= s.grace {
			return unreached(failed)
		}
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			return unreached(failed)
		}
	}
}

func unreached(err error) error { return fmt.Errorf("%w: %v", border.ErrUnreached, err) }

func (s *servers) current() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all[s.at]
}

// failed goes on to the next server, unless somebody has done so since.
func (s *servers) failed(at string, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.silent == nil {
		s.silent = map[string]string{}
	}
	s.silent[at] = err.Error()
	if s.all[s.at] == at {
		s.at = (s.at + 1) % len(s.all)
	}
}

func (s *servers) answered(at string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.silent, at)
}

// warnings say which servers did not answer the last time, sorted.
func (s *servers) warnings() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.silent) == 0 {
		return nil
	}
	all := []string{fmt.Sprintf("%d of %d servers of the table answer; claims go on while more than half do", len(s.all)-len(s.silent), len(s.all))}
	for at, why := range s.silent {
		all = append(all, fmt.Sprintf("%s: %s", at, why))
	}
	slices.Sort(all)
	return all
}

// refusal is what a server says where it does not do what was asked.
type refusal struct {
	Error   string `json:"error"`
	Message string `json:"message"`
	Code    int    `json:"code"`
}

// Codes of gRPC after which another server may answer otherwise
// (https://grpc.io/docs/guides/status-codes/): the deadline was passed, aborted,
// unavailable, unknown.
var passing = []int{1, 2, 4, 10, 14}

// post asks one server, once.
func (s *servers) post(ctx context.Context, at, path string, text []byte, to answer) error {
	ctx, stop := context.WithTimeout(ctx, s.try)
	defer stop()
	response, err := s.open(ctx, at, path, text)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	content, err := io.ReadAll(io.LimitReader(response.Body, mostAnswer))
	if err != nil {
		return err
	}
	if err := json.Unmarshal(content, to); err != nil {
		return fmt.Errorf("%w: %s is no server of etcd 3.4 or newer: %v", ErrRefuses, at, err)
	}
	return s.same(at, to.cluster())
}

// open asks one server and returns its answer while that still comes.
func (s *servers) open(ctx context.Context, at, path string, text []byte) (*http.Response, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, at+path, bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	request.Header.Set("Content-Type", "application/json")
	response, err := s.client.Do(request)
	if err != nil {
		return nil, bare(err)
	}
	if response.StatusCode == http.StatusOK {
		return response, nil
	}
	defer response.Body.Close()
	content, _ := io.ReadAll(io.LimitReader(response.Body, 1<<12))
	var r refusal
	bare := json.Unmarshal(content, &r) != nil || r.Error == "" && r.Message == ""
	if bare && response.StatusCode >= http.StatusInternalServerError {
		return nil, errors.New(response.Status) // of something in between
	}
	if bare {
		return nil, fmt.Errorf("%w: %s answered %s, which no server of etcd 3.4 or newer does here", ErrRefuses, at, response.Status)
	}
	said := r.Message
	if said == "" {
		said = r.Error
	}
	if slices.Contains(passing, r.Code) {
		return nil, errors.New(said)
	}
	return nil, fmt.Errorf("%w: %s: %s", ErrRefuses, at, said)
}

// bare is an error without the method and address that the client puts before it.
func bare(err error) error {
	if inner := errors.Unwrap(err); inner != nil {
		err = inner
	}
	if errors.Is(err, context.DeadlineExceeded) {
		return errors.New("it does not answer")
	}
	return goneError{err}
}

// errGone is where nobody takes a question, so that no answer is on its way.
var errGone = errors.New("nobody is there")

// goneError is why nobody is there.
type goneError struct{ why error }

func (e goneError) Error() string   { return e.why.Error() }
func (e goneError) Unwrap() []error { return []error{errGone, e.why} }
