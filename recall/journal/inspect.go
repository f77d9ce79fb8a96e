package journal

import (
	"fmt"
	"os"
	"strconv"
)

// contents is what was found in a file whose every page was looked at.
type contents struct {
	version int
	// begin and end are the ends of the chain of events.
	begin, end end
	// parts are the keys of those that are there.
	parts map[string]bool
}

// inspect looks at every page and, from version 3 on, at every sum of a file. It
// takes time linear in its size and little memory. An error that is none of the
// operating system says what is wrong with the file.
func inspect(file string) (contents, error) {
	f, err := os.Open(file)
	if err != nil {
		return contents{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return contents{}, err
	}
	in := inspector{contents: contents{parts: map[string]bool{}}}
	if err := walk(f, info.Size(), in.take); err != nil {
		return contents{}, err
	}
	return in.verdict()
}

// inspector takes the values of a file in the order of their buckets, which is
// that of their names: events, meta, state. The chain can only be begun where
// the base is known, so its first link is held against it afterwards.
type inspector struct {
	contents
	chain chain
	// first is where the first event says that it begins; nil before one was seen.
	first    *end
	wrong    error
	sequence uint64
	// memory is the one that was written last.
	memory []byte
}

func (in *inspector) take(v value) (err error) {
	switch {
	case v.bucket == string(eventsBucket):
		return in.takeEvent(v)
	case v.bucket == string(partsBucket):
		in.takePart(v)
	case v.bucket == string(metaBucket) && string(v.key) == string(versionKey):
		if in.version, err = strconv.Atoi(string(v.text)); err != nil {
			return stumbled("its version is %q", v.text)
		}
	case v.bucket == string(metaBucket) && string(v.key) == string(baseKey):
		in.begin, err = unsealBase(v.text)
	case v.bucket == string(stateBucket) && string(v.key) == string(memoryKey):
		// Whether it matters is known once the version is.
		var wrong error
		if in.memory, in.end, wrong = unsealMemory(v.text); wrong != nil && in.wrong == nil {
			in.wrong = fmt.Errorf("what the room is in: %w", wrong)
		}
	}
	return err
}

func (in *inspector) takePart(v value) {
	if !hasSum(string(v.key), v.text) && in.wrong == nil {
		in.wrong = fmt.Errorf("a part of what the room is in: %w", errSum)
	}
	in.parts[string(v.key)] = true
}

// missing is errPart where the memory names a part that is not there.
func (in *inspector) missing() error {
	if in.version < partsVersion || in.memory == nil {
		return nil
	}
	all, err := named(in.memory)
	if err != nil {
		return err
	}
	for _, key := range all {
		if !in.parts[key] {
			return errPart
		}
	}
	return nil
}

func (in *inspector) takeEvent(v value) error {
	in.sequence = v.sequence
	if in.wrong != nil {
		return nil
	}
	if in.first == nil {
		_, before, _, err := unlink(v.text)
		if err != nil || len(v.key) != 8 {
			in.wrong = fmt.Errorf("event %s: %w", keyText(v.key), errSum)
			return nil
		}
		in.first = &end{seq: seqOf(v.key) - 1, last: before}
		in.chain.at = *in.first
	}
	in.wrong = in.chain.next(v.key, v.text)
	return nil
}

// verdict is the verdict once everything was taken.
func (in *inspector) verdict() (contents, error) {
	c := in.contents
	if c.version < chainedVersion || c.version > Version {
		return c, nil // the sums of other versions are another's to know
	}
	at := in.begin
	if in.first != nil {
		at = in.chain.at
	}
	switch {
	case in.wrong != nil:
		return c, in.wrong
	case in.first != nil && (in.first.seq != in.begin.seq || in.first.last != in.begin.last):
		return c, fmt.Errorf("events %d to %d are missing", in.begin.seq+1, in.first.seq)
	case at.seq != in.end.seq || at.last != in.end.last:
		return c, fmt.Errorf("its history ends with event %d, and the last that was written is %d", at.seq, in.end.seq)
	case in.sequence != 0 && in.sequence != in.end.seq:
		return c, fmt.Errorf("its history counts %d events where %d were written", in.sequence, in.end.seq)
	}
	return c, in.missing()
}
