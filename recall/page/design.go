package page

import (
	"crypto/sha256"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"

	"bayhand/model/arrange"
)

// The design is a map of what lands where on the bays, at scale, to argue over: the
// layout that is proposed, with blocks of columns that change places, beside the room
// as it is or the proposal. What was exchanged stands in the address, so that each
// draft is a link, and the way back is the browser's.

// exchange is two runs of so many columns that change places, counted from 0.
type exchange struct {
	A, B, Size int
	Row        arrange.Row
}

// rowNames are the rows in an address, and what people read.
var rowNames = []struct {
	Row        arrange.Row
	Name, Text string
}{{arrange.BothRows, "both", "whole columns"}, {arrange.TopRow, "top", "upper row"}, {arrange.BottomRow, "bottom", "lower row"}}

// blockSizes are how many columns are taken in the hand at once.
var blockSizes = []int{2, 8, 16}

// mostExchanges is how many an address may hold.
const mostExchanges = 200

func (e exchange) String() string {
	for _, r := range rowNames {
		if r.Row == e.Row {
			return fmt.Sprintf("%d.%d.%d.%s", e.A, e.B, e.Size, r.Name)
		}
	}
	return ""
}

func readExchange(text string) (e exchange, ok bool) {
	parts := strings.Split(text, ".")
	if len(parts) != 4 {
		return e, false
	}
	for n, to := range []*int{&e.A, &e.B, &e.Size} {
		var err error
		if *to, err = strconv.Atoi(parts[n]); err != nil {
			return e, false
		}
	}
	for _, r := range rowNames {
		if r.Name == parts[3] {
			e.Row = r.Row
		}
	}
	return e, e.Row != arrange.RowUnknown
}

// ask is what the address of a design says.
type designAsk struct {
	Moved  []exchange
	Size   int
	Row    arrange.Row
	Beside string
	Tidy   int
	// Held is the first column of the block in the hand; -1 for none.
	Held int
}

func readDesign(query url.Values) designAsk {
	ask := designAsk{Size: 8, Row: arrange.BothRows, Beside: "now", Tidy: 5, Held: -1}
	for _, text := range strings.Split(query.Get("moved"), "_") {
		if e, ok := readExchange(text); ok && len(ask.Moved) < mostExchanges {
			ask.Moved = append(ask.Moved, e)
		}
	}
	for _, size := range blockSizes {
		if query.Get("size") == strconv.Itoa(size) {
			ask.Size = size
		}
	}
	for _, r := range rowNames {
		if query.Get("row") == r.Name {
			ask.Row = r.Row
		}
	}
	if query.Get("beside") == "proposal" {
		ask.Beside = "proposal"
	}
	if tidy, err := strconv.Atoi(query.Get("tidy")); err == nil && tidy >= 0 && tidy <= 10 {
		ask.Tidy = tidy
	}
	if held, err := strconv.Atoi(query.Get("held")); err == nil && held >= 0 {
		ask.Held = held
	}
	return ask
}

// address is that of a design with something else.
func (d designAsk) address(change func(*designAsk)) string {
	d.Moved = append([]exchange(nil), d.Moved...)
	change(&d)
	query := url.Values{"size": {strconv.Itoa(d.Size)}, "beside": {d.Beside}, "tidy": {strconv.Itoa(d.Tidy)}}
	for _, r := range rowNames {
		if r.Row == d.Row {
			query.Set("row", r.Name)
		}
	}
	var moved []string
	for _, e := range d.Moved {
		moved = append(moved, e.String())
	}
	if moved != nil {
		query.Set("moved", strings.Join(moved, "_"))
	}
	if d.Held >= 0 {
		query.Set("held", strconv.Itoa(d.Held))
	}
	return "/design?" + query.Encode()
}

// designs keeps the proposals that were made: one takes a while, and is the same for
// the same sessions. It is safe for concurrent use.
type designs struct {
	// mu guards the fields below.
	mu   sync.Mutex
	made map[string]*arrange.Layout
}

// mostDesigns is how many proposals are kept.
const mostDesigns = 16

func (d *designs) lay(q arrange.Request) (*arrange.Layout, error) {
	key := sha256.New()
	fmt.Fprint(key, q.Tidy)
	for _, s := range q.Sessions {
		fmt.Fprintf(key, "%q %d %v %v", s.Session.Name, s.Weight, s.Session.Wants, s.Session.Silent)
	}
	at := string(key.Sum(nil))
	d.mu.Lock()
	defer d.mu.Unlock()
	if l, has := d.made[at]; has {
		return l, nil
	}
	l, err := arrange.Lay(q)
	if err != nil {
		return nil, err
	}
	if d.made == nil || len(d.made) >= mostDesigns {
		d.made = map[string]*arrange.Layout{}
	}
	d.made[at] = l
	return l, nil
}

// designEffort is the work of a proposal on the page, a part of what the command takes.
const designEffort = 2

// mostWeighed is how many sessions a proposal on the page is made for: the first by
// name.
const mostWeighed = 60

// designHandler is the view of what lands where on the bays.
type designHandler struct{ page *page }

// designRequest is a request for the sessions that can be read, by their weights.
func (h designHandler) designRequest(r *http.Request, tidy int) (arrange.Request, error) {
	q := arrange.Request{Studio: h.page.Studio, Tidy: tidy, Moves: -1, Effort: designEffort}
	if h.page.Names == nil || h.page.Session == nil {
		return q, nil
	}
	names, err := h.page.Names(r.Context())
	if err != nil {
		return q, err
	}
	for _, called := range names {
		listed, err := h.page.Session(r.Context(), called)
		if err != nil || listed.Session == nil {
			continue // the files' own view says what is wrong with it
		}
		q.Sessions = append(q.Sessions, arrange.Weighted{Session: listed.Session, Weight: max(1, listed.Session.Weight)})
		if len(q.Sessions) == mostWeighed {
			break
		}
	}
	return q, nil
}
