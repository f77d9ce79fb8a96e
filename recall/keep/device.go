package keep

import (
	"cmp"
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
	other    *result
	restored restoring
}

// counts says whether somebody waits for the job: a poll is nobody's.
func (j *job) counts() bool { return j != nil && (j.step != nil || j.proves != nil) }

// called is a matrix as people call it: by its label, as its steps do, or by its name.
func called(m studio.Matrix) string { return cmp.Or(m.Label, m.Name) }

func (h *device) describe() string {
	return fmt.Sprintf("%s at %s: %s", called(h.matrix), h.matrix.Device.Link, h.problem)
}

// order hands a job to a resting device.
func (x exchange) order(j job) {
	x.h.job = &j
	x.out.orders = append(x.out.orders, order{x.h.number, j})
}

// poll asks a resting device what it holds.
func (x exchange) poll() {
	if x.h.job == nil {
		x.h.reported = false
		x.order(job{identify: x.h.other != nil})
	}
}

// pollDevices polls those whose time has come.
func pollDevices(k *machine) bool {
	if k.pausesPolls() {
		return false
	}
	for i := range k.devices.all {
		if h := &k.devices.all[i]; h.job == nil && k.due(h.next) {
			k.exchange(h).poll()
		}
	}
	return len(k.out.orders) > 0
}

// pausesPolls says whether no device is polled for now: an act goes by what the devices
// said for it. While it waits for files, which may take long, polls go on.
func (k *machine) pausesPolls() bool { return k.asks.yield() && !k.awaitsFiles() }

// alarm is when there is something to decide although nothing happens; zero for
// never.
func (k *machine) alarm() time.Time {
	times := []time.Time{k.nextTry(), k.queue().passing(), k.lateFiles()}
	if l := k.memory.Listening; l != nil && !l.Ends {
		times = append(times, l.Until)
	}
	times = slices.DeleteFunc(times, time.Time.IsZero)
	if len(times) == 0 {
		return time.Time{}
	}
	return slices.MinFunc(times, time.Time.Compare)
}

// nextTry is when a device is asked, or a file written, again; zero for never.
func (k *machine) nextTry() time.Time {
	times := []time.Time{k.journal.again, k.keepAgain}
	for _, h := range k.devices.all {
		if h.job == nil && !k.pausesPolls() {
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
func (x exchange) rest() {
	x.h.next = time.Time{}
	switch {
	case !x.h.answers:
		wait := x.settings.retryFirst
		for i := 1; i < x.h.failures && wait < x.settings.retryMost; i++ {
			wait *= 2
		}
		x.h.next = x.at.Add(min(wait, x.settings.retryMost))
	case x.h.reported:
		x.h.next = x.at
	case x.h.readsBack && x.settings.poll > 0:
		x.h.next = x.at.Add(x.settings.poll)
	}
}
