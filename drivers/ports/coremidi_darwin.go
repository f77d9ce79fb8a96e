package ports

import (
	"fmt"
	"runtime"
	"strings"
	"sync"
	"unsafe"

	"github.com/ebitengine/purego"
)

// The functions of the frameworks, as MIDIServices.h, CFString.h and CFRunLoop.h
// declare them. A CFStringRef is a pointer that Go never looks behind.
var (
	midiClientCreate            func(name, notify, context uintptr, client *uint32) int32
	midiGetNumberOfSources      func() uint
	midiGetSource               func(uint) uint32
	midiGetNumberOfDestinations func() uint
	midiGetDestination          func(uint) uint32
	midiObjectGetString         func(object uint32, property uintptr, text *uintptr) int32
	midiObjectGetInteger        func(object uint32, property uintptr, value *int32) int32
	midiInputPortCreate         func(client uint32, name, read, context uintptr, port *uint32) int32
	midiOutputPortCreate        func(client uint32, name uintptr, port *uint32) int32
	midiPortConnectSource       func(port, source uint32, context uintptr) int32
	midiPortDispose             func(port uint32) int32
	midiSend                    func(port, to uint32, packets *byte) int32

	cfStringCreate func(allocator uintptr, text string, encoding uint32) uintptr
	cfStringGet    func(text uintptr, buffer *byte, size int, encoding uint32) bool
	cfRelease      func(uintptr)
	cfRunLoopRun   func()
)

// utf8 is kCFStringEncodingUTF8.
const utf8 = 0x08000100

var loadCoreMIDI = sync.OnceValue(func() error {
	core, err := purego.Dlopen("/System/Library/Frameworks/CoreMIDI.framework/CoreMIDI", purego.RTLD_NOW|purego.RTLD_GLOBAL)
	if err != nil {
		return err
	}
	foundation, err := purego.Dlopen("/System/Library/Frameworks/CoreFoundation.framework/CoreFoundation", purego.RTLD_NOW|purego.RTLD_GLOBAL)
	if err != nil {
		return err
	}
	for name, function := range map[string]any{
		"MIDIClientCreate": &midiClientCreate, "MIDIGetNumberOfSources": &midiGetNumberOfSources, "MIDIGetSource": &midiGetSource,
		"MIDIGetNumberOfDestinations": &midiGetNumberOfDestinations, "MIDIGetDestination": &midiGetDestination,
		"MIDIObjectGetStringProperty": &midiObjectGetString, "MIDIObjectGetIntegerProperty": &midiObjectGetInteger,
		"MIDIInputPortCreate": &midiInputPortCreate, "MIDIOutputPortCreate": &midiOutputPortCreate,
		"MIDIPortConnectSource": &midiPortConnectSource, "MIDIPortDispose": &midiPortDispose, "MIDISend": &midiSend,
		"CFStringCreateWithCString": &cfStringCreate, "CFStringGetCString": &cfStringGet, "CFRelease": &cfRelease, "CFRunLoopRun": &cfRunLoopRun,
	} {
		library := foundation
		if strings.HasPrefix(name, "MIDI") {
			library = core
		}
		symbol, err := purego.Dlsym(library, name)
		if err != nil {
			return err
		}
		purego.RegisterFunc(function, symbol)
	}
	return nil
})

// coreClient is the program's one client. Its thread runs a loop for as long as
// the program does, since the system brings its list of ports up to date there.
var coreClient = sync.OnceValues(func() (client uint32, err error) {
	if err := loadCoreMIDI(); err != nil {
		return 0, err
	}
	made := make(chan error)
	go func() {
		runtime.LockOSThread()
		name := newString("bayhand")
		failed := result("MIDIClientCreate", midiClientCreate(name, 0, 0, &client))
		cfRelease(name)
		made <- failed
		if failed == nil {
			cfRunLoopRun()
		}
	}()
	err = <-made
	return client, err
})

// result is the error that a function's result stands for.
func result(function string, status int32) error {
	if status == 0 {
		return nil
	}
	return fmt.Errorf("%s: reason %d of the system", function, status)
}

// newString is a string of the system's, to be released.
func newString(text string) uintptr { return cfStringCreate(0, text, utf8) }

// property is a number that an endpoint has; 0 where it has none.
func property(of uint32, name string) (value int32) {
	key := newString(name)
	defer cfRelease(key)
	if midiObjectGetInteger(of, key, &value) != 0 {
		return 0
	}
	return value
}

// displayName is what the system shows a person for an endpoint.
func displayName(of uint32) string {
	key := newString("displayName")
	defer cfRelease(key)
	var text uintptr
	if midiObjectGetString(of, key, &text) != 0 || text == 0 {
		return "no name"
	}
	defer cfRelease(text)
	buffer := make([]byte, 512)
	if !cfStringGet(text, &buffer[0], len(buffer), utf8) {
		return "no name"
	}
	name, _, _ := strings.Cut(string(buffer), "\x00")
	return name
}

// readProc is the MIDIReadProc of all ports; context is the port's number.
var readProc = sync.OnceValue(func() uintptr {
	align := 1
	if runtime.GOARCH == "arm64" {
		align = 4
	}
	return purego.NewCallback(func(packets unsafe.Pointer, context, _ uintptr) {
		hearSource(packetBytes(func(offset, n int) []byte {
			return unsafe.Slice((*byte)(unsafe.Add(packets, offset)), n)
		}, align), context)
	})
})
