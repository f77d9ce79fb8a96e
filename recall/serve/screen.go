package serve

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"github.com/google/renameio/v2/maybe"
)

// ScreensFile is the name of the file of browsers that were let in, in a state
// folder.
const ScreensFile = "screens.json"

const (
	// screenTime is how long a browser stays let in.
	screenTime = 365 * 24 * time.Hour
	// mostScreens are let in at once; the one that was seen the longest ago goes.
	mostScreens = 200
	// seenEach is how often it is written down that a browser was seen.
	seenEach = 24 * time.Hour
)

// Screen is a browser that was let in.
type Screen struct {
	ID   string `json:"id"`
	Role Role   `json:"role"`
	// Who was let in, for the history.
	Who   string    `json:"who"`
	Since time.Time `json:"since"`
	Seen  time.Time `json:"seen"`
}

// letIn is a screen with what it is known by.
type letIn struct {
	Screen
	// Sum is that of its cookie, so that the file lets nobody in.
	Sum string `json:"sum"`
	// Token is the sum of the token of access.json by which it came; empty for one
	// that came by a code. It goes with that token.
	Token string `json:"token,omitempty"`
	// User of this machine whose browser it is, where the system tells.
	User string `json:"user,omitempty"`
}

// screens are the browsers that were let in, as they stand in a file that its
// owner alone can read. Without a file they last as long as the server.
type screens struct {
	file string
	// mu guards the fields below.
	mu sync.Mutex
	screensData
}

type screensData struct {
	// Daemon is in the name of the cookie, so that daemons on other ports of a
	// machine do not overwrite it.
	Daemon string  `json:"daemon"`
	All    []letIn `json:"screens"`
}

// openScreens reads the screens of a state folder; an empty folder is for none.
func openScreens(folder string) (*screens, error) {
	s := &screens{screensData: screensData{Daemon: newToken()[:8]}}
	if folder == "" {
		return s, nil
	}
	s.file = filepath.Join(folder, ScreensFile)
	text, err := os.ReadFile(s.file)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err != nil {
		return nil, err
	}
	var read screensData
	if err := json.Unmarshal(text, &read); err != nil || read.Daemon == "" {
		return nil, fmt.Errorf("%s makes no sense: %w; take it away, and let each screen in again", s.file, err)
	}
	s.screensData = read
	return s, nil
}

// add lets a browser in, and gives the value of its cookie.
func (s *screens) add(one letIn) (cookie string, err error) {
	cookie = newToken()
	one.Sum, one.ID = sumOf(cookie), rand.Text()[:8]
	one.Since = time.Now()
	one.Seen = one.Since
	s.mu.Lock()
	defer s.mu.Unlock()
	s.All = append(s.All, one)
	if len(s.All) > mostScreens {
		oldest := slices.MinFunc(s.All, func(a, b letIn) int { return a.Seen.Compare(b.Seen) })
		s.drop(func(l letIn) bool { return l.ID == oldest.ID })
	}
	return cookie, s.save()
}

// find is the screen of a cookie.
func (s *screens) find(cookie string) (letIn, bool) {
	sum := sumOf(cookie)
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.All, func(l letIn) bool { return same(l.Sum, sum) })
	if i < 0 || time.Since(s.All[i].Since) > screenTime {
		return letIn{}, false
	}
	if time.Since(s.All[i].Seen) > seenEach {
		s.All[i].Seen = time.Now()
		_ = s.save() // it is written the next time then
	}
	return s.All[i], true
}

// list are all that are let in, the newest first.
func (s *screens) list() []Screen {
	s.mu.Lock()
	defer s.mu.Unlock()
	all := []Screen{}
	for _, l := range slices.Backward(s.All) {
		all = append(all, l.Screen)
	}
	return all
}

// revoke lets a screen out, or all of them where the name of none is given, and
// says how many they were. What cannot be written is let out all the same until
// the daemon ends.
func (s *screens) revoke(id string) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	before := len(s.All)
	s.drop(func(l letIn) bool { return id == "" || l.ID == id })
	if n := before - len(s.All); n > 0 {
		return n, s.save()
	}
	return 0, nil
}

// drop takes screens out; mu is held.
func (s *screens) drop(which func(letIn) bool) { s.All = slices.DeleteFunc(s.All, which) }

// save writes the screens in one go, for their owner only; mu is held.
func (s *screens) save() error {
	if s.file == "" {
		return nil
	}
	s.drop(func(l letIn) bool { return time.Since(l.Since) > screenTime })
	text, err := json.MarshalIndent(s.screensData, "", "  ")
	if err != nil {
		return err
	}
	if err := maybe.WriteFile(s.file, append(text, '\n'), 0o600); err != nil {
		return fmt.Errorf("who is let in cannot be written down, and holds until the daemon ends: %w", err)
	}
	return nil
}

func sumOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// same compares in a time that says nothing of where they differ.
func same(a, b string) bool { return hmac.Equal([]byte(a), []byte(b)) }

// keyed is the HMAC (RFC 2104) of a text with SHA-256. Each use has a text of its
// own, so that none can stand for another.
func keyed(secret, text string) string {
	h := hmac.New(sha256.New, []byte(secret))
	h.Write([]byte(text))
	return hex.EncodeToString(h.Sum(nil))
}
