// Package disk reads and writes files that people write too, on file systems that
// may not answer.
//
// Vocabulary: a question is one thing that is asked of the file system; it is late
// when its time is up, and then nobody waits for it any more. A file is regular
// when it is neither a folder, a pipe, a socket nor a device.
//
// A system call on a network mount whose server is away, or on a disk that is
// failing, returns late or never, and cannot be called off. So each question is
// asked by a goroutine of its own and is given up after a while; the goroutine ends
// when the system call does. While a question about a file is late, no other is
// asked about it, and none about its folder where that does not answer either: a
// mount with ten thousand files costs one wait, and a handful of threads.
package disk

import (
	"errors"
	"io/fs"
	"path/filepath"
	"sync"
	"time"
)

// ErrStalled is a file system that does not answer in time.
var ErrStalled = errors.New("the file system does not answer")

// The time of questions, and how many may be late at once.
const (
	// patience is for one file, or the names of a folder.
	patience = 3 * time.Second
	// patienceForAll is for all files of a folder.
	patienceForAll = 30 * time.Second
	// grace is what the folder of a late file has to answer.
	grace = 200 * time.Millisecond
	// mostLate bounds the threads that wait in the system.
	mostLate = 64
)

// questions are those that are late.
type questions struct {
	// mu guards the fields below.
	mu   sync.Mutex
	late int
	// files are how many questions about a file are late, by its path.
	files map[string]int
	// folders are those that are asked whether they answer at all.
	folders map[string]*probe
	// anyName asks a folder for one of its names.
	anyName func(folder string) error
}

// probe asks a folder for any name in it, since one of its files does not answer.
type probe struct {
	until time.Time
	done  chan struct{}
}

var asked = newQuestions(anyName)

func newQuestions(anyName func(string) error) *questions {
	return &questions{files: map[string]int{}, folders: map[string]*probe{}, anyName: anyName}
}

// ask gives the answer to a question about a file, or ErrStalled after a while.
func ask[T any](file string, wait time.Duration, question func() (T, error)) (T, error) {
	var none T
	stalled := &fs.PathError{Op: "read", Path: file, Err: ErrStalled}
	if !asked.answers(file) {
		return none, stalled
	}
	type answer struct {
		value T
		err   error
	}
	answered := make(chan answer, 1)
	go func() {
		value, err := question()
		answered <- answer{value, err}
	}()
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case a := <-answered:
		return a.value, a.err
	case <-timer.C:
	}
	asked.isLate(file)
	go func() {
		<-answered
		asked.came(file)
	}()
	return none, stalled
}

// answers says whether it makes sense to ask about a file.
func (q *questions) answers(file string) bool {
	q.mu.Lock()
	late := q.late >= mostLate || q.files[file] > 0 || q.files[filepath.Dir(file)] > 0
	folder := q.folders[filepath.Dir(file)]
	q.mu.Unlock()
	if late || folder == nil {
		return !late
	}
	timer := time.NewTimer(time.Until(folder.until))
	defer timer.Stop()
	select {
	case <-folder.done:
		return true
	case <-timer.C:
		return false
	}
}

// isLate notes a question that is late, and asks the folder whether it answers.
func (q *questions) isLate(file string) {
	folder := filepath.Dir(file)
	q.mu.Lock()
	defer q.mu.Unlock()
	q.late++
	q.files[file]++
	if q.folders[folder] != nil {
		return
	}
	p := &probe{until: time.Now().Add(grace), done: make(chan struct{})}
	q.folders[folder] = p
	go func() {
		_ = q.anyName(folder) // that it answers is enough
		q.mu.Lock()
		delete(q.folders, folder)
		q.mu.Unlock()
		close(p.done)
	}()
}

// came notes that a late question was answered after all.
func (q *questions) came(file string) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.late--
	if q.files[file]--; q.files[file] == 0 {
		delete(q.files, file)
	}
}
