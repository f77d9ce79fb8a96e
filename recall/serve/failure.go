package serve

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"

	"bayhand/recall/keep"
)

// An error answer is short, but for the status that may come with it.
const mostError = 64 << 20

// RemoteError is what a server answered in the place of a status. It is whatever
// keep errors its codes stand for.
type RemoteError struct {
	Code, Message string
	is            []error
}

func (e *RemoteError) Error() string { return e.Message }

// Unwrap gives the keep errors.
func (e *RemoteError) Unwrap() []error { return e.is }

func (c *Client) failure(response *http.Response, status *keep.Status) error {
	var a errorAnswer
	body := json.NewDecoder(io.LimitReader(response.Body, mostError))
	if err := body.Decode(&a); err != nil || a.Code == "" {
		return fmt.Errorf("the daemon at %s answers %s", c.base, response.Status)
	}
	if status != nil && a.Status != nil {
		*status = *a.Status
	}
	e := &RemoteError{Code: a.Code, Message: a.Message}
	for _, code := range append([]string{a.Code}, a.Also...) {
		switch is := keep.Sentinel(code); {
		case is == keep.ErrNotGiven:
			e.is = append(e.is, &keep.NotGivenError{Session: a.Session, Missing: a.Missing, Stopped: a.Stopped, Shared: a.Shared})
		case is != nil:
			e.is = append(e.is, is)
		}
	}
	return e
}
