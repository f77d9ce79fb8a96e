package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// ErrNobody means that no daemon keeps this room.
var ErrNobody = errors.New("no daemon is running for this studio")

// Client is a room kept by another process.
type Client struct {
	base, token string
	http        *http.Client
	// Who asks, for the history; empty for nobody in particular.
	Who string
	// Version is that of the daemon, as its entry has it; empty where it is so old
	// that it does not say.
	Version string
}

var _ keep.Room = (*Client)(nil)

const healthPath = "/health"

// How long a daemon may take to show that it is there.
const findTime = 2 * time.Second

// Find gives a client of the daemon whose entry is in the state folder. An entry
// that nobody stands behind is ErrNobody.
func Find(ctx context.Context, folder string) (*Client, error) {
	entry, err := readEntry(folder)
	if err != nil {
		return nil, err
	}
	c, err := entry.client(ctx)
	if !errors.Is(err, errOtherCertificate) {
		return c, err
	}
	// A certificate that was renewed stands in the entry by now.
	again, unread := readEntry(folder)
	if unread != nil || again.Certificate == entry.Certificate {
		return nil, err
	}
	return again.client(ctx)
}

// client is one of the server of the entry, which has shown that it is that.
func (e Entry) client(ctx context.Context) (*Client, error) {
	c := NewClient(e.Address, e.Token)
	c.Version = e.Version
	if e.Certificate != "" {
		c.Trust(e.Certificate)
	}
	if err := c.prove(ctx); err != nil {
		c.Close()
		return nil, err
	}
	return c, nil
}

// NewClient is a client of the server at a base URL. Nothing is sent yet.
func NewClient(base, token string) *Client {
	dialer := &net.Dialer{Timeout: findTime}
	// No proxy: a daemon is on this machine or beside it, and the token is
	// nobody's business on the way.
	transport := &http.Transport{DialContext: dialer.DialContext, IdleConnTimeout: idleTime, MaxIdleConnsPerHost: 2}
	refuseRedirect := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &Client{base: strings.TrimSuffix(base, "/"), token: token, http: &http.Client{Transport: transport, CheckRedirect: refuseRedirect}}
}

// Trust lets the client speak TLS with the server that has the certificate of
// this mark, and with no other.
func (c *Client) Trust(mark string) {
	c.http.Transport.(*http.Transport).TLSClientConfig = known(mark)
}

// Health is what is wrong with the room, in a person's words.
func (c *Client) Health(ctx context.Context) ([]keep.Problem, error) {
	var h health
	if err := c.do(ctx, http.MethodGet, "/api/health", nil, &h); err != nil {
		return nil, err
	}
	all := []keep.Problem{}
	for _, p := range h.Problems {
		all = append(all, p.Problem)
	}
	return all, nil
}

// Invite asks for a code by which one screen is let in.
func (c *Client) Invite(ctx context.Context, q InviteRequest) (Invitation, error) {
	var i Invitation
	err := c.do(ctx, http.MethodPost, "/api/invite", q, &i)
	return i, err
}

// Screens are those that are let in, the newest first.
func (c *Client) Screens(ctx context.Context) ([]Screen, error) {
	var all screensAnswer
	err := c.do(ctx, http.MethodGet, "/api/screens", nil, &all)
	return all.Screens, err
}

// Revoke lets a screen out, or all of them where id is empty, and says how many
// they were.
func (c *Client) Revoke(ctx context.Context, id string) (int, error) {
	var n revoked
	err := c.do(ctx, http.MethodPost, "/api/revoke", revokeRequest{ID: id, All: id == ""}, &n)
	return n.Revoked, err
}

// Close lets go of idle connections.
func (c *Client) Close() { c.http.CloseIdleConnections() }

// Address is the server's base URL.
func (c *Client) Address() string { return c.base }

// prove asks who listens before the token is sent to anyone.
func (c *Client) prove(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, findTime)
	defer cancel()
	var shown proven
	nonce := newToken()
	if err := c.do(ctx, http.MethodGet, healthPath+"?nonce="+nonce, nil, &shown); err != nil {
		return fmt.Errorf("%w: at %s %w", ErrNobody, c.base, err)
	}
	if !same(shown.Proof, proof(c.token, c.base, nonce)) {
		return fmt.Errorf("%w: something else listens at %s", ErrNobody, c.base)
	}
	return nil
}

// Status is the room as it is held now.
func (c *Client) Status(ctx context.Context) (keep.Status, error) {
	var s keep.Status
	err := c.do(ctx, http.MethodGet, "/api/status", nil, &s)
	return s, err
}

// Act does what somebody asks of the room, or takes what somebody says of it.
func (c *Client) Act(ctx context.Context, act keep.Act) (keep.Answer, error) {
	var a keep.Answer
	err := c.do(ctx, http.MethodPost, "/api/act", act, &a)
	return a, err
}

// do sends a request and reads its answer; a status that comes with an error is
// read too.
func (c *Client) do(ctx context.Context, method, path string, request, into any) error {
	response, err := c.send(ctx, method, path, request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		var status *keep.Status
		if a, is := into.(*keep.Answer); is {
			status = &a.Status
		}
		return c.failure(response, status)
	}
	if err := json.NewDecoder(response.Body).Decode(into); err != nil {
		return fmt.Errorf("the daemon at %s answers what cannot be read: %w", c.base, err)
	}
	return nil
}

func (c *Client) send(ctx context.Context, method, path string, request any) (*http.Response, error) {
	var body io.Reader
	if request != nil {
		text, err := json.Marshal(request)
		if err != nil {
			return nil, err
		}
		body = bytes.NewReader(text)
	}
	r, err := http.NewRequestWithContext(ctx, method, c.base+path, body)
	if err != nil {
		return nil, err
	}
	if request != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	if !strings.HasPrefix(path, healthPath) { // who listens shows first that it knows the token
		r.Header.Set("Authorization", "Bearer "+c.token)
	}
	if c.Who != "" {
		r.Header.Set(web.WhoHeader, web.HeaderText(c.Who))
	}
	response, err := c.http.Do(r)
	if err != nil && ctx.Err() == nil {
		return nil, fmt.Errorf("%w: the daemon at %s does not answer: %w", keep.ErrStopped, c.base, err)
	}
	return response, err
}
