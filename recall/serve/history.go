package serve

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"bayhand/model/name"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// Book is the history of a room.
type Book interface {
	// Find gives the events that the query chooses, the oldest first.
	Find(keep.Query) ([]keep.Event, error)
	// Prune forgets the events before a time, and says how many they were; who asked
	// for it and when stands in the history as an event.
	Prune(before time.Time, by keep.Event) (int, error)
}

type pruneRequest struct {
	Before time.Time `json:"before"`
}

type pruned struct {
	Pruned int `json:"pruned"`
}

// values are a query as it stands in an address.
func values(q keep.Query) url.Values {
	v := url.Values{}
	put := func(key, text string, is bool) {
		if is {
			v.Set(key, text)
		}
	}
	put("since", strconv.FormatUint(q.After, 10), q.After > 0)
	put("before", strconv.FormatUint(q.Before, 10), q.Before > 0)
	put("from", q.From.Format(time.RFC3339Nano), !q.From.IsZero())
	put("until", q.Until.Format(time.RFC3339Nano), !q.Until.IsZero())
	put("session", q.Session, q.Session != "")
	put("room", q.Room, q.Room != "")
	put("point", q.Point.String(), !q.Point.IsZero())
	put("last", strconv.Itoa(q.Last), q.Last > 0)
	for _, k := range q.Kinds {
		v.Add("kind", string(k))
	}
	return v
}

// queryOf is the query of an address. What it does not know is an error: a
// misspelt bound must not be a different wish.
func queryOf(v url.Values) (q keep.Query, err error) {
	for key, texts := range v {
		for _, text := range texts {
			if err := fill(&q, key, text); err != nil {
				return q, err
			}
		}
	}
	return q, nil
}

func fill(q *keep.Query, key, text string) (err error) {
	switch key {
	case "since":
		q.After, err = strconv.ParseUint(text, 10, 64)
	case "before":
		q.Before, err = strconv.ParseUint(text, 10, 64)
	case "from":
		q.From, err = time.Parse(time.RFC3339, text)
	case "until":
		q.Until, err = time.Parse(time.RFC3339, text)
	case "session":
		q.Session = text
	case "room":
		q.Room = text
	case "point":
		q.Point, err = name.Parse(text)
	case "kind":
		q.Kinds = append(q.Kinds, keep.Kind(text))
	case "last":
		if q.Last, err = strconv.Atoi(text); err == nil && (q.Last < 0 || q.Last > mostLast) {
			return fmt.Errorf("last=%s is not 0 to %d; ask for more without it", printable(text), mostLast)
		}
	default:
		return fmt.Errorf("%s is not known; write since, before, from, until, session, room, point, kind or last", printable(key))
	}
	if err != nil {
		return fmt.Errorf("%s=%s cannot be read: %w", key, printable(text), err)
	}
	return nil
}

func (h api) history(w http.ResponseWriter, r *http.Request) {
	q, err := queryOf(r.URL.Query())
	if err != nil {
		refuse(w, http.StatusBadRequest, "usage", err.Error())
		return
	}
	events, err := h.nextEvents(q)
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
	for {
		web.BoundWriting(w)
		// A reader that is gone needs no answer.
		if journal.Lines(w, events) != nil || q.Last > 0 || len(events) < historyPage || r.Context().Err() != nil {
			return
		}
		q.After = events[len(events)-1].Seq
		if events, err = h.nextEvents(q); err != nil {
			// It has begun: the reader must not take it for the whole.
			panic(http.ErrAbortHandler)
		}
	}
}

// mostLast bounds the newest events that are asked for: they are held until the
// oldest of them is found.
const mostLast = 10_000

// historyPage is how many events are held at once for one who reads: a history may
// have hundreds of thousands.
const historyPage = 500

// nextEvents are those that a query chooses and come next, or all of the newest that it wants.
func (h api) nextEvents(q keep.Query) ([]keep.Event, error) {
	if h.server.options.History == nil {
		return nil, nil
	}
	q.First = historyPage
	return h.server.options.History.Find(q)
}

func (h api) prune(w http.ResponseWriter, r *http.Request) {
	var q pruneRequest
	if err := read(w, r, &q); err != nil {
		refuseBody(w, err)
		return
	}
	if q.Before.IsZero() || h.server.options.History == nil {
		refuse(w, http.StatusBadRequest, "usage", "say before which time the history is to be forgotten")
		return
	}
	n, err := h.server.options.History.Prune(q.Before, keep.Event{At: time.Now(), By: guard(h).guest(r).who})
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	answer(w, http.StatusOK, pruned{n})
}

// Find gives the events that the query chooses, the oldest first.
func (c *Client) Find(ctx context.Context, q keep.Query) ([]keep.Event, error) {
	response, err := c.send(ctx, http.MethodGet, "/api/history?"+values(q).Encode(), nil)
	if err != nil {
		return nil, err
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		return nil, c.failure(response, nil)
	}
	events := []keep.Event{}
	for in := json.NewDecoder(response.Body); ; {
		var e keep.Event
		if err := in.Decode(&e); errors.Is(err, io.EOF) {
			return events, nil
		} else if err != nil {
			return nil, fmt.Errorf("the daemon at %s: %w", c.base, err)
		}
		events = append(events, e)
	}
}

// Prune forgets the events before a time, and says how many they were.
func (c *Client) Prune(ctx context.Context, before time.Time) (int, error) {
	var p pruned
	err := c.do(ctx, http.MethodPost, "/api/prune", pruneRequest{before}, &p)
	return p.Pruned, err
}
