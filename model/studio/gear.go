package studio

import (
	"bayhand/model/measure"
	"bayhand/model/name"
)

// Gear is a piece of equipment.
type Gear struct {
	Name, Label string
	// Short is the label for strips; empty where nothing was said.
	Short string
	// Ports are in the order of the file, the halves of an insert side by side,
	// the send first.
	Ports []Port
	// Passes are what always goes through, from an input to an output.
	Passes []Pass
	// CanPass is what a desk or a switch could let through.
	CanPass []Pass
	// Channels of gear described by channels (in1-n, out1-n); else 0.
	Channels int
	Role     Role
	Mute     Mute
	// MIDI is how its programs are recalled; nil where it has none.
	MIDI *MIDI
	// Selects are its switches between ports; of each switch the first choice is
	// the one that stands.
	Selects []Select
	// Overrides are its front sockets that take over rear inputs.
	Overrides []Override
	// Place is where its rear stands, for the lengths of cables.
	Place Place
	// At are the boxes and bays that leads of the gear can be plugged into; empty
	// where it may be any.
	At []string
	// Loose says that it stands loose, such as a DI box: leads of other gear can be
	// plugged into its inputs that are not wired.
	Loose bool
	// Sound is how it is reached as a sound device of this machine; nil where it is
	// none.
	Sound *Sound
	// NoTest says that no test sound may be played to any of its ports, nor from
	// them.
	NoTest bool
	// Sockets are its connectors that hold several ports.
	Sockets []Socket
	// InsertTip is what the tip of a one-jack insert carries, the send or the
	// return; Whole where nothing was said.
	InsertTip name.Part
}

// Select is a switch: the ports of one of its choices are in use at a time. A
// pass to or from a port of another choice does not hold.
type Select struct {
	Choices [][]name.Point
}

// Override is a socket at the front that takes over an input at the rear: while
// something is plugged into Front, Rear hears nothing.
type Override struct {
	Front, Rear name.Point
}

// Direction is the way of a signal at a port, seen from the gear.
type Direction uint8

const (
	// DirectionUnknown is the zero value, in no studio that was read.
	DirectionUnknown Direction = iota
	// Output drives.
	Output
	// Input listens.
	Input
)

func (d Direction) String() string {
	switch d {
	case Output:
		return "output"
	case Input:
		return "input"
	case DirectionUnknown:
	}
	return "port of unknown direction"
}

// Port is one output or input of a piece of gear.
type Port struct {
	Point     name.Point
	Direction Direction
	// Line is the kind of line with whatever the port has of its own.
	Line  Line
	Label string
	// NoTest says that no test sound may come here, nor be played from here.
	NoTest bool
	// Short is the label for strips; empty where nothing was said.
	Short string
}

// Pass is a way through gear, from one of its inputs to one of its outputs.
type Pass struct {
	In  name.Point `json:"in"`
	Out name.Point `json:"out"`
}

// Role is what gear is for, where that matters to ears and safety.
type Role uint8

const (
	// RoleUnsaid is gear of no special role.
	RoleUnsaid Role = iota
	// Loudspeaker is muted before anything in its path moves.
	Loudspeaker
	// Headphone likewise.
	Headphone
)

func (r Role) String() string {
	switch r {
	case Loudspeaker:
		return "loudspeaker"
	case Headphone:
		return "headphone"
	case RoleUnsaid:
	}
	return "gear"
}

// Mute is how a loudspeaker is muted. The zero Mute means that the file does
// not say: a person turns it down at the gear itself.
type Mute struct {
	// ByPerson is true for a switch or knob that a person works, at At.
	ByPerson bool
	At       string
	// Output is the matrix output that mutes it when it is off.
	Output name.Point
}

// MIDI is how a piece of gear is reached for its programs.
type MIDI struct {
	Port    string
	Channel int // 1 to 16
	First   int // what its panel calls program 0 of the wire: 0 or 1
}

// Control is a MIDI port on which a Program Change recalls the session that has
// the program.
type Control struct {
	Port string
	// Channel is that which is heard, 1 to 16; 0 for all.
	Channel int
}

// LineKind is the family of a line: what may be joined with what.
type LineKind uint8

const (
	// LineUnknown is the zero value, in no studio that was read.
	LineUnknown LineKind = iota
	LineLevel
	MicLevel
	InstrumentLevel
	HeadphoneLevel
	LoudspeakerLevel
)

func (k LineKind) String() string {
	switch k {
	case LineLevel:
		return "line"
	case MicLevel:
		return "mic"
	case InstrumentLevel:
		return "instrument"
	case HeadphoneLevel:
		return "headphone"
	case LoudspeakerLevel:
		return "loudspeaker"
	case LineUnknown:
	}
	return "unknown"
}

// Line is a kind of line: its level and what it expects at the other end.
type Line struct {
	Name string
	Kind LineKind
	// Level is the working level, Max the highest before clipping.
	Level, Max measure.Level
	// Source is the impedance of an output, Load that of an input.
	Source, Load measure.Impedance
	// MinLoad is the lowest load that an output may see; 0 where nothing was said.
	MinLoad measure.Impedance
	// LevelInto is the load into which Level and Max of an output are given; 0
	// where they are those of the open output.
	LevelInto measure.Impedance
	Balanced  bool
	// Stage is of which kind a balanced port is, where that is known.
	Stage Stage
	// Phantom is true on an input that can supply phantom power.
	Phantom bool
	// Plug is the connector at the gear; empty where nothing was said.
	Plug string
}

// BuiltInLines are the kinds of line that every studio has: common practice, no
// published source. -10 dBV and 6 dBV are given in dBu.
func BuiltInLines() []Line {
	const volt = 2.218487499 // 0 dBV in dBu, from the definitions of both
	return []Line{
		{Name: "pro-line", Kind: LineLevel, Level: 4, Max: 24, Source: 100, Load: 10e3, Balanced: true},
		{Name: "home-line", Kind: LineLevel, Level: -10 + volt, Max: 6 + volt, Source: 1e3, Load: 22e3},
		{Name: "microphone", Kind: MicLevel, Level: -50, Max: 0, Source: 150, Load: 1.5e3, Balanced: true},
		{Name: "instrument", Kind: InstrumentLevel, Level: -20, Max: 4, Source: 10e3, Load: 1e6},
		{Name: "headphone", Kind: HeadphoneLevel, Level: 4, Max: 16, Source: 120, Load: 32},
		{Name: "loudspeaker", Kind: LoudspeakerLevel, Level: 31, Max: 40, Source: 0.1, Load: 8},
	}
}
