package keep

import (
	"fmt"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// device is what the keeper knows of the device of one matrix and of how it is
// doing.
type device struct {
	// number is its own among all devices that there ever were.
	number int
	matrix studio.Matrix
	// job is in progress; nil when the device rests.
	job *job
	// next is when it is asked again unbidden; zero for never.
	next time.Time
	// tried is true after the first job.
	tried bool
	// answers is true after the device answered, until it fails to.
	answers   bool
	readsBack bool
	identity  string
	problem   string
	since     time.Time
	failures  int
	// reported is true after it said something by itself, until it is asked.
	reported bool
	// said is what one that cannot be asked said while something was sent to it.
	said []Report
	// unclear are the outputs that it said no input of when it was read last.
	unclear []name.Point
	// other is what came of reading another device than the one that is driven,
	// which answers at the link; nil where there is none.
	other *result
	// restored are when it was put back after a drift, within the last minute.
	restored []time.Time
}

// counts says whether somebody waits for the job: a poll is nobody's.
func (j *job) counts() bool { return j != nil && (j.step != nil || j.proves != nil) }

func (h *device) describe() string {
	return fmt.Sprintf("%s at %s: %s", h.matrix.Name, h.matrix.Device.Link, h.problem)
}

// order hands a job to a resting device.
func (k *machine) order(h *device, j job) {
	h.job = &j
	k.out.orders = append(k.out.orders, order{h.number, j})
}

// poll asks a resting device what it holds.
func (k *machine) poll(h *device) {
	if h.job == nil {
		h.reported = false
		k.order(h, job{identify: h.other != nil})
	}
}

// pollDevices polls those whose time has come.
func (k *machine) pollDevices() bool {
	if k.yields() {
		return false
	}
	for i := range k.devices {
		if h := &k.devices[i]; h.job == nil && k.due(h.next) {
			k.poll(h)
		}
	}
	return len(k.out.orders) > 0
}

// due says whether a time has come. One that lies further ahead than anything is
// ever put off has come too: the clock was set back.
func (k *machine) due(t time.Time) bool {
	ahead := t.Sub(k.at)
	return !t.IsZero() && (ahead <= 0 || ahead > max(k.settings.poll, k.settings.retryMost))
}

// alarm is when there is something to decide although nothing happens; zero for
// never.
func (k *machine) alarm() time.Time {
	times := []time.Time{k.journal.again, k.keepAgain}
	for _, h := range k.devices {
		if h.job == nil {
			times = append(times, h.next)
		}
	}
	times = slices.DeleteFunc(times, time.Time.IsZero)
	if len(times) == 0 {
		return time.Time{}
	}
	first := slices.MinFunc(times, time.Time.Compare)
	if k.due(first) {
		return k.at
	}
	return first
}

// rest sets when a device is asked again.
func (k *machine) rest(h *device) {
	h.next = time.Time{}
	switch {
	case !h.answers:
		wait := k.settings.retryFirst
		for i := 1; i < h.failures && wait < k.settings.retryMost; i++ {
			wait *= 2
		}
		h.next = k.at.Add(min(wait, k.settings.retryMost))
	case h.reported:
		h.next = k.at
	case h.readsBack && k.settings.poll > 0:
		h.next = k.at.Add(k.settings.poll)
	}
}

// A device that was put back this often within a minute is left as it is: it
// does not hold what it is told, or somebody is working on it.
const (
	mostRestores  = 3
	restoreWithin = time.Minute
)

func (h *device) unsteady() bool { return len(h.restored) >= mostRestores }

// mayRestore counts a restoration; false when there were too many.
func (h *device) mayRestore(now time.Time) bool {
	if h.unsteady() {
		return false
	}
	recent := slices.DeleteFunc(slices.Clone(h.restored), func(t time.Time) bool { return now.Sub(t).Abs() >= restoreWithin })
	h.restored = append(recent, now)
	return true
}

// deviceOf is the device of a matrix; nil where none is driven.
func (k *machine) deviceOf(matrix string) *device {
	for i := range k.devices {
		if k.devices[i].matrix.Name == matrix {
			return &k.devices[i]
		}
	}
	return nil
}

// driven is the device of a matrix that somebody names.
func (k *machine) driven(matrix string) (*device, error) {
	if h := k.deviceOf(matrix); h != nil {
		return h, nil
	}
	return nil, tell(ErrUsage, "there is no matrix %s that is driven", matrix)
}

// numbered is the device of a number; nil where the studio has it no more.
func (k *machine) numbered(number int) *device {
	for i := range k.devices {
		if k.devices[i].number == number {
			return &k.devices[i]
		}
	}
	return nil
}
