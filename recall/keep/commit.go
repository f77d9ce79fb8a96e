package keep

import (
	"slices"
	"time"
)

// commit writes a memory down and then takes it as what is so. Nothing is acted
// on before. Where it cannot be written everything stays as it was.
func (k *Keeper) commit(m Memory, events ...Event) bool {
	events = slices.Concat(k.room.unwritten, k.dated(m, events))
	if err := k.config.Journal.Write(m, events); err != nil {
		if k.room.journalTrouble == nil {
			k.room.journalTrouble = k.problem("journal", "the journal cannot be written, and nothing is done until it can: %v", err)
		}
		k.room.journalAgain = k.now().Add(k.config.RetryMost)
		return false
	}
	k.room.memory, k.room.unwritten = m, nil
	k.room.journalTrouble, k.room.journalAgain = nil, time.Time{}
	return true
}

// learn takes in what a device did or answered. That is so whether it can be
// written down or not; if not, it is written before anything else is.
func (k *Keeper) learn(m Memory, events ...Event) {
	if !k.commit(m, events...) {
		k.room.memory = m
		k.room.unwritten = append(k.room.unwritten, k.dated(m, events)...)
	}
}

func (k *Keeper) dated(m Memory, events []Event) []Event {
	for i := range events {
		events[i].At = k.now()
		events[i].Recall, events[i].Session = m.Intent.Recall, m.Intent.Session
		events[i].By = k.room.who
	}
	return events
}

// halted is true while the journal cannot be written: nothing may be done then.
func (k *Keeper) halted() bool { return !k.room.journalAgain.IsZero() && !k.due(k.room.journalAgain) }

// tryJournal writes what is so already, to see whether the journal can be written
// again.
func (k *Keeper) tryJournal() {
	if !k.room.journalAgain.IsZero() && !k.halted() {
		k.commit(k.room.memory)
	}
}
