// Package check says what an experienced hand would say of a studio and of a
// session before anything is plugged: what can damage, what cannot work, what
// will surprise.
//
// Vocabulary: a rule looks for one thing, and has a code, a severity and a page
// of the manual with an example; a finding is one place where a rule found it.
// An error can damage something or cannot work; a warning works and will bite;
// advice is worth doing some day.
//
// A good studio has no findings. The package knows values and places; it reads
// no file, prints nothing, and plans nothing: whether a session can be given at
// all is package plan's to say, and NotGiven only puts that in its place.
//
// Findings are advice of the trade. Where a code of the place, or whoever is
// licensed for mains and loudspeaker wiring, says otherwise, they are right.
package check

import (
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
)

// Finding is one place where a rule found what it looks for.
type Finding = text.Problem

// Rule is one thing that is looked for, as the manual has it.
type Rule struct {
	// Code names the rule in a word or two that stay the same.
	Code string
	// Severity is that of its findings, unless one says otherwise.
	Severity string
	// Title is one line for a list.
	Title string
	// Manual says why it matters and what to do.
	Manual string
	// Bad has a finding of this rule, Good has none.
	Bad, Good Example
}

// Example is a small studio, for rules of sessions with a session, for rules
// among sessions with another one, as files.
type Example struct {
	Studio, Session, Other string
}

// rule is a rule with what finds it; one of the functions is set, or two where
// the same thing is looked for in studios and in sessions.
type rule struct {
	Rule
	studio  func(*view) []violation
	session func(*sessionView) []violation
}

// violation is a finding before it has its place.
type violation struct {
	// key is the place in the file; one that the file does not have falls back
	// to its nearest parent.
	key           string
	message, hint string
	// severity is empty for the rule's own.
	severity string
}

// Studio finds everything in a studio, sorted by place. Kept are patches that its
// sessions keep: the jacks in them are used as those of the rest patch are.
func Studio(room *heard.Room, places text.Places, kept ...patch.Patch) []Finding {
	v := newView(room)
	v.ofSessions = kept
	var findings []Finding
	for _, r := range rules {
		if r.studio != nil {
			findings = append(findings, r.placed(r.studio(v), places)...)
		}
	}
	return sorted(findings)
}

// Cables finds what is wrong with the permanent cables of a studio, sorted by place,
// as Studio finds it among the rest: at the keys of the file that are wanted.
func Cables(room *heard.Room, places text.Places, wanted func(key string) bool) []Finding {
	v := newView(room)
	var findings []Finding
	for _, r := range cableRules {
		all := slices.DeleteFunc(r.studio(v), func(f violation) bool { return !wanted(f.key) })
		findings = append(findings, r.placed(all, places)...)
	}
	return sorted(findings)
}

// Session finds everything in one session, sorted by place. What is wrong with
// the studio alone is not said again.
func Session(room *heard.Room, s *session.Session, places text.Places) []Finding {
	v := newSessionView(room, s)
	var findings []Finding
	for _, r := range rules {
		if r.session != nil {
			findings = append(findings, r.placed(r.session(v), places)...)
		}
	}
	return sorted(findings)
}

func (r rule) placed(all []violation, places text.Places) []Finding {
	var findings []Finding
	for _, f := range all {
		place, _ := places.Of(f.key)
		severity := f.severity
		if severity == "" {
			severity = r.Severity
		}
		findings = append(findings, Finding{Code: r.Code, Severity: severity, Place: place, Message: f.message, Hint: f.hint})
	}
	return findings
}

func sorted(findings []Finding) []Finding {
	slices.SortStableFunc(findings, Finding.Compare)
	return slices.Compact(findings)
}

// Rules are all of them, by code.
func Rules() []Rule {
	var all []Rule
	for _, r := range rules {
		all = append(all, r.Rule)
	}
	for _, r := range deviceRules {
		all = append(all, r.Rule)
	}
	all = append(all, acceptedNothing, descriptionUnknown, programTwice, notGiven, askedTwice, unknownName, noMIDI)
	slices.SortFunc(all, func(a, b Rule) int { return strings.Compare(a.Code, b.Code) })
	return all
}

// cableRules are those about what permanent cables are made of and where they run,
// which the cable schedule tells as well.
var cableRules = []rule{
	loudPlug,
	cableTwice,
	noPlaces,
	micBesideLoud,
	insertLead,
	socketFull,
	pinsClash,
}

// rules is the register: what is not here is not looked for, but by Devices,
// Sessions and NotGiven, and by the reader of files.
var rules = slices.Concat(cableRules, []rule{
	outputsJoined,
	multTwice,
	normalJoins,
	normalInputs,
	jackTwice,
	inputTwice,
	portUnwired,
	linkTwice,
	controlHeard,
	insertApart,
	insertOpen,
	insertParallel,
	speakerOnBay,
	phantomNear,
	phantomBay,
	phantomJack,
	phantomCrosspoint,
	phantomSource,
	phantomPlug,
	roleUnsaid,
	muteUnsaid,
	muteElsewhere,
	muteUndriven,
	muteHolds,
	levelDiffers,
	levelLow,
	levelHot,
	clipsEarly,
	kindDiffers,
	lineIntoPhones,
	loadHeavy,
	loadForbidden,
	trebleLost,
	balanceLost,
	stageUnsaid,
	coldShorted,
	coldAtFarEnd,
	unbalancedLong,
	shieldNowhere,
	shieldLiftedMic,
	bayGroundLoops,
	splitPhantom,
	plugPoles,
	twoPoleGrounds,
	twoPoleTap,
	stockTwoPole,
	sourceBreaks,
	outputBelow,
	stereoApart,
	tapBreaks,
	tapLoads,
	loop,
	loopPossible,
	howlAtRest,
	openMic,
	intoItself,
	twoInputs,
	stockShort,
	cordShort,
	cordsReachNowhere,
	walledOff,
	skipsPass,
	standInSet,
	patchStale,
	faultyPlugged,
	soundDevice,
	stripCut,
	stripAlike,
})
