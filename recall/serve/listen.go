package serve

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"

	"bayhand/recall/keep"
)

// Events gives the present status and then each new one; a slow reader gets the
// newest. The channel is closed when the context or the daemon ends.
func (c *Client) Events(ctx context.Context) (<-chan keep.Status, error) {
	response, err := c.send(ctx, http.MethodGet, "/api/events", nil)
	if err != nil {
		return nil, err
	}
	if response.StatusCode != http.StatusOK {
		defer response.Body.Close()
		return nil, c.failure(response, nil)
	}
	statuses := make(chan keep.Status, 1)
	go func() {
		defer close(statuses)
		defer response.Body.Close()
		listen(response.Body, statuses)
	}()
	return statuses, nil
}

// listen reads server-sent events until they end. Lines that are no data are
// comments and names, which say nothing new here.
func listen(body io.Reader, statuses chan keep.Status) {
	lines := bufio.NewReader(body)
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			return
		}
		data, ok := strings.CutPrefix(line, "data:")
		if !ok {
			continue
		}
		var s keep.Status
		if json.Unmarshal([]byte(data), &s) != nil {
			return
		}
		select {
		case <-statuses: // nobody took the one before
		default:
		}
		statuses <- s // only this goroutine sends: there is room
	}
}
